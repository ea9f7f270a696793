//! The value of a key in the header, or in a `now`, is not one that the key can take.
//!
//! ## Why it matters
//!
//! The meter decides whether bars add up, the tuning decides what each fret sounds, and the key
//! decides how notes are spelled. A value that can't be read would make all of that wrong.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Morning Scales
//! meter: 4/5
//! ---
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! meter: 4/4
//! ---
//! ````

use crate::findings::{Rule, Weight};

/// The rule `header-value`.
pub static RULE: Rule =
    Rule { name: "header-value", weight: Weight::Fault, source: include_str!("header_value.rs") };
