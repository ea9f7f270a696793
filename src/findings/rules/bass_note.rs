//! The lowest note of a fingering is not the bass that the chord's name asks for, or the root is
//! missing.
//!
//! ## Why it matters
//!
//! The lowest note decides how a chord stands. With the fifth in the bass a plain chord sounds
//! unfinished; if that is what was meant, name it: `D/A`.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! D  x 0 0 2 3 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! D/A  x 0 0 2 3 2
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::{Chord, Note};
use std::fmt::Display;

/// The rule `bass-note`.
pub static RULE: Rule =
    Rule { name: "bass-note", weight: Weight::Doubt, source: include_str!("bass_note.rs") };

/// A chord's root is missing; `name` is how the chord is called.
pub fn without_root(span: Span, name: impl Display, root: Note) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` without its root {root}"))
}

/// Another note than the wanted one sounds lowest: `lowest`, such as "B on string 5".
pub fn not_lowest(span: Span, chord: &Chord, lowest: &str, wanted: Note) -> Finding {
    let role = if chord.bass.is_some() { "the bass" } else { "the root" };
    let message = format!("{lowest} is the lowest note of `{chord}`, not {role} {wanted}");
    Finding::new(&RULE, span, message)
}

/// Another note than the bass is named first, where notes are named from the lowest up.
pub fn not_first(span: Span, chord: &Chord, first: Note, bass: Note) -> Finding {
    Finding::new(&RULE, span, format!("the lowest note of `{chord}` is {bass}, not {first}"))
}
