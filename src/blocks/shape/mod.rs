//! The `shape` block: chord shapes, one a line, checked against their names and drawn as boxes.

mod figure;
mod fingers;
mod gather;
mod hand;
mod kind;
mod read;

pub use figure::Grid;
pub use fingers::work_out;
pub use gather::{Gathered, gather};
pub use kind::{ShapeBlock, WRITTEN};
pub use read::{Wish, read};

use super::box_columns::Among;
use super::chord_box::Window;
use super::figure::{Desk, Figure};
use super::{Music, Place};
use crate::findings::Span;
use crate::findings::report::Tally;
use crate::lesson::Setting;
use crate::neck::Fingering;
use crate::theory::{Chord, Printed};

/// The shapes of a block that could be read.
#[derive(Debug, Clone)]
pub struct Shapes {
    /// In written order; none only where all stand without frets, for a student to find them.
    pub shapes: Vec<Shape>,
    /// All lines of a block to fill in, those without frets too, as empty boxes; else none.
    pub frames: Vec<Shape>,
}

/// One chord shape.
#[derive(Debug, Clone)]
pub struct Shape {
    /// What it is called.
    pub name: Name,
    /// The second name, written in brackets, that tells twins apart.
    pub twin: Option<String>,
    /// Its frets, and the fingers that hold it: those written, or the easiest for the hand that keep what they
    /// can of a neighbour's. No fingers where the hand has none for it.
    pub fingering: Fingering,
    /// The words behind `--`.
    pub caption: Option<Printed>,
    /// What its box shows where it is empty, for a student to write in: no string is said to sound then.
    pub blank: Option<Window>,
    /// Where its line stands.
    pub span: Span,
}

/// What a shape is called.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Name {
    /// The chord that the author names; the strings may sound another (which is a fault).
    Given(Chord),
    /// Asked for with `?`: the best name for what sounds, if it has one.
    Found(Option<Chord>),
    /// A symbol that can't be read (which is a fault), as written.
    Unread(String),
}

impl Name {
    /// The chord, where there is one.
    pub fn chord(&self) -> Option<&Chord> {
        match self {
            Name::Given(chord) | Name::Found(Some(chord)) => Some(chord),
            Name::Found(None) | Name::Unread(_) => None,
        }
    }
}

impl Shapes {
    /// Shapes of which all is said.
    pub fn of(shapes: Vec<Shape>) -> Shapes {
        Shapes { shapes, frames: Vec::new() }
    }

    /// The empty boxes of a block to fill in.
    fn emptied(&self) -> Shapes {
        Shapes::of(self.frames.clone())
    }

    /// The last shape of a chord with all that its line says.
    fn last_named(&self, chord: &Chord) -> Option<&Shape> {
        self.shapes.iter().rfind(|shape| shape.name.chord() == Some(chord))
    }
}

impl Music for Shapes {
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        Shapes::figure(self, desk, setting, Among::Words)
    }

    fn blank(&self) -> Option<Box<dyn Music>> {
        Some(Box::new(self.emptied()))
    }

    fn size(&self) -> usize {
        self.shapes.iter().map(|shape| shape.fingering.places().count()).sum()
    }

    fn tally(&self) -> Tally {
        Tally { chords: self.shapes.len(), ..Tally::default() }
    }

    fn played(&self) -> Option<Vec<Place>> {
        Some(self.shapes.iter().flat_map(|shape| shape.fingering.places()).collect())
    }

    fn turns(&self) -> Option<usize> {
        Some(self.shapes.len())
    }

    fn shape(&self, chord: &Chord) -> Option<&Fingering> {
        Some(&self.last_named(chord)?.fingering)
    }

    fn shape_alone(&self, chord: &Chord) -> Option<Box<dyn Music>> {
        Some(Box::new(Shapes::of(vec![self.last_named(chord)?.clone()])))
    }

    fn one_by_one(&self) -> Vec<Box<dyn Music>> {
        if self.shapes.len() < 2 {
            return Vec::new();
        }
        let alone = |shape: &Shape| -> Box<dyn Music> { Box::new(Shapes::of(vec![shape.clone()])) };
        self.shapes.iter().map(alone).collect()
    }
}

#[cfg(test)]
mod tests;
