//! A numeral is used where no key is in force.
//!
//! ## Why it matters
//!
//! `ii V I` names chords only in a key. Without one the numerals can't be turned into chords, nor
//! checked.
//!
//! ## An example
//!
//! ````text
//! The pull of `V7` to `I` is felt at once.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! key: A major
//! ---
//!
//! The pull of `V7` to `I` is felt at once.
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `no-key`.
pub static RULE: Rule =
    Rule { name: "no-key", weight: Weight::Hint, source: include_str!("no_key.rs") };

fn of_numeral(span: Span) -> Finding {
    Finding::new(&RULE, span, "a numeral stands for no chord where no key is named")
}

/// A numeral among changes.
pub fn in_changes(span: Span) -> Finding {
    of_numeral(span).note("name the key in the header: `key: A major`")
}

/// A numeral in a phrase, which can name a key of its own.
pub fn in_phrase(span: Span) -> Finding {
    of_numeral(span).note("give the header a `key`, or write `ii7 in E major`")
}
