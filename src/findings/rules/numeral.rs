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

use crate::findings::{Rule, Weight};

/// The rule `numeral`.
pub static RULE: Rule =
    Rule { name: "numeral", weight: Weight::Fault, source: include_str!("numeral.rs") };
