//! Chords that lead somewhere else than a key's own do: told by the chord that follows, or by themselves
//! where their tones leave no doubt.

use super::{
    Around, AugmentedSixth, Function, Own, function_of, has_any, is_diminished, own_case, targets,
};
use crate::theory::numeral::{Case, Step};
use crate::theory::{Chord, Degree, Key, Note};

/// What a chord does whose bass makes a dominant of it, or delays one.
pub(super) fn above_dominant(chord: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    let (bass, next) = (chord.bass?, around.next?);
    if is_cadential(chord, key) && is_dominant(next, key) {
        // What is neither tonic nor dominant leads to the dominant, and the six-four delays it.
        let prepares = |before: &Chord| {
            let place = Degree::between(key.tonic, before.root);
            !matches!(place, Degree { number: 1 | 5 | 7, alter: 0 })
        };
        return around.before.filter(|before| prepares(before)).map(|_| Function::CadentialSixFour);
    }
    let goal = Degree::new(4, 0).above(bass);
    // The next chord may go on suspending it: the dominant is held.
    let resolves = next.root == bass && (next.has(3, 0) || next.has(4, 0));
    if !is_suspended_over(chord, bass) || !(resolves || next.root == goal) {
        return None;
    }
    if goal == key.tonic {
        return Some(Function::Own(Own::Dominant));
    }
    let target = targets(key).into_iter().find(|step| step.key_within(key).tonic == goal);
    target.map(Function::SuspendedDominantOf)
}

/// Whether a chord and its bass sound as a dominant with the fourth in the place of the third: `F/G`.
fn is_suspended_over(chord: &Chord, bass: Note) -> bool {
    let above = |note: &Note| (12 + note.class() - bass.class()) % 12;
    let tones: Vec<u8> = chord.notes().iter().map(above).collect();
    let fits = tones.iter().all(|tone| matches!(tone, 2 | 5 | 7 | 9 | 10));
    fits && tones.contains(&5) && tones.contains(&10)
}

/// Whether a chord is the tonic above the dominant's root.
fn is_cadential(chord: &Chord, key: &Key) -> bool {
    chord.root == key.tonic && chord.bass == Some(Degree::new(5, 0).above(key.tonic))
}

/// Whether a chord is a major chord on the fifth degree.
fn is_dominant(chord: &Chord, key: &Key) -> bool {
    chord.root == Degree::new(5, 0).above(key.tonic) && chord.has(3, 0)
}

/// Whether a chord is the one on a tonic within a key, its dominant, or the six-four that delays it.
pub(super) fn leads_in(next: &Chord, tonic: Note, key: &Key) -> bool {
    let fifth = Degree::new(5, 0).above(key.tonic);
    next.root == tonic
        || is_dominant(next, &Key { tonic, ..*key })
        || tonic == fifth && is_cadential(next, key)
}

/// What a chord does by those around it.
pub(super) fn resolved(chord: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    let next = around.next?;
    augmented_sixth_before(chord, next, key)
        .or_else(|| common_tone(chord, next, around, key))
        .or_else(|| related_two(chord, next, around, key))
        .or_else(|| leading_to(chord, next, around, key))
        .or_else(|| chromatic_predominant(chord, next, key))
}

/// A minor or half-diminished chord a fifth above the dominant of another chord, or its substitute, to which it
/// leads.
fn related_two(chord: &Chord, next: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    if !is_two_of(chord, next) {
        return None;
    }
    match function_of(next, around.of_next(chord), key) {
        Some(Function::DominantOf(target)) => Some(Function::RelatedTwoOf(target)),
        Some(
            Function::TritoneSubstitute
            | Function::TritoneSubstituteOfDominant
            | Function::TritoneSubstituteOf(_),
        ) => Some(Function::RelatedTwoOfSubstitute),
        _ => None,
    }
}

/// Whether a chord could be the ii before a dominant.
fn is_two_of(chord: &Chord, dominant: &Chord) -> bool {
    let lies_above = Degree::between(dominant.root, chord.root) == Degree::new(5, 0);
    lies_above && chord.has(3, -1) && !chord.has(7, 0) && !chord.has(7, -2)
}

/// A half-diminished seventh on the raised fourth degree before anything but the dominant.
fn chromatic_predominant(chord: &Chord, next: &Chord, key: &Key) -> Option<Function> {
    let is_half_diminished = is_diminished(chord) && chord.has(7, -1);
    let stands = Degree::between(key.tonic, chord.root) == Degree::new(4, 1);
    let leads = leads_in(next, Degree::new(5, 0).above(key.tonic), key);
    (key.harmony().is_tonal() && is_half_diminished && stands && !leads)
        .then_some(Function::ChromaticPredominant)
}

