//! The `move` block among the kinds of block.

use super::Source;
use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::Findings;
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, NEAR_FRET, ON_STRINGS, Phrase};
use crate::words::kinds;

/// A riff elsewhere on the neck.
#[derive(Debug)]
pub struct MoveBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "move",
    called: kinds::MOVED_RIFF,
    medium: Medium::Handout,
    phrases: &[
        Phrase::new(&["from"], "from hook", "the riff that is moved"),
        ON_STRINGS,
        NEAR_FRET,
        Phrase::new(&[], "up an octave", "higher, or `down`, by an interval"),
        Phrase::new(&[], "to F", "to another key, by the nearest way"),
    ],
};

impl Kind for MoveBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "A riff played elsewhere: on other strings, near another fret, higher or lower, \
                   in another key. The result is a riff too, with the best fingering that there \
                   is.",
            sections: Vec::new(),
            example: include_str!("example.md"),
        }
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
