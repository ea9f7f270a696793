//! A chord, or a note, has no place on the neck under the phrases given. The note says which is the
//! nearest that has one.
//!
//! ## Why it matters
//!
//! What can't be held isn't printed, and the hand has to know where to go instead: other strings,
//! another kind of voicing, or another note on top.
//!
//! ## An example
//!
//! ````text
//! ~~~ voicings
//! A : drop 2 on strings 4 3 2 1
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ voicings
//! Amaj7 : drop 2 on strings 4 3 2 1
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `no-voicing`.
pub static RULE: Rule =
    Rule { name: "no-voicing", weight: Weight::Doubt, source: include_str!("no_voicing.rs") };
