//! A key in the header, or in a `now`, is given twice, or is a letter or two away from one that the
//! header knows.
//!
//! ## Why it matters
//!
//! A mistyped key would be passed over without a word, and the lesson would be printed in the wrong
//! key, meter or tuning.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Morning Scales
//! tempu: 80
//! ---
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Morning Scales
//! tempo: 80
//! ---
//! ````

use crate::findings::source::Line;
use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `header-key`.
pub static RULE: Rule =
    Rule { name: "header-key", weight: Weight::Fault, source: include_str!("header_key.rs") };

/// A line that gives no key a value.
pub fn no_colon(span: Span, text: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{text}` is no `key: value` line"))
        .note("write one key to a line, then a colon, then its value")
}

/// A key that stands before in the same place.
pub fn given_twice(span: Span, key: &str, first: Span) -> Finding {
    Finding::new(&RULE, span, format!("`{key}` is given twice"))
        .label(first, "first given here, and this one holds")
}

/// A key of the header stands where another value may hold from now on.
pub fn for_the_whole(span: Span, key: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{key}` holds for the whole lesson"))
        .note("write it in the header")
}

/// A key that there isn't, when one near it is given already.
pub fn unknown_and_given(span: Span, key: &str, near: &str) -> Finding {
    unknown(span, key).note(format!("did you mean `{near}`? that key is given already"))
}

/// A key that there isn't, with the one that is nearest to it and what speaks for it.
pub fn unknown_near(span: Span, key: &str, near: &str, ground: Ground) -> Finding {
    unknown(span, key).note(format!("did you mean `{near}`?")).fix(
        format!("`{near}`"),
        span,
        near,
        ground,
    )
}

/// A key that lacks the letter with which its value begins: it slipped behind the colon. The value may be
/// meant as it stands.
pub fn letter_behind_the_colon(span: Span, key: &str, near: &str, value: Line) -> Finding {
    let rest: String = value.text.chars().skip(1).collect();
    let moved = format!("{near}: {}", rest.trim_start());
    let says = format!("`{near}`, with the letter behind the colon");
    unknown(span, key)
        .note(format!("did you mean `{near}`?"))
        .fix(says, span.to(value.whole()), moved, Ground::Choice)
        .fix(format!("`{near}`"), span, near, Ground::Choice)
}

fn unknown(span: Span, key: &str) -> Finding {
    Finding::new(&RULE, span, format!("unknown key `{key}`"))
}

/// A header without its end; `open` is its first line.
pub fn no_end(open: Span) -> Finding {
    Finding::new(&RULE, open, "the header has no `---` line at its end")
        .note("write `---` alone on a line behind the last key")
}
