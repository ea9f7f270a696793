//! `wrong-note`: a note that is in neither chord nor key, and that nothing explains. `stranger`: one that only a
//! loose explanation saves.

use super::Case;
use super::context::{Explained, StringFret, Tone};
use super::score::{alternatives, is_foreign, is_outside};
use crate::findings::rules::{stranger, wrong_note};
use crate::findings::{Finding, Findings, Ground};
use crate::theory::Midi;
use crate::theory::spelling::{Direction, spell};
use std::collections::BTreeSet;

/// How much likelier the best other reading must be where chords are only inferred, where only the key is: then
/// only strong cases are raised. Set on `tests/riffs/tuned`; the hand note, section 5.3, has 2.2 to 2.4 for two
/// false flags in a hundred notes.
const STRONG_WITHOUT_CHORDS: f64 = 4.0;
const STRONG_WITHOUT_KEY: f64 = 2.5;
/// Where more than one note in so many is a stranger, the riff is told once: it is of another harmony than its chords
/// say, or freely chromatic (language section 6).
const ONE_IN: usize = 8;

/// The findings about the notes of a riff outside the bars that are settled otherwise.
pub fn check(case: &Case<'_>, settled: &BTreeSet<usize>) -> Vec<Finding> {
    let open = || case.line.tones.iter().filter(|tone| !settled.contains(&tone.bar) && !tone.meant);
    let foreign = open().filter(|tone| is_foreign(case.line, tone, tone.pitch));
    let mut findings: Vec<Finding> =
        foreign.take(Findings::PATIENCE).filter_map(|tone| doubt(case, tone)).collect();
    let strange = |tone| Some((tone, loosely_explained(case, tone)?));
    let strangers: Vec<(&Tone, Explained)> = open().filter_map(strange).collect();
    findings.extend(hints(case, &strangers));
    findings
}

/// What explains a note outside chord and key where that says little. Where chords or key are inferred nobody is told.
fn loosely_explained(case: &Case<'_>, tone: &Tone) -> Option<Explained> {
    if is_inferred(case) || !is_outside(case.line, tone, tone.pitch) {
        return None;
    }
    case.line.explained(tone, tone.pitch).filter(|explained| explained.is_loose)
}

fn hints(case: &Case<'_>, strangers: &[(&Tone, Explained)]) -> Vec<Finding> {
    if strangers.len() * ONE_IN > case.line.tones.len() {
        let first = strangers.first().map(|(tone, _)| stranger::many(tone.span, strangers.len()));
        return first.into_iter().collect();
    }
    let hint = |(tone, explained): &(&Tone, Explained)| {
        let place = case.line.riff.place(tone.bar, tone.at, Some(tone.place.string));
        let (note, chord) = (named(case, tone, tone.pitch), chord_words(case, tone));
        stranger::loose(tone.span, &note, &chord, &key_words(case), explained.by.name())
            .heard_at(&place)
    };
    strangers.iter().take(Findings::PATIENCE).map(hint).collect()
}

fn is_inferred(case: &Case<'_>) -> bool {
    case.line.chords_are_inferred || case.line.key_is_inferred
}

fn key_words(case: &Case<'_>) -> String {
    case.key.map_or_else(|| "the key".to_owned(), ToString::to_string)
}

/// The doubt about a foreign note. Where chords or key are inferred it is raised only where another reading is far
/// likelier, and without chords only where the note comes once: what comes again is another harmony.
fn doubt(case: &Case<'_>, tone: &Tone) -> Option<Finding> {
    let readings = alternatives(case.line, &case.habits, tone);
    let strong = match (case.line.chords_are_inferred, case.line.key_is_inferred) {
        (true, _) => STRONG_WITHOUT_CHORDS,
        (false, true) => STRONG_WITHOUT_KEY,
        (false, false) => f64::NEG_INFINITY,
    };
    let gain = readings.first().map_or(f64::NEG_INFINITY, |(_, gain)| *gain);
    if gain < strong || case.line.chords_are_inferred && comes_again(case, tone) {
        return None;
    }
    let place = case.line.riff.place(tone.bar, tone.at, Some(tone.place.string));
    let (note, chord) = (named(case, tone, tone.pitch), chord_words(case, tone));
    let finding = wrong_note::foreign(tone.span, &note, &chord, &key_words(case)).heard_at(&place);
    let finding = match is_inferred(case) {
        true => finding.note(inferred_words(case)),
        false => finding,
    };
    let fitting = readings.iter().map(|(place, _)| *place).filter(|place| fits(case, tone, *place));
    Some(with_readings(case, finding, tone, &fitting.collect::<Vec<_>>()))
}

/// Whether a note's pitch class is heard again in its bar or the bars beside it.
fn comes_again(case: &Case<'_>, tone: &Tone) -> bool {
    let near = tone.bar.saturating_sub(1)..=tone.bar + 1;
    let mut others = near.flat_map(|bar| case.line.in_bar(bar));
    others.any(|other| {
        other.pitch.class() == tone.pitch.class() && (other.bar, other.at) != (tone.bar, tone.at)
    })
}

/// Whether a note would raise no doubt at another place.
fn fits(case: &Case<'_>, tone: &Tone, place: StringFret) -> bool {
    let Some(pitch) = case.line.pitch(place) else { return false };
    !is_foreign(case.line, tone, pitch)
}

fn chord_words(case: &Case<'_>, tone: &Tone) -> String {
    let chord = case.line.riff.chord_at(tone.bar, tone.at);
    match chord.filter(|_| !case.line.chords_are_inferred) {
        Some(chord) => format!("`{chord}`"),
        None => "the bar's chord".to_owned(),
    }
}

fn inferred_words(case: &Case<'_>) -> &'static str {
    match (case.line.chords_are_inferred, case.line.key_is_inferred) {
        (true, true) => "chords and key are inferred from the notes",
        (true, false) => "the chords are inferred from the notes",
        _ => "the key is inferred from the notes",
    }
}

/// A note's name by key and chord.
pub fn named(case: &Case<'_>, tone: &Tone, pitch: Midi) -> String {
    let chord = case.line.riff.chord_at(tone.bar, tone.at);
    spell(pitch, case.key, chord, Direction::Unknown).note.to_string()
}

/// How many readings are offered.
const READINGS: usize = 3;

/// The finding with the best readings, each a fix where it can be written.
pub fn with_readings(
    case: &Case<'_>,
    mut finding: Finding,
    tone: &Tone,
    places: &[StringFret],
) -> Finding {
    let readings: Vec<&StringFret> = places.iter().take(READINGS).collect();
    let words: Vec<String> = readings.iter().map(|place| reading(case, tone, **place)).collect();
    if !words.is_empty() {
        finding = finding.note(format!("likely meant: {}", words.join(", or ")));
    }
    for (place, says) in readings.into_iter().zip(words) {
        if let Some((span, text)) = case.sheet.placed(tone, *place) {
            finding = finding.fix(says, span, text, Ground::Choice);
        }
    }
    finding
}

/// "fret 2 on the second string (`C#`)".
fn reading(case: &Case<'_>, tone: &Tone, place: StringFret) -> String {
    let name = case.line.pitch(place).map(|pitch| named(case, tone, pitch)).unwrap_or_default();
    let number = case.line.riff.instrument.tuning.number(place.string);
    let fret =
        if place.fret.is_open() { "open".to_owned() } else { format!("at fret {}", place.fret) };
    format!("string {number} {fret}, `{name}`")
}
