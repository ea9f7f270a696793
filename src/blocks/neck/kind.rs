//! The `neck` block among the kinds of block.

use super::{Elsewhere, Played, Progression};
use crate::blocks::effort::Effort;
use crate::blocks::{Kind, Music, Offer, Others};
use crate::findings::nearest::Known;
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::limits::{self, Held};
use std::rc::Rc;

/// Diagrams of the neck.
#[derive(Debug)]
pub struct NeckBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "neck",
    medium: Medium::Handout,
    phrases: &["on", "strings", "frets", "all", "marking", "label"],
};

impl Kind for NeckBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn read(
        &self,
        fence: &Fence<'_>,
        others: &Others<'_>,
        _effort: &mut Effort,
        findings: &mut Findings,
    ) -> Option<Box<dyn Music>> {
        Some(Box::new(super::read(fence, others, findings)?))
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        held.take(limits::DIAGRAMS, fence.written().count())
    }

    fn effort(&self) -> u64 {
        1
    }

    fn can_name(&self, _line: &str) -> bool {
        true
    }
}

impl Elsewhere for Others<'_> {
    fn played(&self, name: &str) -> Option<Played> {
        let other = self.named(name)?;
        Some(Played { places: other.music?.played()?, title: other.title()? })
    }

    fn names(&self) -> Rc<Known> {
        self.called(Offer::Places)
    }

    fn progression(&self, name: &str) -> Option<Progression> {
        let other = self.named(name)?;
        Some(Progression { chords: other.music?.progression()?, title: other.title()? })
    }

    fn progressions(&self) -> Rc<Known> {
        self.called(Offer::Progression)
    }
}
