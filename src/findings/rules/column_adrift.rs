//! A note, or a sign in another row, stands under no count.
//!
//! A grace note needs none where it is joined to a counted note and written tight against its join:
//! `2h4`. With a dash on either side of the sign, `2h--4`, each note needs its own count, for it may
//! have slipped. What lands under a count is counted: widen the counts for a grace note.
//!
//! ## Why it matters
//!
//! The count row is the clock. A note between two counts is played at no time that anybody could
//! name, and most often it has slipped a column to the side.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0   -2--3---5---|
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

/// The rule `column-adrift`.
pub static RULE: Rule =
    Rule { name: "column-adrift", weight: Weight::Fault, source: include_str!("column_adrift.rs") };

/// Something stands under no count; `near` are the nearest counts in words.
pub fn under_no_count(span: Span, what: &str, near: &str) -> Finding {
    Finding::new(&RULE, span, format!("{what} stands under no count; {near}"))
}

/// A chord symbol stands over no count, nor where its bar begins.
pub fn over_no_count(span: Span, symbol: &str, near: &str) -> Finding {
    let message =
        format!("`{symbol}` stands over no count and not in the bar's first column; {near}");
    Finding::new(&RULE, span, message)
}

/// A sign that belongs to a note stands where none begins.
pub fn no_note(span: Span, sign: &str, row: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{sign}` in the `{row}` row, but no note begins there"))
}

/// A run of marks spans no count.
pub fn empty_run(span: Span, row: &str) -> Finding {
    Finding::new(&RULE, span, format!("this run in the `{row}` row spans no count"))
}

/// What holds from a bar's begin on doesn't stand there.
pub fn not_first(span: Span, text: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{text}` doesn't stand in a bar's first column"))
}
