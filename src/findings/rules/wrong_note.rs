//! A note fits neither the chord nor the key, and nothing explains it.
//!
//! A note outside both may pass by step, turn back to its neighbour, be held over, lean on the next one, come
//! early, stay as a pedal, approach the next note by a half step, or be a blue note over a dominant chord. This
//! one does none of these. Where no chord or no key is written they are inferred from the notes, the finding says
//! so, and only strong cases are raised.
//!
//! ## Why it matters
//!
//! A fret read wrong, or a digit on the string beside, is copied by every student, and nobody hears why the bar
//! sounds sour. The two readings that fit best are told. If the note is meant, put a `*` under it in a
//! `meant` row.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: A major
//! ---
//!
//! ~~~ riff
//! chord   A               |D               |
//! count   1   2   3   4   |1   2   3   4   |
//! e       ------------0---|------------2---|
//! B       --------1-------|--------3-------|
//! G       ----------------|----2-----------|
//! D       ----2-----------|0---------------|
//! A       0---------------|----------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: A major
//! ---
//!
//! ~~~ riff
//! chord   A               |D               |
//! count   1   2   3   4   |1   2   3   4   |
//! e       ------------0---|------------2---|
//! B       --------2-------|--------3-------|
//! G       ----------------|----2-----------|
//! D       ----2-----------|0---------------|
//! A       0---------------|----------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `wrong-note`.
pub static RULE: Rule =
    Rule { name: "wrong-note", weight: Weight::Doubt, source: include_str!("wrong_note.rs") };

/// A note is outside the chord and the key, both in words.
pub fn foreign(span: Span, note: &str, chord: &str, key: &str) -> Finding {
    let message = format!("`{note}` is in neither {chord} nor {key}, and leads nowhere");
    Finding::new(&RULE, span, message)
}
