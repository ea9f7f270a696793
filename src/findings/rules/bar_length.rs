//! A bar has more, or other, beats than its meter.
//!
//! ## Why it matters
//!
//! A bar that doesn't add up makes every bar behind it come at the wrong time, and a student who
//! counts will notice before the teacher does.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes
//! | A / D | E |
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes
//! | A / D / | E |
//! ~~~
//! ````

use crate::findings::{Rule, Weight};

/// The rule `bar-length`.
pub static RULE: Rule =
    Rule { name: "bar-length", weight: Weight::Fault, source: include_str!("bar_length.rs") };
