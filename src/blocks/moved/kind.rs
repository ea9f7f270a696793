//! The `move` block among the kinds of block.

use super::Source;
use crate::blocks::effort::Effort;
use crate::blocks::{Kind, Music, Offer, Others};
use crate::findings::Findings;
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;

/// A riff elsewhere on the neck.
#[derive(Debug)]
pub struct MoveBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "move",
    medium: Medium::Handout,
    phrases: &["from", "near", "on", "strings"],
};

impl Kind for MoveBlock {
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
        let find = |name: &str| source(others, name);
        let mut tab = super::read(fence, &find, findings)?;
        tab.try_hands(&fence.setting, &|_| None, findings);
        Some(Box::new(tab))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Bars, Offer::Riff, Offer::Places]
    }

    /// For each note: it is looked for in all its places (measured).
    fn effort(&self) -> u64 {
        90
    }

    fn can_name(&self, _line: &str) -> bool {
        true
    }

    fn follows(&self, fence: &Fence<'_>) -> Option<String> {
        Some(super::source(fence)?.text.to_owned())
    }
}

/// What a name is that a riff is to be moved from.
fn source<'r>(others: &Others<'r>, name: &str) -> Source<'r> {
    let Some(other) = others.named(name) else {
        return Source::Unknown(others.called(Offer::Riff));
    };
    match other.music.and_then(|music| music.tab()) {
        _ if others.is_in_circle() => Source::Itself,
        Some(tab) => Source::Riff(tab),
        None if other.offers(Offer::Riff) => Source::Unread,
        None => Source::NoRiff,
    }
}
