//! The `loop` block: something to practise over, as a practice line with boxes to tick.

mod figure;
mod kind;
mod read;

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;

pub use kind::{LoopBlock, WRITTEN};
pub use read::read;

use super::figure::{Desk, Figure};
use super::{Music, Opening};
use crate::findings::Span;
use crate::lesson::Setting;
use crate::lesson::setting::Tempo;
use crate::music::ladder::{self, Round};
use crate::theory::Ticks;
use std::time::Duration;

/// From so much sound on a loop is refused: nobody practises one thing for an hour.
pub const TOO_LONG: Duration = Duration::from_secs(3600);

/// What is practised, how often, and how it sounds.
#[derive(Debug, Clone, PartialEq)]
pub struct Loop {
    /// The block that is played, by its index among the lesson's fences.
    pub of: usize,
    /// What that block is called, for the paper.
    pub title: String,
    /// The ladder of tempos: how often at each, one after another.
    pub rounds: Vec<Round>,
    /// Whether it goes on with a click.
    pub click: bool,
    /// Whether it is counted in.
    pub count_in: bool,
    /// How the chords of changes are played.
    pub chords: Backing,
    /// Whether a bass plays the roots.
    pub bass: bool,
    /// The parts that the student plays, as the block names them.
    pub without: Vec<String>,
    /// Where all that is written, to mark it in a draft.
    said: Span,
    /// How long the block is once through.
    once: Ticks,
    /// How the block begins.
    opening: Opening,
}

/// How chords are played that nothing says the rhythm of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Backing {
    /// As each begins, and anew in each bar, ringing until the next.
    Held,
    /// On every beat.
    Strummed,
}

impl Loop {
    /// Whether the chords of changes are struck on every beat.
    pub fn is_strummed(&self) -> bool {
        self.chords == Backing::Strummed
    }

    /// How long all of it sounds, a count-in before each round too; at one tempo throughout where one is given.
    pub fn sounds_for(&self, tempo: Option<Tempo>) -> Duration {
        let at = |own: &Round| Round { tempo: tempo.unwrap_or(own.tempo), ..*own };
        let counted = if self.count_in { self.opening.count_in() } else { Ticks::ZERO };
        ladder::duration(self.rounds.iter().map(at), counted, self.once)
    }
}

impl Music for Loop {
    fn figure(&self, desk: &Desk<'_>, _setting: &Setting) -> Figure {
        figure::draw(self, desk)
    }

    fn size(&self) -> usize {
        self.rounds.len()
    }

    fn sounds_for(&self, tempo: Option<Tempo>) -> Option<Duration> {
        Some(Loop::sounds_for(self, tempo))
    }
}
