//! What is worth a look in changes that were read.

use super::Changes;
use crate::findings::Span;
use crate::findings::rules::outside_key;
use crate::findings::{Finding, Findings};
use crate::theory::numeral::{Function, function_of, in_key};
use crate::theory::{Chord, Key};
use crate::words::terms;
use std::collections::HashSet;

/// Hints at every distinct chord that is not in the key, where it first stands.
pub(super) fn outside_key(changes: &Changes, key: &Key, findings: &mut Findings) {
    let mut seen = HashSet::new();
    for (chord, span) in changes.chords() {
        if seen.insert(chord) && !in_key(chord, key) {
            findings.add(hint(chord, key, span));
        }
    }
}

fn hint(chord: &Chord, key: &Key, span: Span) -> Finding {
    let message = format!("`{chord}` is not in {key}");
    let finding = Finding::new(&outside_key::RULE, span, message);
    match (function_of(chord, key), chord.bass) {
        (Some(Function::Own(own)), Some(bass)) => {
            let word = terms::own(own);
            finding.note(format!("only its bass `{bass}` is outside; the chord is the {word}"))
        }
        (Some(function), _) => {
            finding.note(format!("what explains it: {}", terms::function(function)))
        }
        (None, _) => finding,
    }
}
