//! Remarks to the player that stand behind a row or beneath a system: kept with the bar and the string
//! that they speak of, or with the beat.

use super::cues::{self, Mark};
use super::pieces::{Cue, Stack};
use super::slots::{self, Slot};
use super::system::System;

/// A remark about a system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Remark {
    pub text: String,
    pub place: RemarkPlace,
}

/// Where a remark stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RemarkPlace {
    /// Behind a row, by its index.
    Behind(usize),
    /// Beneath the system, at a column of the text.
    Beneath(usize),
}

/// How many spaces part what is held from a remark behind it.
const GAP: &str = "   ";

/// How far a line beneath a system is set in that speaks of what stands above it, in columns.
const INDENT: usize = 3;

/// How far from a note a remark may stand to speak of it, in columns.
const BESIDE: usize = 1;

/// Signs that point from a remark to what stands above it.
const UP: [char; 2] = ['^', '↑'];

/// Signs that point from a remark to what it speaks of.
const ARROWS: [&str; 7] = ["<-", "<=", "->", "-->", "=>", "←", "→"];

/// Whether words begin with an arrow that points to a row.
pub(super) fn is_pointing(words: &str) -> bool {
    ARROWS.iter().any(|arrow| {
        let behind = words.strip_prefix(arrow).map(|rest| rest.trim_start_matches(['-', '>']));
        behind.is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', '!', '?']))
            || behind.is_some_and(|rest| rest.starts_with(char::is_alphabetic))
    })
}

/// Whether a line of words beneath a system is set in so far that it speaks of what stands above it.
pub(super) fn is_set_in(line: &str) -> bool {
    line.chars().take_while(|c| *c == ' ').count() >= INDENT
}

/// Whether a line points to what stands above it. One that begins at the margin points to no column.
pub(super) fn points_up(line: &str) -> bool {
    line.starts_with(' ') && line.trim_start().starts_with(UP)
}

/// The remarks of a line with their columns: wide gaps part them. Signs without words are parted by any.
pub(super) fn parts(line: &str) -> Vec<Mark> {
    let widest = if line.contains(char::is_alphanumeric) { GAP.len() - 1 } else { 0 };
    let mut parts: Vec<Mark> = Vec::new();
    let mut gap = usize::MAX;
    for (column, character) in line.chars().enumerate() {
        match parts.last_mut().filter(|_| gap <= widest) {
            _ if character == ' ' => {
                gap = gap.saturating_add(1);
                continue;
            }
            Some((_, part)) => *part += &format!("{}{character}", " ".repeat(gap)),
            None => parts.push((column, character.to_string())),
        }
        gap = 0;
    }
    parts
}

/// A line that says what is held and then something else, parted; each keeps its columns.
pub(super) fn parted(line: &str) -> Option<(String, String)> {
    let indent = line.len() - line.trim_start().len();
    let gaps = line.match_indices(GAP).map(|(at, _)| at).filter(|at| *at > indent);
    gaps.into_iter().find_map(|at| {
        let (front, behind) = line.split_at_checked(at)?;
        let words = behind.trim_start();
        let says = words.starts_with(|c: char| c.is_alphanumeric() || c == '(');
        cues::held(front).filter(|_| says && cues::held(words).is_none())?;
        let column = front.chars().count() + behind.chars().count() - words.chars().count();
        Some((front.to_string(), " ".repeat(column) + words))
    })
}

