//! A riff's first bar begins late and isn't called a pickup.
//!
//! A hint; a doubt where the riff has just one bar more than the changes that it is over, or where its
//! last bar lacks just the beats that the first one has.
//!
//! ## Why it matters
//!
//! An upbeat is bar 0, and the chords begin with bar 1. Counted as a whole bar it shifts every bar
//! number and every chord behind it. Nothing but the author knows which is meant: the word `pickup`
//! in the fence line says so, or a rest, `(1)`, that the bar is whole.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ riff over verse
//! count               4   |1   2   3   4   |1   2   3   4   |
//! B       ------------2---|2-----------3---|3---------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ riff over verse, pickup
//! count               4   |1   2   3   4   |1   2   3   4   |
//! B       ------------2---|2-----------3---|3---------------|
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `no-pickup`.
pub static RULE: Rule =
    Rule { name: "no-pickup", weight: Weight::Hint, source: include_str!("no_pickup.rs") };
