//! A fret is beyond the end of the neck.
//!
//! ## Why it matters
//!
//! The note can't be played on this instrument. With a capo, frets count from the capo, so fewer are
//! left. If the neck is longer, say so in the header: `frets: 24`.
//!
//! ## An example
//!
//! ````text
//! ~~~ riff
//! count 1   2   3   4   |
//! e     0---2---3---32--|
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

use crate::findings::{Finding, Rule, Span, Weight};
use crate::neck::Instrument;

/// The rule `fret-range`.
pub static RULE: Rule =
    Rule { name: "fret-range", weight: Weight::Fault, source: include_str!("fret_range.rs") };

/// A fret that the neck doesn't have.
pub fn off_the_neck(span: Span, fret: u32, instrument: &Instrument) -> Finding {
    let last = instrument.last_fret();
    let from = if instrument.capo > 0 { " counted from the capo" } else { "" };
    let message = format!("fret {fret} is off the neck, which ends at fret {last}{from}");
    Finding::new(&RULE, span, message)
}
