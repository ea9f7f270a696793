//! A bar line stands in another column than in the row above.
//!
//! ## Why it matters
//!
//! Bar lines part all rows at the same moment. Where one is out of line, everything behind it in that
//! row belongs to another moment than it seems.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |1   2   3   4   |
//! e     0---2---3---5----|3---2---0-------|
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

use crate::findings::{Rule, Weight};

/// The rule `bar-adrift`.
pub static RULE: Rule =
    Rule { name: "bar-adrift", weight: Weight::Fault, source: include_str!("bar_adrift.rs") };
