//! The header has no title.
//!
//! ## Why it matters
//!
//! The title stands at the head of the page and in the list of a reader's open documents. Without one
//! the file's name is printed.
//!
//! ## An example
//!
//! ````text
//! ---
//! key: A major
//! ---
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! key: A major
//! ---
//! ````

use crate::findings::{Rule, Weight};

/// The rule `no-title`.
pub static RULE: Rule =
    Rule { name: "no-title", weight: Weight::Hint, source: include_str!("no_title.rs") };
