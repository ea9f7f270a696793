//! The figure of parts that sound together: their staves beneath each other on one time axis.
//!
//! What they have in common (`common`) is made ready as a riff of its own, whose moments are those of all parts; so
//! bars are broken into systems and set as those of one riff are. Each part is drawn on a canvas of its own with its
//! rhythm and its rows, and what is common stands about them all: chord symbols and the bars' signs above, counts
//! beneath.

use super::canvas::Canvas;
use super::common::Common;
use super::scale::Scale;
use super::score::{self, Score};
use super::systems::{self, System};
use super::{Sheet, above, below, elements, labels, stave, stems, words};
use crate::blocks::figure::{Desk, Element, Figure, RestingParts};
use crate::blocks::tab::parts::{Part, Parts};
use crate::ink::{self, Drawing, Face, Pt, Style, Text};
use crate::lesson::Setting;
use crate::music::tab::Riff;
use crate::theory::Ticks;
use crate::words::{authored, listed};

/// The air between two parts, in distances between tab lines.
const AIR: f32 = 1.6;

/// Between a part's name and its strings' letters, or the lines beneath it, in the same.
const BESIDE: f32 = 0.6;
const OVER: f32 = 0.85;

/// Names take this part of the column before the staves at most; wider ones stand above their staves (by eye).
const MOST_BEFORE: f32 = 0.12;

impl Parts {
    /// Engraves them in the column's width, a strip a system. Parts that have no common time stand one after the other.
    pub fn figure(&self, desk: &Desk, setting: &Setting) -> Figure {
        let riffs: Vec<&Riff> = self.parts.iter().map(|part| &part.tab.riff).collect();
        match Common::of(&riffs) {
            Some(common) => self.abreast(&common, desk, setting),
            None => self.in_turn(desk, setting),
        }
    }

    fn in_turn(&self, desk: &Desk, setting: &Setting) -> Figure {
        let mut figure = Figure { words: self.whole(setting), ..Figure::default() };
        for Part { tab, .. } in &self.parts {
            let part = tab.figure(desk, setting);
            let above = figure.strips.len();
            let elements = part.elements.into_iter();
            let elements = elements.map(|one| Element { strip: one.strip + above, ..one });
            figure.elements.extend(elements);
            figure.strips.extend(part.strips);
        }
        figure
    }

    fn abreast(&self, common: &Common, desk: &Desk, setting: &Setting) -> Figure {
        let names = Names::of(&self.parts, desk);
        let engraved = common.parts.iter().map(|riff| {
            let staves = stave::staves(riff, desk);
            let scale = Scale { desk, strings: staves.first().map_or(0, |stave| stave.lines()) };
            (Score::of(riff, staves, setting, &scale), scale)
        });
        let (parts, scales): (Vec<Score>, Vec<Scale>) = engraved.unzip();
        let strings = scales.iter().map(|scale| scale.strings).max().unwrap_or(0);
        let scale = Scale { desk, strings };
        let mut shared = Score::of(&common.riff, Vec::new(), setting, &scale);
        shared.take_in(&parts, &scale);
        let fronts = parts.iter().zip(&scales).map(|(part, scale)| {
            let staves = part.staves.iter().map(|stave| stave.front(scale) + names.front);
            staves.fold(labels::front(part, scale), Pt::max)
        });
        let front = fronts.fold(labels::front(&shared, &scale), Pt::max);
        let systems = systems::systems(&shared, front, &scale);
        let ensemble = Ensemble { of: self, names: &names, parts: &parts, scales: &scales };
        let mut figure = Figure { words: self.whole(setting), ..Figure::default() };
        for (strip, system) in systems.iter().enumerate() {
            let sheet = Sheet { score: &shared, system, scale: &scale };
            figure.strips.push(ensemble.draw(&sheet));
            figure.bars.extend(elements::bars(&common.riff, strip, system));
            for index in ensemble.shown(system, desk) {
                let Some(Part { tab, .. }) = self.parts.get(index) else { continue };
                figure.elements.extend(elements::elements(
                    &tab.riff,
                    &tab.places,
                    strip,
                    system,
                    &scale,
                ));
            }
        }
        figure
    }

    /// All parts in words, one after the other, so that each can be learned by itself.
    fn whole(&self, setting: &Setting) -> String {
        let names: Vec<String> = self.parts.iter().map(|part| authored(&part.name)).collect();
        let count = names.len();
        let opening = format!("{count} parts at the same time: {}.", listed(&names));
        let told = self.parts.iter().map(|Part { name, tab, .. }| {
            format!("{}: {}", authored(name), words::whole(&tab.riff, setting))
        });
        [opening].into_iter().chain(told).collect::<Vec<_>>().join("\n")
    }
}

/// Parts made ready, to be drawn system by system.
struct Ensemble<'a> {
    of: &'a Parts,
    names: &'a Names,
    parts: &'a [Score<'a>],
    scales: &'a [Scale<'a>],
}

