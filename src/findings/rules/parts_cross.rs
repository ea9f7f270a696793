//! Two parts cross, or double each other in unison.
//!
//! ## Why it matters
//!
//! The ear follows the highest voice. Where another part rises above the tune, the tune is lost; where both play the same
//! notes, one of them is lost.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff tune
//! count   1  2  3  4  |1  2  3  4  |
//! notes   E5 D5 C5 E5 |E4 B4 G4 B4 |
//! ~~~
//!
//! ~~~ riff second
//! count   1  2  3  4  |1  3  4  |
//! notes   C5 B4 A4 C5 |G4 D4    |
//! ~~~
//!
//! ~~~ together duet
//! melody: tune
//! second: second
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff tune
//! count   1  2  3  4  |1  2  3  4  |
//! notes   E5 D5 C5 E5 |E5 B4 G4 B4 |
//! ~~~
//!
//! ~~~ riff second
//! count   1  2  3  4  |1  3  4  |
//! notes   C5 B4 A4 C5 |G4 D4    |
//! ~~~
//!
//! ~~~ together duet
//! melody: tune
//! second: second
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `parts-cross`.
pub static RULE: Rule =
    Rule { name: "parts-cross", weight: Weight::Hint, source: include_str!("parts_cross.rs") };

/// A part rises above the one that has the top voice; `bars` is "bar 2" or "bars 2 and 3".
pub fn crosses(span: Span, part: &str, top: &str, bars: &str) -> Finding {
    let message = format!("`{part}` rises above `{top}` in {bars}");
    Finding::new(&RULE, span, message).note(format!("elsewhere `{top}` has the top voice"))
}

/// Of two parts neither is above the other for long.
pub fn neither(span: Span, names: [&str; 2], bars: &str) -> Finding {
    let [one, other] = names;
    let message = format!("`{one}` and `{other}` change places in {bars}");
    Finding::new(&RULE, span, message).note("neither has the top voice")
}

/// Two parts play the same notes for a while.
pub fn in_unison(span: Span, names: [&str; 2], bars: &str) -> Finding {
    let [one, other] = names;
    Finding::new(&RULE, span, format!("`{one}` and `{other}` play the same notes in {bars}"))
        .note("in unison one of them isn't heard")
}
