//! A block is called `blank` or `answered`, as exercises are.
//!
//! ## Why it matters
//!
//! The word behind a block's kind is its name, so that a block which is called `blank` is printed as it is written,
//! with what a student should find. With a comma before it the word makes a frame to fill in.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff blank
//! count 1   2   3   4   |
//! B     2---3---5---3---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff, blank
//! count 1   2   3   4   |
//! B     2---3---5---3---|
//! ~~~
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `phrase-as-name`.
pub static RULE: Rule = Rule {
    name: "phrase-as-name",
    weight: Weight::Hint,
    source: include_str!("phrase_as_name.rs"),
};

/// A block of a kind is called by a word that makes an exercise where it stands as a phrase. `behind_kind` reaches from
/// the kind's end to the word's; `more` says that something follows which no comma parts off.
pub fn exercise(name: Span, word: &str, kind: &str, behind_kind: Span, more: bool) -> Finding {
    let phrase = word.to_lowercase();
    let phrase = if phrase == "answered" { "blank, answered" } else { &phrase };
    let comma = if more { "," } else { "" };
    Finding::new(
        &RULE,
        name,
        format!("this `{kind}` is called `{word}`, and nothing of it is left blank"),
    )
    .note(format!(
        "a frame to fill in is a `{kind}, {phrase}`, or with a name `{kind} NAME, {phrase}`"
    ))
    .fix(
        format!("`{kind}, {phrase}`"),
        behind_kind,
        format!(", {phrase}{comma}"),
        Ground::Choice,
    )
}
