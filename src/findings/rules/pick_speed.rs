//! Notes are plucked faster than a hand can.
//!
//! ## Why it matters
//!
//! A pick that goes back and forth makes 20 notes a second at the very most, one finger alone 10. What
//! is faster is most often a count or a tempo that was not meant. Slurs help where the speed is meant.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff, tempo 200
//! count 1   '   e   '   &   '   a   '   2   3   4   |
//! e     0---1---0---1---0---1---0---1---0-----------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff, tempo 100
//! count 1   '   e   '   &   '   a   '   2   3   4   |
//! e     0---1---0---1---0---1---0---1---0-----------|
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `pick-speed`.
pub static RULE: Rule =
    Rule { name: "pick-speed", weight: Weight::Doubt, source: include_str!("pick_speed.rs") };
