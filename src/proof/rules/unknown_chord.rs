//! A chord symbol can't be read.
//!
//! ## Why it matters
//!
//! A student can't play a chord that nobody can name. The message gives the nearest symbol that can be
//! read.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes
//! | A | Dmoj7 |
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes
//! | A | Dmaj7 |
//! ~~~
//! ````

use crate::proof::{Rule, Weight};

/// The rule `unknown-chord`.
pub static RULE: Rule =
    Rule { name: "unknown-chord", weight: Weight::Fault, source: include_str!("unknown_chord.rs") };
