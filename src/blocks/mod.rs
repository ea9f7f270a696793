//! The kinds of music block, one folder each: syntax, meaning, checks, figure.

pub mod bars;
pub mod changes;
pub mod chord_box;
pub mod effort;
pub mod figure;
pub mod hold;
mod marks;
pub mod misnamed;
pub mod moved;
pub mod neck;
pub mod neck_board;
mod pieces;
pub mod reading;
pub mod riff;
pub mod say;
pub mod shape;
pub mod signs;
pub mod tab;
pub mod voicings;

pub use bars::Bars;
pub use reading::{Read, read};

use crate::findings::Span;
use crate::findings::report::Tally;
use crate::lesson::Setting;
use crate::neck::{Finger, Fingering};
use crate::theory::{Chord, Harmony, Ticks};
use figure::{Desk, Figure};
use std::any::Any;
use std::fmt::Debug;
use tab::Tab;

/// A block of music that was understood. What it has for other blocks and for cues is none unless its kind
/// says otherwise.
pub trait Music: Any + Debug + Send + Sync {
    /// What the block prints.
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure;

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

    /// How long it is to play: with its repeats, or only the bars between two numbers, each once;
    /// `None` where it has no clock.
    fn length(&self, _bars: Option<(u32, u32)>) -> Option<Ticks> {
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

    /// The tab that it is: one that can be moved, and have chords under it.
    fn tab(&self) -> Option<&Tab> {
        None
    }

    /// The places that it plays, for a diagram of the neck.
    fn places(&self) -> Option<Vec<Place>> {
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
}

impl dyn Music {
    /// It as what its own kind makes of a block, for whoever knows that kind.
    pub fn as_a<T: Music>(&self) -> Option<&T> {
        (self as &dyn Any).downcast_ref()
    }
}

/// A place on the neck that is fretted or played open: string, fret, and the finger where it is known.
pub type Place = (usize, u8, Option<Finger>);

/// A block after elaboration, in the order of the lesson's fences.
#[derive(Debug)]
pub struct Block {
    /// What it says, where it could be understood and is of a kind that is printed.
    pub music: Option<Box<dyn Music>>,
    /// Its caption: the one written, or its name with hyphens as spaces.
    pub caption: Option<String>,
    /// Its number among the captioned figures, from 1; only printed blocks have one.
    pub number: Option<u32>,
    /// Whether it is printed where it stands.
    pub printed: bool,
    /// Changes of key, meter, tempo … since the block before, in words.
    pub announced: Vec<String>,
    /// The faults in it, for a draft.
    pub faults: Vec<Fault>,
    /// What an import guessed in it, in words, for a draft.
    pub guesses: Vec<String>,
    /// Where it stands.
    pub span: Span,
}

impl Block {
    /// What it says, where that is what a kind makes of a block.
    pub fn as_a<T: Music>(&self) -> Option<&T> {
        self.music.as_deref()?.as_a()
    }

    /// Its figure; `None` where nothing of it could be understood.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Option<Figure> {
        self.music.as_ref().map(|music| music.figure(desk, setting))
    }

    /// Its figure as a draft shows it: what is wrong with it is marked.
    pub fn draft_figure(&self, desk: &Desk<'_>, setting: &Setting) -> Option<Figure> {
        let figure = self.figure(desk, setting)?;
        if self.faults.is_empty() {
            return Some(figure);
        }
        let faults: Vec<Span> = self.faults.iter().map(|fault| fault.span).collect();
        Some(figure.marked(&faults, desk))
    }
}

/// What is wrong at a place of a block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where.
    pub span: Span,
    /// What, in words.
    pub message: String,
}
