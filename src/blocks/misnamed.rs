//! The check that a fingering sounds the chord that it is called: in `shape` blocks and in phrases.

use crate::findings::rules::{bass_note, shape_misnamed};
use crate::findings::{Finding, Findings, Ground, Span};
use crate::lesson::fret_row::FretRow;
use crate::neck::claim::{BassDoubt, Claim, Truth};
use crate::neck::{Fret, StringIndex, by_string};
use crate::theory::chord::Verdict;
use crate::theory::spelling::{self, Direction};
use crate::theory::{Chord, Key, Midi, Note};
use crate::words::{either, listed};

/// How many changes of frets a finding offers.
const FIXES: usize = 3;

/// Where a claim stands in the lesson, and the key in force there.
#[derive(Debug, Clone, Copy)]
pub struct ClaimPlace<'a> {
    /// The chord's name.
    pub name: Span,
    /// The frets.
    pub row: &'a FretRow<'a>,
    /// The key, if one is named.
    pub key: Option<&'a Key>,
}

/// Checks that a fingering sounds the chord that it is called: gives `shape-misnamed` where it
/// doesn't, `bass-note` where its root is missing or another note lies lowest. `findings` are those so far.
pub fn check(claim: &Claim, place: &ClaimPlace, findings: &Findings) -> Option<Finding> {
    let finding = match claim.truth() {
        Truth::Sounds => return None,
        Truth::Misnamed(verdict) => misnamed(claim, place, &verdict),
        Truth::Bass(doubt) => bass(claim, place, doubt),
    };
    let names = claim.true_names(place.key);
    let finding = with_names(finding, &names);
    let finding = findings.helped(finding, |finding| with_repairs(finding, claim, place));
    Some(with_new_name(finding, claim, place, &names))
}

fn misnamed(claim: &Claim, place: &ClaimPlace, verdict: &Verdict) -> Finding {
    let foreign = claim.foreign_strings();
    let strings: Vec<String> =
        foreign.iter().map(|(string, midi)| sound_of(*string, *midi, claim, place)).collect();
    let finding = shape_misnamed::untrue(place.name, claim.chord, verdict, &strings);
    foreign.into_iter().fold(finding, |finding, (string, midi)| {
        let says = format!("{}, no tone of `{}`", spelled(midi, claim, place), claim.chord);
        mark(finding, place, string, says)
    })
}

fn bass(claim: &Claim, place: &ClaimPlace, doubt: BassDoubt) -> Finding {
    let chord = claim.chord;
    match doubt {
        BassDoubt::NoRoot => bass_note::without_root(place.name, chord, chord.root),
        BassDoubt::Lowest { string, sounds, wanted } => {
            let lowest = sound_of(string, sounds, claim, place);
            let finding = bass_note::not_lowest(place.name, chord, &lowest, wanted);
            mark(finding, place, string, format!("{} is lowest", spelled(sounds, claim, place)))
        }
    }
}

/// The finding with a string's fret marked.
fn mark(finding: Finding, place: &ClaimPlace, string: StringIndex, says: String) -> Finding {
    match place.row.frets.get(string.index()) {
        Some(fret) => finding.label(fret.span, says),
        None => finding,
    }
}

/// What a string sounds, with its number: "B on string 3".
fn sound_of(string: StringIndex, midi: Midi, claim: &Claim, place: &ClaimPlace) -> String {
    let number = claim.instrument.tuning.number(string);
    format!("{} on string {number}", spelled(midi, claim, place))
}

/// The note that a pitch is called.
fn spelled(midi: Midi, claim: &Claim, place: &ClaimPlace) -> Note {
    spelling::spell(midi, place.key, Some(claim.chord), Direction::Unknown).note
}

fn with_names(finding: Finding, names: &[Chord]) -> Finding {
    let names: Vec<String> = names.iter().take(3).map(|name| format!("`{name}`")).collect();
    if names.is_empty() {
        return finding.note("what sounds has no chord name");
    }
    finding.note(format!("what sounds is {}", either(&names)))
}

fn with_repairs(finding: Finding, claim: &Claim, place: &ClaimPlace) -> Finding {
    claim.repairs(FIXES).iter().fold(finding, |finding, frets| {
        let Some((span, replacement)) = place.row.rewritten(frets) else { return finding };
        let changed = by_string(claim.frets).zip(frets).filter(|((_, old), new)| old != new);
        let says: Vec<String> = changed
            .map(|((string, _), new)| change(claim.instrument.tuning.number(string), *new))
            .collect();
        finding.fix(listed(&says), span, replacement, Ground::Choice)
    })
}

/// A change of one string in words: "string 2 at fret 2".
fn change(number: usize, fret: Option<Fret>) -> String {
    match fret {
        None => format!("string {number} silent"),
        Some(Fret::OPEN) => format!("string {number} open"),
        Some(fret) => format!("string {number} at fret {fret}"),
    }
}

/// The finding with the best name that is wholly true as one more repair.
fn with_new_name(finding: Finding, claim: &Claim, place: &ClaimPlace, names: &[Chord]) -> Finding {
    let is_true = |name: &&Chord| Claim { chord: name, ..*claim }.truth() == Truth::Sounds;
    match names.iter().find(is_true) {
        Some(name) => {
            finding.fix(format!("call it `{name}`"), place.name, name.to_string(), Ground::Choice)
        }
        None => finding,
    }
}
