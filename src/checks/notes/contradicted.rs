//! `chord-contradicted`: the notes under a chord symbol spell another chord. Of the symbol and the notes the symbol
//! is the likelier slip: it is one sign, and they are many.

use super::Case;
use super::context::{Tone, Under, holds};
use crate::findings::rules::chord_contradicted;
use crate::findings::{Finding, Findings, Ground, Span};
use crate::theory::spelling::{Direction, spell};
use crate::theory::{Chord, Midi, Ticks};
use std::collections::BTreeSet;

/// Fewer notes don't spell a chord (assumed).
const NOTES: usize = 4;
/// Of the notes at most this share may be the symbol's, and at least this share the other chord's. Set on
/// `tests/riffs/tuned`; experts agree on three chords in four at best (Koops and others 2019).
const MOST_OF_THE_SYMBOL: f64 = 0.34;
const LEAST_OF_THE_OTHER: f64 = 0.8;
/// The least share of a chord that is not in the key.
const ALL_OF_A_FOREIGN_ONE: f64 = 1.0;
/// So many different notes of the other chord must be heard.
const HEARD: u32 = 3;

/// The chords that notes are taken to spell: half steps above the root, and what stands behind its name. Of two that fit
/// alike the first is meant: a seventh is named only where it is heard.
const KINDS: [(&[u8], &str); 6] = [
    (&[0, 4, 7], ""),
    (&[0, 3, 7], "m"),
    (&[0, 4, 7, 10], "7"),
    (&[0, 3, 7, 10], "m7"),
    (&[0, 4, 7, 11], "maj7"),
    (&[0, 3, 6], "dim"),
];

/// The bars whose symbols are contradicted, with the findings.
pub fn check(case: &Case<'_>, settled: &BTreeSet<usize>) -> Vec<(usize, Finding)> {
    if case.line.chords_are_inferred || case.line.key.is_none() {
        return Vec::new();
    }
    let bars = (0..case.line.bars.len()).filter(|bar| !settled.contains(bar));
    let symbols = bars.flat_map(|bar| symbols(case, bar));
    let doubts = symbols.filter_map(|symbol| Some((symbol.bar, doubt(case, &symbol)?)));
    doubts.take(Findings::PATIENCE).collect()
}

/// A chord symbol with the notes under it.
struct Symbol<'a> {
    bar: usize,
    chord: &'a Chord,
    /// Where it is written; nothing where it is written in the changes.
    span: Option<Span>,
    tones: Vec<&'a Tone>,
}

/// The symbols that begin in a bar that has one harmony.
fn symbols<'a>(case: &'a Case<'_>, bar: usize) -> Vec<Symbol<'a>> {
    let harmony = case.line.riff.harmony.get(bar).map(|harmony| harmony.passes.as_slice());
    let Some([pass]) = harmony else { return Vec::new() };
    let written = case.line.places.bars.get(bar).map_or(&[][..], |bar| bar.chords.as_slice());
    // One that is held from the bar before is not written here.
    let held = pass.chords.len().saturating_sub(written.len());
    let ends = pass.chords.iter().skip(1).map(|(at, _)| *at).chain([Ticks(u32::MAX)]);
    let of_chord = |(index, ((from, chord), to)): (usize, (&'a (Ticks, Option<Chord>), Ticks))| {
        let within = |tone: &&Tone| (*from..to).contains(&tone.at);
        let tones = case.line.in_bar(bar).iter().filter(within).collect();
        let span = index.checked_sub(held).and_then(|index| written.get(index)).copied();
        Some(Symbol { bar, chord: chord.as_ref()?, span, tones })
    };
    let symbols = pass.chords.iter().zip(ends).enumerate().filter_map(of_chord);
    symbols.filter(|symbol| symbol.span.is_some() || written.is_empty()).collect()
}

fn doubt(case: &Case<'_>, symbol: &Symbol) -> Option<Finding> {
    let tones = &symbol.tones;
    if tones.len() < NOTES || tones.iter().any(|tone| tone.meant) {
        return None;
    }
    let own = symbol.chord.classes();
    let first = tones.first()?;
    let lowest = tones.iter().filter(|tone| tone.at == first.at).map(|tone| tone.pitch).min()?;
    if share(tones, own) > MOST_OF_THE_SYMBOL || holds(own, lowest) {
        return None;
    }
    let (root, kind) = spelled(case, tones, lowest)?;
    let name = format!("{}{kind}", spell(root, case.key, None, Direction::Unknown).note);
    let bar = case.line.riff.bars.get(symbol.bar)?.number;
    let (place, symbols) = (format!("bar {bar}"), symbol.chord.to_string());
    let Some(span) = symbol.span else {
        let finding = chord_contradicted::of_changes(first.span, &place, &name, &symbols);
        return Some(finding);
    };
    let finding = chord_contradicted::of_row(span, &place, &name, &symbols);
    Some(match case.sheet.symbol_written(span, &name) {
        Some((span, text)) => finding.fix(format!("`{name}`"), span, text, Ground::Choice),
        None => finding,
    })
}

/// How many of some tones are in a chord, of one.
fn share(tones: &[&Tone], classes: u16) -> f64 {
    let held = tones.iter().filter(|tone| holds(classes, tone.pitch)).count();
    held as f64 / tones.len() as f64
}

/// The root, nearest above the lowest note, and the kind of the chord that notes spell: of those that may be meant the
/// one that holds most of them, of those that hold as many the one whose root is the lowest.
fn spelled(case: &Case<'_>, tones: &[&Tone], lowest: Midi) -> Option<(Midi, &'static str)> {
    let heard = tones.iter().fold(0u16, |heard, tone| heard | 1 << tone.pitch.class());
    let of_root = |root: Midi| {
        KINDS.into_iter().filter_map(move |(steps, kind)| {
            let chord = Under::of_steps(root.class(), steps);
            let seventh = steps.get(3).map(|seventh| root.class() + seventh);
            let is_heard = (heard & chord.classes).count_ones() >= HEARD
                && [Some(root.class()), seventh]
                    .into_iter()
                    .flatten()
                    .all(|c| heard & 1 << (c % 12) != 0);
            (is_heard && chord.holds(lowest))
                .then(|| (share(tones, chord.classes), chord.classes, root, kind))
        })
    };
    let roots = (0..12).map(|above| Midi::new(lowest.number() + above));
    let is_usual =
        |fits: f64, classes: u16| classes & !case.line.at_home == 0 || fits >= ALL_OF_A_FOREIGN_ONE;
    let fitting = roots
        .flat_map(of_root)
        .filter(|(fits, classes, ..)| *fits >= LEAST_OF_THE_OTHER && is_usual(*fits, *classes));
    // The first of the best.
    let best = fitting.reduce(|best, next| if next.0 > best.0 { next } else { best });
    best.map(|(.., root, kind)| (root, kind))
}
