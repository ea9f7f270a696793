//! The `changes` block among the kinds of block.

use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, PICKUP};
use crate::lesson::limits::{self, Held};
use crate::words::help::Section;
use crate::words::kinds;

/// A progression.
#[derive(Debug)]
pub struct ChangesBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "changes",
    called: kinds::CHANGES,
    medium: Medium::Handout,
    phrases: &[PICKUP],
};

impl Kind for ChangesBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "A progression, a line of bars for a line of the chart, with its numerals and \
                   what they do.",
            sections: vec![Section::of_signs("Bars and repeats", &super::syntax::SIGNS)],
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
        &[Offer::Bars, Offer::Progression, Offer::Lines]
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        held.take(limits::BARS, fence.written().map(|line| line.matches('|').count()).sum())
    }
}
