//! A `chord` row names other chords than the changes that its riff or its song is over.
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

/// A chord row has another chord than its changes, which `name` calls.
pub fn from_changes(
    span: Span,
    row: Option<&Chord>,
    name: &str,
    changes: Option<&Chord>,
) -> Finding {
    let (row, changes) = (symbol(row), symbol(changes));
    Finding::new(&RULE, span, format!("the chord row has `{row}`, but `{name}` has `{changes}`"))
        .note("the chord row holds")
}

/// A chord row lacks chords that its changes have before one of its own.
pub fn lacks(span: Span, row: Option<&Chord>, name: &str, lacks: &[Option<&Chord>]) -> Finding {
    let lacks: Vec<String> = lacks.iter().map(|chord| symbol(*chord)).collect();
    let (lacks, row) = (lacks.join(" "), symbol(row));
    Finding::new(&RULE, span, format!("`{name}` has `{lacks}` before this `{row}`"))
        .note("the chord row holds")
}

/// A chord row has a chord that its changes lack before the one that comes next there.
pub fn too_many(span: Span, row: Option<&Chord>, name: &str, next: Option<&Chord>) -> Finding {
    let (row, next) = (symbol(row), symbol(next));
    Finding::new(&RULE, span, format!("`{name}` has no `{row}` here, before its `{next}`"))
        .note("the chord row holds")
}

/// A chord as a message names it.
pub(super) fn symbol(chord: Option<&Chord>) -> String {
    chord.map_or(tab::NO_CHORD.to_string(), Chord::to_string)
}
