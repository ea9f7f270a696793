//! The figure of a riff: a tab engraved system by system.
//!
//! The riff is made ready bar by bar (`score`, from `tones`, `rhythm` and what its rows write), its
//! moments are spaced by springs and room (`spacing`), bars are broken into systems (`systems`, `rows`, `breaks`),
//! which are set alike (`stack`), and each system is drawn from its staves outwards. A `stave` is a tab (`tab`, `tab_lines`, `notes`), or for a
//! strumming pattern strokes in the place of strings (`strokes`). Beneath the staves stands the rhythm
//! (`stems`), and about them the rows (`above`, `below`), each drawn as its kind says; `labels`,
//! `remarks` and `spans` are the ways that kinds share. Parts that sound `together` are drawn by the same steps, what
//! they have in `common` once for all.
//!
//! Lengths are given in distances between tab lines, since strokes and air are shares of the gap that they
//! belong to (looks, "Everything scales"). Where no source stands beside one it is assumed, to be measured on
//! proofs.

mod above;
mod below;
mod breaks;
mod canvas;
mod chains;
pub(super) mod chords;
mod common;
mod elements;
pub(super) mod frames;
mod grid;
pub(super) mod labels;
mod letters;
mod notes;
pub(super) mod remarks;
mod rhythm;
mod rows;
mod scale;
mod score;
pub(super) mod signs;
mod skyline;
mod spacing;
pub(super) mod spans;
mod stack;
mod stave;
mod stems;
pub(super) mod strokes;
pub(super) mod sung;
mod systems;
mod tab;
mod tab_lines;
mod together;
mod tones;
mod words;

#[cfg(test)]
mod looks_tests;
#[cfg(test)]
mod rebuilt;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod together_tests;

use crate::blocks::figure::{Desk, Figure};
use crate::blocks::tab::Tab;
use crate::ink::{self, Drawing, Pt};
use crate::lesson::Setting;
use crate::music::tab::Riff;
use crate::music::tab::{Bar, Event};
pub(super) use canvas::Canvas;
pub(super) use labels::{BarAt, Label, LabelFace};
use scale::Scale;
use score::Score;
pub(super) use spacing::{Lane, Reach};
use systems::{System, within};
pub(super) use words::{Teller, Told, Turn};

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

impl Tab {
    /// Engraves it in the column's width, a strip a system.
    pub fn figure(&self, desk: &Desk, setting: &Setting) -> Figure {
        let Tab { riff, places } = self;
        let staves = stave::staves(riff, desk);
        let lines = staves.first().map_or(0, |stave| stave.lines());
        let scale = Scale { desk, strings: lines };
        let front = staves.iter().fold(Pt::ZERO, |front, stave| front.max(stave.front(&scale)));
        let score = Score::of(riff, staves, setting, &scale);
        let front = front.max(labels::front(&score, &scale));
        let systems = systems::systems(&score, front, &scale);
        let strips = systems.iter().map(|system| {
            let sheet = Sheet { score: &score, system, scale: &scale };
            draw(&sheet, label(riff, system))
        });
        let placed = || systems.iter().enumerate();
        let elements = placed()
            .flat_map(|(strip, system)| elements::elements(riff, places, strip, system, &scale));
        Figure {
            words: words::whole(riff, setting),
            strips: strips.collect(),
            elements: elements.collect(),
            keys: labels::unheaded(&score, &scale).into_iter().collect(),
            bars: placed()
                .flat_map(|(strip, system)| elements::bars(riff, strip, system))
                .collect(),
            ..Figure::default()
        }
    }
}

fn label(riff: &Riff, system: &System) -> ink::Label {
    let (first, last) = (system.bars.first(), system.bars.last());
    let bars = first.map_or(0, |placed| placed.bar)..last.map_or(0, |placed| placed.bar + 1);
    let words = words::some(riff, bars.clone(), system.span.clone());
    ink::Label::Words { title: words::title(riff, bars), words }
}

/// Draws a system: its staves, and about them what belongs to them all.
fn draw(sheet: &Sheet, label: ink::Label) -> Drawing {
    let Sheet { score, system, scale } = *sheet;
    let mut canvas = stave::all(sheet);
    above::draw(&mut canvas, sheet);
    if score::has_rhythm(score.riff) {
        stems::draw(&mut canvas, score, system, scale);
    }
    below::draw(&mut canvas, sheet);
    canvas.finish(scale.desk.width, label)
}
