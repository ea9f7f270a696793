//! A cue doesn't fit what is said: a figure is shown and nothing is said or played before the next
//! one, or a figure is spoken of by its name and never shown.
//!
//! ## Why it matters
//!
//! A figure that nobody speaks of flashes by, and one that is only spoken of leaves the viewer
//! looking for it.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ changes chorus
//! | D | A |
//! ~~~
//!
//! ~~~ say
//! [show verse]
//! [show chorus]
//! Both have the same two chords.
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ changes chorus
//! | D | A |
//! ~~~
//!
//! ~~~ say
//! [show verse]
//! The verse has two chords.
//! [show chorus]
//! The chorus turns them round.
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `cue`.
pub static RULE: Rule = Rule { name: "cue", weight: Weight::Hint, source: include_str!("cue.rs") };

/// A figure is shown, and the next one before a word is said about it.
pub fn no_word(span: Span) -> Finding {
    Finding::new(&RULE, span, "this figure is shown and no word is said before the next one")
        .note("say what to look at, or leave the cue out")
}

/// A figure is spoken of and no cue shows it.
pub fn never_shown(span: Span, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` is spoken of and never shown"))
        .note(format!("a cue shows it: `[show {name}]`"))
}
