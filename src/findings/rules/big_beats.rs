//! In 6/8, 9/8 or 12/8 no number in the count row passes the number of big beats, though the riff
//! counts in eighths.
//!
//! ## Why it matters
//!
//! A count of `1 2` in 6/8 is read as the first two eighths. If the two big beats were meant, write the
//! eighths between with `la` and `li` at least once: `1 la li 2`.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff, meter 6/8
//! count 1     2     |
//! e     0-----2-----|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff, meter 6/8
//! count 1 la li 2 la li |
//! e     0-------2-------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Meter;

/// The rule `big-beats`.
pub static RULE: Rule =
    Rule { name: "big-beats", weight: Weight::Hint, source: include_str!("big_beats.rs") };

/// The numbers of a compound meter are no greater than its big beats.
pub fn few_numbers(span: Span, meter: Meter) -> Finding {
    let most = meter.felt_beats();
    let message = format!("no count of the riff passes {most}; in {meter} its numbers are eighths");
    Finding::new(&RULE, span, message).note("if they are the big beats, count `1 la li 2 la li`")
}
