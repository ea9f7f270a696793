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

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `name-taken`.
pub static RULE: Rule =
    Rule { name: "name-taken", weight: Weight::Fault, source: include_str!("name_taken.rs") };

/// A block is called as another before it.
pub fn taken(span: Span, name: &str, first: Span) -> Finding {
    Finding::new(&RULE, span, format!("the name `{name}` is taken"))
        .label(first, "this block has it")
        .note("names are told apart without regard to case")
}
