//! A bar line stands one count too early or too late.
//!
//! With the count on its other side both bars begin with 1, rise and stay within their meter.
//!
//! ## Why it matters
//!
//! Everything behind a bar line that slipped is learned on the wrong beat.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: A major
//! ---
//!
//! ~~~ riff
//! count   1   &   2   &   3   &   4   &   1   |&   2   &   3   &   4   &   |
//! B       2-------3-------5-------3-------2---|----3-------5-------3-------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: A major
//! ---
//!
//! ~~~ riff
//! count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &   4   &   |
//! B       2-------3-------5-------3-------|2-------3-------5-------3-------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `bar-slip`.
pub static RULE: Rule =
    Rule { name: "bar-slip", weight: Weight::Doubt, source: include_str!("bar_slip.rs") };

/// The bar line behind a bar stands one count too late or early.
pub fn one_count(span: Span, bar: usize, how: &str) -> Finding {
    Finding::new(&RULE, span, format!("the bar line behind bar {bar} stands one count too {how}"))
        .note("with the count on its other side both bars count from 1 and stay within their meter")
}
