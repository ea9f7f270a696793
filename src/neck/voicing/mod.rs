//! Every way to hold a chord on a neck: all of them, the families of them that have names, and the
//! order in which a teacher shows them.

pub mod family;
mod grip;
mod rank;
mod search;

pub use family::{Asked, Family, Inversion};
pub use grip::Grip;
pub use rank::{Ranked, ranked};
pub use search::Search;

use super::{Fret, Instrument, StringIndex, by_string};
use crate::theory::Midi;

/// A fret for each string; cheap to copy, since searches handle thousands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Shape {
    frets: [Option<Fret>; 12],
    strings: u8,
}

impl Shape {
    /// A shape on so many strings, 12 at most, all of them silent.
    pub fn silent(strings: usize) -> Shape {
        Shape { frets: [None; 12], strings: strings.min(12) as u8 }
    }

    /// The shape of these frets, a fret a string, the lowest-placed first.
    pub fn of(frets: &[Option<Fret>]) -> Shape {
        let mut shape = Shape::silent(frets.len());
        for (string, fret) in by_string(frets) {
            shape.set(string, *fret);
        }
        shape
    }

    /// Puts a string on a fret, or silences it.
    pub fn set(&mut self, string: StringIndex, fret: Option<Fret>) {
        if let Some(place) = self.frets.get_mut(string.index()) {
            *place = fret;
        }
    }

    /// The frets, a fret a string, the lowest-placed first: 0 is open, `None` silent.
    pub fn frets(&self) -> &[Option<Fret>] {
        self.frets.get(..usize::from(self.strings)).unwrap_or(&self.frets)
    }

    /// The strings that sound, from the lowest-placed, with their frets.
    pub fn sounding(&self) -> impl DoubleEndedIterator<Item = (StringIndex, Fret)> {
        by_string(self.frets()).filter_map(|(string, fret)| Some((string, (*fret)?)))
    }

    /// What the strings sound, from the lowest-placed.
    pub fn pitches<'a>(&'a self, instrument: &'a Instrument) -> impl Iterator<Item = Midi> + 'a {
        self.sounding().filter_map(|(string, fret)| instrument.written_pitch(string, fret))
    }

    /// The lowest pitch; `None` where nothing sounds.
    pub fn bass(&self, instrument: &Instrument) -> Option<Midi> {
        self.pitches(instrument).min()
    }

    /// Whether it is another shape but for strings that are silent in one of them: no string sounds at another fret,
    /// and no more than one sounds in one of them alone, or others above the same lowest string. `x3201x` and
    /// `032010` are variants of `x32010`; `133211` is none of `xx3211`.
    pub fn is_variant_of(&self, other: &Shape) -> bool {
        let pairs = || self.frets().iter().zip(other.frets());
        let moved = pairs().any(|pair| matches!(pair, (Some(one), Some(other)) if one != other));
        let alone = pairs().filter(|(one, other)| one.is_some() != other.is_some()).count();
        !moved && (alone <= 1 || self.lowest() == other.lowest())
    }

    /// The lowest-placed string that sounds.
    fn lowest(&self) -> Option<StringIndex> {
        self.sounding().next().map(|(string, _)| string)
    }

    /// The mean fret of the strings that sound, an open one counting as fret 0, in parts of
    /// [`MEAN_UNIT`], so that means compare exactly.
    pub fn mean_fret(&self) -> i64 {
        let (sum, count) = self
            .sounding()
            .fold((0, 0), |(sum, count), (_, fret)| (sum + i64::from(fret), count + 1));
        sum * MEAN_UNIT / count.max(1)
    }
}

/// Those of some shapes, or of what else, that have a trait that is wanted, or all where none has it.
pub fn preferred<T>(mut shapes: Vec<T>, has_trait: impl Fn(&T) -> bool) -> Vec<T> {
    if shapes.iter().any(&has_trait) {
        shapes.retain(has_trait);
    }
    shapes
}

/// The part of a fret that [`Shape::mean_fret`] counts: every number up to 12 divides it.
pub const MEAN_UNIT: i64 = 27_720;

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests;
