//! The `say` block: what is said to the camera, and the cues between.

mod cue;
mod kind;
mod read;
mod seconds;

pub use crate::lesson::speech::{Piece, Said, Speech, Stress};
pub use kind::{SayBlock, WRITTEN};
pub use read::read;

use crate::blocks::figure::{Desk, Figure};
use crate::blocks::{Bars, Music};
use crate::findings::Span;
use crate::findings::nearest::Known;
use crate::lesson::Setting;
use crate::lesson::setting::Tempo;
use crate::theory::Chord;
use std::rc::Rc;
use std::time::Duration;

/// A spoken script, in order.
#[derive(Debug, Clone)]
pub struct Say {
    /// Its speeches and cues.
    pub parts: Vec<Part>,
}

impl Music for Say {
    /// It is said, and nothing of it printed where it stands.
    fn figure(&self, _desk: &Desk<'_>, _setting: &Setting) -> Figure {
        Figure::default()
    }
}

/// A piece of a script.
#[derive(Debug, Clone)]
pub enum Part {
    /// Words that are said.
    Speech(Speech),
    /// A line in square brackets.
    Cue(Cue),
}

/// A cue.
#[derive(Debug, Clone)]
pub struct Cue {
    /// As written, without the brackets.
    pub words: String,
    /// Where it stands, brackets included.
    pub span: Span,
    /// What is to be done.
    pub order: Order,
}

/// What a cue asks for.
#[derive(Debug, Clone)]
pub enum Order {
    /// A figure on the screen.
    Show(Shown),
    /// Music.
    Play(Play),
    /// Silence of a length.
    Pause(Duration),
    /// What follows, up to the next cue or the block's end, is said again.
    Retake,
    /// Anything else, in free words; also a cue that could not be understood (which is a fault).
    Free,
}

/// What is shown.
#[derive(Debug, Clone)]
pub enum Shown {
    /// A block, or bars of it.
    Block {
        /// Its index among the lesson's fences.
        index: usize,
        /// The first and the last bar, where bars are named.
        bars: Option<(u32, u32)>,
    },
    /// The last shape of a chord.
    Shape {
        /// The `shape` block that it stands in, by its index.
        index: usize,
        /// The chord.
        chord: Chord,
    },
}

/// What is played.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Play {
    /// The block, by its index among the lesson's fences.
    pub index: usize,
    /// The first and the last bar, where bars are named; each is played once.
    pub bars: Option<(u32, u32)>,
    /// How often, 1 to 100.
    pub times: u32,
    /// The tempo, where the cue gives one; else the block's own holds.
    pub tempo: Option<Tempo>,
    /// Whether at half that tempo.
    pub slowly: bool,
    /// How long each chord or diagram takes of a block without a clock, where the cue says so; else a bar.
    pub each: Option<Duration>,
}

/// A block that cues may name.
#[derive(Debug, Clone, Copy)]
pub struct Prop {
    /// Its index among the lesson's fences.
    pub index: usize,
    /// The bars that it has.
    pub bars: Bars,
    /// How it can be played; `None` where it can't.
    pub played: Option<Played>,
}

/// How a block can be played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Played {
    /// By its own clock.
    InTime,
    /// Chord by chord, or diagram by diagram.
    InTurn,
}

/// What cues may name.
pub trait Stage {
    /// The names of all blocks.
    fn names(&self) -> Rc<Known>;
    /// The block of a name, whatever its case.
    fn find(&self, name: &str) -> Option<Prop>;
    /// The `shape` block with the last shape of a chord above the script, or else the first below.
    fn shape(&self, chord: &Chord) -> Option<usize>;
}
