//! A bar's counts stop a beat or more before its end, in a riff whose other bars count their last beat.
//!
//! ## Why it matters
//!
//! Often a beat was forgotten. If the last note is meant to last, count on beneath it, so that whoever
//! plays it holds it long enough.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |1   2   3   |
//! e     0---2---3---5---|3---2---0---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |1   2   3   4   |
//! e     0---2---3---5---|3---2---0-------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `bar-short`.
pub static RULE: Rule =
    Rule { name: "bar-short", weight: Weight::Hint, source: include_str!("bar_short.rs") };

/// A bar ends before its last beat, and no other does: `last` is its last count, in words.
pub fn stops(span: Span, bar: &str, last: &str) -> Finding {
    Finding::new(
        &RULE,
        span,
        format!("{bar} stops at {last}, the other bars count their last beat"),
    )
    .note("count the bar's last beat, or put a rest in brackets there")
}
