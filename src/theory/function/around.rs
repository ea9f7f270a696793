//! What stands around a chord in a progression, by which its function is told.

use super::AugmentedSixth;
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
    /// Whether the progression is a blues: a dominant seventh on the first degree is at rest, and another
    /// stands there or on the fourth.
    pub in_blues: bool,
    /// Which augmented sixth its author calls it, where a name says so.
    pub sixth: Option<AugmentedSixth>,
}

impl<'c> Around<'c> {
    /// Whether the chord before comes again after it, in whatever inversion.
    pub(super) fn returns(self) -> bool {
        let root = |chord: &Chord| (chord.root, chord.has(3, -1));
        self.before.is_some() && self.before.map(root) == self.next.map(root)
    }

    /// What stands around the chord that comes next, seen from the one before it.
    pub(super) fn of_next(self, chord: &'c Chord) -> Around<'c> {
        let in_blues = self.in_blues;
        Around { before: Some(chord), next: self.then, then: None, in_blues, sixth: None }
    }
}

/// What stands around each chord of a progression in a key.
pub fn around<'c>(chords: &[&'c Chord], key: &Key) -> Vec<Around<'c>> {
    let runs: Vec<&[&Chord]> = chords.chunk_by(|one, other| one == other).collect();
    let chord_of = |at: usize| runs.get(at).and_then(|run| run.first()).copied();
    let at_rest = |at: usize| {
        let chord = chord_of(at).filter(|chord| is_seventh_on(chord, 1, key));
        chord.is_some() && !chord_of(at + 1).is_some_and(|next| resolves_on_fourth(next, key))
    };
    let of_blues = |chord: &&Chord| is_seventh_on(chord, 1, key) || is_seventh_on(chord, 4, key);
    let in_blues = (0..runs.len()).any(at_rest)
        && (0..runs.len()).filter_map(chord_of).filter(of_blues).nth(1).is_some();
    let places = runs.iter().enumerate().flat_map(|(at, run)| {
        let before = at.checked_sub(1).and_then(chord_of);
        let (next, then) = (chord_of(at + 1), chord_of(at + 2));
        std::iter::repeat_n(Around { before, next, then, in_blues, sixth: None }, run.len())
    });
    places.collect()
}

/// Whether a chord is a dominant seventh on a degree of the major scale.
fn is_seventh_on(chord: &Chord, number: u8, key: &Key) -> bool {
    chord.is_dominant_seventh() && Degree::between(key.tonic, chord.root) == Degree::new(number, 0)
}

/// Whether a seventh on the first degree resolves in a chord: that of the fourth, as it is no dominant itself.
fn resolves_on_fourth(next: &Chord, key: &Key) -> bool {
    let is_on_fourth = Degree::between(key.tonic, next.root) == Degree::new(4, 0);
    is_on_fourth && !next.is_dominant_seventh()
}
