//! References to blocks: whether a block of that name exists and has those bars.

use super::Check;
use crate::blocks::Music;
use crate::blocks::bars::{Bars, wrong_bars};
use crate::findings::nearest::{Known, Near};
use crate::findings::rules::{unknown_name, unread_phrase};
use crate::lesson::phrase::Part;
use std::cell::OnceCell;
use std::collections::BTreeMap;

/// How many letters of a name may be wrong for it to be taken for a slip.
const NEAR: usize = 2;

/// The blocks that have names.
#[derive(Debug, Clone, Default)]
pub struct Names<'m> {
    list: BTreeMap<String, Name<'m>>,
    /// The names again, for near ones; made when the first is looked for.
    known: OnceCell<Known>,
}

/// A block that has a name.
#[derive(Debug, Clone)]
pub struct Name<'m> {
    /// The block's index among the lesson's fences.
    pub index: usize,
    /// Its bars.
    pub bars: Bars,
    /// Its number among the captioned figures, if it has one.
    pub figure: Option<u32>,
    /// What it says, where that could be understood.
    pub music: Option<&'m dyn Music>,
}

impl<'m> Names<'m> {
    /// Takes in a block under its name, in any case; of two alike the first holds.
    pub fn add(&mut self, name: &str, block: Name<'m>) {
        self.list.entry(name.to_lowercase()).or_insert(block);
    }

    /// The block of a name in small letters.
    pub fn find(&self, name: &str) -> Option<&Name<'m>> {
        self.list.get(name)
    }

    /// The nearest names, at most two letters away.
    fn near(&self, name: &str) -> Near<'_> {
        self.known.get_or_init(|| Known::new(self.list.keys().cloned())).near(name, NEAR)
    }
}

impl Check<'_> {
    /// Checks `the hook` and `bars 1 to 2 of the hook`.
    pub(super) fn reference(
        &mut self,
        name: &Part<String>,
        bars: Option<(u32, u32)>,
        names: &Names<'_>,
    ) {
        let Some(block) = names.find(&name.value) else {
            return self.no_such_block(name, bars.is_some(), names);
        };
        let span = self.phrase.text.span;
        if let Some(finding) = bars.and_then(|bars| wrong_bars(span, &name.value, block.bars, bars))
        {
            self.raise(finding);
        }
    }

    /// `the NAME` is a slip where a block's name is near, else most likely no reference at all.
    pub(super) fn no_such_block(&mut self, name: &Part<String>, has_bars: bool, names: &Names<'_>) {
        let near = names.near(&name.value);
        let span = self.span(&name.place);
        if near.words.is_empty() && !has_bars {
            return self.raise(unread_phrase::no_reference(span, &name.value));
        }
        let finding = unknown_name::none(span, "block", &name.value);
        self.raise(
            near.words.iter().fold(finding, |finding, word| self.fix(finding, &name.place, *word)),
        );
    }
}
