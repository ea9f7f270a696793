//! The figure of a riff: a tab engraved system by system.
//!
//! The riff is made ready bar by bar (`score`, from `tones`, `rhythm` and `rows`), its moments are
//! spaced by springs and room (`spacing`), bars are broken into systems (`systems`), and each
//! system is drawn from the staff outwards (`staff`, `notes`, `stems`, `above`, `below`). A strumming pattern has
//! strokes in the place of strings (`strokes`).

mod above;
mod below;
mod canvas;
mod chords;
mod elements;
mod grid;
mod notes;
mod rhythm;
mod rows;
mod scale;
mod score;
mod signs;
mod skyline;
mod spacing;
mod staff;
mod stems;
mod strokes;
mod systems;
mod tones;
mod words;

#[cfg(test)]
mod rebuilt;
#[cfg(test)]
mod tests;

use super::Riff;
use super::model::Form;
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{Drawing, Label, Text};
use crate::lesson::Setting;
use canvas::Canvas;
use scale::Scale;
use score::Score;
use staff::Gaps;
use systems::System;

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
            match self.form {
                Form::Tab => draw(&score, system, &letters, label, &scale),
                Form::Strum(_) | Form::Words => draw_lane(&score, system, label, &scale),
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

fn label(riff: &Riff, system: &System) -> Label {
    let (first, last) = (system.bars.first(), system.bars.last());
    let bars = first.map_or(0, |placed| placed.bar)..last.map_or(0, |placed| placed.bar + 1);
    let words = words::some(riff, bars.clone(), system.span.clone());
    Label::Words { title: words::title(riff, bars), words }
}

fn draw(score: &Score, system: &System, letters: &[Text], label: Label, scale: &Scale) -> Drawing {
    let mut canvas = Canvas::default();
    let mut gaps = Gaps::none(scale.strings);
    staff::draw_letters(&mut canvas, letters, system.left, scale);
    staff::draw_bars(&mut canvas, &mut gaps, score, system, scale);
    let technique = notes::draw(&mut canvas, &mut gaps, score, system, scale);
    gaps.draw_lines(&mut canvas, system, scale);
    above::draw(&mut canvas, &technique, score, system, scale);
    if score.riff.timed {
        stems::draw(&mut canvas, score, system, scale);
    }
    below::draw(&mut canvas, score, system, scale);
    canvas.finish(scale.desk.width, label)
}

/// Strokes, or chords over words: a lane between bar lines instead of strings.
fn draw_lane(score: &Score, system: &System, label: Label, scale: &Scale) -> Drawing {
    let mut canvas = Canvas::default();
    staff::draw_bars(&mut canvas, &mut Gaps::none(scale.strings), score, system, scale);
    strokes::draw(&mut canvas, score, system, scale);
    above::draw_over_lane(&mut canvas, score, system, scale);
    if score.riff.timed && score.riff.form != Form::Words {
        stems::draw(&mut canvas, score, system, scale);
    }
    below::draw(&mut canvas, score, system, scale);
    canvas.finish(scale.desk.width, label)
}
