//! A riff's first bar begins late and isn't called a pickup.
//!
//! A hint; a doubt where the riff has just one bar more than the changes that it is over, or where its
//! last bar lacks just the beats that the first one has.
//!
//! ## Why it matters
//!
//! An upbeat is bar 0, and the chords begin with bar 1. Counted as a whole bar it shifts every bar
//! number and every chord behind it. Nothing but the author knows which is meant: the word `pickup`
//! in the fence line says so, or a rest, `(1)`, that the bar is whole.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//!
//! ~~~ riff over verse
//! count               4   |1   2   3   4   |1   2   3   4   |
//! B       ------------2---|2-----------3---|3---------------|
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
//! ~~~ riff over verse, pickup
//! count               4   |1   2   3   4   |1   2   3   4   |
//! B       ------------2---|2-----------3---|3---------------|
//! ~~~
//! ````

use crate::findings::{Finding, Ground, Rule, Span, Weight};

/// The rule `no-pickup`.
pub static RULE: Rule =
    Rule { name: "no-pickup", weight: Weight::Hint, source: include_str!("no_pickup.rs") };

/// A riff's first bar begins late: `begins` is its first count in words, `why` speaks for a pickup where
/// something does, `phrases_end` is where the word belongs.
pub fn late_bar(
    span: Span,
    bar: &str,
    begins: &str,
    why: Option<&str>,
    phrases_end: Span,
) -> Finding {
    let message = format!("{bar} begins at {begins} and isn't called a pickup");
    let finding = Finding::new(&RULE, span, message);
    let finding = match why {
        Some(why) => finding.weighing(Weight::Doubt).note(why),
        None => finding.weighing(Weight::Hint),
    };
    finding
        .note("as a pickup it is bar 0, and the next bar is bar 1; otherwise it begins with a rest")
        .fix("`pickup` in the fence line", phrases_end, ", pickup", Ground::Choice)
}
