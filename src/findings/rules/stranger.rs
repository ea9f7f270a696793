//! A note is foreign to its chord and its key, and only a loose explanation saves it.
//!
//! A leap to a foreign note that goes on by a step, a step to one that goes on by a leap, or a way that only the notes
//! on the same string make: music has them, and so has a slip of the pen. Where more than one note in eight is so,
//! the riff is told once.
//!
//! ## Why it matters
//!
//! Listen to the note once more. If it is meant, put a `*` under it in a `meant` row, so that students see it too.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: One Step Aside
//! key: C major
//! ---
//!
//! ~~~ riff
//! chord   C               |G               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! e       0-----------0---|----------------|
//! B       --5-8-9-5-3---3-|0---0-3---------|
//! G       ----------------|----------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: One Step Aside
//! key: C major
//! ---
//!
//! ~~~ riff
//! chord   C               |G               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! e       0-----------0---|----------------|
//! B       --5-8-8-5-3---3-|0---0-3---------|
//! G       ----------------|----------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::words::{numbered, with_article};

/// The rule `stranger`.
pub static RULE: Rule =
    Rule { name: "stranger", weight: Weight::Hint, source: include_str!("stranger.rs") };

/// A note that is in neither chord nor key; `by` is what may explain it: "escape note".
pub fn loose(span: Span, note: &str, chord: &str, key: &str, by: &str) -> Finding {
    let by = with_article(by);
    let message = format!("`{note}` is in neither {chord} nor {key}; it may be {by}");
    Finding::new(&RULE, span, message)
}

/// So many notes of a riff are strangers, the first at a place.
pub fn many(span: Span, number: usize) -> Finding {
    let notes = numbered(number, "note");
    let message = format!("{notes} of this riff are in neither chord nor key, from here on");
    Finding::new(&RULE, span, message)
        .note("a scale that is played can be named in the lesson: its notes are then at home")
}
