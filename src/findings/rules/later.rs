//! The lesson uses a part of the language that this version doesn't print.
//!
//! ## Why it matters
//!
//! The block or the line is passed over, and nothing of it is on the handout.
//!
//! ## An example
//!
//! ````text
//! ~~~ together
//! rhythm: strums
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ changes verse
//! | A | D |
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `later`.
pub static RULE: Rule =
    Rule { name: "later", weight: Weight::Hint, source: include_str!("later.rs") };

/// A kind of block that is not printed yet.
pub fn passed_over(span: Span) -> Finding {
    let message = "this kind of block is not printed by this version; it is passed over";
    Finding::new(&RULE, span, message)
}
