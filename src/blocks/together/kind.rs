//! The `together` block among the kinds of block.

use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::Findings;
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::words::help::{Section, Sign, sign};
use crate::words::kinds;

/// Riffs that are played at the same time.
#[derive(Debug)]
pub struct TogetherBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind =
    lesson::Kind { name: "together", called: kinds::PARTS, medium: Medium::Handout, phrases: &[] };

/// What its lines say.
const LINES: [Sign; 1] = [sign("melody: tune", "a part's name and the riff that it plays")];

impl Kind for TogetherBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "Parts at the same time: riffs, also moved ones and strumming patterns, one under \
                   the other, bar under bar. Meters, pickups and repeats are the same in all of \
                   them; a part that ends before the others is silent from there on. Each sounds \
                   on its riff's instrument; tempo, swing, and an `instrument` for those that say \
                   none, are the block's. Where two parts clash, or cross, that is told.",
            sections: vec![Section::of_signs("A line", &LINES)],
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
        Some(Box::new(super::read::read(fence, others, findings)?))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Bars]
    }

    /// For each bar and note of its riffs, which are copied, and heard against each other (assumed, to be
    /// measured).
    fn effort(&self) -> u64 {
        20
    }

    fn can_name(&self, _line: &str) -> bool {
        true
    }
}
