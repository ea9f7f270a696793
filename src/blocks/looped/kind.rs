//! The `loop` block among the kinds of block.

use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Others};
use crate::findings::Findings;
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::{Medium, Phrase};
use crate::words::kinds;

/// Something to practise over.
#[derive(Debug)]
pub struct LoopBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind = lesson::Kind {
    name: "loop",
    called: kinds::LOOP,
    medium: Medium::Handout,
    phrases: &[
        Phrase::new(&[], "8 times", "how often at each tempo; `once` and `twice` too"),
        Phrase::new(&[], "at 70, then 80, then 90", "at which tempos, one after another"),
        Phrase::new(&[], "with a click", "as where nothing is said; or `no click`"),
        Phrase::new(&[], "with a count-in", "as where nothing is said; or `no count-in`"),
        Phrase::new(&[], "strummed", "the chords of changes on every beat"),
        Phrase::new(&[], "held", "each as long as it holds, as where nothing is said"),
        Phrase::new(&[], "with a bass", "the roots of the chords beneath them"),
    ],
};

impl Kind for LoopBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "Something to practise over: a block of changes, a riff or parts, how often, and at \
                   which tempos. The handout has a line with a box to tick for each tempo, and `fretleaf hear` makes \
                   it sound. `without NAME` leaves a part of a `together` block to the student.",
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
        Some(Box::new(super::read(fence, others, findings)?))
    }

    fn offers(&self) -> &'static [Offer] {
        &[Offer::Loop]
    }

    fn can_name(&self, _line: &str) -> bool {
        true
    }
}
