//! A chord symbol can't be read.
//!
//! ## Why it matters
//!
//! A student can't play a chord that nobody can name. The message gives the nearest symbol that can be
//! read. Some symbols mean different chords in different places: `A2` is `Aadd9` or `Asus2`, `A4` is
//! `Aadd11` or `Asus4`, `A7+` is `A7#5` or `Amaj7`. Each is offered, and the choice is yours.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes
//! | A | Dmoj7 |
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes
//! | A | Dmaj7 |
//! ~~~
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};
use crate::theory::chord::ChordError;

/// The rule `unknown-chord`.
pub static RULE: Rule =
    Rule { name: "unknown-chord", weight: Weight::Fault, source: include_str!("unknown_chord.rs") };

/// A symbol that can't be read, and why; each of the symbols that may be meant is a repair: what `put` makes
/// of it stands at the place then.
pub fn unread(
    span: Span,
    symbol: &str,
    error: &ChordError,
    put: impl Fn(&str) -> String,
) -> Finding {
    error.meant.iter().fold(without_repairs(span, symbol, error), |finding, meant| {
        finding.fix(format!("`{meant}`"), span, put(meant), Ground::Choice)
    })
}

/// A symbol that can't be read, and why, where another can't simply be put in its place.
pub fn without_repairs(span: Span, symbol: &str, error: &ChordError) -> Finding {
    Finding::new(&RULE, span, format!("`{symbol}` can't be read as a chord"))
        .note(error.message.as_str())
}
