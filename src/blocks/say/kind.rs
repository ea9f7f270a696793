//! The `say` block among the kinds of block.

use super::{Played, Prop, Stage, cue};
use crate::blocks::effort::Effort;
use crate::blocks::{Help, Kind, Music, Offer, Other, Others};
use crate::findings::nearest::Known;
use crate::findings::{Findings, Limit};
use crate::lesson;
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::limits::{self, Held};
use crate::lesson::speech;
use crate::theory::Chord;
use crate::words::help::Section;
use crate::words::kinds;
use std::rc::Rc;

/// What is said to the camera.
#[derive(Debug)]
pub struct SayBlock;

/// As it is written.
pub const WRITTEN: lesson::Kind =
    lesson::Kind { name: "say", called: kinds::SAID, medium: Medium::Script, phrases: &[] };

impl Kind for SayBlock {
    fn written(&self) -> lesson::Kind {
        WRITTEN
    }

    fn help(&self) -> Help {
        Help {
            says: "What you say to the camera. It isn't printed on the handout; `fretleaf script` \
                   makes the script of it. Phrases between backticks are checked, lines in square \
                   brackets are cues; a cue stands on a line of its own. `*stress*` and `**more of \
                   it**` are set so on the script's pages; captions have the words alone. Items of a \
                   list and headings are said without their marks, each for itself, links as their \
                   words; comments `<!-- … -->` vanish, with the cues in them.",
            sections: vec![
                Section::of_signs("Cues", &cue::signs()),
                Section::of_signs("How it is played", &cue::MANNERS),
            ],
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
        Some(Box::new(super::read(fence, others, findings)))
    }

    fn count(&self, fence: &Fence<'_>, held: &mut Held) -> Result<(), Limit> {
        held.take(limits::CUES, speech::parts(&fence.lines).len())
    }

    /// For each note or bar of a block that a cue shows or plays (measured).
    fn effort(&self) -> u64 {
        30
    }

    fn can_name(&self, line: &str) -> bool {
        line.contains('[')
    }
}

impl Stage for Others<'_> {
    fn names(&self) -> Rc<Known> {
        self.called_figures()
    }

    fn find(&self, name: &str) -> Option<Prop> {
        let other = self.named(name).filter(Other::has_figure)?;
        let (in_time, in_turn) = match other.music {
            Some(music) => {
                let in_time = music.length().is_some() || music.sounds_for(None).is_some();
                (in_time, music.turns().is_some())
            }
            None => {
                let in_time = other.offers(Offer::Bars) || other.offers(Offer::Loop);
                (in_time, other.offers(Offer::Turns))
            }
        };
        let played = match (in_time, in_turn) {
            (true, _) => Some(Played::InTime),
            (false, true) => Some(Played::InTurn),
            (false, false) => None,
        };
        Some(Prop { index: other.index, bars: other.bars(), played })
    }

    fn shape(&self, chord: &Chord) -> Option<usize> {
        let has = |other: &Other<'_>| other.music.is_some_and(|music| music.shape(chord).is_some());
        let shape = self.above().find(has).or_else(|| self.below().find(has));
        shape.map(|other| other.index)
    }
}
