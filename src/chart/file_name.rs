//! The names of a chart's files: letters, digits and hyphens, `F-sharp` for F♯.

use crate::theory::{Chord, Note};

/// So many names stand in a file's name at most; of the others only how many they are.
const MOST: usize = 4;

/// A chord: `A`, `F-sharp-m7`, `A-over-C-sharp`.
pub fn of_chord(chord: &Chord) -> String {
    let suffix = plain(&chord.suffix);
    let between = if chord.root.accidental != 0 && !suffix.is_empty() { "-" } else { "" };
    let bass = chord.bass.map(|bass| format!("-over-{}", of_note(bass))).unwrap_or_default();
    format!("{}{between}{suffix}{bass}", of_note(chord.root))
}

/// A note: `A`, `F-sharp`, `B-flat`.
pub fn of_note(note: Note) -> String {
    let sign = if note.accidental < 0 { "-flat" } else { "-sharp" };
    let signs = sign.repeat(usize::from(note.accidental.unsigned_abs()));
    format!("{:?}{signs}", note.letter)
}

/// Words: hyphens for all but letters and digits.
pub fn plain(words: &str) -> String {
    let words = words.replace('#', " sharp ");
    let pieces = words.split(|c: char| !c.is_alphanumeric());
    pieces.filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join("-")
}

/// The whole name: the kind of chart, then what it shows.
pub fn whole(kind: &str, names: &[String]) -> String {
    let (first, more) = names.split_at(names.len().min(MOST));
    let mut name =
        std::iter::once(kind).chain(first.iter().map(String::as_str)).collect::<Vec<_>>().join("-");
    if !more.is_empty() {
        name += &format!("-and-{}-more", more.len());
    }
    name
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_words() {
        for (symbol, name) in [
            ("A", "A"),
            ("F#", "F-sharp"),
            ("Bbm7", "B-flat-m7"),
            ("A/C#", "A-over-C-sharp"),
            ("E7#9", "E7-sharp-9"),
        ] {
            assert_eq!(of_chord(&Chord::parse(symbol).unwrap()), name);
        }
    }

    #[test]
    fn long_lists_are_cut() {
        let names: Vec<String> = "ABCDEF".chars().map(String::from).collect();
        assert_eq!(whole("chord", &names), "chord-A-B-C-D-and-2-more");
    }
}
