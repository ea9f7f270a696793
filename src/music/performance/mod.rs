//! What is played, in time: the one place where it is worked out when what is written sounds. Repeats and
//! endings are played out bar by bar (`passes`), moments are swung and told in seconds (`pace`), and what
//! the strings then do follows: stroke by stroke (`strokes`), how long each sounds (`sounding`), and what is
//! heard note by note (`notes`). A progression is played as the chords that hold (`chords`). Some bars of
//! a riff are played as its excerpt is.
//!
//! Two things are assumed, since nothing written says them: a grace note takes the time of a 32nd from the note that it
//! stands before (`notes`), and what is swung goes in pairs from its bar's own start, an upbeat's too
//! (`pace`).
//!
//! Everything here is worked out as it is asked for: nothing is kept of what is over, so a performance
//! takes no room however long it is.

mod chords;
mod notes;
mod pace;
mod passes;
mod sounding;
mod strokes;

pub use chords::{ChordBar, Held, held};
pub use notes::{Attack, Heard, Place, Played, Release, Strength};
pub use pace::Pace;
pub use passes::{Pass, Passes};
pub use sounding::Sounding;
pub use strokes::Stroke;

use crate::lesson::Setting;
use crate::music::tab::Riff;
use crate::theory::Ticks;
use std::time::Duration;

/// A riff as it is played. Moments are ticks from its beginning, swung.
#[derive(Debug, Clone)]
pub struct Performance<'r> {
    /// What is played.
    pub riff: &'r Riff,
    pace: Pace,
    passes: Passes<'r>,
}

impl<'r> Performance<'r> {
    /// All of a riff, repeats and endings played out.
    pub fn played_out(riff: &'r Riff, pace: Pace) -> Performance<'r> {
        Performance { riff, pace, passes: Passes::played_out(&riff.bars) }
    }

    /// Each bar of a riff once, as it is written.
    pub fn as_written(riff: &'r Riff, pace: Pace) -> Performance<'r> {
        Performance { riff, pace, passes: Passes::as_written(&riff.bars) }
    }

    /// The times that its bars are played.
    pub fn passes(&self) -> Passes<'r> {
        self.passes.clone()
    }

    /// How long it takes, in ticks.
    pub fn length(&self) -> Ticks {
        self.passes().length()
    }

    /// When a moment of a bar sounds that is played: a whole bar's end is that of the bar's last beat.
    pub fn moment(&self, pass: &Pass, at: Ticks) -> Ticks {
        pass.start + self.pace.swung(pass.bar.meter, at)
    }

    /// The time from the beginning to a moment, to the nearest nanosecond; none in a riff without a
    /// count.
    pub fn time(&self, moment: Ticks) -> Duration {
        self.pace.time(moment)
    }
}

impl Riff {
    /// How it is played where a setting holds.
    pub fn pace(&self, setting: &Setting) -> Pace {
        Pace { tempo: Some(setting.tempo).filter(|_| self.timed), swing: setting.swing }
    }
}
