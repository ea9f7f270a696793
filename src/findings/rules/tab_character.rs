//! A riff has a tab character in it.
//!
//! ## Why it matters
//!
//! In a riff what stands in one column happens at one moment. How wide a tab character is depends on
//! the program that shows it, so nobody can say which column the next sign stands in. Use spaces.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 	1   2   3   4   |
//! e     0   2   3   5   |
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0   2   3   5   |
//! ~~~
//! ````
#![allow(clippy::tabs_in_doc_comments)] // The example shows the very fault.

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `tab-character`.
pub static RULE: Rule =
    Rule { name: "tab-character", weight: Weight::Fault, source: include_str!("tab_character.rs") };

/// Some tabs that touch; `ground` is what speaks for as many spaces.
pub fn tabs(span: Span, tabs: usize, ground: Ground) -> Finding {
    Finding::new(&RULE, span, "a tab character; columns can't be told behind it")
        .note("a tab is as wide as each editor likes; a space is one column")
        .fix("spaces", span, " ".repeat(tabs), ground)
}
