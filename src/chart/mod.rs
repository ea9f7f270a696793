//! Charts without a lesson: from what is asked for to what is drawn and what `--json` prints.
//!
//! What is asked for is [read](wish), [worked out](work) on the instrument, and is then a list of
//! parts, each a caption and a figure's model.

pub mod asked;
pub mod blank;
pub mod error;
pub mod file_name;
mod scales;
mod shapes;
pub mod sheet;
pub mod table;
pub mod wish;
pub mod work;

pub use error::ChartError;

use crate::blocks::{neck, shape, voicings};
use crate::theory::{Printed, Scale};
use crate::words::Lang;
use blank::Blank;

/// A chart, worked out.
#[derive(Debug, Default)]
pub struct Chart {
    /// What it shows, as its title.
    pub title: Printed,
    /// What it shows, as the pieces of its files' name.
    pub name: Vec<String>,
    /// What is drawn, from the top down.
    pub parts: Vec<Part>,
    /// Whether each box bears its chord's name; where the title or the parts' names say it, none does.
    pub named: bool,
    /// Whether what stands beneath boxes is numerals, which are set upright as a lesson's are.
    pub numerals: bool,
    /// The shapes that were found.
    pub shapes: Vec<voicings::Voiced>,
    /// The way through several chords, a shape a chord.
    pub path: Vec<voicings::Voiced>,
    /// The positions of scales, where it shows any.
    pub positions: Option<Vec<Position>>,
}

impl Chart {
    /// Names the part of an index, where there is one.
    pub(crate) fn name_part(&mut self, index: usize, name: Printed) {
        if let Some(part) = self.parts.get_mut(index) {
            part.name = Some(name);
        }
    }

    /// The chart with its title and what is said above and beneath its figures in a language.
    #[must_use]
    pub fn said_in(mut self, lang: Lang) -> Chart {
        let say = |words: &mut Printed| *words = lang.printed(std::mem::take(words));
        say(&mut self.title);
        for part in &mut self.parts {
            part.name.iter_mut().chain(&mut part.caption).for_each(say);
            if let Content::Boxes(boxes) = &mut part.content {
                boxes.shapes.iter_mut().filter_map(|shape| shape.caption.as_mut()).for_each(say);
            }
        }
        self
    }

    /// The names of its chords.
    pub fn names(&self) -> Vec<Printed> {
        let mut names: Vec<Printed> = Vec::new();
        for voiced in self.shapes.iter().chain(&self.path) {
            let name = voiced.chord.printed();
            if !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }
}

/// A figure of a chart.
#[derive(Debug)]
pub struct Part {
    /// The name of what it and the parts after it show, where the chart's title names several.
    pub name: Option<Printed>,
    /// What it shows, in words above it.
    pub caption: Option<Printed>,
    /// What is drawn.
    pub content: Content,
}

/// What a part draws.
#[derive(Debug)]
pub enum Content {
    /// Chord boxes.
    Boxes(shape::Shapes),
    /// A way through chords.
    Way(voicings::Voicings),
    /// Diagrams of the neck.
    Neck(neck::Diagrams),
    /// Something to write on.
    Blank(Blank),
}

impl Part {
    /// A part under a caption.
    pub(crate) fn new(caption: Printed, content: Content) -> Part {
        Part { name: None, caption: Some(caption), content }
    }
}

/// A scale in a position.
#[derive(Debug)]
pub struct Position {
    /// The scale.
    pub scale: Scale,
    /// Its notes there.
    pub diagram: neck::Diagram,
}
