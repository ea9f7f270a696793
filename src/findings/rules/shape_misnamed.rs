//! The fingering sounds another chord than its name says: a tone of the chord is missing, or a foreign
//! one sounds.
//!
//! ## Why it matters
//!
//! It is the slip that every student hears. The report says what is missing and what is foreign, which
//! chord it is in truth, and the smallest change of frets that would make the name true.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 1 0
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2 0
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `shape-misnamed`.
pub static RULE: Rule = Rule {
    name: "shape-misnamed",
    weight: Weight::Fault,
    source: include_str!("shape_misnamed.rs"),
};
