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

use crate::findings::{Rule, Weight};

/// The rule `count-order`.
pub static RULE: Rule =
    Rule { name: "count-order", weight: Weight::Fault, source: include_str!("count_order.rs") };
