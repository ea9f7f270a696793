//! The harmony that a riff is played over: which bar of the changes meets which bar of the riff.

use super::phrases::Over;
use crate::findings::nearest::Known;
use crate::findings::rules::unknown_name;
use crate::findings::{Finding, Findings};
use crate::music::performance::Passes;
use crate::music::tab::Bar;
use crate::neck::{Fingering, Instrument};
use crate::theory::harmony::{BarSigns, HarmonyBar};
use crate::theory::{Chord, Harmony, Meter, Ticks};
use std::rc::Rc;

/// What a lesson knows of chords: its `changes` blocks by their names, and its shapes.
pub trait Progressions {
    /// The names of all of them, those with faults too.
    fn names(&self) -> Rc<Known>;
    /// The harmony of the block of a name, whatever its case; `None` where there is no such block,
    /// or it could not be understood.
    fn harmony(&self, name: &str) -> Option<Harmony>;
    /// The last shape of a chord above the riff that is for its instrument's tuning.
    fn shape(&self, chord: &Chord, instrument: &Instrument) -> Option<Fingering>;
}

/// More different harmonies over one bar are not kept: assumed to be more than a repeat meets in
/// any tune, it keeps the work in proportion to the riff.
const MOST_PASSES: usize = 8;

/// The bars of the changes that a riff is played over.
#[derive(Debug)]
pub(super) struct Changes {
    pickup: Option<HarmonyBar>,
    /// As they are played.
    bars: Vec<HarmonyBar>,
    /// As they are written.
    written: Vec<HarmonyBar>,
    /// For each bar that is played its place among those that are written.
    order: Vec<usize>,
}

/// A bar under which a bar of a pattern is laid.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Under {
    /// The pattern's bar, from 0.
    pub pattern: usize,
    /// The meter that is this bar's alone.
    pub meter: Option<Meter>,
    /// The signs about it.
    pub signs: BarSigns,
}

/// Finds the changes that a phrase names.
pub(super) fn find(
    over: &Over,
    progressions: &dyn Progressions,
    findings: &mut Findings,
) -> Option<Changes> {
    let Some(harmony) = progressions.harmony(&over.name.value) else {
        let names = progressions.names();
        if !names.has(&over.name.value) {
            findings.add(unknown(over, &names));
        }
        return None;
    };
    let Some((first, last)) = over.bars else {
        let Harmony { pickup, bars, written, order } = harmony;
        return Some(Changes { pickup, bars: filled(bars), written, order });
    };
    if last > harmony.written.len() {
        let count = |bars: usize| u32::try_from(bars).unwrap_or(u32::MAX);
        let bars = 1..=count(harmony.written.len());
        findings.add(unknown_name::no_bar(over.span, &over.name.value, count(last), bars));
        return None;
    }
    let bars = filled(harmony.written).into_iter().skip(first - 1).take(last - first + 1);
    let pickup = harmony.pickup.filter(|_| first == 1);
    let bars: Vec<HarmonyBar> =
        bars.map(|bar| HarmonyBar { signs: BarSigns::default(), ..bar }).collect();
    Some(Changes { pickup, written: bars.clone(), order: (0..bars.len()).collect(), bars })
}

fn unknown(over: &Over, names: &Known) -> Finding {
    let name = &over.name;
    let finding = unknown_name::none(name.span, "`changes` block", &name.value);
    finding.offer(&names.near(&name.value, 2), name.span, str::to_owned)
}

/// Bars that each begin with the chord that holds there.
fn filled(mut bars: Vec<HarmonyBar>) -> Vec<HarmonyBar> {
    let mut held: Option<Option<Chord>> = None;
    for bar in &mut bars {
        let begins = bar.chords.first().is_some_and(|(at, _)| *at == Ticks::ZERO);
        if let Some(chord) = held.clone().filter(|_| !begins) {
            bar.chords.insert(0, (Ticks::ZERO, chord));
        }
        held = bar.chords.last().map(|(_, chord)| chord.clone()).or(held);
    }
    bars
}

impl Changes {
    /// How many bars they have, repeats played out, the upbeat left aside.
    pub fn len(&self) -> usize {
        self.bars.len()
    }

    /// The first chord of the bars.
    pub fn first_chord(&self) -> Option<&Chord> {
        let chords = self.bars.iter().flat_map(|bar| &bar.chords);
        chords.filter_map(|(_, chord)| chord.as_ref()).next()
    }

    /// The bars under which a pattern of so many bars is laid: as they are written, with their repeats and endings,
    /// where each of them meets the same bar of the pattern whenever it is played; else as they are played.
    pub fn under(&self, pattern: usize) -> Vec<Under> {
        let own = |bar: &HarmonyBar| Some(bar.meter).filter(|_| bar.own_meter);
        let mut met: Vec<Option<usize>> = vec![None; self.written.len()];
        let is_same = self.order.iter().enumerate().all(|(position, index)| {
            let meets = position % pattern.max(1);
            met.get_mut(*index).is_some_and(|met| *met.get_or_insert(meets) == meets)
        });
        if is_same && met.iter().all(Option::is_some) {
            let bars = self.written.iter().zip(met);
            return bars
                .filter_map(|(bar, met)| {
                    Some(Under { pattern: met?, meter: own(bar), signs: bar.signs })
                })
                .collect();
        }
        let played = self.bars.iter().enumerate();
        played
            .map(|(position, bar)| Under {
                pattern: position % pattern.max(1),
                meter: own(bar),
                signs: BarSigns::default(),
            })
            .collect()
    }

    /// Counts the moments of the changes' upbeat, which are those of a whole bar, from where the
    /// riff's upbeat begins: so much later.
    pub fn shorten_pickup(&mut self, upbeat: Ticks) {
        let Some(bar) = &mut self.pickup else { return };
        let begun = bar.chords.partition_point(|(at, _)| *at <= upbeat);
        bar.chords.drain(..begun.saturating_sub(1));
        for (at, _) in &mut bar.chords {
            *at = at.since(upbeat);
        }
    }

    /// For each bar of a riff the bars of the changes that it meets, the first time first.
    pub fn over(&self, bars: &[Bar]) -> Vec<Vec<&HarmonyBar>> {
        let mut met: Vec<Vec<usize>> = vec![Vec::new(); bars.len()];
        if !self.bars.is_empty() {
            for (position, pass) in Passes::without_upbeat(bars).enumerate() {
                let meets = position % self.bars.len();
                if let Some(met) = met.get_mut(pass.index).filter(|met| met.len() < MOST_PASSES)
                    && !met.contains(&meets)
                {
                    met.push(meets);
                }
            }
        }
        let mut over: Vec<Vec<&HarmonyBar>> = met
            .into_iter()
            .map(|met| met.into_iter().filter_map(|index| self.bars.get(index)).collect())
            .collect();
        if let (Some(bar), Some(first)) = (bars.first(), over.first_mut())
            && bar.number == 0
        {
            *first = self.pickup.iter().collect();
        }
        over
    }
}
