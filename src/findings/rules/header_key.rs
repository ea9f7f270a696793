//! A key in the header, or in a `now`, is given twice, or is a letter or two away from one that the
//! header knows.
//!
//! ## Why it matters
//!
//! A mistyped key would be passed over without a word, and the lesson would be printed in the wrong
//! key, meter or tuning.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Morning Scales
//! tempu: 80
//! ---
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! tempo: 80
//! ---
//! ````

use crate::findings::{Rule, Weight};

/// The rule `header-key`.
pub static RULE: Rule =
    Rule { name: "header-key", weight: Weight::Fault, source: include_str!("header_key.rs") };
