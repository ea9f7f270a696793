//! Which string a row's label names: letters against the tuning, by their order first.

use crate::neck::{StringIndex, Tuning};
use crate::theory::note_names::ELSEWHERE;
use crate::theory::{Midi, Names, Pitch};

/// A string row's label.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StringLabel {
    /// Its pitch class, 0 (C) to 11.
    pub class: u8,
    /// Its pitch, where it names the octave.
    pub midi: Option<Midi>,
    /// Whether the letter is small.
    pub small: bool,
}

/// Reads a string row's label: a letter in any case, an accidental, an octave. An `x` is no double
/// sharp here: `fx` is rather a word.
pub fn read_label(label: &str, names: Names) -> Option<StringLabel> {
    let (note, length) = names.read_any_case(label)?;
    let (name, octave) = label.split_at_checked(length)?;
    let midi = match octave {
        "" => None,
        _ => {
            let octave = octave.parse().ok().filter(|octave| (-1..=9).contains(octave))?;
            Some(Pitch::new(note, octave).midi())
        }
    };
    let small = name.starts_with(|c: char| c.is_ascii_lowercase());
    (!name.ends_with('x')).then(|| StringLabel { class: note.class(), midi, small })
}

/// Whether a string is of the note, or the pitch, that a label names.
pub fn answers(label: StringLabel, open: Pitch) -> bool {
    match label.midi {
        Some(midi) => midi == open.midi(),
        None => label.class == open.note.class(),
    }
}

/// The letter that a label `H` means, the German B, where the tuning has such a string.
pub fn german_b(label: &str, tuning: &Tuning) -> Option<&'static str> {
    let (_, name) = ELSEWHERE.into_iter().find(|(theirs, _)| *theirs == label)?;
    let label = read_label(name, Names::English)?;
    tuning.strings().iter().any(|open| answers(label, *open)).then_some(name)
}

/// The strings of a tuning from the highest: "E4 B3 G3 D3 A2 E2".
pub fn listed(tuning: &Tuning) -> String {
    let names: Vec<String> = tuning.strings().iter().rev().map(Pitch::to_string).collect();
    names.join(" ")
}

/// What is known about a row's string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RowString {
    /// This one.
    Sure(StringIndex),
    /// The highest and the lowest that it may be.
    Open(StringIndex, StringIndex),
}

/// Places rows, the highest first, on the strings of a tuning: by their order, and where that
/// leaves a choice by the size of their letters. `None` where they don't fit.
pub fn place(labels: &[StringLabel], tuning: &Tuning) -> Option<Vec<RowString>> {
    let mut allowed: Vec<Vec<StringIndex>> = labels
        .iter()
        .map(|label| tuning.indices().filter(|string| fits(*label, *string, tuning)).collect())
        .collect();
    let by_order = bounds(&allowed)?;
    let only_capital = labels.iter().filter(|label| !label.small).count() == 1;
    for ((label, strings), place) in labels.iter().zip(&mut allowed).zip(&by_order) {
        let told = match place {
            RowString::Sure(_) => None,
            RowString::Open(..) if label.small => strings.iter().max(),
            RowString::Open(..) if only_capital => strings.iter().min(),
            RowString::Open(..) => None,
        };
        if let Some(string) = told.copied() {
            *strings = vec![string];
        }
    }
    Some(bounds(&allowed).unwrap_or(by_order))
}

fn fits(label: StringLabel, string: StringIndex, tuning: &Tuning) -> bool {
    tuning.open(string).is_some_and(|open| answers(label, open))
}

