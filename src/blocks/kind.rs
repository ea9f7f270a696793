//! What a kind of block is, and what a block of it says that was understood.

use super::effort::Effort;
use super::figure::{Desk, Figure};
use super::tab::Tab;
use super::{Bars, Others, Settled};
use crate::findings::report::Tally;
use crate::findings::{Findings, Limit};
use crate::lesson::fence::Fence;
use crate::lesson::limits::Held;
use crate::lesson::setting::Tempo;
use crate::lesson::{self, Setting};
use crate::neck::{Finger, Fingering, Fret, StringIndex};
use crate::theory::{Chord, Harmony, Meter, Midi, Ticks};
use crate::words::help::Section;
use std::any::Any;
use std::fmt::Debug;
use std::time::Duration;

/// A kind of block.
pub trait Kind: Debug + Sync {
    /// What the lesson's reader has to know of it.
    fn written(&self) -> lesson::Kind;

    /// What can be written in its blocks, for the help page.
    fn help(&self) -> Help;

    /// Reads a block as far as the effort goes: every fault in it is told, and the sensible rest is kept;
    /// `None` where nothing of it can be understood.
    fn read(
        &self,
        fence: &Fence<'_>,
        others: &Others<'_>,
        effort: &mut Effort,
        findings: &mut Findings,
    ) -> Option<Box<dyn Music>>;

    /// What others may ask of its blocks, so that they may name those with faults too.
    fn offers(&self) -> &'static [Offer] {
        &[]
    }

    /// Counts what a block holds by the look of its lines.
    ///
    /// # Errors
    ///
    /// The limit that it is beyond; the block isn't read then.
    fn count(&self, _fence: &Fence<'_>, _held: &mut Held) -> Result<(), Limit> {
        Ok(())
    }

    /// The effort that each note, bar or place takes of a block that one of this kind names.
    fn effort(&self) -> u64 {
        0
    }

    /// Whether a line within its blocks can name others; a fence line always can.
    fn can_name(&self, _line: &str) -> bool {
        false
    }

    /// The name of the block of its own kind that must be read before one.
    fn follows(&self, _fence: &Fence<'_>) -> Option<String> {
        None
    }

    /// Works out what its blocks share, once all of them are read.
    fn settle(&self, _blocks: Settled<'_>, _effort: &mut Effort) {}
}

/// What the help page of a kind says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Help {
    /// What a block of it is, in a sentence or two.
    pub says: &'static str,
    /// What can be written in it besides the phrases of its kind.
    pub sections: Vec<Section>,
    /// A piece of a lesson in C major in which nothing is found.
    pub example: &'static str,
}

/// What others may ask of a block.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Offer {
    /// Bars with numbers, counted in time.
    Bars,
    /// A progression that riffs are played over and scales are looked for.
    Progression,
    /// A riff that can be moved, and have chords under it.
    Riff,
    /// Places on the neck.
    Places,
    /// Chords or diagrams that can be played one after another.
    Turns,
    /// Lines of chords, which the words of a song may be set to.
    Lines,
    /// Something that goes round at tempos of its own.
    Loop,
}

/// How a block begins that has a clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Opening {
    /// The meter of its first bar.
    pub meter: Meter,
    /// How long its upbeat is; 0 without one.
    pub upbeat: Ticks,
}

impl Opening {
    /// How long it is counted in: a bar, less by the upbeat, which is counted in with it. Where less than half a
    /// bar would be left, a bar more (assumed: nobody finds a tempo in a beat).
    pub fn count_in(self) -> Ticks {
        let bar = self.meter.bar();
        let left = bar.since(self.upbeat);
        if left * 2 < bar { left + bar } else { left }
    }
}

/// A block of music that was understood. What it has for other blocks and for cues is none unless its kind
/// says otherwise.
pub trait Music: Any + Debug + Send + Sync {
    /// What the block prints.
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure;

