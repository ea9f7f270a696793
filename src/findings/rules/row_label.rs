//! A row's label is no row that a riff knows, or no string of the tuning, or leaves open which string
//! is meant.
//!
//! ## Why it matters
//!
//! A row under the wrong string is a whole line of wrong notes.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! F     0---2---3---5---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0---2---3---5---|
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `row-label`.
pub static RULE: Rule =
    Rule { name: "row-label", weight: Weight::Fault, source: include_str!("row_label.rs") };
