//! The harmony in force: the chords of a riff, and what the changes that it is played over say beside them.

use super::place;
use crate::blocks::tab::places::BarPlace;
use crate::findings::rules::chords_differ;
use crate::findings::{Findings, Span};
use crate::music::tab::{Bar, BarHarmony, ChordAt, Pass};
use crate::theory::harmony::HarmonyBar;
use crate::theory::{Chord, Ticks};
use std::collections::BTreeSet;

/// The harmony over each bar: the `chord` row from its first symbol on, else the changes.
pub(super) fn in_force(bars: &[Bar], over: &[Vec<&HarmonyBar>], timed: bool) -> Vec<BarHarmony> {
    let mut held: Option<Option<Chord>> = None;
    let mut harmony = Vec::new();
    for (index, bar) in bars.iter().enumerate() {
        let row: Vec<(Ticks, Option<Chord>)> =
            bar.chords.iter().map(|chord| (chord.at, chord.chord.clone())).collect();
        let changes = over.get(index).map(Vec::as_slice).unwrap_or_default();
        let mut passes: Vec<Pass> = Vec::new();
        // Without a count nobody can tell when in the bar a second chord begins.
        let heard = changes.iter().filter(|heard| timed || heard.chords.len() == 1);
        let mut heard: Vec<_> = heard.map(|heard| heard.chords.as_slice()).collect();
        if heard.is_empty() {
            heard.push(&[]);
        }
        for chords in heard {
            let pass = Pass { chords: joined(held.as_ref(), &row, chords) };
            if !pass.chords.is_empty() && !passes.contains(&pass) {
                passes.push(pass);
            }
        }
        held = row.last().map(|(_, chord)| chord.clone()).or(held);
        harmony.push(BarHarmony { passes });
    }
    harmony
}

/// The row's chords in one bar, the changes' where the row says nothing yet.
fn joined(
    held: Option<&Option<Chord>>,
    row: &[(Ticks, Option<Chord>)],
    changes: &[(Ticks, Option<Chord>)],
) -> Vec<(Ticks, Option<Chord>)> {
    let mut chords: Vec<(Ticks, Option<Chord>)> = match (held, row.first()) {
        (Some(_), Some((Ticks::ZERO, _))) => Vec::new(),
        (Some(held), _) => vec![(Ticks::ZERO, held.clone())],
        (None, Some((from, _))) => changes.iter().filter(|(at, _)| at < from).cloned().collect(),
        (None, None) => changes.to_vec(),
    };
    chords.extend_from_slice(row);
    chords
}

/// Doubts each symbol of the `chord` row that the changes contradict while it holds, unless it is
/// marked as meant. Bars in which a symbol is unclear are passed over. `name` is that of the
/// changes.
pub(super) fn compare(
    bars: &[Bar],
    places: &[BarPlace],
    over: &[Vec<&HarmonyBar>],
    unclear: &BTreeSet<usize>,
    name: &str,
    big_beats: bool,
    findings: &mut Findings,
) {
    let mut held: Option<(&ChordAt, Span)> = None;
    let mut reported = BTreeSet::new();
    for (index, ((bar, place), changes)) in bars.iter().zip(places).zip(over).enumerate() {
        if unclear.contains(&index) {
            held = None;
            continue;
        }
        let symbol = |index: usize| Some((bar.chords.get(index)?, *place.chords.get(index)?));
        for heard in changes {
            for (at, heard) in meetings(bar, heard) {
                let next = bar.chords.partition_point(|chord| chord.at <= at);
                let written = next.checked_sub(1).and_then(symbol).or(held);
                let Some((written, span)) = written.filter(|(it, _)| it.chord != *heard) else {
                    continue;
                };
                if !is_meant(bar, at) && reported.insert(span) {
                    let (written, heard) = (written.chord.as_ref(), heard.as_ref());
                    let finding = chords_differ::from_changes(span, written, name, heard);
                    let count = place::count(bar, at, big_beats);
                    findings.add(finding.heard_at(&format!("{}, {count}", place::bar(bar))));
                }
            }
        }
        held = bar.chords.len().checked_sub(1).and_then(symbol).or(held);
    }
}

/// The moments at which row or changes begin a chord, with the changes' chord there.
fn meetings<'h>(bar: &Bar, heard: &'h HarmonyBar) -> Vec<(Ticks, &'h Option<Chord>)> {
    let moments: BTreeSet<Ticks> = bar
        .chords
        .iter()
        .map(|chord| chord.at)
        .chain(heard.chords.iter().map(|(at, _)| *at))
        .filter(|at| *at < bar.length)
        .collect();
    let chord_at = |at: Ticks| {
        let next = heard.chords.partition_point(|(from, _)| *from <= at);
        heard.chords.get(next.checked_sub(1)?).map(|(_, chord)| (at, chord))
    };
    moments.into_iter().filter_map(chord_at).collect()
}

fn is_meant(bar: &Bar, at: Ticks) -> bool {
    bar.events
        .binary_search_by_key(&at, |event| event.at)
        .ok()
        .and_then(|index| bar.events.get(index))
        .is_some_and(|event| event.meant)
}
