//! A joint that no hand can play as written.
//!
//! A hammer-on and a tap rise, a pull-off falls: both are judged by the frets that are pressed, so
//! that `7b9p8` can't be played, though 8 is less than 9. The sign of a slide rises or falls as the
//! slide does. An open string can't be bent. A bend goes at most two whole steps (four frets) above
//! the fret that is pressed; it may go on in steps (`7b9b10`). A release ends below the bend's top and
//! not below the fret that is pressed (`7b9r8` lets half of it down).
//!
//! ## Why it matters
//!
//! The letter and the frets say two different things, and a student tries the wrong one. Most often
//! the letter was mistaken, sometimes a fret.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2     3   4   |
//! G     5p7-7b9r7-5-------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2     3   4   |
//! G     5h7-7b9r7-5-------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `technique`.
pub static RULE: Rule =
    Rule { name: "technique", weight: Weight::Doubt, source: include_str!("technique.rs") };

/// A joint that can't be played so: `why` in one sentence.
pub fn joint(span: Span, why: String) -> Finding {
    Finding::new(&RULE, span, why)
}
