//! What stands around a chord in a progression, by which its function is told.

use crate::theory::{Chord, Degree, Key};

/// The chords around one of a progression; each is another than its neighbour.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Around<'c> {
    /// The chord before it.
    pub before: Option<&'c Chord>,
    /// The chord that it leads to.
    pub next: Option<&'c Chord>,
    /// The chord behind that.
    pub then: Option<&'c Chord>,
    /// Whether the progression has more than one dominant seventh on the first and fourth degrees.
    pub in_blues: bool,
}

impl<'c> Around<'c> {
    /// Whether the chord before comes again after it, in whatever inversion.
    pub(super) fn returns(self) -> bool {
        let root = |chord: &Chord| (chord.root, chord.has(3, -1));
        self.before.is_some() && self.before.map(root) == self.next.map(root)
    }

    /// What stands around the chord that comes next, seen from the one before it.
    pub(super) fn of_next(self, chord: &'c Chord) -> Around<'c> {
        Around { before: Some(chord), next: self.then, then: None, in_blues: self.in_blues }
    }
}

/// What stands around each chord of a progression in a key.
pub fn around<'c>(chords: &[&'c Chord], key: &Key) -> Vec<Around<'c>> {
    let runs: Vec<&[&Chord]> = chords.chunk_by(|one, other| one == other).collect();
    let chord_of = |at: usize| runs.get(at).and_then(|run| run.first()).copied();
    let of_blues = |chord: &&Chord| is_of_blues(chord, key);
    let in_blues = (0..runs.len()).filter_map(chord_of).filter(of_blues).nth(1).is_some();
    let places = runs.iter().enumerate().flat_map(|(at, run)| {
        let before = at.checked_sub(1).and_then(chord_of);
        let (next, then) = (chord_of(at + 1), chord_of(at + 2));
        std::iter::repeat_n(Around { before, next, then, in_blues }, run.len())
    });
    places.collect()
}

/// Whether a chord is a dominant seventh on the first or fourth degree.
fn is_of_blues(chord: &Chord, key: &Key) -> bool {
    let degree = Degree::between(key.tonic, chord.root);
    chord.is_dominant_seventh() && degree.alter == 0 && matches!(degree.number, 1 | 4)
}
