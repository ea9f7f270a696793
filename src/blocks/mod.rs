//! The kinds of music block, one folder each: syntax, meaning, checks, figure.

pub mod bars;
pub mod beats;
pub mod box_columns;
pub mod changes;
pub mod chord_box;
mod draft_marks;
pub mod effort;
pub mod figure;
pub mod first_shown;
pub mod hold;
pub mod kind;
pub mod lanes;
pub mod looped;
pub mod lyrics;
pub mod misnamed;
pub mod moved;
pub mod neck;
pub mod neck_board;
pub mod others;
mod pieces;
pub mod reading;
pub mod riff;
pub mod say;
pub mod shape;
pub mod signs;
pub mod tab;
pub mod together;
pub mod voicings;

pub use bars::Bars;
pub use kind::{Help, Kind, Music, Offer, Opening, Place};
pub use others::{Other, Others};
pub use reading::{Read, Settled, read};

use crate::findings::Span;
use crate::lesson::{self, Setting};
use figure::{Desk, Figure};

/// All kinds of block. Blocks may speak of blocks that stand further down, so those of a kind are read after
/// all of the kinds before it here.
pub static KINDS: &[&dyn Kind] = &[
    &shape::ShapeBlock,
    &changes::ChangesBlock,
    &lyrics::LyricsBlock,
    &riff::RiffBlock,
    &moved::MoveBlock,
    &together::TogetherBlock,
    &looped::LoopBlock,
    &voicings::VoicingsBlock,
    &neck::NeckBlock,
    &say::SayBlock,
];

/// What the reader of a lesson has to know of all kinds.
pub fn kinds() -> Vec<lesson::Kind> {
    KINDS.iter().map(|kind| kind.written()).collect()
}

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
    /// Whether it is printed there as a frame to fill in.
    pub blank: bool,
    /// The index of the block whose answer it is, filled in at the lesson's end: its own, or another.
    pub answers: Option<usize>,
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

    /// Whether something is wrong or guessed in it, which a draft marks.
    pub fn is_unsound(&self) -> bool {
        !self.faults.is_empty() || !self.guesses.is_empty()
    }

    /// Its figure; `None` where nothing of it could be understood.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Option<Figure> {
        let figure = self.music.as_ref()?.figure(desk, setting);
        Some(figure.told_in(desk.lang))
    }

    /// Its figure as it is printed where it stands, a frame where it is one; in a draft what is wrong with it is
    /// marked.
    pub fn printed_figure(
        &self,
        desk: &Desk<'_>,
        setting: &Setting,
        draft: bool,
    ) -> Option<Figure> {
        let music = self.music.as_deref()?;
        let frame = music.blank().filter(|_| self.blank);
        let figure = self.beneath_caption(frame.as_deref().unwrap_or(music), desk, setting);
        Some(if draft { self.marked(figure, desk) } else { figure })
    }

    /// Its figure as it stands among the answers.
    pub fn answer_figure(&self, desk: &Desk<'_>, setting: &Setting, draft: bool) -> Option<Figure> {
        let figure = self.beneath_caption(self.music.as_deref()?, desk, setting);
        Some(if draft { self.marked(figure, desk) } else { figure })
    }

    /// A figure of its, which doesn't say again what its caption says.
    fn beneath_caption(&self, music: &dyn Music, desk: &Desk<'_>, setting: &Setting) -> Figure {
        let untitled = self.caption.as_ref().and_then(|caption| music.beneath(caption));
        untitled.as_deref().unwrap_or(music).figure(desk, setting).told_in(desk.lang)
    }

    fn marked(&self, figure: Figure, desk: &Desk<'_>) -> Figure {
        if self.faults.is_empty() {
            return figure;
        }
        let faults: Vec<Span> = self.faults.iter().map(|fault| fault.span).collect();
        figure.marked(&faults, desk)
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
