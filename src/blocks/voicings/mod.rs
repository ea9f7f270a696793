//! The `voicings` block: chords worked out on the neck. A line is read (`syntax`), worked out
//! (`meaning`), told where it lacks something (`lines`) and drawn (`figure`).

mod figure;
mod kind;
mod lines;
mod meaning;
mod syntax;
mod trouble;
mod words;

pub use kind::{VoicingsBlock, WRITTEN};
pub use meaning::{Lack, Lacking, Outcome, Wish, usual_frets};
pub use words::left_out;

use crate::blocks::chord_box::Window;
use crate::blocks::effort::Effort;
use crate::blocks::figure::{Desk, Figure};
use crate::blocks::{Music, Place};
use crate::findings::Findings;
use crate::findings::Span;
use crate::findings::nearest::Known;
use crate::findings::report::Tally;
use crate::findings::rules::block_syntax;
use crate::lesson::Setting;
use crate::lesson::fence::Fence;
use crate::neck::leading::Voice;
use crate::neck::voicing::{Family, Inversion, Shape};
use crate::neck::{Fingering, Fret, StringIndex};
use crate::theory::{Chord, Degree, Note};
use std::rc::Rc;

/// What the lines of a block came to.
#[derive(Debug, Clone)]
pub struct Voicings {
    /// In written order, at least one.
    pub lines: Vec<Line>,
}

/// What a line came to.
#[derive(Debug, Clone)]
pub struct Line {
    /// The family that its shapes are of.
    pub family: Family,
    /// Its shapes, at least one: a way through the chords, or several for each chord.
    pub shapes: Vec<Voiced>,
    /// Whether the shapes are a way from chord to chord.
    pub leads: bool,
    /// Where it stands.
    pub span: Span,
}

/// A chord in a shape.
#[derive(Debug, Clone)]
pub struct Voiced {
    /// The chord.
    pub chord: Chord,
    /// Its shape.
    pub shape: Shape,
    /// The shape with the fingers that hold it.
    pub fingering: Fingering,
    /// Which tone is lowest, where that has a name.
    pub inversion: Option<Inversion>,
    /// The tones that don't sound.
    pub left_out: Vec<LeftOut>,
    /// What the voices do from the shape before to this one, the highest first; nothing for the first.
    pub moves: Vec<Voice>,
    /// What its box shows where it is empty, for a student to write in.
    pub blank: Option<Window>,
}

/// A tone of a chord that a shape leaves out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeftOut {
    /// The note.
    pub note: Note,
    /// Its degree; `None` for a bass that a slash names and that is no tone of the chord.
    pub degree: Option<Degree>,
}

/// The melody that chords are put under: the chords of a riff where its harmony changes, each with
/// the highest note that sounds there.
#[derive(Debug, Clone, Default)]
pub struct Melody {
    /// The changes of the harmony in order.
    pub changes: Vec<Change>,
}

/// A moment at which a riff's harmony changes.
#[derive(Debug, Clone)]
pub struct Change {
    /// The bar's number, 0 for an upbeat.
    pub bar: usize,
    /// The chord that begins.
    pub chord: Chord,
    /// The string and the fret of the highest note that sounds where it begins.
    pub top: Option<(StringIndex, Fret)>,
    /// Those of the highest note that begins while it holds: the chord lies under that one where it has no
    /// place under the first.
    pub highest: Option<(StringIndex, Fret)>,
}

/// Reads a block and works it out, as far as the effort goes. `melody` gives the melody of the riff of
/// a name, or the names that riffs have.
pub fn read(
    fence: &Fence<'_>,
    melody: &dyn Fn(&str) -> Result<Melody, Rc<Known>>,
    effort: &mut Effort,
    findings: &mut Findings,
) -> Option<Voicings> {
    let requests = syntax::read(fence, findings);
    let mut lines = Vec::new();
    for request in &requests {
        if !effort.take(request.effort()) {
            findings.add(block_syntax::spent(request.span));
            break;
        }
        lines.extend(lines::work_out(request, &fence.setting, melody, findings));
    }
    (!lines.is_empty()).then_some(Voicings { lines })
}

impl Voicings {
    fn shapes(&self) -> impl Iterator<Item = &Voiced> {
        self.lines.iter().flat_map(|line| &line.shapes)
    }
}

impl Voiced {
    /// The chord over an empty box.
    fn emptied(&self) -> Voiced {
        let frets = &self.fingering.frets;
        Voiced {
            chord: self.chord.clone(),
            shape: Shape::silent(frets.len()),
            fingering: Fingering { frets: vec![None; frets.len()], fingers: Vec::new() },
            inversion: None,
            left_out: Vec::new(),
            moves: Vec::new(),
            blank: Some(Window::of(frets)),
        }
    }
}

impl Line {
    /// Its chords, each as a block of its own: what its voices do is told still, the whole way isn't drawn.
    fn one_by_one(&self) -> impl Iterator<Item = Box<dyn Music>> {
        self.shapes.iter().map(|voiced| -> Box<dyn Music> {
            let shapes = vec![voiced.clone()];
            Box::new(Voicings { lines: vec![Line { shapes, leads: false, ..self.clone() }] })
        })
    }
}

impl Music for Voicings {
    fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        Voicings::figure(self, desk, setting)
    }

    /// Empty boxes under the chords' names; what their voices do is left to be found too.
    fn blank(&self) -> Option<Box<dyn Music>> {
        let emptied = |line: &Line| {
            let shapes = line.shapes.iter().map(Voiced::emptied).collect();
            Line { shapes, leads: false, ..*line }
        };
        Some(Box::new(Voicings { lines: self.lines.iter().map(emptied).collect() }))
    }

    fn size(&self) -> usize {
        self.shapes().map(|voiced| voiced.fingering.places().count()).sum()
    }

    fn tally(&self) -> Tally {
        Tally { chords: self.shapes().count(), ..Tally::default() }
    }

    fn turns(&self) -> Option<usize> {
        Some(self.shapes().count())
    }

    fn played(&self) -> Option<Vec<Place>> {
        Some(self.shapes().flat_map(|voiced| voiced.fingering.places()).collect())
    }

    fn one_by_one(&self) -> Vec<Box<dyn Music>> {
        if self.shapes().count() < 2 {
            return Vec::new();
        }
        self.lines.iter().flat_map(Line::one_by_one).collect()
    }
}

#[cfg(test)]
mod tests;
