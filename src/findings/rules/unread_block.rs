//! A fenced block looks like music but its first word is no kind of block, so it is printed as it
//! stands.
//!
//! ## Why it matters
//!
//! One letter too many in `riff`, and the tab is printed as plain text and never checked.
//!
//! ## An example
//!
//! ````text
//! ~~~ rif
//! count 1   2   3   4   |
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

/// The rule `unread-block`.
pub static RULE: Rule =
    Rule { name: "unread-block", weight: Weight::Hint, source: include_str!("unread_block.rs") };
