//! Two blocks have the same name, or a tone's name is given two settings.
//!
//! ## Why it matters
//!
//! A name is how the lesson speaks of a block, or what a `tone` row calls a sound from then on. With two of one name nobody
//! could tell which is meant.
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

/// A tone's name is given a setting where it has another.
pub fn two_settings(span: Span, name: &str, setting: &str, first: Span) -> Finding {
    let message = format!("the tone `{name}` has another setting already: `{setting}`");
    Finding::new(&RULE, span, message)
        .label(first, "it was given here")
        .note("from then on the name alone is enough; another setting wants another name")
}
