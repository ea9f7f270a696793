//! A picture is missing, lies outside the lesson's folder, is damaged, or holds more than is printed.
//!
//! ## Why it matters
//!
//! Its words stand in its place on the handout, where a student looks for the picture.
//!
//! ## An example
//!
//! ````text
//! ![the hand over the strings](no-such-picture.png)
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! The hand hangs loosely over the strings.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `picture`.
pub static RULE: Rule =
    Rule { name: "picture", weight: Weight::Doubt, source: include_str!("picture.rs") };
