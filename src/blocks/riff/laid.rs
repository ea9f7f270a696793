//! A pattern that is laid over a whole progression: a strumming pattern without chords of its own that is shorter than
//! the changes that it is over is played under each of their bars, again from its beginning when it is over.
//!
//! What is laid is written nowhere: each bar has the place of the pattern's bar that it comes from.

use super::over_changes::{Changes, Under};
use super::read::set_durations;
use super::{harmony, strums};
use crate::blocks::effort::Effort;
use crate::blocks::tab::places::{BarPlace, NotePlace};
use crate::findings::rules::block_syntax;
use crate::findings::{Findings, Span};
use crate::lesson::fence::Fence;
use crate::music::tab::{Bar, BarHarmony, ByRow, Form, Pass, Pick, Riff, Run, Strummed};
use crate::theory::{Chord, Ticks};
use std::collections::HashMap;

/// What a bar that is laid costs, in notes: eight strokes over six strings, set and drawn (assumed).
const BAR: u64 = 50;

/// Whether bars are a pattern that is laid over changes: it has neither chords nor repeats, and is shorter than they
/// are.
pub(super) fn is_pattern(bars: &[Bar], changes: &Changes) -> bool {
    let is_plain = |bar: &Bar| {
        bar.chords.is_empty()
            && !bar.repeat_start
            && bar.repeat_end.is_none()
            && bar.ending.is_none()
    };
    let whole = bars.iter().filter(|bar| bar.number > 0).count();
    whole > 0 && whole < changes.len() && bars.iter().all(is_plain)
}

/// The harmony that a pattern is read in, before it is known under which bars it is laid: one chord throughout.
pub(super) fn while_read(chord: &Chord, bars: usize) -> Vec<BarHarmony> {
    let pass = Pass { chords: vec![(Ticks::ZERO, Some(chord.clone()))] };
    vec![BarHarmony { passes: vec![pass] }; bars]
}

/// A pattern and what it is laid under.
pub(super) struct Laying<'s> {
    pub fence: &'s Fence<'s>,
    pub changes: &'s Changes,
    /// Where shapes come from.
    pub known: &'s dyn super::Progressions,
}

