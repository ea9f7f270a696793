//! Symbols that mean different chords in different places.

use super::read;
use crate::theory::Note;

/// What stands behind the root, and the suffixes of the two chords that it is taken for. A figure
/// alone is an added tone for some and a suspension for others; a plus behind a figure raises the
/// fifth for some and the seventh for others.
const TWO_WAYS: [(&str, [&str; 2]); 12] = [
    ("2", ["add9", "sus2"]),
    ("4", ["add11", "sus4"]),
    ("7+", ["7#5", "maj7"]),
    ("9+", ["9#5", "maj9"]),
    ("11+", ["11#5", "maj11"]),
    ("13+", ["13#5", "maj13"]),
    ("m7+", ["m7#5", "m(maj7)"]),
    ("m9+", ["m9#5", "m(maj9)"]),
    ("mi7+", ["m7#5", "m(maj7)"]),
    ("min7+", ["m7#5", "m(maj7)"]),
    ("-7+", ["m7#5", "m(maj7)"]),
    ("-9+", ["m9#5", "m(maj9)"]),
];

/// Both readings of a symbol that has two, in the house form.
pub(super) fn readings(text: &str) -> Option<[String; 2]> {
    let (root, length) = Note::read(text)?;
    let (kind, bass) = read::split_bass(text.get(length..)?).ok()?;
    let kind: String =
        read::plain(&kind).chars().filter(|sign| !matches!(sign, '(' | ')')).collect();
    let (_, suffixes) = TWO_WAYS.iter().find(|(written, _)| *written == kind)?;
    let bass = bass.map(|bass| format!("/{bass}")).unwrap_or_default();
    Some(suffixes.map(|suffix| format!("{root}{suffix}{bass}")))
}
