//! A chord has notes that are not in the key.
//!
//! ## Why it matters
//!
//! Most such chords are meant: they borrow from the minor key, or lead to another chord than the tonic.
//! The hint says which function explains it. Where none does, look twice.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Morning Scales
//! key: A major
//! ---
//!
//! ~~~ changes
//! | A | B7 | E | A |
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! key: A major
//! ---
//!
//! ~~~ changes
//! | A | Bm7 | E | A |
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::numeral::{Around, Explanation, Function, explanation};
use crate::theory::{Chord, Key};
use crate::words::terms;

/// The rule `outside-key`.
pub static RULE: Rule =
    Rule { name: "outside-key", weight: Weight::Hint, source: include_str!("outside_key.rs") };

/// A chord that is not in the key, with what explains it, by the chords around it.
pub fn chord(span: Span, chord: &Chord, around: Around<'_>, key: &Key) -> Finding {
    let finding = Finding::new(&RULE, span, format!("`{chord}` is not in {key}"));
    let Explanation { function, foreign_bass } = explanation(chord, around, key);
    match (function, foreign_bass) {
        (Some(Function::Own(own)), Some(bass)) => {
            let word = terms::own(own);
            finding.note(format!("only its bass `{bass}` is outside; the chord is the {word}"))
        }
        (Some(function), bass) => {
            let bass = bass.map(|bass| format!("; its bass `{bass}` is outside too"));
            let (words, bass) = (terms::function(function), bass.unwrap_or_default());
            finding.note(format!("what explains it: {words}{bass}"))
        }
        (None, _) => finding,
    }
}
