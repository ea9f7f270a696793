//! A bar has more, or other, beats than its meter, or parts that are played together have other bars.
//!
//! In a `together` block meters, pickups and repeats are the same in all parts.
//!
//! ## Why it matters
//!
//! A bar that doesn't add up makes every bar behind it come at the wrong time, and a student who
//! counts will notice before the teacher does.
//!
//! ## An example
//!
//! ````text
//! ~~~ changes
//! | A / D | E |
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes
//! | A / D / | E |
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};
use crate::theory::Meter;
use crate::words::numbered;

/// The rule `bar-length`.
pub static RULE: Rule =
    Rule { name: "bar-length", weight: Weight::Fault, source: include_str!("bar_length.rs") };

/// A bar of changes has a number of entries that its meter doesn't take; `bar` is "bar 2".
pub fn entries(span: Span, bar: &str, meter: Meter, count: usize, allowed: &[usize]) -> Finding {
    let numbers: Vec<String> = allowed.iter().map(usize::to_string).collect();
    let note = match numbers.split_last() {
        Some((last, [])) => format!("a bar of {meter} takes {last} entry"),
        Some((last, rest)) => {
            format!("a bar of {meter} takes {} or {last} entries", rest.join(", "))
        }
        None => String::new(),
    };
    Finding::new(&RULE, span, format!("{bar}: {count} entries don't fill a bar of {meter}"))
        .note(note)
}

/// A count's number is greater than that of the bar's beats; `of` is "beats" or "big beats".
pub fn beyond_the_beats(
    span: Span,
    bar: &str,
    count: &str,
    meter: Meter,
    has: (u32, &str),
) -> Finding {
    let (beats, of) = has;
    Finding::new(&RULE, span, format!("{bar} counts to {count}, but {meter} has {beats} {of}"))
}

/// A count comes to lie in the next bar.
pub fn beyond_the_end(span: Span, count: &str) -> Finding {
    Finding::new(&RULE, span, format!("`{count}` falls beyond the bar's end"))
}

/// A part of a `together` block has another meter than the first; `bar` is "bar 2", and of two the first part's stands
/// first here and below.
pub fn other_meter(span: Span, bar: &str, names: [&str; 2], meters: [Meter; 2]) -> Finding {
    let ([first, other], [one, two]) = (names, meters);
    let message = format!("{bar} is in {two} in `{other}`, but in {one} in `{first}`");
    Finding::new(&RULE, span, message).note(LEFT_OUT)
}

/// A part repeats other bars than the first.
pub fn other_repeat(span: Span, bar: &str, names: [&str; 2]) -> Finding {
    let [first, other] = names;
    let message = format!("{bar}: repeats and endings of `{other}` aren't those of `{first}`");
    Finding::new(&RULE, span, message)
        .note("repeat signs and endings stand at the same bar lines in all parts")
        .note(LEFT_OUT)
}

/// A part has another number of bars than the first, and bars are repeated.
pub fn other_bars(span: Span, names: [&str; 2], counts: [usize; 2]) -> Finding {
    let ([first, other], [one, two]) = (names, counts);
    let bars = numbered(two, "bar");
    let message = format!("`{other}` has {bars} and `{first}` has {one}, and some are repeated");
    Finding::new(&RULE, span, message)
        .note("where bars are repeated, all parts have as many as they stand on paper")
        .note(LEFT_OUT)
}

/// A part begins with another pickup than the first, or only one of them has none.
pub fn other_pickup(span: Span, names: [&str; 2], is_none: [bool; 2]) -> Finding {
    let [first, other] = names;
    let (message, note) = match is_none {
        [false, true] => (
            format!("`{first}` begins with a pickup, `{other}` without"),
            "a part that is silent there has the pickup too, with a rest: `(4)`",
        ),
        [true, false] => (
            format!("`{other}` begins with a pickup, `{first}` without"),
            "a part that is silent there has the pickup too, with a rest: `(4)`",
        ),
        _ => (
            format!("the pickup of `{other}` is not as long as that of `{first}`"),
            "the shorter one begins with a rest: `(3) 4`",
        ),
    };
    Finding::new(&RULE, span, message).note(note).note(LEFT_OUT)
}

/// What becomes of such a part.
const LEFT_OUT: &str = "until they agree the part is left out";
