//! A fenced block looks like music but its first word is no kind of block, so it is printed as it
//! stands.
//!
//! ## Why it matters
//!
//! One letter too many in `riff`, and the tab is printed as plain text and never checked.
//!
//! ## An example
//!
//! ````text
//! ~~~ rif
//! count 1   2   3   4   |
//! e     0---2---3---5---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0---2---3---5---|
//! ~~~
//! ````

use crate::findings::source::Line;
use crate::findings::{Finding, Ground, Rule, Span, Weight};
use crate::words::help::see;

/// The rule `unread-block`.
pub static RULE: Rule =
    Rule { name: "unread-block", weight: Weight::Hint, source: include_str!("unread_block.rs") };

/// A fence whose word is nearly a kind of block.
pub fn no_kind(span: Span, word: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{word}` is no kind of block")).note(see("blocks"))
}

/// A fence of another word, or of none, with a riff's row in it.
pub fn with_count(span: Span) -> Finding {
    Finding::new(&RULE, span, "this block has a `count` row but isn't read as music")
}

/// The finding with the kind of block that may be meant, in the place of the fence's word.
pub fn or_kind(finding: Finding, kind: &str, word: Line<'_>) -> Finding {
    let blank = if word.text.is_empty() { " " } else { "" };
    finding.note(format!("did you mean `{kind}`? As it is, the block is printed as it stands")).fix(
        format!("`{kind}`"),
        word.whole(),
        format!("{blank}{kind}"),
        Ground::Choice,
    )
}