impl Laying<'_> {
    /// Lays a riff of a pattern's bars under all bars of the changes. Where a lesson asks for too much of this it is
    /// left as it is written.
    pub fn lay(
        &self,
        riff: &mut Riff,
        places: &mut Vec<BarPlace>,
        effort: &mut Effort,
        findings: &mut Findings,
    ) {
        let upbeat = usize::from(riff.pickup);
        let under = self.changes.under(riff.bars.len().saturating_sub(upbeat));
        if !effort.take(under.len() as u64 * BAR) {
            findings.add(block_syntax::spent(self.fence.head));
            return;
        }
        let pattern = riff.bars.split_off(upbeat.min(riff.bars.len()));
        let pattern_places = places.split_off(upbeat.min(places.len()));
        let mut runs: ByRow<Vec<Run>> = ByRow::new();
        let mut start = riff.bars.last().map_or(Ticks::ZERO, |bar| bar.start + bar.length);
        let mut meter = riff.bars.last().or(pattern.first()).map(|bar| bar.meter);
        for (number, under) in (1..).zip(under) {
            let Some(from) = pattern.get(under.pattern) else { continue };
            let mut bar = laid(from, under, number, start);
            bar.meter_changes = meter.replace(bar.meter) != Some(bar.meter);
            for (row, written) in &riff.runs {
                let laid = written.iter().filter_map(|run| moved(*run, from, &bar));
                runs.entry(row).or_default().extend(laid);
            }
            start += bar.length;
            riff.bars.push(bar);
            places.push(pattern_places.get(under.pattern).cloned().unwrap_or_default());
        }
        riff.runs = runs.into_iter().map(|(row, runs)| (row, joined(runs))).collect();
        let over = self.changes.over(&riff.bars);
        riff.harmony = harmony::in_force(&riff.bars, &over, true);
        self.sound(riff, places, effort, findings);
        set_durations(&mut riff.bars);
    }

    /// Lets each stroke sound the chord that holds; where none does the hand rests.
    fn sound(
        &self,
        riff: &mut Riff,
        places: &mut [BarPlace],
        effort: &mut Effort,
        findings: &mut Findings,
    ) {
        let mut shapes: Vec<Strummed> = Vec::new();
        let mut known: HashMap<Chord, Option<usize>> = HashMap::new();
        let mut sounds = true;
        for ((bar, harmony), place) in riff.bars.iter_mut().zip(&riff.harmony).zip(places) {
            let pass = harmony.passes.first();
            let written = place.notes.first().map_or(place.span, |note| note.span);
            place.notes.clear();
            for event in &mut bar.events {
                let chord = pass.and_then(|pass| pass.chord_at(event.at));
                let shape = chord.and_then(|chord| {
                    let index = known.get(chord).copied().unwrap_or_else(|| {
                        let index = self.strummed(chord, written, effort, findings, &mut shapes);
                        known.insert(chord.clone(), index);
                        index
                    });
                    shapes.get(index?)
                });
                let muted = event.pick == Some(Pick::Choked);
                event.notes = shape.map(|one| strums::notes(&one.shape, muted)).unwrap_or_default();
                let string = event.notes.iter().map(|note| note.string);
                let (at, span) = (event.at, written);
                place.notes.extend(string.map(|string| NotePlace {
                    at,
                    string,
                    span,
                    graces: Vec::new(),
                }));
            }
            silence(bar, &mut sounds);
        }
        riff.form = Form::Strum(shapes);
    }

    /// The number of a chord's shape, found and kept; none where it has none, or too much is asked for.
    fn strummed(
        &self,
        chord: &Chord,
        written: Span,
        effort: &mut Effort,
        findings: &mut Findings,
        shapes: &mut Vec<Strummed>,
    ) -> Option<usize> {
        let instrument = &self.fence.setting.instrument;
        let own = self.known.shape(chord, instrument);
        let shape = match own {
            Some(shape) => shape,
            None if effort.take(Effort::ANY_CHORD) => {
                strums::shape(chord, self.fence, written, findings)
            }
            None => {
                findings.add(block_syntax::spent(self.fence.head));
                return None;
            }
        };
        if shape.frets.is_empty() {
            return None;
        }
        shapes.push(Strummed { chord: chord.clone(), shape });
        Some(shapes.len() - 1)
    }
}

/// Takes out strokes that sound nothing. Where the first of them would be, all sound stops.
fn silence(bar: &mut Bar, sounds: &mut bool) {
    for event in &bar.events {
        let stops = *sounds && event.notes.is_empty();
        *sounds = !event.notes.is_empty();
        if let Some(count) = bar.counts.iter_mut().find(|count| stops && count.at == event.at) {
            count.rest = true;
        }
    }
    bar.events.retain(|event| !event.notes.is_empty());
}

/// A bar of a pattern under a bar of the changes: as much of it as there is time for. Its remarks stand there only
/// the first time.
fn laid(from: &Bar, under: Under, number: usize, start: Ticks) -> Bar {
    let meter = under.meter.unwrap_or(from.meter);
    let length = meter.bar();
    let mut bar = Bar {
        number,
        meter,
        start,
        length,
        repeat_start: under.signs.repeat_start,
        repeat_end: under.signs.repeat_end,
        double_end: under.signs.double_end,
        ending: under.signs.ending,
        within_ending: under.signs.within_ending,
        ..from.clone()
    };
    bar.counts.retain(|count| count.at < length);
    bar.events.retain(|event| event.at < length);
    bar.air.retain(|stroke| stroke.at < length);
    if from.number != number {
        bar.remarks.clear();
    }
    bar
}

/// The part of a run that lies in a bar of the pattern, in the bar that was made of it.
fn moved((begin, end): Run, from: &Bar, bar: &Bar) -> Option<Run> {
    let length = from.length.0.min(bar.length.0);
    let within = |at: Ticks| Ticks(at.since(from.start).0.min(length));
    let (begin, end) = (within(begin), within(end));
    (begin < end).then_some((bar.start + begin, bar.start + end))
}

/// Runs that go on in one another as one.
fn joined(runs: Vec<Run>) -> Vec<Run> {
    let mut joined: Vec<Run> = Vec::with_capacity(runs.len());
    for (begin, end) in runs {
        match joined.last_mut() {
            Some((_, last)) if *last == begin => *last = end,
            _ => joined.push((begin, end)),
        }
    }
    joined
}