/// The remarks about a system, each with its bar and its string or its beat; so many bars come before.
/// Accents that stand at no notes are remarks too.
pub(super) fn told(
    stack: &Stack,
    system: &System<'_>,
    slots: &[Vec<Slot<'_>>],
    labels: &[String],
    before: usize,
) -> Vec<String> {
    let at = |column: usize| {
        let bar = system.bars.partition_point(|bar| bar.from <= column + 1).max(1);
        let beat = slots.get(bar - 1).map(|slots| beat(slots, column)).unwrap_or_default();
        format!("bar {}{beat}", before + bar)
    };
    let line = |remark: &Remark| match remark.place {
        RemarkPlace::Behind(row) => {
            let label = labels.get(row).map_or("", String::as_str);
            let bar = before + system.bars.len();
            format!("behind bar {bar}, string {label}: {}", remark.text)
        }
        RemarkPlace::Beneath(column) => format!("beneath {}: {}", at(column), remark.text),
    };
    let accented = slots.iter().flatten().any(|slot| slot.accented);
    let accents = stack.cues.accents.iter().filter(|_| !accented).flat_map(|cue: &Cue| &cue.marks);
    let accents = accents.map(|(column, sign)| format!("at {}: {sign}", at(*column)));
    stack.cues.remarks.iter().map(line).chain(accents).collect()
}

/// The beat of the note of a bar that a remark stands at, if it stands at one and the beats are known.
fn beat(bar: &[Slot<'_>], column: usize) -> String {
    // A bar without counts may be of any length.
    if bar.first().is_none_or(|slot| slot.count.is_empty()) {
        return String::new();
    }
    let sounding: Vec<usize> = (0..bar.len()).filter(|at| !bar[*at].notes.is_empty()).collect();
    let columns: Vec<usize> = sounding.iter().map(|at| bar[*at].column).collect();
    let nearest = slots::nearest(&columns, column);
    let near = columns.get(nearest).is_some_and(|at| at.abs_diff(column) <= BESIDE);
    let upto = sounding.get(nearest).filter(|_| near).map_or(&[][..], |at| &bar[..=*at]);
    let number = |slot: &Slot<'_>| slot.count.parse::<u8>().ok();
    let beat = upto.iter().rev().find_map(number);
    match (beat, upto.last().and_then(number)) {
        (Some(beat), Some(_)) => format!(", beat {beat}"),
        (Some(beat), None) => format!(", after beat {beat}"),
        (None, _) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_held_is_parted_from_a_remark() {
        let parted = |line: &str| super::parted(line);
        assert_eq!(
            parted("  PM....      play 4 times (slower)"),
            Some(("  PM....".to_string(), "              play 4 times (slower)".to_string()))
        );
        for line in ["  PM---   PM---", "  let ring", "the rain    came down"] {
            assert_eq!(parted(line), None, "{line}");
        }
    }

    #[test]
    fn remarks_of_one_line_keep_their_columns() {
        let told = |line: &str| {
            let parts = parts(line).into_iter().map(|(column, text)| format!("{column}{text}"));
            parts.collect::<Vec<_>>().join("/")
        };
        for (line, expected) in [
            ("     ^ watch this  one", "5^ watch this  one"),
            ("   softly      ^ loud", "3softly/15^ loud"),
            ("   . . >", "3./5./7>"),
            ("", ""),
        ] {
            assert_eq!(told(line), expected, "{line}");
        }
    }

    #[test]
    fn what_stands_beneath_is_told_with_its_bar_and_beat() {
        for (beneath, behind, told) in [
            ("            ^ loud", "\n", "beneath bar 2, after beat 2: ^ loud"),
            ("      ^ loud", "\n", "beneath bar 1: ^ loud"),
            ("   ^ loud", "", "beneath bar 1, beat 1: ^ loud"),
            ("slowly\n   ^ loud", "\n", "beneath bar 1, beat 1: ^ loud"),
            ("         softly", "", "beneath bar 2, beat 1: softly"),
            ("   .     >", "\n", "beneath bar 1, beat 1: .\nbeneath bar 2, beat 1: >"),
            ("   .     .", "\n", "beneath bar 1, beat 1: .\nbeneath bar 2, beat 1: ."),
            ("     >   >", "\n", "at bar 1: >\nat bar 2, beat 1: >"),
        ] {
            let row = |bars: &str| ["G", "D", "A", "E"].map(|s| format!("{s}|{bars}\n")).concat();
            let (first, second) = (row("-0---|-2--3--4|"), row("-0---|-2---|"));
            let text = format!("{first}{beneath}\n{behind}{second}");
            let lesson = crate::paste::lesson("A tab", &text).text;
            assert!(lesson.contains(told), "{beneath}: no {told} in\n{lesson}");
        }
    }

    #[test]
    fn arrows_point_to_rows() {
        for (words, expected) in [
            ("<- nice", true),
            ("<-- watch!", true),
            ("-> slow", true),
            ("<12>--", false),
            ("--3-", false),
        ] {
            assert_eq!(is_pointing(words), expected, "{words}");
        }
    }
}
