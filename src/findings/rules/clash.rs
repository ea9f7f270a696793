//! Two parts, or a part and the chord, clash on a beat, and nothing resolves it.
//!
//! A half step between two parts, a major seventh or a minor ninth; over the chord, on a strong beat, a note a half step
//! above one of its tones. What the chord itself contains is music (a major seventh in `Cmaj7`), and so is what moves on by step to a note
//! that fits: suspensions, passing and neighbour notes.
//!
//! ## Why it matters
//!
//! Each part sounds right alone, so whoever practises it never hears that the two don't go together.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: C major
//! ---
//!
//! ~~~ riff tune
//! count   1  2  3  4  |1  2  3  4  |
//! notes   E5 D5 C5 E5 |F5 C5 A4 C5 |
//! ~~~
//!
//! ~~~ riff bass
//! count   1  3  |1  3  |
//! notes   C3 G3 |E3 C3 |
//! ~~~
//!
//! ~~~ together duet
//! melody: tune
//! bass: bass
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: C major
//! ---
//!
//! ~~~ riff tune
//! count   1  2  3  4  |1  2  3  4  |
//! notes   E5 D5 C5 E5 |F5 C5 A4 C5 |
//! ~~~
//!
//! ~~~ riff bass
//! count   1  3  |1  3  |
//! notes   C3 G3 |F3 C3 |
//! ~~~
//!
//! ~~~ together duet
//! melody: tune
//! bass: bass
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `clash`.
pub static RULE: Rule =
    Rule { name: "clash", weight: Weight::Doubt, source: include_str!("clash.rs") };

/// What can be done about it.
const REPAIR: &str = "neither moves on by step to a note that fits; if it is meant, put a `*` under one of them in a \
                      `meant` row";

/// Notes of two parts clash; each is a note's name and its part's, the interval "a half step".
pub fn of_parts(span: Span, [note, part]: [&str; 2], other: [&str; 2], interval: &str) -> Finding {
    let [other_note, other_part] = other;
    let message =
        format!("{note} in `{part}` clashes with {other_note} in `{other_part}`: {interval}");
    Finding::new(&RULE, span, message).note(REPAIR)
}

/// A note of a part clashes with a tone of the chord.
pub fn with_chord(span: Span, [note, part]: [&str; 2], tone: &str, chord: &str) -> Finding {
    let message =
        format!("{note} in `{part}` clashes with the {tone} of `{chord}`, a half step below");
    Finding::new(&RULE, span, message)
        .note("nothing resolves it by step; if it is meant, put a `*` under it in a `meant` row")
}
