//! What a key's own chords do there.

use super::is_diminished;
use crate::theory::{Chord, Degree, Key};

/// What one of a key's own chords does there; where keys have no such functions, by its degree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Own {
    Tonic,
    TonicFamily,
    Supertonic,
    Mediant,
    Subdominant,
    SubdominantFamily,
    RaisedFourth,
    Dominant,
    MinorDominant,
    DiminishedDominant,
    Submediant,
    LeadingTone,
    Subtonic,
}

/// What a key's own chord does.
pub(super) fn of(chord: &Chord, key: &Key) -> Own {
    let degree = Degree::between(key.tonic, chord.root);
    let is_tonal = key.harmony().is_tonal();
    match degree.number {
        1 => Own::Tonic,
        2 if is_tonal => Own::SubdominantFamily,
        2 => Own::Supertonic,
        3 if is_tonal => Own::TonicFamily,
        3 => Own::Mediant,
        4 if degree.alter > 0 => Own::RaisedFourth,
        4 => Own::Subdominant,
        5 if is_diminished(chord) => Own::DiminishedDominant,
        5 if chord.has(3, -1) => Own::MinorDominant,
        5 => Own::Dominant,
        6 if is_tonal => Own::TonicFamily,
        6 => Own::Submediant,
        _ if degree.alter == 0 => Own::LeadingTone,
        _ => Own::Subtonic,
    }
}
