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

use crate::findings::{Finding, Rule, Span, Weight};
use crate::words::help::see;

/// The rule `unread-phrase`.
pub static RULE: Rule =
    Rule { name: "unread-phrase", weight: Weight::Hint, source: include_str!("unread_phrase.rs") };

/// What to do where a span was never meant as music.
const TYPED: &str = "two backticks on either side keep a span from being read as music";

/// A span says nothing about music that can be read.
pub fn unread(span: Span, text: &str) -> Finding {
    let message = format!("`{text}` is no musical phrase, so it is printed as typed");
    Finding::new(&RULE, span, message).note(see("phrases"))
}

/// The finding with what to do where the span was never meant as music.
pub fn or_as_typed(finding: Finding) -> Finding {
    finding.note(TYPED)
}

/// A span that may refer to a block, though none is called so or nearly so.
pub fn no_reference(span: Span, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("no block is called `{name}`")).note(TYPED)
}

/// Frets for more or fewer strings than there are.
pub fn no_fingering(span: Span, text: &str, given: usize, strings: usize) -> Finding {
    let message = format!("`{text}` is no fingering: it has {given} strings, not {strings}");
    Finding::new(&RULE, span, message)
}
