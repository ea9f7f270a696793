//! A chord, or a note, has no place on the neck under the phrases given. The note says which is the
//! nearest that has one.
//!
//! ## Why it matters
//!
//! What can't be held isn't printed, and the hand has to know where to go instead: other strings,
//! another kind of voicing, or another note on top.
//!
//! ## An example
//!
//! ````text
//! ~~~ voicings
//! A : drop 2 on strings 4 3 2 1
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ voicings
//! Amaj7 : drop 2 on strings 4 3 2 1
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Chord;

/// The rule `no-voicing`.
pub static RULE: Rule =
    Rule { name: "no-voicing", weight: Weight::Doubt, source: include_str!("no_voicing.rs") };

/// A chord lacks what is asked for: "no place as triads here".
pub fn of_chord(span: Span, chord: &Chord, lacks: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{chord}` has {lacks}"))
}

/// No shape of a chord can be held.
pub fn not_held(span: Span, chord: &Chord) -> Finding {
    Finding::new(&RULE, span, format!("no hand holds `{chord}` on this neck"))
}

/// A note has no place on the strings that may be used: `strings` is "these strings" or "this neck".
pub fn of_note(span: Span, note: &str, strings: &str) -> Finding {
    Finding::new(&RULE, span, format!("{note} has no place on {strings}; it is left out"))
}

/// A note can't be held together with those that sound at the same time.
pub fn not_together(span: Span, note: &str, others: &str) -> Finding {
    let message = format!("no hand holds {note} with {others} here; {note} is left out");
    Finding::new(&RULE, span, message)
}
