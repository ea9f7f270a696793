//! Two notes are to sound on one string at the same time.
//!
//! ## Why it matters
//!
//! A string sounds one note. One of the two belongs on another string.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0   2---3---5---|
//! E4    3   ------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0---2---3---5---|
//! B     3---------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `same-string`.
pub static RULE: Rule =
    Rule { name: "same-string", weight: Weight::Fault, source: include_str!("same_string.rs") };

/// Two notes are to sound on one string at the same time.
pub fn two_notes(first: Span, second: Span) -> Finding {
    Finding::new(&RULE, second, "two notes on one string at the same time")
        .label(first, "the other note")
        .note("a string sounds one note; one of the two belongs on another string")
}
