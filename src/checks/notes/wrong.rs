//! `wrong-note`: a note that is in neither chord nor key, and that nothing explains.

use super::context::{StringFret, Tone};
use super::{Case, PLAIN_KEY};
use crate::findings::rules::wrong_note;
use crate::findings::{Finding, Findings, Ground};
use crate::theory::Midi;
use crate::theory::spelling::{Direction, spell};
use std::collections::BTreeSet;

/// How much likelier the best other reading must be where chords or key are only inferred: then
/// only strong cases are raised. Set on `tests/riffs/tuned`; the hand note, section 5.3, has 2.2 to 2.4 for two
/// false flags in a hundred notes.
const STRONG: f64 = 2.5;

/// The findings about the notes of a riff outside the bars that are settled otherwise.
pub fn check(case: &Case<'_>, settled: &BTreeSet<usize>) -> Vec<Finding> {
    let open = case.line.tones.iter().filter(|tone| !settled.contains(&tone.bar) && !tone.meant);
    open.filter(|tone| is_foreign(case, tone, tone.pitch))
        .take(Findings::PATIENCE)
        .filter_map(|tone| doubt(case, tone))
        .collect()
}

/// Whether a note, were it of another pitch, is outside chord and key and nothing explains it.
fn is_foreign(case: &Case<'_>, tone: &Tone, pitch: Midi) -> bool {
    let line = case.line;
    let known = line.key.is_some_and(|found| found.margin > PLAIN_KEY);
    known
        && tone.chord.is_some_and(|chord| !chord.holds(pitch))
        && !line.is_at_home(pitch)
        && line.explained(tone, pitch).is_none()
}

fn doubt(case: &Case<'_>, tone: &Tone) -> Option<Finding> {
    let readings = super::score::alternatives(case.line, &case.habits, tone);
    let inferred = case.line.chords_are_inferred || case.line.key_is_inferred;
    if inferred && readings.first().is_none_or(|(_, gain)| *gain < STRONG) {
        return None;
    }
    let place = case.line.riff.place(tone.bar, tone.at, Some(tone.place.string));
    let key = case.key.map_or_else(|| "the key".to_owned(), ToString::to_string);
    let (note, chord) = (named(case, tone, tone.pitch), chord_words(case, tone));
    let finding = wrong_note::foreign(tone.span, &note, &chord, &key).heard_at(&place);
    let finding = match inferred {
        true => finding.note(inferred_words(case)),
        false => finding,
    };
    let fitting = readings.iter().map(|(place, _)| *place).filter(|place| fits(case, tone, *place));
    Some(with_readings(case, finding, tone, &fitting.collect::<Vec<_>>()))
}

/// Whether a note would raise no doubt at another place.
fn fits(case: &Case<'_>, tone: &Tone, place: StringFret) -> bool {
    let Some(pitch) = case.line.pitch(place) else { return false };
    !is_foreign(case, tone, pitch)
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

/// The finding with the two best readings, each a fix where it can be written.
pub fn with_readings(
    case: &Case<'_>,
    mut finding: Finding,
    tone: &Tone,
    places: &[StringFret],
) -> Finding {
    let readings: Vec<&StringFret> = places.iter().take(2).collect();
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
