//! A bar line stands in another column than in the row above.
//!
//! ## Why it matters
//!
//! Bar lines part all rows at the same moment. Where one is out of line, everything behind it in that
//! row belongs to another moment than it seems.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |1   2   3   4   |
//! e     0---2---3---5----|3---2---0-------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |1   2   3   4   |
//! e     0---2---3---5---|3---2---0-------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `bar-adrift`.
pub static RULE: Rule =
    Rule { name: "bar-adrift", weight: Weight::Fault, source: include_str!("bar_adrift.rs") };

/// A row lacks a bar line of the others; `line` is which, in words.
pub fn missing(span: Span, line: &str) -> Finding {
    Finding::new(&RULE, span, format!("{line} is missing"))
}

/// A row lacks a bar line, and what stands behind it is a column early for want of it.
pub fn missing_before(span: Span, line: &str) -> Finding {
    let message = format!(
        "{line} is missing, and all behind it stands 1 column to the left of the other rows'"
    );
    Finding::new(&RULE, span, message)
}

/// A bar line stands so many columns to a side of the others.
pub fn beside(span: Span, line: &str, distance: &str, side: &str) -> Finding {
    Finding::new(&RULE, span, format!("{line} stands {distance} to the {side} of the other rows'"))
}

/// A bar line stands beside the others, and what is behind it with it.
pub fn beside_with_all(span: Span, line: &str, distance: &str, side: &str) -> Finding {
    let message = format!(
        "{line} stands {distance} to the {side} of the other rows', and so does all behind it"
    );
    Finding::new(&RULE, span, message)
}

/// A bar line stands where no other row has one nearby.
pub fn alone(span: Span, line: &str) -> Finding {
    Finding::new(&RULE, span, format!("{line} stands where the other rows have none"))
}
