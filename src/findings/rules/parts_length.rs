//! A part ends before the others that are played with it.
//!
//! ## Why it matters
//!
//! Whoever plays it stands there with nothing to play while the others go on.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff tune
//! count   1  2  3  4  |1  2  3  4  |
//! notes   E5 D5 C5 E5 |D5 B4 G4 B4 |
//! ~~~
//!
//! ~~~ riff bass
//! count   1  3  |
//! notes   C3 G3 |
//! ~~~
//!
//! ~~~ together duet
//! melody: tune
//! bass: bass
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ riff tune
//! count   1  2  3  4  |1  2  3  4  |
//! notes   E5 D5 C5 E5 |D5 B4 G4 B4 |
//! ~~~
//!
//! ~~~ riff bass
//! count   1  3  |1  3  |
//! notes   C3 G3 |G3 D3 |
//! ~~~
//!
//! ~~~ together duet
//! melody: tune
//! bass: bass
//! ~~~
//! ````

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `parts-length`.
pub static RULE: Rule =
    Rule { name: "parts-length", weight: Weight::Doubt, source: include_str!("parts_length.rs") };

/// A part ends with one bar while the longest goes on to another: their names and the numbers of their last bars.
pub fn ends_before(span: Span, names: [&str; 2], ends: [usize; 2]) -> Finding {
    let ([part, longest], [end, last]) = (names, ends);
    let message = format!("`{part}` ends with bar {end}, and `{longest}` goes on to bar {last}");
    Finding::new(&RULE, span, message)
        .note("it is silent from there on; a bar of silence is written `(1)`")
        .note("a strumming pattern goes on `over` the changes as long as they do")
}