impl Ensemble<'_> {
    /// Which parts stand in a system: all, or where the template has it so those that don't rest through it.
    fn shown(&self, system: &System, desk: &Desk) -> Vec<usize> {
        let all = 0..self.parts.len();
        if desk.look.resting_parts == RestingParts::Shown {
            return all.collect();
        }
        let plays =
            |part: &usize| self.parts.get(*part).is_some_and(|part| plays(part.riff, system));
        let playing: Vec<usize> = all.clone().filter(plays).collect();
        if playing.is_empty() { all.collect() } else { playing }
    }

    /// Draws a system: its parts, and about them what is common.
    fn draw(&self, sheet: &Sheet) -> Drawing {
        let Sheet { system, scale, .. } = *sheet;
        let shown = self.shown(system, scale.desk);
        let parts = shown.iter().filter_map(|part| self.draw_part(*part, system));
        let parts = parts.reduce(|above, beneath| above.over(beneath, scale.gaps(AIR)));
        let mut canvas = parts.unwrap_or_default();
        // One line at their front shows that they sound together.
        canvas.line((system.left, Pt::ZERO), (system.left, canvas.foot()), scale.fine());
        above::draw(&mut canvas, sheet);
        below::draw(&mut canvas, sheet);
        canvas.finish(scale.desk.width, self.label(sheet, &shown))
    }

    fn draw_part(&self, index: usize, system: &System) -> Option<Canvas> {
        let (score, scale) = (self.parts.get(index)?, self.scales.get(index)?);
        let sheet = Sheet { score, system, scale };
        let mut canvas = stave::all(&sheet);
        self.names.draw(&mut canvas, index, scale);
        above::draw_rows(&mut canvas, &sheet);
        if score::has_rhythm(score.riff) {
            stems::draw(&mut canvas, score, system, scale);
        }
        below::draw(&mut canvas, &sheet);
        Some(canvas)
    }

    /// A system in words, part by part.
    fn label(&self, sheet: &Sheet, shown: &[usize]) -> ink::Label {
        let Sheet { score, system, .. } = *sheet;
        let (first, last) = (system.bars.first(), system.bars.last());
        let bars = first.map_or(0, |placed| placed.bar)..last.map_or(0, |placed| placed.bar + 1);
        let parts = self.of.parts.iter().enumerate();
        let told = parts.map(|(index, Part { name, tab, .. })| {
            let played = match shown.contains(&index) {
                true => words::some(&tab.riff, bars.clone(), system.span.clone()),
                false => "Rests.".to_owned(),
            };
            format!("{}: {played}", authored(name))
        });
        let words = told.collect::<Vec<_>>().join(" ");
        ink::Label::Words { title: words::title(score.riff, bars), words }
    }
}

/// Whether a part sounds in a system, or says anything there.
fn plays(riff: &Riff, system: &System) -> bool {
    let sheet_bars = system.whole_bars().filter_map(|bar| riff.bars.get(bar));
    let first = system.bars.first().map_or(0, |placed| placed.bar);
    let before = riff.bars.get(..first).unwrap_or_default().iter().rev();
    let mut before = before.filter_map(|bar| Some((bar, bar.events.last()?)));
    let held =
        before.next().map_or(Ticks::ZERO, |(bar, event)| bar.start + event.at + event.duration);
    let mut bars = sheet_bars;
    held.max(riff.held_over) > system.span.start
        || bars
            .any(|bar| !bar.events.is_empty() || bar.remarks.values().any(|said| !said.is_empty()))
}

/// The parts' names as they stand in the figure.
struct Names {
    /// Each part's, in lines.
    names: Vec<Text>,
    /// The room that they take before the strings' letters; none where they stand above the staves.
    front: Pt,
}

impl Names {
    fn of(parts: &[Part], desk: &Desk) -> Names {
        let scale = Scale { desk, strings: 0 };
        let style = Style::new(Face::SerifItalic, scale.small_size());
        let names: Vec<Text> = parts.iter().map(|part| desk.words(&part.name, style)).collect();
        let widest = names.iter().fold(Pt::ZERO, |widest, name| widest.max(name.width));
        let before = widest <= desk.width * MOST_BEFORE;
        Names { names, front: if before { widest + scale.gaps(BESIDE) } else { Pt::ZERO } }
    }

    /// Draws a part's name, before the middle of its stave or above its beginning.
    fn draw(&self, canvas: &mut Canvas, part: usize, scale: &Scale) {
        let Some(name) = self.names.get(part) else { return };
        let height = scale.cap_height(scale.small_size());
        if self.front > Pt::ZERO {
            canvas.text(Pt::ZERO, (scale.staff_height() + height) / 2.0, name.clone());
            return;
        }
        let to = name.width + scale.gaps(BESIDE);
        let baseline = canvas.free_above(Pt::ZERO, to) - scale.gaps(OVER);
        canvas.text(Pt::ZERO, baseline, name.clone());
        canvas.occupy(Pt::ZERO, to, baseline - height);
    }
}
