//! A riff's `chord` row names another chord than the changes that the riff is over.
//!
//! ## Why it matters
//!
//! The same bar would stand under two names in one handout. The row holds.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A |
//! ~~~
//!
//! ~~~ riff over verse
//! chord D               |
//! count 1   2   3   4   |
//! e     2---2---2---2---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | D |
//! ~~~
//!
//! ~~~ riff over verse
//! chord D               |
//! count 1   2   3   4   |
//! e     2---2---2---2---|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Chord;
use crate::words::paper::tab;

/// The rule `chords-differ`.
pub static RULE: Rule =
    Rule { name: "chords-differ", weight: Weight::Doubt, source: include_str!("chords_differ.rs") };

/// A riff's chord row has another chord than its changes, which `name` calls.
pub fn from_changes(
    span: Span,
    row: Option<&Chord>,
    name: &str,
    changes: Option<&Chord>,
) -> Finding {
    let symbol = |chord: Option<&Chord>| chord.map_or(tab::NO_CHORD.to_string(), Chord::to_string);
    let (row, changes) = (symbol(row), symbol(changes));
    Finding::new(&RULE, span, format!("the chord row has `{row}`, but `{name}` has `{changes}`"))
        .note("the chord row holds")
}
