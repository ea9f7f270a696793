//! What is said about a voicing, on paper and to whoever listens.

use super::{LeftOut, Voiced};
use crate::neck::leading::Voice;
use crate::theory::{Degree, Note};
use crate::words::paper::voicings as words;
use crate::words::terms;

/// What stands beneath a box about the tones that don't sound: "no fifth", "no root: the bass has it".
pub fn left_out(left: &LeftOut) -> String {
    match left.degree {
        Some(Degree::ROOT) => words::NO_ROOT.to_owned(),
        Some(degree) => words::no_tone(&plain(degree)),
        None => words::left_to_the_bass(&left.note.printed()),
    }
}

/// The degree by its number alone: a chord has one of each.
fn plain(degree: Degree) -> String {
    Degree::new(degree.number, 0).spoken()
}

/// What a voice does: "B stays", "D rises to E".
pub(super) fn voice(voice: &Voice, say: fn(Note) -> String) -> String {
    match voice {
        Voice::Stays(note) => format!("{} stays", say(*note)),
        Voice::Rises(from, to) => format!("{} rises to {}", say(*from), say(*to)),
        Voice::Falls(from, to) => format!("{} falls to {}", say(*from), say(*to)),
        Voice::Begins(note) => format!("{} comes in", say(*note)),
        Voice::Ceases(note) => format!("{} drops out", say(*note)),
    }
}

/// What is said about a voicing besides its strings.
pub(super) fn about(voiced: &Voiced) -> String {
    let mut parts: Vec<String> = Vec::new();
    parts.extend(voiced.inversion.map(|inversion| terms::inversion(inversion).to_owned()));
    parts.extend(voiced.left_out.iter().map(|left| match left.degree {
        None => words::left_to_the_bass(&left.note.spoken()),
        _ => left_out(left),
    }));
    parts.extend(voiced.moves.iter().map(|moved| voice(moved, |note| note.spoken())));
    parts.join(", ")
}
