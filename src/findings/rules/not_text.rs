//! The file is not plain text in UTF-8, so it can't be read as a lesson.
//!
//! ## Why it matters
//!
//! A file saved by a word processor, or in an old encoding, shows wrong signs or nothing at all. The
//! finding gives the byte at which reading stopped. Save the file as plain text, UTF-8, and try again.

use crate::findings::{Rule, Weight};

/// The rule `not-text`.
pub static RULE: Rule =
    Rule { name: "not-text", weight: Weight::Fault, source: include_str!("not_text.rs") };
