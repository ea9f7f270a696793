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

use crate::findings::{Rule, Weight};

/// The rule `outside-key`.
pub static RULE: Rule =
    Rule { name: "outside-key", weight: Weight::Hint, source: include_str!("outside_key.rs") };
