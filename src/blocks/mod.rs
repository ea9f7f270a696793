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
use crate::theory::Ticks;
use figure::{Desk, Figure};
use tab::Tab;
use tab::places::Places;

/// A block of music that was understood.
#[derive(Debug)]
pub enum Music {
    /// Chord shapes.
    Shape(shape::Shapes),
    /// A progression.
    Changes(changes::Changes),
    /// A tab.
    Riff(Box<Tab>),
    /// Chords worked out on the neck.
    Voicings(voicings::Voicings),
    /// Diagrams of the neck.
    Neck(neck::Diagrams),
    /// What is said.
    Say(say::Say),
}

impl Music {
    /// What the block prints.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        match self {
            Music::Shape(shapes) => shapes.figure(desk, setting),
            Music::Changes(changes) => changes.figure(desk, setting),
            Music::Riff(tab) => tab.figure(desk, setting),
            Music::Voicings(voicings) => voicings.figure(desk, setting),
            Music::Neck(diagrams) => diagrams.figure(desk),
            Music::Say(_) => {
                Figure { words: String::new(), strips: Vec::new(), elements: Vec::new() }
            }
        }
    }

    /// How much there is in it to look at: notes and bars, or places on the neck.
    fn size(&self) -> u64 {
        let size = match self {
            Music::Riff(tab) => tab.riff.size(),
            Music::Changes(changes) => changes.size(),
            Music::Shape(shapes) => shapes.places().len(),
            Music::Voicings(voicings) => voicings.places().len(),
            Music::Neck(diagrams) => diagrams.size(),
            Music::Say(_) => 0,
        };
        size as u64
    }

    /// How much there is in it that is checked.
    pub fn tally(&self) -> Tally {
        match self {
            Music::Shape(shapes) => shapes.tally(),
            Music::Voicings(voicings) => voicings.tally(),
            Music::Changes(changes) => changes.tally(),
            Music::Riff(tab) => tab.tally(),
            Music::Neck(_) | Music::Say(_) => Tally::default(),
        }
    }

    /// Some of its bars as a block of their own, each once; `None` where it has no such bars.
    pub fn excerpt(&self, bars: (u32, u32)) -> Option<Music> {
        match self {
            Music::Riff(tab) => {
                let riff = tab.riff.excerpt(bars)?;
                Some(Music::Riff(Box::new(Tab { riff, places: Places::default() })))
            }
            Music::Changes(changes) => changes.excerpt(bars).map(Music::Changes),
            Music::Shape(_) | Music::Voicings(_) | Music::Neck(_) | Music::Say(_) => None,
        }
    }

    /// How long it is to play: with its repeats, or only the bars between two numbers, each once;
    /// `None` where it has no clock.
    pub fn length(&self, bars: Option<(u32, u32)>) -> Option<Ticks> {
        match self {
            Music::Riff(tab) => tab.riff.length(bars),
            Music::Changes(changes) => Some(changes.length(bars)),
            Music::Shape(_) | Music::Voicings(_) | Music::Neck(_) | Music::Say(_) => None,
        }
    }
}

/// A block after elaboration, in the order of the lesson's fences.
#[derive(Debug)]
pub struct Block {
    /// What it says, where it could be understood and is of a kind that is printed.
    pub music: Option<Music>,
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