    /// Its frame, from which what a student is to write was taken out; `None` where it has nothing that could be.
    fn blank(&self) -> Option<Box<dyn Music>> {
        None
    }

    /// The same beneath a caption that says what its figure would head itself with; `None` where none says so.
    fn beneath(&self, _caption: &str) -> Option<Box<dyn Music>> {
        None
    }

    /// How much there is in it to look at: notes and bars, or places on the neck.
    fn size(&self) -> usize {
        0
    }

    /// How much there is in it that is checked.
    fn tally(&self) -> Tally {
        Tally::default()
    }

    /// The bars that others may name of it.
    fn bars(&self) -> Bars {
        Bars::Without
    }

    /// Some of its bars as a block of their own, each once; `None` where it has no such bars.
    fn excerpt(&self, _bars: (u32, u32)) -> Option<Box<dyn Music>> {
        None
    }

    /// How long it is to play, with its repeats; `None` where it has no clock.
    fn length(&self) -> Option<Ticks> {
        None
    }

    /// How it begins, where it has a clock.
    fn opening(&self) -> Option<Opening> {
        None
    }

    /// How long it sounds, where it says itself how often and how fast it is played; at one tempo throughout where
    /// one is given.
    fn sounds_for(&self, _tempo: Option<Tempo>) -> Option<Duration> {
        None
    }

    /// What the parts are called that sound together in it.
    fn part_names(&self) -> Vec<String> {
        Vec::new()
    }

    /// How many chords or diagrams it has that can be played one after another; `None` where it has no such,
    /// or a clock.
    fn turns(&self) -> Option<usize> {
        None
    }

    /// The harmony that others can be played over.
    fn harmony(&self) -> Option<Harmony> {
        None
    }

    /// The chords of a progression, as they are written.
    fn progression(&self) -> Option<Vec<Chord>> {
        None
    }

    /// The chords that hold in its bars as they are written, each with the bar's number.
    fn chords(&self) -> Vec<(u32, Chord)> {
        Vec::new()
    }

    /// Its chords line by line, as they are written; `None` is no chord.
    fn chord_lines(&self) -> Vec<Vec<Option<Chord>>> {
        Vec::new()
    }

    /// The notes of its first count, as they are written.
    fn first_notes(&self) -> Vec<Midi> {
        Vec::new()
    }

    /// The tab that it is: one that can be moved, and have chords under it.
    fn tab(&self) -> Option<&Tab> {
        None
    }

    /// What it plays on the neck, for a diagram.
    fn played(&self) -> Option<Vec<Place>> {
        None
    }

    /// How it says that a chord is to be held, the last time that it does.
    fn shape(&self, _chord: &Chord) -> Option<&Fingering> {
        None
    }

    /// That shape as a block of its own.
    fn shape_alone(&self, _chord: &Chord) -> Option<Box<dyn Music>> {
        None
    }

    /// Its chords one after another, each as a block of its own; none where there are not several.
    fn one_by_one(&self) -> Vec<Box<dyn Music>> {
        Vec::new()
    }
}

impl dyn Music {
    /// It as what its own kind makes of a block, for whoever knows that kind.
    pub fn as_a<T: Music>(&self) -> Option<&T> {
        (self as &dyn Any).downcast_ref()
    }

    /// The same, to be changed.
    pub fn as_a_mut<T: Music>(&mut self) -> Option<&mut T> {
        (self as &mut dyn Any).downcast_mut()
    }
}

/// A place on the neck that is fretted or played open: string, fret, and the finger where it is known.
pub type Place = (StringIndex, Fret, Option<Finger>);

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn an_upbeat_shortens_what_is_counted_in() {
        let meter = Meter::parse("4/4").unwrap();
        for (upbeat, quarters) in [(0, 4), (1, 3), (2, 2), (3, 5)] {
            let opening = Opening { meter, upbeat: Ticks::QUARTER * upbeat };
            assert_eq!(opening.count_in(), Ticks::QUARTER * quarters, "{upbeat}");
        }
    }
}
