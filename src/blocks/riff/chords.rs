//! The `chord` row, and the harmony in force.

use super::chains::nearest_counts;
use super::clock::Under;
use super::columns::Word;
use super::lines::{Row, System};
use super::place;
use super::rows;
use super::setup::Setup;
use crate::blocks::tab::places::BarPlace;
use crate::findings::Span;
use crate::findings::rules::{chords_differ, column_adrift, outside_key, unknown_chord};
use crate::findings::{Finding, Findings, Ground};
use crate::music::tab::{Bar, BarHarmony, ChordAt, Pass};
use crate::theory::harmony::HarmonyBar;
use crate::theory::numeral::in_key;
use crate::theory::{Chord, Key, Ticks};
use std::collections::BTreeSet;

/// A symbol of a `chord` row.
#[derive(Debug)]
pub(super) struct Placed {
    /// The index of its bar.
    pub bar: usize,
    /// What it says.
    pub chord: ChordAt,
    /// Where it stands.
    pub span: Span,
}

/// The `chord` rows of a riff.
#[derive(Debug, Default)]
pub(super) struct Symbols {
    /// The symbols in their order.
    pub placed: Vec<Placed>,
    /// The bars with a symbol that could not be read or placed, which has been reported.
    pub unclear: BTreeSet<usize>,
}

/// Reads the `chord` rows of all systems.
pub(super) fn read(setup: &Setup, findings: &mut Findings) -> Symbols {
    let mut symbols = Symbols::default();
    let rows = setup.systems.iter().filter_map(|system: &System| system.row(&rows::Chord));
    for row in rows {
        for word in row.words(1).iter().filter(|word| !is_aside(word)) {
            match read_symbol(setup, row, word, findings) {
                Some(symbol) => symbols.placed.push(symbol),
                None => symbols.unclear.extend(setup.bar_at(word.column)),
            }
        }
    }
    symbols
}

/// Whether a word is no symbol: dashes fill a row, and a name in brackets tells twins of the
/// symbol before it apart.
fn is_aside(word: &Word) -> bool {
    word.text.starts_with('(') || word.text.chars().all(|sign| matches!(sign, '-' | '–' | '—'))
}

fn read_symbol(setup: &Setup, row: &Row, word: &Word, findings: &mut Findings) -> Option<Placed> {
    let moment = moment(setup, word, findings);
    let chord = match word.text.as_str() {
        none if Chord::is_none(none) => None,
        symbol => match Chord::parse(symbol) {
            Ok(chord) => Some(chord),
            Err(error) => {
                let finding = unknown_chord::without_repairs(word.span, symbol, &error)
                    .heard_at(&setup.count_at(word.column));
                let offer = |finding, meant: &String| with_fix(finding, row, word, meant);
                findings.add(error.meant.iter().fold(finding, offer));
                return None;
            }
        },
    };
    let (bar, at) = moment?;
    Some(Placed { bar, chord: ChordAt { at, chord }, span: word.span })
}

/// Offers the nearest symbol, the columns behind it kept where they are; where there is no room
/// for it, in words only.
fn with_fix(finding: Finding, row: &Row, word: &Word, near: &str) -> Finding {
    let (old, new) = (word.text.chars().count(), near.chars().count());
    let behind = (word.column + old).saturating_sub(row.column);
    let spaces = row.cells.iter().skip(behind).take_while(|cell| cell.is_space()).count();
    let at_end = behind + spaces >= row.cells.len();
    let says = format!("the chord {near}");
    if new <= old {
        let text = format!("{near}{}", " ".repeat(old - new));
        return finding.fix(says, word.span, text, Ground::Choice);
    }
    let more = new - old;
    if spaces > more || row.cells.get(behind + more).is_some_and(|cell| cell.barred) {
        let span = row.span(word.column, word.column + new);
        return finding.fix(says, span, near, Ground::Choice);
    }
    if at_end {
        let span = row.span(word.column, row.end());
        return finding.fix(says, span, near, Ground::Choice);
    }
    finding.note(format!("did you mean `{near}`?"))
}

fn moment(setup: &Setup, word: &Word, findings: &mut Findings) -> Option<(usize, Ticks)> {
    match setup.clock.under(word.column) {
        Under::Count(moment) | Under::Rest(moment) => return Some((moment.bar, moment.at)),
        Under::Unclear => return None,
        Under::Nothing => {}
    }
    let bar = setup.bar_at(word.column)?;
    if setup.columns.get(bar).is_some_and(|columns| columns.first.contains(&word.column)) {
        return Some((bar, Ticks::ZERO));
    }
    let near = nearest_counts(setup.clock, setup.bars, word.column, bar, setup.big_beats);
    let finding = column_adrift::over_no_count(word.span, &word.text, &near);
    let bar = setup.bars.get(bar).map(place::bar).unwrap_or_default();
    findings.add(finding.heard_at(&bar));
    None
}

/// Hints at each chord that is not in the key, the first time that it stands.
pub(super) fn outside_key(chords: &[Placed], key: Option<&Key>, findings: &mut Findings) {
    let Some(key) = key else { return };
    let mut seen = BTreeSet::new();
    for placed in chords {
        let Some(chord) = placed.chord.chord.as_ref().filter(|chord| !in_key(chord, key)) else {
            continue;
        };
        if seen.insert(chord.to_string()) {
            findings.add(outside_key::chord(placed.span, chord, key));
        }
    }
}

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
