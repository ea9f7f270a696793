//! A riff's `chord` row names another chord than the changes that the riff is over.
//!
//! ## Why it matters
//!
//! The same bar would stand under two names in one handout. The row holds.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A |
//! ~~~
//!
//! ~~~ riff over verse
//! chord D               |
//! count 1   2   3   4   |
//! e     2---2---2---2---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | D |
//! ~~~
//!
//! ~~~ riff over verse
//! chord D               |
//! count 1   2   3   4   |
//! e     2---2---2---2---|
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `chords-differ`.
pub static RULE: Rule =
    Rule { name: "chords-differ", weight: Weight::Doubt, source: include_str!("chords_differ.rs") };
