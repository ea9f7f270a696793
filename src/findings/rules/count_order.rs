//! A count falls back or stands still within its bar, or a note stands under a count in brackets, where
//! all sound stops.
//!
//! ## Why it matters
//!
//! Time runs one way. A count that falls back means a missing bar line or a slip of the pen, and a note
//! cannot begin in the silence that its own count asks for.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   3   2   4   |
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

/// The rule `count-order`.
pub static RULE: Rule =
    Rule { name: "count-order", weight: Weight::Fault, source: include_str!("count_order.rs") };

/// A count is 0.
pub fn zero(span: Span) -> Finding {
    Finding::new(&RULE, span, "counts begin with 1")
}

/// A part of a beat stands before the first beat.
pub fn before_the_first(span: Span, count: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{count}` stands before beat 1, in no beat of this bar"))
}

/// A count that is told from the one before it has none.
pub fn without_one_before(span: Span, count: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{count}` needs a count before it in its bar"))
}

/// A count is no later than the one before it: it "stands still" or "falls back".
pub fn not_rising(span: Span, count: &str, how: &str) -> Finding {
    Finding::new(&RULE, span, format!("the count `{count}` {how}"))
}

/// A note stands under a rest.
pub fn note_in_rest(span: Span) -> Finding {
    let message = "a note stands under a count in brackets, where all sound stops";
    Finding::new(&RULE, span, message).note("take the brackets off the count, or the note out")
}
