//! Chords that lead somewhere else than a key's own do: told by the chord that follows, or by themselves
//! where their tones leave no doubt.

use super::{
    AugmentedSixth, Function, has, has_any, is_diminished, is_dominant_seventh, own_case, targets,
};
use crate::theory::numeral::{Case, Step};
use crate::theory::{Chord, Degree, Key};

/// What a chord does by the one that follows.
pub(super) fn resolved(chord: &Chord, next: &Chord, key: &Key) -> Option<Function> {
    augmented_sixth_before(chord, next, key)
        .or_else(|| common_tone(chord, next, key))
        .or_else(|| leading_to(chord, next, key))
}

/// What a chord does by its tones alone.
pub(super) fn told_by_itself(chord: &Chord, key: &Key) -> Option<Function> {
    let is_tonal = key.harmony().is_tonal();
    let place = Degree::between(key.tonic, chord.root);
    let is_plain = has(chord, 3, 0) && has(chord, 5, 0) && chord.tones.len() == 3;
    if is_tonal && is_plain && place == Degree::new(2, -1) {
        return Some(Function::Neapolitan);
    }
    let kind = if has(chord, 5, -1) {
        AugmentedSixth::French
    } else if !has_any(chord, 5) {
        AugmentedSixth::Italian
    } else {
        return None;
    };
    let is_sixth = is_on_lowered_sixth(chord, key) && !has_any(chord, 9);
    is_sixth.then_some(Function::AugmentedSixth(kind))
}

/// Whether a chord is written as the dominant seventh that an augmented sixth chord sounds like.
fn is_on_lowered_sixth(chord: &Chord, key: &Key) -> bool {
    key.harmony().is_tonal()
        && is_dominant_seventh(chord)
        && Degree::between(key.tonic, chord.root) == Degree::new(6, -1)
}

/// A German sixth goes to the plain dominant, or to the tonic above the dominant's root; to a dominant
/// seventh the same sound goes as its substitute.
fn augmented_sixth_before(chord: &Chord, next: &Chord, key: &Key) -> Option<Function> {
    let fifth = Degree::new(5, 0).above(key.tonic);
    let to_dominant = next.root == fifth && has(next, 3, 0) && !has_any(next, 7);
    let to_tonic = next.root == key.tonic && next.bass == Some(fifth);
    let is_german = is_on_lowered_sixth(chord, key) && has(chord, 5, 0) && !has_any(chord, 9);
    (is_german && (to_dominant || to_tonic))
        .then_some(Function::AugmentedSixth(AugmentedSixth::German))
}

/// A diminished seventh with the next chord's root among its tones; one that leads up to the next chord's
/// bass is its leading-tone chord.
fn common_tone(chord: &Chord, next: &Chord, key: &Key) -> Option<Function> {
    let is_seventh = is_diminished(chord) && has(chord, 7, -2);
    let keeps = chord.notes().iter().any(|note| note.class() == next.root.class());
    let leads_up = (chord.root.class() + 1) % 12 == next.lowest().class();
    (is_seventh && keeps && !leads_up && has(next, 3, 0))
        .then(|| Function::CommonToneDiminished(step_of(next, key)))
}

/// The dominant, its substitute or the leading-tone chord of the next chord, which is another than the
/// tonic: what leads there has names of its own.
fn leading_to(chord: &Chord, next: &Chord, key: &Key) -> Option<Function> {
    if next.root == key.tonic {
        return None;
    }
    let is_blues = chord.root == key.tonic && is_dominant_seventh(next);
    let to_dominant = Degree::between(key.tonic, next.root) == Degree::new(5, 0);
    match Degree::between(next.root, chord.root) {
        Degree { number: 5, alter: 0 } if is_dominant_seventh(chord) && !is_blues => {
            Some(Function::DominantOf(step_of(next, key)))
        }
        Degree { number: 2, alter: -1 } if is_dominant_seventh(chord) && !to_dominant => {
            Some(Function::TritoneSubstituteOf(step_of(next, key)))
        }
        Degree { number: 7, alter: 0 } if is_diminished(chord) => {
            Some(Function::LeadingToneOf(step_of(next, key)))
        }
        _ => None,
    }
}

/// The degree that a chord stands on: the key's own where it can have a dominant, or else with the case of
/// the chord's third.
fn step_of(chord: &Chord, key: &Key) -> Step {
    let degree = Degree::between(key.tonic, chord.root);
    let own = targets(key).into_iter().find(|step| step.key_within(key).tonic == chord.root);
    let case = match (has(chord, 3, 0), has(chord, 3, -1)) {
        (true, _) => Case::Major,
        (_, true) => Case::Minor,
        _ => own_case(key, degree.number),
    };
    own.unwrap_or(Step { sign: Step::sign_of(degree, key.mode()), number: degree.number, case })
}
