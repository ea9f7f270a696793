//! A sentence names the wrong degree for a note.
//!
//! ## Why it matters
//!
//! Degrees tell what a note does in its chord or scale. Called by the wrong one, it is looked for in the
//! wrong place.
//!
//! ## An example
//!
//! ````text
//! Listen for the top note: `C# is the fifth of A`.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! Listen for the top note: `C# is the third of A`.
//! ````

use crate::findings::{Rule, Weight};

/// The rule `degree`.
pub static RULE: Rule =
    Rule { name: "degree", weight: Weight::Fault, source: include_str!("degree.rs") };
