//! The figure of a riff: a tab engraved system by system.
//!
//! The riff is made ready bar by bar (`score`, from `tones`, `rhythm` and `rows`), its moments are
//! spaced by springs and room (`spacing`), bars are broken into systems (`systems`), and each
//! system is drawn from the staff outwards (`staff`, `notes`, `stems`, `above`, `below`).

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
mod spacing;
mod staff;
mod stems;
mod systems;
mod tones;
mod words;

#[cfg(test)]
mod tests;

use super::Riff;
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
        let scale = Scale { desk, strings: self.instrument.tuning.len() };
        let score = Score::of(self, &scale);
        let letters = staff::letters(&score, &scale);
        let front = staff::front(&letters, &scale);
        let systems = systems::systems(&score, front, &scale);
        let strips = systems.iter().map(|system| {
            let label = label(self, system);
            draw(&score, system, &letters, label, &scale)
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
