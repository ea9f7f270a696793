//! A row's label is no row that a riff knows, or no string of the tuning, or leaves open which string
//! is meant.
//!
//! ## Why it matters
//!
//! A row under the wrong string is a whole line of wrong notes.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! F     0---2---3---5---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0---2---3---5---|
//! ~~~
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `row-label`.
pub static RULE: Rule =
    Rule { name: "row-label", weight: Weight::Fault, source: include_str!("row_label.rs") };

/// The label of a diagram's row is no string's; `strings` are those that there are.
pub fn no_string(span: Span, label: &str, strings: &str, meant: Option<&str>) -> Finding {
    let finding = Finding::new(&RULE, span, format!("no string is called `{label}`"));
    let finding = match meant {
        Some(name) => finding.fix(format!("`{name}`"), span, name, Ground::Choice),
        None => finding,
    };
    finding.note(format!("rows are for the strings {strings}"))
}

/// The label of a diagram's row is a string's, but not in this place or tuning.
pub fn fits_no_string(span: Span, label: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{label}` fits no string of this tuning here")).note(
        "rows stand from the highest string to the lowest, each under its open string's letter",
    )
}

/// The label of a diagram's row is that of several strings.
pub fn several_strings(span: Span, label: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{label}` may be more than one string; write its octave"))
        .note("`B3` is the B below middle C")
}

/// A riff's row stands under no word that rows have.
pub fn no_row(span: Span, label: &str) -> Finding {
    Finding::new(&RULE, span, format!("a riff has no row `{label}`"))
}

/// A song's row stands under no word that its rows have.
pub fn no_row_of_song(span: Span, label: &str) -> Finding {
    Finding::new(&RULE, span, format!("a song has no row `{label}`"))
}

/// A system has more string rows than any tuning has strings.
pub fn too_many_rows(span: Span, most: usize) -> Finding {
    Finding::new(&RULE, span, format!("a system has at most {most} string rows"))
}

/// The label of a riff's row is a note that no open string has; `strings` are those that there are.
pub fn not_tuned(span: Span, label: &str, strings: &str) -> Finding {
    Finding::new(&RULE, span, format!("no string of this tuning is `{label}`"))
        .note(format!("its strings from the highest: {strings}"))
}

/// The string of a riff's row was passed in the rows above it.
pub fn none_left(span: Span, label: &str, strings: &str) -> Finding {
    let message = format!("no string `{label}` is left below the rows above it");
    Finding::new(&RULE, span, message).note(format!(
        "rows stand from the highest string to the lowest; this tuning has {strings}"
    ))
}

/// The label of a riff's row may be one of some strings, by their names with the octave.
pub fn one_of(span: Span, label: &str, strings: &[&str]) -> Finding {
    let said: Vec<String> = strings.iter().map(|name| format!("`{name}`")).collect();
    let message = format!("`{label}` may be {}; write its octave", said.join(" or "));
    Finding::new(&RULE, span, message)
}
