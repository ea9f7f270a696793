//! A bar has more, or other, beats than its meter.
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