/// What a chord does by its tones alone, an augmented sixth where nothing else follows than what it leads to.
pub(super) fn told_by_itself(chord: &Chord, next: Option<&Chord>, key: &Key) -> Option<Function> {
    let is_tonal = key.harmony().is_tonal();
    let place = Degree::between(key.tonic, chord.root);
    let is_plain = chord.has(3, 0) && chord.has(5, 0) && chord.tones.len() == 3;
    if is_tonal && is_plain && place == Degree::new(2, -1) {
        return Some(Function::Neapolitan);
    }
    let lowered = key.scale.degree(7).is_some_and(|seventh| seventh.alter != 0);
    if lowered && is_diminished(chord) && place == Degree::new(7, 0) {
        return Some(Function::RaisedLeadingTone);
    }
    let kind = if chord.has(5, -1) {
        AugmentedSixth::French
    } else if !has_any(chord, 5) {
        AugmentedSixth::Italian
    } else {
        return None;
    };
    let leads = next.is_none_or(|next| is_dominant(next, key) || is_cadential(next, key));
    let is_sixth = leads && is_on_lowered_sixth(chord, key) && !has_any(chord, 9);
    is_sixth.then_some(Function::AugmentedSixth(kind))
}

/// Whether a chord is written as the dominant seventh that an augmented sixth chord sounds like.
fn is_on_lowered_sixth(chord: &Chord, key: &Key) -> bool {
    key.harmony().is_tonal()
        && chord.is_dominant_seventh()
        && Degree::between(key.tonic, chord.root) == Degree::new(6, -1)
}

/// A German sixth goes to the plain dominant, or to the tonic above the dominant's root; to a dominant
/// seventh the same sound goes as its substitute. A French one may be written on its augmented fourth.
fn augmented_sixth_before(chord: &Chord, next: &Chord, key: &Key) -> Option<Function> {
    let (to_dominant, to_tonic) = (is_dominant(next, key), is_cadential(next, key));
    let is_german = is_on_lowered_sixth(chord, key) && chord.has(5, 0) && !has_any(chord, 9);
    if is_german && (to_tonic || to_dominant && !has_any(next, 7)) {
        return Some(Function::AugmentedSixth(AugmentedSixth::German));
    }
    let place = |note| Degree::between(key.tonic, note);
    let is_french = chord.is_dominant_seventh()
        && chord.has(5, -1)
        && place(chord.root) == Degree::new(2, 0)
        && chord.bass.map(place) == Some(Degree::new(6, -1));
    (is_french && (to_dominant || to_tonic))
        .then_some(Function::AugmentedSixth(AugmentedSixth::French))
}

/// A diminished seventh with the next chord's root among its tones, a minor one's only between that chord
/// and the same again. One that leads up to the dominant's root, beneath the tonic too, is its leading-tone
/// chord.
fn common_tone(chord: &Chord, next: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    let is_seventh = is_diminished(chord) && chord.has(7, -2);
    let keeps = chord.notes().iter().any(|note| note.class() == next.root.class());
    let leads_up = (chord.root.class() + 1) % 12 == next.lowest().class();
    let leads_on = leads_up && is_cadential(next, key);
    (is_seventh && keeps && !leads_on && (next.has(3, 0) || around.returns()))
        .then(|| Function::CommonToneDiminished(step_of(next, key)))
}

/// The dominant, its substitute or the leading-tone chord of the next chord, which is another than the
/// tonic: what leads there has names of its own.
fn leading_to(chord: &Chord, next: &Chord, around: Around<'_>, key: &Key) -> Option<Function> {
    if next.root == key.tonic {
        return None;
    }
    let is_prepared = around.before.is_some_and(|before| is_two_of(before, chord));
    let is_blues = chord.root == key.tonic && next.is_dominant_seventh() && !is_prepared;
    let to_dominant = Degree::between(key.tonic, next.root) == Degree::new(5, 0);
    match Degree::between(next.root, chord.root) {
        Degree { number: 5, alter: 0 } if chord.is_dominant_seventh() && !is_blues => {
            Some(Function::DominantOf(step_of(next, key)))
        }
        Degree { number: 2, alter: -1 } if chord.is_dominant_seventh() && !to_dominant => {
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
    let case = match (chord.has(3, 0), chord.has(3, -1)) {
        (true, _) => Case::Major,
        (_, true) => Case::Minor,
        _ => own_case(key, degree.number),
    };
    own.unwrap_or(Step { sign: Step::sign_of(degree, key.mode()), number: degree.number, case })
}
