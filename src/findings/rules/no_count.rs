//! A riff has no `count` row, so it is printed without rhythm and only checked for what needs no time.
//!
//! ## Why it matters
//!
//! A tab without a count leaves the student to guess the rhythm, and nobody can check whether its bars
//! add up.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! e     0---2---3---5---|
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

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `no-count`.
pub static RULE: Rule =
    Rule { name: "no-count", weight: Weight::Hint, source: include_str!("no_count.rs") };

/// A riff has no `count` row.
pub fn riff(span: Span) -> Finding {
    Finding::new(&RULE, span, "this riff has no `count` row")
        .note("it is printed without rhythm, and only what needs no time is checked")
}
