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

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::{Note, Pitch};

/// The rule `interval`.
pub static RULE: Rule =
    Rule { name: "interval", weight: Weight::Fault, source: include_str!("interval.rs") };

/// Two notes lie farther apart or nearer than is said: `way` is "up" or "down", the intervals have their articles.
pub fn another(span: Span, from: Note, way: &str, to: Note, right: &str, said: &str) -> Finding {
    Finding::new(&RULE, span, format!("{from} {way} to {to} is {right}, not {said}"))
}

/// The second of two pitches is said to lie above the first.
pub fn not_above(span: Span, from: Pitch, to: Pitch) -> Finding {
    Finding::new(&RULE, span, format!("{to} lies below {from}, not above it"))
}

/// The second of two pitches is said to lie below the first.
pub fn not_below(span: Span, from: Pitch, to: Pitch) -> Finding {
    Finding::new(&RULE, span, format!("{to} lies above {from}, not below it"))
}
