//! All notes of a bar, or of several, seem to be written twelve frets off.
//!
//! The line leaps by more than an octave to them and back, and runs on without a leap once they are moved by an octave;
//! or they repeat other bars once they are moved.
//!
//! ## Why it matters
//!
//! A leap of an octave and back is hard to play, and seldom what the tune does for one bar.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: A minor
//! ---
//!
//! ~~~ riff
//! chord   Am                      |Am                      |Am                      |
//! count   1  &  2  &  3  &  4  &  |1  &  2  &  3  &  4  &  |1  &  2  &  3  &  4  &  |
//! B       5-----------5-----------|17-20----17----------20-|5-----8-----5-----------|
//! G       ---5--7--------7--5--7--|------19----19-17-19----|---7-----5-----7--5-----|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: A minor
//! ---
//!
//! ~~~ riff
//! chord   Am                      |Am                      |Am                      |
//! count   1  &  2  &  3  &  4  &  |1  &  2  &  3  &  4  &  |1  &  2  &  3  &  4  &  |
//! B       5-----------5-----------|5--8-----5-----------8--|5-----8-----5-----------|
//! G       ---5--7--------7--5--7--|------7-----7--5--7-----|---7-----5-----7--5-----|
//! ~~~
//! ````

use crate::findings::slip::Slipped;
use crate::findings::{Finding, Rule, Weight};

/// The rule `octave-slip`.
pub static RULE: Rule =
    Rule { name: "octave-slip", weight: Weight::Doubt, source: include_str!("octave_slip.rs") };

/// All of some bars is an octave off; with the repair in words, which is `by` frets up.
pub fn bars(slipped: &Slipped, by: i16) -> (Finding, String) {
    let (off, back) = if by > 0 { ("low", "up") } else { ("high", "down") };
    let repair = format!("an octave {back}");
    (slipped.finding(&RULE, &format!("an octave too {off}"), &repair), repair)
}
