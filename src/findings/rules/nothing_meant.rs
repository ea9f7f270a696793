//! A `meant` line names a rule that finds nothing in its block.
//!
//! ## Why it matters
//!
//! It says that something odd is meant where nothing is odd any more, and would hide the next slip.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! meant bass-note: the bass player has the root
//! A  x 0 2 2 2 0
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2 0
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `nothing-meant`.
pub static RULE: Rule =
    Rule { name: "nothing-meant", weight: Weight::Hint, source: include_str!("nothing_meant.rs") };
