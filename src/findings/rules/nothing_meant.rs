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

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `nothing-meant`.
pub static RULE: Rule =
    Rule { name: "nothing-meant", weight: Weight::Hint, source: include_str!("nothing_meant.rs") };

/// A rule that a `meant` line names is not broken in the block.
pub fn idle(span: Span, rule: &str) -> Finding {
    let message =
        format!("`meant {rule}` allows nothing: no doubt or hint of that rule is raised here");
    Finding::new(&RULE, span, message).note("take the rule off the line")
}
