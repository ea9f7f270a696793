//! A line or a phrase in a block of music can't be read.
//!
//! ## Why it matters
//!
//! What can't be read can't be checked or printed, and a student would not see it at all. The message
//! says what may stand there.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! A  x 0 2 2 2 0
//! ~~~
//! ````

use crate::findings::source::Line;
use crate::findings::{Finding, Rule, Span, Weight, limit};

/// The rule `block-syntax`.
pub static RULE: Rule =
    Rule { name: "block-syntax", weight: Weight::Fault, source: include_str!("block_syntax.rs") };

/// What stands at a place can't be read: the reader that stopped there says in one sentence why.
pub fn at(span: Span, message: impl Into<String>) -> Finding {
    Finding::new(&RULE, span, message)
}

/// A phrase that a kind of block, such as "a `shape` block", doesn't know.
pub fn no_phrase(phrase: Line<'_>, block: &str) -> Finding {
    at(phrase.whole(), format!("`{}` is no phrase of {block}", phrase.text))
}

/// What is written for an ending names none.
pub fn no_ending(span: Span, written: &str) -> Finding {
    at(span, format!("an ending is `1.` or `2.`, not `{written}`"))
        .note("`1.` holds for every time but the last")
}

/// What is written for a bar's meter is none.
pub fn no_meter(span: Span, written: &str) -> Finding {
    at(span, format!("`{written}` is no meter"))
        .note("a meter is 1 to 32 beats over 1, 2, 4, 8, 16 or 32, such as `7/8`")
}

/// Nothing is left of the work that a lesson may ask for.
pub fn spent(span: Span) -> Finding {
    at(span, "so much is worked out above that nothing is left for this").note(limit::PART_IT)
}

/// A block is to be filled in that has nothing which could be taken out; `kind` is the word on its fence line.
pub fn nothing_to_fill_in(span: Span, kind: &str) -> Finding {
    at(span, format!("this `{kind}` has nothing for a student to fill in"))
        .note("frets, strokes, chords' names and a neck's dots can be left blank")
}

/// A block of a kind that has no figure is to be an answer.
pub fn no_answer(span: Span, kind: &str) -> Finding {
    at(span, format!("a `{kind}` block has no figure to answer with"))
}

/// A block is said to answer itself.
pub fn answers_itself(span: Span) -> Finding {
    at(span, "a block can't be the answer to itself")
        .note("`blank, answered` prints it as a frame, and filled in at the lesson's end")
}

/// A block is said to answer one that has no figure on the handout.
pub fn answers_unprinted(span: Span, name: &str) -> Finding {
    at(span, format!("`{name}` has no figure in its place on the handout that could be answered"))
}
