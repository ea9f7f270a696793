//! A hammer-on, pull-off, slide, bend or vibrato does not go with the place that a note was moved to.
//!
//! ## Why it matters
//!
//! Two notes are joined on one string. Where the second one lies on another string now, or an open
//! string is to be slid, bent or shaken, the figure sounds different from the one it was made of.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff hook
//! count 1   2   3   4   |
//! G     4---5/--7---4~--|
//! ~~~
//!
//! ~~~ move hook-low from hook
//! down a major third, on strings 3 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff hook
//! count 1   2   3   4   |
//! G     4---5/--7---4~--|
//! ~~~
//!
//! ~~~ move hook-low from hook
//! down a major third, near fret 5
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `technique-lost`.
pub static RULE: Rule = Rule {
    name: "technique-lost",
    weight: Weight::Doubt,
    source: include_str!("technique_lost.rs"),
};

/// A technique can't be played where a note comes to lie.
pub fn lost(span: Span, what: &str, why: &str) -> Finding {
    Finding::new(&RULE, span, format!("the {what} is lost here, {why}"))
        .note("the note is played without it; other strings or another fret may keep it")
}
