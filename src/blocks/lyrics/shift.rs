//! What chords are called so many half steps higher.

use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Degree, Key, Midi, Note};

/// A way from old names to new ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Shift {
    /// From an old note up to its new one, octaves left aside.
    degree: Degree,
}

/// The degrees that lie so many half steps above a root, those that are met most first.
const DEGREES: [&[(u8, i8)]; 12] = [
    &[(1, 0)],
    &[(2, -1), (1, 1)],
    &[(2, 0)],
    &[(3, -1), (2, 1)],
    &[(3, 0), (4, -1)],
    &[(4, 0)],
    &[(5, -1), (4, 1)],
    &[(5, 0)],
    &[(6, -1), (5, 1)],
    &[(6, 0)],
    &[(7, -1), (6, 1)],
    &[(7, 0), (8, -1)],
];

impl Shift {
    /// The way up by half steps, 12 being none: to the key with the fewest signs, or where no key is in force, to
    /// the names of some chords with the fewest.
    pub fn up<'c>(
        half_steps: i32,
        key: Option<&Key>,
        chords: impl Iterator<Item = &'c Chord> + Clone,
    ) -> Shift {
        let steps = half_steps.rem_euclid(12);
        if let Some(key) = key {
            let raised = key.raised(u8::try_from(steps).unwrap_or_default());
            return Shift { degree: Degree::between(key.tonic, raised.tonic) };
        }
        let ways = DEGREES.get(usize::try_from(steps).unwrap_or_default()).copied();
        let ways = ways.unwrap_or_default().iter();
        let ways = ways.map(|(number, alter)| Shift { degree: Degree::new(*number, *alter) });
        let notes = chords.flat_map(|chord| [Some(chord.root), chord.bass]).flatten();
        let signs = |shift: &Shift| -> i32 {
            let of = |note: Note| i32::from(shift.degree.above(note).accidental).pow(2);
            notes.clone().map(of).sum()
        };
        ways.min_by_key(signs).unwrap_or(Shift { degree: Degree::ROOT })
    }

    /// What becomes of a key.
    pub fn key(self, key: Key) -> Key {
        Key { tonic: self.note(key.tonic), ..key }
    }

    /// What becomes of a chord.
    pub fn chord(self, chord: &Chord) -> Chord {
        let bass = chord.bass.map(|bass| self.note(bass));
        Chord { root: self.note(chord.root), bass, ..chord.clone() }
    }

    fn note(self, note: Note) -> Note {
        let moved = self.degree.above(note);
        if moved.accidental.abs() <= 1 {
            return moved;
        }
        spell(Midi::new(moved.class().into()), None, None, Direction::Unknown)
            .note
            .called(note.names)
    }
}
