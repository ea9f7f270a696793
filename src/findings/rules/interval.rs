//! A sentence names the wrong interval between two notes.
//!
//! ## Why it matters
//!
//! Ears are trained by intervals. A third that is called minor on paper and sounds major makes students
//! doubt their ears.
//!
//! ## An example
//!
//! ````text
//! From `C# to E is a major third`.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! From `C# to E is a minor third`.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `interval`.
pub static RULE: Rule =
    Rule { name: "interval", weight: Weight::Fault, source: include_str!("interval.rs") };
