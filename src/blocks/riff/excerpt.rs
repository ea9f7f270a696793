//! Some bars of a riff, as a riff of their own.

use crate::music::tab::Riff;
use crate::music::tab::{Bar, Grace, Joint, Note, Sound};
use crate::neck::{Fret, StringIndex};
use crate::theory::Ticks;
use std::collections::BTreeMap;

impl Riff {
    /// The bars from one number to another as a cue shows them: each once, so without repeat signs
    /// and endings, under their own numbers. `None` where there are none.
    pub fn excerpt(&self, (first, last): (u32, u32)) -> Option<Riff> {
        let numbers = u64::from(first)..=u64::from(last);
        let is_in = |bar: &Bar| numbers.contains(&(bar.number as u64));
        let from = self.bars.iter().position(is_in)?;
        let count = self.bars.iter().skip(from).take_while(|bar| is_in(bar)).count();
        let bars = self.bars.get(from..from + count)?;
        let (start, end) = (bars.first()?.start, bars.last().map(|bar| bar.start + bar.length)?);
        let within = |runs: &[(Ticks, Ticks)]| -> Vec<(Ticks, Ticks)> {
            let cut = |(a, b): &(Ticks, Ticks)| ((*a).max(start), (*b).min(end));
            let inside = runs.iter().map(cut).filter(|(a, b)| a < b);
            inside.map(|(a, b)| (a - start, b - start)).collect()
        };
        let mut bars: Vec<Bar> = bars.iter().map(|bar| played_once(bar, start)).collect();
        let before = self.bars.get(..from).unwrap_or_default();
        part_from_before(&mut bars, before);
        let end = end - start;
        for bar in &mut bars {
            let rest = end - bar.start;
            for event in &mut bar.events {
                event.duration = event.duration.min(rest - event.at);
            }
        }
        Some(Riff {
            pickup: self.pickup && from == 0,
            ends: self.ends && from + count == self.bars.len(),
            held_over: held_over(before, start),
            runs: self.runs.iter().map(|(row, runs)| (*row, within(runs))).collect(),
            harmony: self.harmony.iter().skip(from).take(count).cloned().collect(),
            bars,
            form: self.form.clone(),
            key: self.key,
            instrument: self.instrument.clone(),
            ..*self
        })
    }
}

/// How long after a moment the last thing before it sounds on.
fn held_over(before: &[Bar], start: Ticks) -> Ticks {
    let events =
        before.iter().rev().flat_map(|bar| bar.events.iter().rev().map(move |event| (bar, event)));
    let end = events.map(|(bar, event)| bar.start + event.at + event.duration).next();
    end.unwrap_or(Ticks::ZERO).since(start)
}

fn played_once(bar: &Bar, start: Ticks) -> Bar {
    Bar {
        start: bar.start - start,
        repeat_start: false,
        repeat_end: None,
        ending: None,
        within_ending: None,
        ..bar.clone()
    }
}

/// Notes that are joined to one before the excerpt: a bend begins from the fret that is held, in
/// brackets; any other is a note like others.
fn part_from_before(bars: &mut [Bar], before: &[Bar]) {
    let mut held: BTreeMap<StringIndex, Fret> = BTreeMap::new();
    for note in before.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes) {
        if let Sound::Fret(fret) = note.sound {
            let is_bent = matches!(note.joined, Some(Joint::Bend | Joint::Release));
            let bent_from = if note.graces.is_empty() { held.get(&note.string) } else { None };
            let bent_from = bent_from.copied().filter(|_| is_bent);
            held.insert(note.string, bent_from.or(note.held_fret()).unwrap_or(fret));
        }
    }
    let mut seen: Vec<StringIndex> = Vec::new();
    for note in bars.iter_mut().flat_map(|bar| &mut bar.events).flat_map(|event| &mut event.notes) {
        if !seen.contains(&note.string) {
            seen.push(note.string);
            part(note, held.get(&note.string).copied());
        }
    }
}

fn part(note: &mut Note, held: Option<Fret>) {
    let first = note.graces.first_mut().map_or(&mut note.joined, |grace| &mut grace.joined);
    let Some(joint) = *first else { return };
    let fret = held.filter(|_| matches!(joint, Joint::Bend | Joint::Release));
    match fret {
        Some(fret) => {
            let grace =
                Grace { sound: fret, ghost: true, joined: None, quarter_bend: false, finger: None };
            note.graces.insert(0, grace);
        }
        None => *first = None,
    }
}
