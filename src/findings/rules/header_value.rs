//! The value of a key in the header, or in a `now`, is not one that the key can take.
//!
//! ## Why it matters
//!
//! The meter decides whether bars add up, the tuning decides what each fret sounds, and the key
//! decides how notes are spelled. A value that can't be read would make all of that wrong.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Morning Scales
//! meter: 4/5
//! ---
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! meter: 4/4
//! ---
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::words::help::see;

/// The rule `header-value`.
pub static RULE: Rule =
    Rule { name: "header-value", weight: Weight::Fault, source: include_str!("header_value.rs") };

/// A value that can't be taken: the first line of `words` is what is wrong, further ones are advice.
pub fn wrong(span: Span, words: &str) -> Finding {
    let mut words = words.lines();
    let message = words.next().unwrap_or_default();
    words.fold(Finding::new(&RULE, span, message), Finding::note).note(see("header"))
}

/// A font that can't be used, and why.
pub fn font(span: Span, path: &str, why: &str) -> Finding {
    Finding::new(&RULE, span, format!("the font `{path}` {why}"))
        .note("allowed: a TTF or OTF file in the lesson's folder or below")
}

/// A template that the lesson doesn't name can't be used.
pub fn asked_template(why: String) -> Finding {
    Finding::new(&RULE, Span::default(), why)
}

/// A template that can't be used, and why.
pub fn template(span: Span, path: &str, why: &str) -> Finding {
    Finding::new(&RULE, span, format!("the template `{path}` {why}"))
}
