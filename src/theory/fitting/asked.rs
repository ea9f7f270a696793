//! What a chord asks of a scale, as pitch classes, a bit each.

use crate::theory::{Chord, Degree};

/// Those that a scale must have: all that sound, but for the perfect fifth, ninth and eleventh that an
/// altered dominant may leave out.
pub(super) fn needed(chord: &Chord) -> u16 {
    let tone = |degree: Degree| chord.tones.iter().find(|tone| tone.degree == degree);
    let is_altered =
        chord.tones.iter().any(|tone| tone.degree.number > 7 && tone.degree.alter != 0);
    if !(is_altered && chord.has(3, 0) && chord.has(7, -1)) {
        return chord.classes();
    }
    let left_out = [5, 9, 11].map(|number| Degree::new(number, 0)).into_iter();
    let left_out = left_out.filter(|degree| tone(*degree).is_some_and(|tone| tone.omissible));
    left_out.fold(chord.classes(), |classes, degree| classes & !above(chord, degree))
}

/// The one that it means without sounding it: the third of a suspended dominant.
pub(super) fn meant(chord: &Chord) -> u16 {
    if is_suspended_dominant(chord) { above(chord, Degree::new(3, 0)) } else { 0 }
}

/// Those that contradict it: beside a minor third the major one, beside a diminished or augmented fifth
/// the perfect one, beside a seventh the one a half step away. (Beside a major third the minor one is a
/// blue note, a major chord's lowered fifth stands for a raised eleventh, and above a leading tone the major
/// third is the third of the tonic.)
pub(super) fn against(chord: &Chord) -> u16 {
    let has = |number, alter| chord.has(number, alter);
    let is_diminished = has(3, -1) && has(5, -1);
    let contradicted = [
        (has(3, -1) && (!is_diminished || has(7, -1)), Degree::new(3, 0)),
        (is_diminished || has(5, 1), Degree::new(5, 0)),
        (has(7, 0) || has(7, -2), Degree::new(7, -1)),
        (has(7, -1), Degree::new(7, 0)),
    ];
    let contradicted = contradicted.into_iter().filter(|(told, _)| *told);
    contradicted.fold(0, |classes, (_, degree)| classes | above(chord, degree))
}

/// Whether a chord is a dominant seventh with the fourth in the place of the third.
pub(super) fn is_suspended_dominant(chord: &Chord) -> bool {
    let has_third = chord.has(3, 0) || chord.has(3, -1);
    chord.has(4, 0) && chord.has(7, -1) && !has_third
}

/// The pitch class of a degree above the root.
fn above(chord: &Chord, degree: Degree) -> u16 {
    1 << degree.above(chord.root).class()
}
