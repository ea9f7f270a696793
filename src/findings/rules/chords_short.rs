//! A song stops midway in the changes that it is over.
//!
//! ## Why it matters
//!
//! The band plays on while the singer has no words for it, or a chord was forgotten somewhere above.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | G | C | D | G |
//! ~~~
//!
//! ~~~ lyrics over verse
//! chord G               C
//! sung  Bring the boat home
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | G | C | D | G |
//! ~~~
//!
//! ~~~ lyrics over verse
//! chord G               C
//! sung  Bring the boat home,
//! chord D             G
//! sung  bring the boat home
//! ~~~
//! ````

use super::chords_differ::symbol;
use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Chord;

/// The rule `chords-short`.
pub static RULE: Rule =
    Rule { name: "chords-short", weight: Weight::Hint, source: include_str!("chords_short.rs") };

/// The last chord of a song, behind which the changes of a name go on with some others.
pub fn stops(span: Span, last: Option<&Chord>, name: &str, left: &[Option<&Chord>]) -> Finding {
    let left: Vec<String> = left.iter().map(|chord| symbol(*chord)).collect();
    let message = format!("the song stops at `{}`, midway in `{name}`", symbol(last));
    Finding::new(&RULE, span, message).note(format!("what follows there: `{}`", left.join(" ")))
}
