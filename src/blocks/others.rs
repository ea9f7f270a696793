//! What a block may know of the others.

use super::{Bars, KINDS, Kind, Music, Offer};
use crate::findings::nearest::Known;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::{self, Lesson};
use crate::neck::{Fingering, Instrument};
use crate::theory::Chord;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// The blocks of a lesson as far as they have been read, for the one that is read next.
#[derive(Debug, Clone, Copy)]
pub struct Others<'r> {
    /// The index of the one that is read next.
    pub index: usize,
    pub(super) lesson: &'r Lesson<'r>,
    pub(super) music: &'r [Option<Box<dyn Music>>],
    pub(super) called: &'r Called,
    pub(super) circular: &'r BTreeSet<usize>,
}

/// A block of the lesson.
#[derive(Debug, Clone, Copy)]
pub struct Other<'r> {
    /// Its index among the lesson's fences.
    pub index: usize,
    /// As it is written.
    pub fence: &'r Fence<'r>,
    /// What it says, where it has been read and could be understood.
    pub music: Option<&'r dyn Music>,
}

impl<'r> Others<'r> {
    /// The block of a name, wherever it stands; case is ignored.
    pub fn named(&self, name: &str) -> Option<Other<'r>> {
        self.at(self.lesson.block(name)?)
    }

    /// What the block of a name says, where it has been read and could be understood.
    pub fn music(&self, name: &str) -> Option<&'r dyn Music> {
        self.named(name)?.music
    }

    /// The blocks above, the nearest first.
    pub fn above(&self) -> impl Iterator<Item = Other<'r>> + use<'_, 'r> {
        (0..self.index).rev().filter_map(|index| self.at(index))
    }

    /// The blocks from this one on downwards.
    pub fn below(&self) -> impl Iterator<Item = Other<'r>> + use<'_, 'r> {
        (self.index..self.music.len()).filter_map(|index| self.at(index))
    }

    /// The names of the blocks that offer something, those with faults too.
    pub fn called(&self, offer: Offer) -> Rc<Known> {
        self.called.offering.get(&offer).map(Rc::clone).unwrap_or_default()
    }

    /// The names of the blocks that have a figure, those with faults too.
    pub fn called_figures(&self) -> Rc<Known> {
        Rc::clone(&self.called.figures)
    }

    /// The names of the blocks of a kind, those with faults too.
    pub fn called_of(&self, kind: lesson::Kind) -> Known {
        let fences = self.lesson.fences.iter().filter(|fence| fence.kind == kind);
        let names = fences.filter_map(|fence| fence.name.as_ref());
        Known::new(names.map(|name| name.value.clone()))
    }

    /// The last shape of a chord above that is for an instrument's tuning.
    pub fn last_shape(&self, chord: &Chord, instrument: &Instrument) -> Option<Fingering> {
        let fits = |fence: &Fence<'_>| fence.setting.instrument.tuning == instrument.tuning;
        let fitting = self.above().filter(|other| fits(other.fence));
        fitting.filter_map(|other| other.music?.shape(chord)).next().cloned()
    }

    /// Whether the block that is read next follows, by whatever way, itself.
    pub fn is_in_circle(&self) -> bool {
        self.circular.contains(&self.index)
    }

    fn at(&self, index: usize) -> Option<Other<'r>> {
        let fence = self.lesson.fences.get(index)?;
        Some(Other { index, fence, music: self.music.get(index)?.as_deref() })
    }
}

impl Other<'_> {
    /// Its title: the caption that is written, or else its name, hyphens as spaces.
    pub fn title(&self) -> Option<String> {
        title(self.fence)
    }

    /// The bars that others may name of it.
    pub fn bars(&self) -> Bars {
        bars_of(self.fence, self.music)
    }

    /// Whether its figure stands on the handout.
    pub fn has_figure(&self) -> bool {
        has_figure(self.fence)
    }

    /// Whether blocks of its kind offer something.
    pub fn offers(&self, offer: Offer) -> bool {
        offers(self.fence, offer)
    }
}

/// The names of blocks that others may name, those with faults too.
#[derive(Debug)]
pub(super) struct Called {
    offering: BTreeMap<Offer, Rc<Known>>,
    figures: Rc<Known>,
}

impl Called {
    /// The names of the blocks that have a figure.
    pub fn figures(&self) -> &Known {
        &self.figures
    }

    pub fn of(lesson: &Lesson<'_>) -> Called {
        let named = |fits: &dyn Fn(&Fence<'_>) -> bool| {
            let fences = lesson.fences.iter().filter(|fence| fits(fence));
            let names = fences.filter_map(|fence| fence.name.as_ref());
            Rc::new(Known::new(names.map(|name| name.value.clone())))
        };
        let offering = KINDS.iter().flat_map(|kind| kind.offers());
        let offering = offering.copied().collect::<BTreeSet<Offer>>().into_iter();
        Called {
            offering: offering.map(|one| (one, named(&|fence| offers(fence, one)))).collect(),
            figures: named(&has_figure),
        }
    }
}

/// The caption that is written, or else the block's name, hyphens as spaces.
pub(super) fn title(fence: &Fence<'_>) -> Option<String> {
    let name = fence.name.as_ref().map(|name| name.value.replace('-', " "));
    fence.caption.clone().or(name)
}

/// The bars that others may name of a block: those that were read, or what its kind has.
pub fn bars_of(fence: &Fence<'_>, music: Option<&dyn Music>) -> Bars {
    match music {
        Some(music) => music.bars(),
        None if offers(fence, Offer::Bars) => Bars::Unread,
        None => Bars::Without,
    }
}

/// Whether blocks of a block's kind offer something.
pub fn offers(fence: &Fence<'_>, offer: Offer) -> bool {
    kind_of(fence).is_some_and(|kind| kind.offers().contains(&offer))
}

fn has_figure(fence: &Fence<'_>) -> bool {
    fence.kind.medium == Medium::Handout
}

fn kind_of(fence: &Fence<'_>) -> Option<&'static dyn Kind> {
    KINDS.iter().find(|kind| kind.written() == fence.kind).copied()
}
