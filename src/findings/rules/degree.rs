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

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Note;

/// The rule `degree`.
pub static RULE: Rule =
    Rule { name: "degree", weight: Weight::Fault, source: include_str!("degree.rs") };

/// A note is another degree than is said: `name` is the degree as it is written, `of` the chord or scale, `own`
/// what the note is to it.
pub fn another(
    span: Span,
    (name, of): (&str, &str),
    right: Note,
    (said, own): (Note, &str),
) -> Finding {
    let message = format!("the {name} of `{of}` is {right}; {said} is its {own}");
    Finding::new(&RULE, span, message)
}
