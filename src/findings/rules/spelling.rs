//! A sentence gives a chord or a scale the wrong notes, or the right pitch under the wrong letter, or a
//! block other chords than it has.
//!
//! ## Why it matters
//!
//! Whoever reads that A is A, D♭ and E learns a wrong third, even though D♭ sounds like C♯: chords are
//! built from every other letter, and the spelling shows it.
//!
//! ## An example
//!
//! ````text
//! Three notes make the chord: `A = A Db E`.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! Three notes make the chord: `A = A C# E`.
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::{Chord, Note};
use crate::words::listed;

/// The rule `spelling`.
pub static RULE: Rule =
    Rule { name: "spelling", weight: Weight::Fault, source: include_str!("spelling.rs") };

/// Other notes are named than a chord or scale has, or in another order; both are written in a row.
pub fn other_notes(span: Span, name: &str, right: &str, said: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` is {right}, not {said}"))
}

/// The right notes are named, but not from the root or bass up.
pub fn other_order(span: Span, name: &str, from: &str, right: &str, said: &str) -> Finding {
    let message = format!("`{name}` is spelled from its {from}: {right}, not {said}");
    Finding::new(&RULE, span, message)
}

/// A degree of a chord or scale stands under a wrong letter.
pub fn wrong_letter(span: Span, degree: &str, name: &str, right: Note, said: Note) -> Finding {
    let message = format!("the {degree} of `{name}` is spelled {right}, not {said}");
    Finding::new(&RULE, span, message)
}

/// A note is said to be in a chord or scale that doesn't have it.
pub fn no_tone(span: Span, note: Note, name: &str, notes: &str) -> Finding {
    Finding::new(&RULE, span, format!("{note} is no tone of `{name}`, which is {notes}"))
}

/// A block, or bars of it, hold other chords than is said; both are written in a row.
pub fn other_chords(span: Span, what: &str, right: &str, said: &str) -> Finding {
    Finding::new(&RULE, span, format!("{what} is {right}, not {said}"))
}

/// A block begins on other notes than is said.
pub fn other_beginning(span: Span, name: &str, right: &[String], said: &str) -> Finding {
    let message = format!("`{name}` begins on {}, not {said}", listed(right));
    Finding::new(&RULE, span, message)
}

/// Two chords are said to be one, and sound different notes.
pub fn two_chords(span: Span, one: &Chord, other: &Chord, notes: &[String; 2]) -> Finding {
    let [first, second] = notes;
    let message = format!("`{one}` and `{other}` are two different chords");
    Finding::new(&RULE, span, message)
        .note(format!("`{one}` is {first}, lowest {}", one.lowest()))
        .note(format!("`{other}` is {second}, lowest {}", other.lowest()))
}

/// Two notes are said to be one.
pub fn two_notes(span: Span, one: &str, other: &str) -> Finding {
    Finding::new(&RULE, span, format!("{one} and {other} are two different notes"))
}
