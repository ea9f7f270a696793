//! A shape asks the fingers for more than they can do: more fingers than four, one finger on two frets,
//! a finger laid over a string that must ring, more fingertips than a fret has room for.
//!
//! ## Why it matters
//!
//! Four fingers press. A barre saves some, but it lies on every string that it crosses: an open string
//! beneath it doesn't ring, and one that should be silent sounds. Where the fingering is your own,
//! another one may hold the same notes.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! G    3 2 0 0 0 3    by 2 1 . . . 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! G    3 2 0 0 0 3    by 2 1 . . . 3
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `finger-count`.
pub static RULE: Rule =
    Rule { name: "finger-count", weight: Weight::Doubt, source: include_str!("finger_count.rs") };