/// The highest and the lowest string that each row can have, every row standing on a lower string
/// than the one above it. `None` where there is no such order.
fn bounds(allowed: &[Vec<StringIndex>]) -> Option<Vec<RowString>> {
    let mut highest = Vec::new();
    let mut above = None;
    for strings in allowed {
        let is_below = |string: &StringIndex| above.is_none_or(|above| *string < above);
        let string = strings.iter().copied().filter(is_below).max()?;
        above = Some(string);
        highest.push(string);
    }
    let mut lowest = Vec::new();
    let mut below = None;
    for strings in allowed.iter().rev() {
        let string = strings.iter().copied().filter(|string| Some(*string) > below).min()?;
        below = Some(string);
        lowest.push(string);
    }
    let both = highest.into_iter().zip(lowest.into_iter().rev());
    Some(
        both.map(
            |(high, low)| {
                if high == low { RowString::Sure(high) } else { RowString::Open(high, low) }
            },
        )
        .collect(),
    )
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const STANDARD: &str = "E2 A2 D3 G3 B3 E4";

    fn placed(tuning: &str, labels: &str) -> Option<Vec<RowString>> {
        let strings = tuning.split(' ').map(|name| Pitch::parse(name).unwrap()).collect();
        let labels: Vec<StringLabel> =
            labels.split(' ').map(|label| read_label(label, Names::English).unwrap()).collect();
        place(&labels, &Tuning::new(strings).unwrap())
    }

    fn sure(strings: &[usize]) -> Option<Vec<RowString>> {
        Some(strings.iter().map(|string| RowString::Sure(StringIndex::new(*string))).collect())
    }

    fn open(high: usize, low: usize) -> RowString {
        RowString::Open(StringIndex::new(high), StringIndex::new(low))
    }

    #[test]
    fn order_decides_then_the_size_of_letters() {
        for (tuning, labels, expected) in [
            (STANDARD, "e B G D A E", sure(&[5, 4, 3, 2, 1, 0])),
            (STANDARD, "E B G D A E", sure(&[5, 4, 3, 2, 1, 0])),
            (STANDARD, "e b g d a e", sure(&[5, 4, 3, 2, 1, 0])),
            (STANDARD, "E B", sure(&[5, 4])),
            (STANDARD, "A E", sure(&[1, 0])),
            (STANDARD, "e", sure(&[5])),
            (STANDARD, "E", sure(&[0])),
            (STANDARD, "e E", sure(&[5, 0])),
            (STANDARD, "E4", sure(&[5])),
            (STANDARD, "Fb", sure(&[0])),
            (STANDARD, "cb g", sure(&[4, 3])),
            (STANDARD, "E A D", None),
            ("D2 A2 D3 G3 A3 D4", "d A G D A D", sure(&[5, 4, 3, 2, 1, 0])),
            ("D2 A2 D3 G3 A3 D4", "d", sure(&[5])),
            ("D2 A2 D3 G3 A3 D4", "D", sure(&[0])),
            ("D2 A2 D3 G3 A3 D4", "D4 A2", sure(&[5, 1])),
            ("D2 A2 D3 G3 A3 D4", "D A", Some(vec![open(5, 2), open(4, 1)])),
            ("E1 A1 D2", "D A E", sure(&[2, 1, 0])),
        ] {
            assert_eq!(placed(tuning, labels), expected, "{tuning}: {labels}");
        }
    }

    #[test]
    fn words_are_no_labels() {
        for label in ["fx", "Fx", "gx", "ax2", "H", "h", "fill", "E10", ""] {
            assert_eq!(read_label(label, Names::English), None, "{label}");
        }
        for label in ["f", "F#", "Bb", "bb", "F##", "E4", "b3"] {
            assert!(read_label(label, Names::English).is_some(), "{label}");
        }
    }

    #[test]
    fn twelve_strings_have_a_row_each() {
        let tuning = "E2 E3 A2 A3 D3 D4 G3 G4 B3 B3 E4 E4";
        let all: Vec<usize> = (0..12).rev().collect();
        assert_eq!(placed(tuning, "E E B B G G D D A A E E"), sure(&all));
        assert_eq!(placed(tuning, "E2"), sure(&[0]));
        assert_eq!(
            placed(tuning, "B3"),
            Some(vec![open(9, 8)]).map(|_| vec![RowString::Sure(StringIndex::new(8))])
        );
    }
}
