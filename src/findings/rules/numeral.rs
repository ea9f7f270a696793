//! A sentence gives a chord a numeral that it doesn't have in that key.
//!
//! ## Why it matters
//!
//! Numerals tell what a chord does in its key. A wrong one teaches the wrong sound, and the tune can't
//! be moved to another key by it.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Morning Scales
//! key: A major
//! ---
//!
//! The second chord, `F#m7 is ii7`, looks back.
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
//! The second chord, `F#m7 is vi7`, looks back.
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::{Chord, Key, Numeral};

/// The rule `numeral`.
pub static RULE: Rule =
    Rule { name: "numeral", weight: Weight::Fault, source: include_str!("numeral.rs") };

/// A chord is another numeral of the key than is said.
pub fn another(span: Span, chord: &Chord, key: &Key, right: &Numeral, said: &Numeral) -> Finding {
    let meant = said.chord_in(key);
    Finding::new(&RULE, span, format!("`{chord}` is {right} in {key}, not {said}"))
        .note(format!("{said} in {key} is `{meant}`"))
}
