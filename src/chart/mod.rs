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

use crate::blocks::box_columns::Among;
use crate::blocks::figure::{Desk, Figure};
use crate::blocks::{neck, shape, voicings};
use crate::lesson::Setting;
use crate::theory::{Printed, Scale};
use blank::Blank;

/// A chart, worked out.
#[derive(Debug, Default)]
pub struct Chart {
    /// What it shows, as its title.
    pub title: String,
    /// What it shows, as the pieces of its files' name.
    pub name: Vec<String>,
    /// What is drawn, from the top down.
    pub parts: Vec<Part>,
    /// The shapes that were found.
    pub shapes: Vec<voicings::Voiced>,
    /// The way through several chords, a shape a chord.
    pub path: Vec<voicings::Voiced>,
    /// The positions of scales, where it shows any.
    pub positions: Option<Vec<Position>>,
}

impl Chart {
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
    /// What it shows, in words above it.
    pub caption: Option<String>,
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
    /// What is drawn.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        match &self.content {
            Content::Boxes(shapes) => shapes.figure(desk, setting, Among::Boxes),
            Content::Way(voicings) => voicings.figure(desk, setting),
            Content::Neck(diagrams) => diagrams.figure(desk),
            Content::Blank(blank) => blank.figure(desk, setting),
        }
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
