//! The figure of a riff: a tab engraved system by system.
//!
//! The riff is made ready bar by bar (`score`, from `tones`, `rhythm` and what its rows write), its moments are
//! spaced by springs and room (`spacing`), bars are broken into systems (`systems`), and each
//! system is drawn from the staff outwards (`staff`, `notes`, `stems`), around which its rows stand (`above`, `below`), each drawn as its kind says
//! (`labels`, `remarks` and `spans` are the ways that they share). A strumming pattern has
//! strokes in the place of strings (`strokes`).

mod above;
mod below;
mod canvas;
pub(super) mod chords;
mod elements;
mod grid;
pub(super) mod labels;
mod notes;
pub(super) mod remarks;
mod rhythm;
mod scale;
mod score;
pub(super) mod signs;
mod skyline;
mod spacing;
pub(super) mod spans;
mod staff;
mod stems;
pub(super) mod strokes;
mod systems;
mod tones;
mod words;

#[cfg(test)]
mod rebuilt;
#[cfg(test)]
mod tests;

use super::Riff;
use super::model::{Bar, Event, Form};
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{self, Drawing, Pt, Text};
use crate::lesson::Setting;
pub(super) use canvas::Canvas;
pub(super) use labels::{BarAt, Label, LabelFace};
use scale::{Scale, Weight};
use score::Score;
pub(super) use spacing::{Lane, Reach};
use staff::Gaps;
use systems::{System, within};
pub(super) use words::{Teller, Told, Turn, capital, ordinal};

/// What a system is drawn from: the riff made ready, the places of its moments, and the lengths.
#[derive(Clone, Copy)]
pub(super) struct Sheet<'a> {
    pub score: &'a Score<'a>,
    pub system: &'a System,
    pub scale: &'a Scale<'a>,
}

impl<'a> Sheet<'a> {
    /// The bars of which the system holds anything.
    pub fn bars(&self) -> impl Iterator<Item = &'a Bar> {
        let Sheet { score, system, .. } = *self;
        system.whole_bars().filter_map(move |bar| score.riff.bars.get(bar))
    }

    /// What is played in the system, with the axis of its moment.
    pub fn events(&self) -> impl Iterator<Item = (&'a Event, Pt)> {
        let system = self.system;
        self.bars().flat_map(move |bar| {
            let here = within(&bar.events, &system.span, |event| bar.start + event.at);
            here.iter().map(move |event| (event, system.x(bar.start + event.at)))
        })
    }
}

impl Riff {
    /// Engraves the riff in the column's width, a strip a system.
    pub fn figure(&self, desk: &Desk, setting: &Setting) -> Figure {
        let is_tab = self.form == Form::Tab;
        let strings = if is_tab { self.instrument.tuning.len() } else { strokes::LANE };
        let scale = Scale { desk, strings };
        let score = Score::of(self, setting, &scale);
        let letters = if is_tab { staff::letters(&score, &scale) } else { Vec::new() };
        let front = staff::front(&letters, &scale);
        let systems = systems::systems(&score, front, &scale);
        let strips = systems.iter().map(|system| {
            let label = label(self, system);
            let sheet = Sheet { score: &score, system, scale: &scale };
            match self.form {
                Form::Tab => draw(&sheet, &letters, label),
                Form::Strum(_) | Form::Words => draw_lane(&sheet, label),
            }
        });
        let placed = systems.iter().enumerate();
        let elements =
            placed.flat_map(|(strip, system)| elements::elements(&score, strip, system, &scale));
        Figure {
            words: words::whole(self, setting),
            strips: strips.collect(),
            elements: elements.collect(),
        }
    }
}

fn label(riff: &Riff, system: &System) -> ink::Label {
    let (first, last) = (system.bars.first(), system.bars.last());
    let bars = first.map_or(0, |placed| placed.bar)..last.map_or(0, |placed| placed.bar + 1);
    let words = words::some(riff, bars.clone(), system.span.clone());
    ink::Label::Words { title: words::title(riff, bars), words }
}

fn draw(sheet: &Sheet, letters: &[Text], label: ink::Label) -> Drawing {
    let Sheet { score, system, scale } = *sheet;
    let mut canvas = Canvas::default();
    let mut gaps = Gaps::none(scale.strings);
    staff::draw_letters(&mut canvas, letters, system.left, scale);
    staff::draw_bars(&mut canvas, &mut gaps, score, system, scale);
    let technique = notes::draw(&mut canvas, &mut gaps, score, system, scale);
    gaps.draw_lines(&mut canvas, system, scale);
    let highest_figures = -scale.cap_height(scale.fret_size(Weight::Full)) / 2.0;
    canvas.occupy(system.left, system.right, highest_figures);
    technique.iter().for_each(|letter| notes::draw_letter(&mut canvas, letter, scale));
    notes::draw_vibrato(&mut canvas, score, system, scale);
    above::draw(&mut canvas, sheet);
    if score.riff.timed {
        stems::draw(&mut canvas, score, system, scale);
    }
    below::draw(&mut canvas, sheet);
    canvas.finish(scale.desk.width, label)
}

/// Strokes, or chords over words: a lane between bar lines instead of strings.
fn draw_lane(sheet: &Sheet, label: ink::Label) -> Drawing {
    let Sheet { score, system, scale } = *sheet;
    let mut canvas = Canvas::default();
    staff::draw_bars(&mut canvas, &mut Gaps::none(scale.strings), score, system, scale);
    strokes::draw(&mut canvas, score, system, scale);
    above::draw(&mut canvas, sheet);
    if score.riff.timed && score.riff.form != Form::Words {
        stems::draw(&mut canvas, score, system, scale);
    }
    below::draw(&mut canvas, sheet);
    canvas.finish(scale.desk.width, label)
}
