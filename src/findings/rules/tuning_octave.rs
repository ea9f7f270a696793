//! A string of the tuning seems to be named in a wrong octave.
//!
//! It lies lower than the string before it, or more than a sixth above, and an octave higher or lower it doesn't. The
//! tunings that the trade has names for are never doubted.
//!
//! ## Why it matters
//!
//! Octaves count from C: the string below `C3` is `B2`. A string in a wrong octave makes every note on it wrong, and
//! fingerings and charts with it.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Low Water
//! tuning: D2 A2 D4 G3 A3 D4
//! ---
//!
//! Tune slowly.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Low Water
//! tuning: D2 A2 D3 G3 A3 D4
//! ---
//!
//! Tune slowly.
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `tuning-octave`.
pub static RULE: Rule =
    Rule { name: "tuning-octave", weight: Weight::Doubt, source: include_str!("tuning_octave.rs") };

/// A string is named so, and `meant` would go with the others; `whole` is the tuning with it.
pub fn odd(span: Span, named: &str, meant: &str, whole: &str) -> Finding {
    let message =
        format!("`{named}` doesn't go with the other strings; an octave off, `{meant}` does");
    Finding::new(&RULE, span, message).fix(format!("`{meant}`"), span, whole, Ground::Choice)
}
