//! A code span in the prose can't be read as music, so it is printed as it was typed and not checked.
//!
//! ## Why it matters
//!
//! A mistyped chord or scale name would go unchecked. If the span is not meant as music, two backticks
//! on each side say so.
//!
//! ## An example
//!
//! ````text
//! Play `A wobbly seventh` here.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! Play `A7` here.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `unread-phrase`.
pub static RULE: Rule =
    Rule { name: "unread-phrase", weight: Weight::Hint, source: include_str!("unread_phrase.rs") };
