//! A numeral is used where no key is in force.
//!
//! ## Why it matters
//!
//! `ii V I` names chords only in a key. Without one the numerals can't be turned into chords, nor
//! checked.
//!
//! ## An example
//!
//! ````text
//! The pull of `V7` to `I` is felt at once.
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
//! The pull of `V7` to `I` is felt at once.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `no-key`.
pub static RULE: Rule =
    Rule { name: "no-key", weight: Weight::Hint, source: include_str!("no_key.rs") };
