//! The notes of a bar spell another chord than its symbol.
//!
//! At most one note in three is the symbol's, the lowest is not, and four in five spell another chord of the key. Over
//! `changes` the doubt stands at the riff's bar, since the changes may be right and the riff wrong.
//!
//! ## Why it matters
//!
//! The symbol is what the others play. Which of the two is meant only the ear can tell: listen to the bar once more.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Wrong Door
//! key: C major
//! ---
//!
//! ~~~ riff
//! chord   C               |G               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! e       ------0-----0---|------0-----0---|
//! B       ----1---1-1---1-|----1---1-1---1-|
//! G       --0-------------|--2-------------|
//! A       3---------------|0---------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Wrong Door
//! key: C major
//! ---
//!
//! ~~~ riff
//! chord   C               |Am              |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! e       ------0-----0---|------0-----0---|
//! B       ----1---1-1---1-|----1---1-1---1-|
//! G       --0-------------|--2-------------|
//! A       3---------------|0---------------|
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `chord-contradicted`.
pub static RULE: Rule = Rule {
    name: "chord-contradicted",
    weight: Weight::Doubt,
    source: include_str!("chord_contradicted.rs"),
};

/// The notes of `bar` spell another chord than the symbol of the riff's own row.
pub fn of_row(span: Span, bar: &str, spelled: &str, symbol: &str) -> Finding {
    Finding::new(&RULE, span, message(bar, spelled, symbol))
}

/// The same where the symbol stands in the changes that the riff is over.
pub fn of_changes(span: Span, bar: &str, spelled: &str, symbol: &str) -> Finding {
    Finding::new(&RULE, span, message(bar, spelled, symbol))
        .note("the symbol stands in the changes, where other riffs may need it")
}

fn message(bar: &str, spelled: &str, symbol: &str) -> String {
    format!("{bar}: the notes spell `{spelled}`, not `{symbol}`")
}
