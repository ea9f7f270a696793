//! A sentence gives a chord or a scale the wrong notes, or the right pitch under the wrong letter.
//!
//! ## Why it matters
//!
//! Whoever reads that A is A, D♭ and E learns a wrong third, even though D♭ sounds like C♯: chords are
//! built from every other letter, and the spelling shows it.
//!
//! ## An example
//!
//! ````text
//! Three notes make the chord: `A = A Db E`.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! Three notes make the chord: `A = A C# E`.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `spelling`.
pub static RULE: Rule =
    Rule { name: "spelling", weight: Weight::Fault, source: include_str!("spelling.rs") };
