//! The rows of a riff stand from the lowest string to the highest; it was read so.
//!
//! Where the labels fit and only the rows under them were turned over, it is the notes that tell: turned back,
//! all of the riff fits its chords and its key much better.
//!
//! ## Why it matters
//!
//! A tab is written with the highest string on top. Turned over, a student reads every note on the wrong
//! string.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! E     0---------------|
//! A     ----2-----------|
//! D     --------2-------|
//! G     ------------1---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! G     ------------1---|
//! D     --------2-------|
//! A     ----2-----------|
//! E     0---------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `upside-down`.
pub static RULE: Rule =
    Rule { name: "upside-down", weight: Weight::Doubt, source: include_str!("upside_down.rs") };

/// The rows under their labels fit from the lowest string up; `kind` is what they make up, such as "a tab".
pub fn rows(span: Span, kind: &str) -> Finding {
    Finding::new(&RULE, span, "the rows fit this tuning only from the lowest string up")
        .note(format!("they are read so; {kind} has its highest string on top"))
}

/// The notes sound much better with the rows turned over under their labels.
pub fn turned_over(span: Span) -> Finding {
    let message = "turned over, the highest string's row under the lowest's label, this riff fits its chords and its key much better";
    Finding::new(&RULE, span, message)
        .note("what is written on the highest string may belong on the lowest, and so on")
}
