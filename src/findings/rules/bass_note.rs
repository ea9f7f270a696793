//! The lowest note of a fingering is not the bass that the chord's name asks for, or the root is
//! missing.
//!
//! ## Why it matters
//!
//! The lowest note decides how a chord stands. With the fifth in the bass a plain chord sounds
//! unfinished; if that is what was meant, name it: `D/A`.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! D  x 0 0 2 3 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! D/A  x 0 0 2 3 2
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `bass-note`.
pub static RULE: Rule =
    Rule { name: "bass-note", weight: Weight::Doubt, source: include_str!("bass_note.rs") };
