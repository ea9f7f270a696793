//! All notes of a bar, or of several, seem to be written one string off.
//!
//! Moved by one string they fit their chords, the bars around them and the bars that they repeat much better.
//!
//! ## Why it matters
//!
//! The shape looks right and every note is wrong: the commonest slip of whoever copies a tab by eye. One
//! finding stands for all the notes, with the bars written on the next string as the repair.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: G major
//! ---
//!
//! ~~~ riff
//! chord   G               |C               |G               |D               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! e       ----------------|----------------|------3---3-----|------2---2-----|
//! B       ------3---3-----|------1---1-----|----0---0---0---|----3---3---3---|
//! G       ----0---0---0---|----0---0---0---|--0-----------0-|--2-----------2-|
//! D       --0-----------0-|--2-----------2-|----------------|0---------------|
//! A       ----------------|3---------------|3---------------|----------------|
//! E       3---------------|----------------|----------------|----------------|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: G major
//! ---
//!
//! ~~~ riff
//! chord   G               |C               |G               |D               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
//! e       ----------------|----------------|----------------|------2---2-----|
//! B       ------3---3-----|------1---1-----|------3---3-----|----3---3---3---|
//! G       ----0---0---0---|----0---0---0---|----0---0---0---|--2-----------2-|
//! D       --0-----------0-|--2-----------2-|--0-----------0-|0---------------|
//! A       ----------------|3---------------|----------------|----------------|
//! E       3---------------|----------------|3---------------|----------------|
//! ~~~
//! ````

use crate::findings::slip::Slipped;
use crate::findings::{Finding, Rule, Weight};

/// The rule `string-slip`.
pub static RULE: Rule =
    Rule { name: "string-slip", weight: Weight::Doubt, source: include_str!("string_slip.rs") };

/// All of some bars is one string off; with the repair in words, which is `by` strings up.
pub fn bars(slipped: &Slipped, by: isize) -> (Finding, String) {
    let (off, back) = if by > 0 { ("low", "higher") } else { ("high", "lower") };
    let repair = format!("one string {back}");
    (slipped.finding(&RULE, &format!("one string too {off}"), &repair), repair)
}
