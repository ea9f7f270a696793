//! A picture is missing, lies outside the lesson's folder, is damaged, or holds more than is printed.
//!
//! ## Why it matters
//!
//! Its words stand in its place on the handout, where a student looks for the picture.
//!
//! ## An example
//!
//! ````text
//! ![the hand over the strings](no-such-picture.png)
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! The hand hangs loosely over the strings.
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `picture`.
pub static RULE: Rule =
    Rule { name: "picture", weight: Weight::Doubt, source: include_str!("picture.rs") };

/// A picture that isn't printed: `what` says so of it, path and all.
pub fn not_printed(span: Span, what: String) -> Finding {
    Finding::new(&RULE, span, what).note("its words stand in its place")
}

/// A picture that the title block should have and that isn't printed.
pub fn no_logo(span: Span, what: String) -> Finding {
    Finding::new(&RULE, span, what).note("the title stands without it")
}

/// A picture within what has room for words only, such as "a table".
pub fn words_alone(span: Span, path: &str, within: &str) -> Finding {
    not_printed(span, format!("the picture `{path}` is not printed within {within}"))
        .note("put it in a paragraph of its own")
}
