//! Two blocks have the same name.
//!
//! ## Why it matters
//!
//! A name is how the lesson speaks of a block. With two of one name nobody could tell which is meant.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ changes verse
//! | E | A |
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
//! ~~~ changes refrain
//! | E | A |
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `name-taken`.
pub static RULE: Rule =
    Rule { name: "name-taken", weight: Weight::Fault, source: include_str!("name_taken.rs") };
