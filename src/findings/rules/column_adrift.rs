//! A note, or a sign in another row, stands under no count.
//!
//! A grace note needs none where it is joined to a counted note and written tight against its join:
//! `2h4`. With a dash on either side of the sign, `2h--4`, each note needs its own count, for it may
//! have slipped. What lands under a count is counted: widen the counts for a grace note.
//!
//! ## Why it matters
//!
//! The count row is the clock. A note between two counts is played at no time that anybody could
//! name, and most often it has slipped a column to the side.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0   -2--3---5---|
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

/// The rule `column-adrift`.
pub static RULE: Rule =
    Rule { name: "column-adrift", weight: Weight::Fault, source: include_str!("column_adrift.rs") };
