//! Something in the lesson is left out of the handout: the tags of raw HTML, or a key that the header
//! doesn't know.
//!
//! ## Why it matters
//!
//! What stands in the lesson and not on paper should be no surprise. The words between tags stay, but
//! not those of `script` and `style`, and nothing looks as the tags had it. Use the lesson's own signs for
//! emphasis, tables and pictures; a note to yourself can stand in an HTML comment, which vanishes
//! without a word.
//!
//! ## An example
//!
//! ````text
//! Press <b>firmly</b>.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! Press **firmly**.
//! ````

use crate::findings::{Rule, Weight};

/// What is said about tags of raw HTML.
pub const TAGS: &str = "the tags of raw HTML are left out; the words between them stay";

/// The rule `left-out`.
pub static RULE: Rule =
    Rule { name: "left-out", weight: Weight::Hint, source: include_str!("left_out.rs") };
