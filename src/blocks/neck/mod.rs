//! The `neck` block: diagrams of the neck with the tones of a scale, a chord or a figure marked.
//!
//! A block is read line by line (`syntax`): a subject with its `phrases`, or `rows` of marked places. It
//! is laid out on the neck (`layout`) and drawn (`figure`) with its `key`; the scales for a progression have words
//! of their own (`scales`).

use crate::neck::StringIndex;
mod figure;
mod guides;
mod key;
mod kind;
mod layout;
mod phrases;
mod rows;
pub mod scales;
mod syntax;
#[cfg(test)]
mod tests;

pub use kind::{NeckBlock, WRITTEN};
pub use layout::{Shown, Wish, fingered};
pub use phrases::Phrases;
pub use scales::ScalesFor;
pub use syntax::read;

use super::figure::{Desk, DotLabel, Figure};
use super::{Music, Place};
use crate::findings::Span;
use crate::findings::nearest::Known;
use crate::lesson::Setting;
use crate::neck::{Finger, Fret, Instrument};
use crate::theory::{Chord, Degree, Note, Scale};
use std::ops::RangeInclusive;
use std::rc::Rc;

/// The diagrams of one block.
#[derive(Debug, Clone)]
pub struct Diagrams {
    /// The instrument they are for.
    pub instrument: Instrument,
    /// Whether they are mirrored for a left-handed player.
    pub left_handed: bool,
    /// Whether each is called by what it shows; where words above say it, only positions are told apart.
    pub named: bool,
    /// Whether the key of their marks stands beneath them, and not beneath others of the page.
    pub keyed: bool,
    /// The diagrams, in the order they are written.
    pub list: Vec<Diagram>,
}

impl Music for Diagrams {
    fn figure(&self, desk: &Desk<'_>, _setting: &Setting) -> Figure {
        Diagrams::figure(self, desk)
    }

    /// Its necks with nothing on them. What only stands there as the tool's own answer, a scale for some changes, is
    /// not told.
    fn blank(&self) -> Option<Box<dyn Music>> {
        let emptied = |diagram: &Diagram| Diagram {
            subject: match diagram.scales {
                Some(_) => Subject::Places,
                None => diagram.subject.clone(),
            },
            frets: diagram.frets.clone(),
            label: diagram.label,
            marking: None,
            dots: Vec::new(),
            scales: None,
            span: diagram.span,
        };
        let list = self.list.iter().map(emptied).collect();
        Some(Box::new(Diagrams { list, ..self.clone() }))
    }

    /// Its only neck without its title where that stands in the caption, word for word.
    fn beneath(&self, caption: &str) -> Option<Box<dyn Music>> {
        let [diagram] = self.list.as_slice() else { return None };
        let title = diagram.subject.printed().text();
        let (title, caption): (Vec<&str>, Vec<&str>) =
            (title.split_whitespace().collect(), caption.split_whitespace().collect());
        let told = !title.is_empty() && caption.windows(title.len()).any(|words| words == title);
        told.then(|| Box::new(Diagrams { named: false, ..self.clone() }) as Box<dyn Music>)
    }

    fn size(&self) -> usize {
        self.list.iter().map(|diagram| diagram.dots.len()).sum()
    }

    fn turns(&self) -> Option<usize> {
        Some(self.list.len())
    }
}

/// One diagram.
#[derive(Debug, Clone)]
pub struct Diagram {
    /// What it shows.
    pub subject: Subject,
    /// The frets that are drawn; 0 stands for the open strings.
    pub frets: RangeInclusive<Fret>,
    /// What its dots are labelled with; the template decides where the lesson doesn't.
    pub label: Option<DotLabel>,
    /// The chord whose tones stand out.
    pub marking: Option<Chord>,
    /// The dots, string by string from the lowest-placed, each string's frets rising.
    pub dots: Vec<Dot>,
    /// Where the subject is the best scale for a progression: all that is known of its scales.
    pub scales: Option<ScalesFor>,
    /// Where it is written.
    pub span: Span,
}

/// What a diagram shows.
#[derive(Debug, Clone)]
pub enum Subject {
    /// A scale.
    Scale(Scale),
    /// A chord's tones.
    Chord(Chord),
    /// Notes.
    Notes(Vec<Note>),
    /// The notes of another block, under its caption.
    Block(String),
    /// Places marked by hand.
    Places,
}

/// One place on the neck that is marked.
#[derive(Debug, Clone)]
pub struct Dot {
    /// The string's index, 0 the lowest-placed.
    pub string: StringIndex,
    /// The fret; 0 is open.
    pub fret: Fret,
    /// The note, spelled.
    pub note: Note,
    /// Its degree, where the subject has a root.
    pub degree: Option<Degree>,
    /// The finger, where one is known.
    pub finger: Option<Finger>,
    /// Whether it is the root.
    pub root: bool,
    /// Whether it is a tone of the marked chord.
    pub marked: bool,
}

/// The places that another block plays: string, fret, and finger where it is known.
#[derive(Debug, Clone, Default)]
pub struct Played {
    /// The block's caption or name.
    pub title: String,
    /// Its places.
    pub places: Vec<Place>,
}

/// The chords of a `changes` block.
#[derive(Debug, Clone)]
pub struct Progression {
    /// The block's caption or name.
    pub title: String,
    /// Its chords as they are written.
    pub chords: Vec<Chord>,
}

/// What the lesson's other blocks hold.
pub trait Elsewhere {
    /// The places that the block of a name plays, whatever its case; `None` where it plays none.
    fn played(&self, name: &str) -> Option<Played>;
    /// The names of all blocks that play places, those with faults too.
    fn names(&self) -> Rc<Known>;
    /// The chords of the `changes` block of a name; `None` where there is none, or it can't be read.
    fn progression(&self, name: &str) -> Option<Progression>;
    /// The names of all `changes` blocks, those with faults too.
    fn progressions(&self) -> Rc<Known>;
}
