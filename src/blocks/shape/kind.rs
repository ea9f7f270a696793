//! The `shape` block among the kinds of block.

use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::limits::{self, Held};
use crate::words::help::Section;
use crate::words::kinds;

/// Chord shapes, one a line.
#[derive(Debug)]
pub struct ShapeBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind =
    lesson::Kind { name: "shape", called: kinds::SHAPES, medium: Medium::Handout, phrases: &[] };

impl Kind for ShapeBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "Chord shapes, one a line: the name, a fret for each string from the lowest to \
                   the highest, fingers where they are to be those. They print as boxes; without \
                   `by` the fingers are worked out.",
            sections: vec![Section::of_signs("A line", &super::read::SIGNS)],
            example: include_str!("example.md"),
        }
    }

    fn read(
        &self,
        fence: &Fence<'_>,
        _others: &Others<'_>,
        _effort: &mut Effort,
        findings: &mut Findings,
    ) -> Option<Box<dyn Music>> {
        Some(Box::new(super::read(fence, findings)?))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Places, Offer::Turns]
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        held.take(limits::SHAPES, fence.written().count())
    }
}
