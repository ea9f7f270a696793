//! What a phrase speaks of, a chord or a scale, under one roof.

use crate::lesson::phrase::{Part, Subject};
use crate::theory::{Chord, Degree, Note, Scale};

/// One way to read what a phrase speaks of.
#[derive(Clone, Copy)]
pub(super) enum Reading<'a> {
    /// As a chord.
    Chord(&'a Chord),
    /// As a scale or key.
    Scale(&'a Scale),
}

/// The ways to read a subject: two for words that name both a chord and a scale.
pub(super) fn readings(subject: &Part<Subject>) -> Vec<Reading<'_>> {
    match &subject.value {
        Subject::Chord(chord) => vec![Reading::Chord(chord)],
        Subject::Scale(scale) => vec![Reading::Scale(scale)],
        Subject::Either(chord, scale) => vec![Reading::Chord(chord), Reading::Scale(scale)],
    }
}

impl Reading<'_> {
    /// The note that degrees are counted from.
    pub fn root(&self) -> Note {
        match self {
            Reading::Chord(chord) => chord.root,
            Reading::Scale(scale) => scale.tonic,
        }
    }

    /// The note that a spelling begins with: the root, or a slash chord's bass.
    pub fn first(&self) -> Note {
        match self {
            Reading::Chord(chord) => chord.lowest(),
            Reading::Scale(scale) => scale.tonic,
        }
    }

    /// Its degrees above the root, the bass among them.
    pub fn degrees(&self) -> Vec<Degree> {
        match self {
            Reading::Chord(chord) => {
                let bass = chord.bass.and_then(|bass| chord.degree_of(bass));
                let tones = chord.tones.iter().map(|tone| tone.degree);
                let foreign = bass.filter(|bass| !tones.clone().any(|tone| tone == *bass));
                tones.chain(foreign).collect()
            }
            Reading::Scale(scale) => scale.kind.degrees.to_vec(),
        }
    }

    /// All its notes, rising from the one that a spelling begins with.
    pub fn notes(&self) -> Vec<Note> {
        let mut notes: Vec<Note> =
            self.degrees().iter().map(|degree| degree.above(self.root())).collect();
        if let Some(at) = notes.iter().position(|note| *note == self.first()) {
            notes.rotate_left(at);
        }
        notes
    }

    /// The degree of a note that is one of its tones under a right letter.
    pub fn degree_of(&self, note: Note) -> Option<Degree> {
        match self {
            Reading::Chord(chord) => chord.degree_of(note),
            Reading::Scale(scale) => scale.degree_of(note),
        }
    }

    /// The tone that sounds like a note, as it is spelled here.
    pub fn respelled(&self, note: Note) -> Option<Note> {
        self.notes().into_iter().find(|tone| tone.class() == note.class())
    }

    /// The tones that must be named and are not among the notes. What a fingering may leave out, a
    /// phrase may too.
    pub fn missing(&self, notes: &[Note]) -> Vec<Note> {
        let classes: Vec<u8> = notes.iter().map(|note| note.class()).collect();
        match self {
            Reading::Chord(chord) => {
                let verdict = chord.judge(&classes);
                verdict.missing.iter().map(|degree| degree.above(chord.root)).collect()
            }
            Reading::Scale(scale) => {
                let tones = scale.notes().into_iter();
                tones.filter(|tone| !classes.contains(&tone.class())).collect()
            }
        }
    }

    /// Whether one at least of its alterations must be named and none is (`7alt`).
    pub fn lacks_alteration(&self, notes: &[Note]) -> bool {
        let Reading::Chord(chord) = self else { return false };
        let classes: Vec<u8> = notes.iter().map(|note| note.class()).collect();
        !chord.judge(&classes).missing_one_of.is_empty()
    }

    /// Its name as one types it.
    pub fn name(&self) -> String {
        match self {
            Reading::Chord(chord) => chord.to_string(),
            Reading::Scale(scale) => scale.to_string(),
        }
    }
}
