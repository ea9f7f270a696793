//! Directions over and under a system: numbers of tuplets, how far bends go, words such as `rit.` and `D.S. al Coda`.

use super::lines_beside::{self, Mark};
use super::remarks;
use super::row::{is_bar_line, is_dash};

/// How far a bend is written to go, in half steps.
pub(super) const BENDS: [(&str, u8); 5] =
    [("1 1/2", 3), ("1/2", 1), ("½", 1), ("full", 2), ("Full", 2)];

/// The most notes that the number of a tuplet tells.
const MOST_NOTES: u8 = 16;

/// Words of direction, in small letters and without the dot behind them.
const WORDS: [&str; 18] = [
    "rit",
    "ritard",
    "ritardando",
    "rall",
    "rallentando",
    "accel",
    "accelerando",
    "cresc",
    "crescendo",
    "diminuendo",
    "decresc",
    "loco",
    "8va",
    "8vb",
    "n.h",
    "a.h",
    "n.b",
    "p.h",
];

/// The end of a piece that is played from its start again; in small letters it is an ordinary word.
const END: &str = "Fine";

/// Beginnings of what sends the player elsewhere.
const JUMPS: [&str; 4] = ["d.s.", "d.c.", "to coda", "a tempo"];

/// The directions of a line with their columns, if it has nothing else.
pub(super) fn read(line: &str) -> Option<Vec<Mark>> {
    let parts = remarks::parts(line);
    let all = parts.iter().all(|(_, part)| is_direction(part));
    (all && !parts.is_empty()).then_some(parts)
}

/// Whether a line of words has a direction among them.
pub(super) fn among(line: &str) -> bool {
    let lower = line.to_lowercase();
    JUMPS.iter().any(|jump| lower.trim_start().starts_with(jump))
        || lines_beside::words(&lower).iter().any(|(_, word)| is_word(word))
}

fn is_direction(part: &str) -> bool {
    let lower = part.to_lowercase();
    let begins = || {
        let jumps = JUMPS.iter().any(|jump| lower.starts_with(jump));
        jumps || lower.split_whitespace().next().is_some_and(is_word)
    };
    is_tuplet(part) || bend(part).is_some() || part == END || begins()
}

fn is_word(lower: &str) -> bool {
    WORDS.contains(&lower.trim_end_matches('.'))
}

/// How far a bend goes, if a part of a line says that and nothing else.
pub(super) fn bend(part: &str) -> Option<u8> {
    BENDS.iter().find(|(words, _)| *words == part).map(|(_, steps)| *steps)
}

/// Whether a part of a line is a line or a bracket with a small number in its middle: `__3__`, `[3]`,
/// `|-3-|`. Between bar lines it may be a row of tab unless both sides are alike.
fn is_tuplet(part: &str) -> bool {
    let drawn = |c: char| {
        is_dash(c) || is_bar_line(c) || matches!(c, '[' | ']' | '┌' | '┐' | '└' | '┘' | '─')
    };
    let number = part.trim_matches(drawn);
    let framed = part.starts_with(drawn) && part.ends_with(drawn);
    let alike = || part.split_once(number).is_some_and(|(one, other)| one.len() == other.len());
    let drawn = framed && (!part.starts_with(is_bar_line) || alike());
    drawn && number.parse::<u8>().is_ok_and(|notes| (2..=MOST_NOTES).contains(&notes))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::paste;

    #[test]
    fn directions_are_told_from_rows_and_words() {
        for (line, expected) in [
            ("     __3__      1/2   full", "5 __3__/16 1/2/22 full"),
            ("   [--3--]", "3 [--3--]"),
            ("   |-3-|   |-3-|", "3 |-3-|/11 |-3-|"),
            ("   |-3----|", ""),
            ("   rit.      D.S. al Coda", "3 rit./13 D.S. al Coda"),
            ("   8va........... loco    Fine", "3 8va........... loco/26 Fine"),
            ("   --3---2---", ""),
            ("   fine rain came down", ""),
            ("", ""),
        ] {
            let told = read(line).unwrap_or_default();
            let told: Vec<String> = told.iter().map(|(at, part)| format!("{at} {part}")).collect();
            assert_eq!(told.join("/"), expected, "{line}");
        }
    }

    #[test]
    fn a_tuplet_above_rows_is_no_row() {
        let rows = |letters: &str| -> String {
            letters.chars().map(|letter| format!("{letter}|-5-7-8-|\n")).collect()
        };
        for (mark, letters, row) in [
            ("   __3__", "eBG", false),
            ("   __3__", "eBGDAE", false),
            ("   --3--", "eBGDAE", false),
            ("   --3--", "BGDAE", true),
        ] {
            let lesson = paste::lesson("A tab", &format!("{mark}\n{}", rows(letters))).text;
            let told = format!("above bar 1, beat 1: {}\n", mark.trim());
            assert_eq!(lesson.contains(&told), !row, "{mark} {letters}: {lesson}");
        }
    }
}
