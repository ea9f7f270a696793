//! The lesson speaks of a block, or of a bar of one, that isn't there.
//!
//! ## Why it matters
//!
//! "Look at bar 5 of the hook" sends a student looking for something that can't be found.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! Look at `bar 3 of the verse`.
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! Look at `bar 2 of the verse`.
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::words::listed;
use std::ops::RangeInclusive;

/// The rule `unknown-name`.
pub static RULE: Rule =
    Rule { name: "unknown-name", weight: Weight::Fault, source: include_str!("unknown_name.rs") };

/// No block is called so; `what` is the kind of block that is looked for, such as "`changes` block".
pub fn none(span: Span, what: &str, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("no {what} is called `{name}`"))
}

/// A block has no part of a name; `parts` are those that it has.
pub fn no_part(span: Span, (block, part): (&str, &str), parts: &[String]) -> Finding {
    let finding = Finding::new(&RULE, span, format!("`{block}` has no part called `{part}`"));
    match parts {
        [] => finding.note("only the parts of a `together` block can be left out"),
        parts => finding.note(format!("its parts are {}", listed(parts))),
    }
}

/// What a diagram is to show is nothing that it can show.
pub fn nothing_to_show(span: Span, text: &str) -> Finding {
    let message = format!("`{text}` is no scale, no chord, no notes and no block of this lesson");
    Finding::new(&RULE, span, message)
        .note("a diagram shows a scale (`A minor pentatonic`), a chord (`A7`), notes (`notes A E`) or a block by its name")
}

/// Bars are named of a block that has none.
pub fn no_bars(span: Span, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` has no bars"))
}

/// Chords are said of a block, or of bars of it, that has none.
pub fn no_chords(span: Span, what: &str) -> Finding {
    Finding::new(&RULE, span, format!("{what} has no chords"))
}

/// A beginning is said of a block that plays no notes.
pub fn no_notes(span: Span, name: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{name}` has no notes"))
}

/// A bar is named that a block doesn't have.
pub fn no_bar(span: Span, name: &str, bar: u32, has: RangeInclusive<u32>) -> Finding {
    let (start, end) = has.into_inner();
    Finding::new(&RULE, span, format!("`{name}` has no bar {bar}, its bars are {start} to {end}"))
}

/// The first of the bars that are named stands behind the last.
pub fn backwards(span: Span, first: u32, last: u32) -> Finding {
    Finding::new(&RULE, span, format!("bars {first} to {last} run backwards"))
}
