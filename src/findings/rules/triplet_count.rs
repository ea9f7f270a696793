//! Every beat of the riff is counted `1 & a`, which is half and last quarter of a beat.
//!
//! ## Why it matters
//!
//! Many say "one and a" for a triplet, but as a count it is an eighth and two sixteenths. If triplets
//! were meant, count `1 la li`.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1 & a 2 & a 3 & a 4 & a |
//! e     0-2-3-0-2-3-0-2-3-0-2-3-|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1 la li 2 la li 3 la li 4 la li |
//! e     0-2--3--0-2--3--0-2--3--0-2--3--|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `triplet-count`.
pub static RULE: Rule =
    Rule { name: "triplet-count", weight: Weight::Hint, source: include_str!("triplet_count.rs") };

/// Three counts that seem to be a triplet and are none, with spaces between.
pub fn three(span: Span, counts: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{counts}` is the half and the last quarter of a beat"))
        .note("a triplet is counted `1 la li`")
}
