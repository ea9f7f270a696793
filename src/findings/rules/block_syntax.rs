//! A line or a phrase in a block of music can't be read.
//!
//! ## Why it matters
//!
//! What can't be read can't be checked or printed, and a student would not see it at all. The message
//! says what may stand there.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2 0
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `block-syntax`.
pub static RULE: Rule =
    Rule { name: "block-syntax", weight: Weight::Fault, source: include_str!("block_syntax.rs") };
