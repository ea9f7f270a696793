//! The lesson speaks of a block, or of a bar of one, that isn't there.
//!
//! ## Why it matters
//!
//! "Look at bar 5 of the hook" sends a student looking for something that can't be found.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! Look at `bar 3 of the verse`.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! Look at `bar 2 of the verse`.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `unknown-name`.
pub static RULE: Rule =
    Rule { name: "unknown-name", weight: Weight::Fault, source: include_str!("unknown_name.rs") };
