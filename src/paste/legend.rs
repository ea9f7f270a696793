//! What an old tab's own legend says of the letter `t`: a trill, or a tap of the picking hand; and of frets in
//! brackets: optional notes, notes tied over, or whatever else.

use super::lines::Line;
use super::remarks;

/// The letters that a legend explains.
#[derive(Debug, Default, PartialEq, Eq)]
pub(super) struct Legend {
    trills: Vec<char>,
    taps: Vec<char>,
    /// What it says of frets in brackets, unless it calls them optional.
    pub brackets: Option<String>,
}

/// Beginnings of words for a note in brackets that is optional.
const OPTIONAL: [&str; 6] = ["ghost", "optional", "soft", "quiet", "light", "barely"];

/// What the letter `t` or `T` means in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    Tap,
    Trill,
    /// A tap, which nobody said.
    Unsaid,
}

impl Legend {
    /// What lines say behind a letter that stands alone: `t = trill`, `T  tap with right hand`.
    pub fn read(lines: &[Line]) -> Legend {
        let mut legend = Legend::default();
        for line in lines {
            legend.brackets = legend.brackets.or_else(|| brackets(&line.text));
            let words: Vec<&str> = line
                .text
                .split(|c: char| !c.is_alphabetic())
                .filter(|word| !word.is_empty())
                .collect();
            for two in words.windows(2) {
                let [letter @ ("t" | "T"), meaning] = two else { continue };
                let meaning = meaning.to_lowercase();
                if meaning.starts_with("trill") {
                    legend.trills.extend(letter.chars());
                } else if meaning.starts_with("tap") {
                    legend.taps.extend(letter.chars());
                }
            }
        }
        legend
    }

    /// What a letter means. A capital is the usual sign of a tap.
    pub fn meaning(&self, letter: char) -> Meaning {
        match letter {
            letter if self.trills.contains(&letter) => Meaning::Trill,
            letter if letter == 'T' || self.taps.contains(&letter) => Meaning::Tap,
            _ => Meaning::Unsaid,
        }
    }
}

impl Legend {
    /// Whether frets in brackets are notes tied over.
    pub fn ties(&self) -> bool {
        self.brackets.as_ref().and_then(|words| meaning(words)).is_some_and(is_tie)
    }
}

/// What a line says of frets in brackets, if these aren't optional: `(5) = tied over`.
fn brackets(line: &str) -> Option<String> {
    let parts = remarks::parts(line).into_iter().map(|(_, part)| part);
    let is_other = |meaning: &str| {
        let lower = meaning.to_lowercase();
        !meaning.is_empty() && !OPTIONAL.iter().any(|word| lower.contains(word))
    };
    parts.into_iter().find(|part| meaning(part).is_some_and(is_other))
}

/// The meaning of a fret in brackets behind a sign of equality, or a colon or dash where it is a tie: others
/// are points of a list.
fn meaning(part: &str) -> Option<&str> {
    let (fret, behind) = part.strip_prefix('(')?.split_once(')')?;
    let behind = behind.trim_start();
    let meaning = behind.trim_start_matches(['=', ':', '-', ' ']);
    let is_fret = fret.chars().all(|c| c.is_ascii_digit() || matches!(c, ' ' | 'n' | 'x'));
    let says = behind.starts_with('=') || (behind.starts_with([':', '-']) && is_tie(meaning));
    (is_fret && says).then_some(meaning)
}

fn is_tie(meaning: &str) -> bool {
    let first = meaning.split_whitespace().next().unwrap_or_default().to_lowercase();
    matches!(first.trim_matches(|c: char| !c.is_alphabetic()), "tie" | "tied" | "ties")
}

#[cfg(test)]
mod tests {
    use crate::paste;

    #[test]
    fn a_small_t_is_what_the_legend_says() {
        for (legend, cells, tapped, told) in [
            ("", "-5-t8-", true, "# guessed: `t` is a tap"),
            ("t = trill, T = tap", "-5-t8-", false, "# not read, kept here: t (bar 1"),
            ("t = trill, T = tap", "-5-T8-", true, ""),
            ("t: tapped", "-5-t8-", true, ""),
            ("", "-5-T8-", true, ""),
        ] {
            let lesson =
                paste::lesson("A tab", &format!("{legend}\n\ne|{cells}|\nB|-5-5--|\n")).text;
            assert_eq!(lesson.contains("5t-"), tapped, "{legend} {cells}: {lesson}");
            let marks: Vec<&str> =
                lesson.lines().filter(|l| l.contains("`t`") || l.contains("not read")).collect();
            assert_eq!(marks.is_empty(), told.is_empty(), "{legend} {cells}: {lesson}");
            assert!(marks.iter().all(|mark| mark.starts_with(told)), "{marks:?}");
        }
    }
}
