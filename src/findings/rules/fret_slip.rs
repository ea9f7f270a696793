//! All notes of a bar, or of several, seem to be written a fret or two off.
//!
//! Moved by as many frets they fit their chords, their key and the bars around them much better. Where it is the
//! whole riff, a capo may have been forgotten, or counted twice; then it may be off by more frets, if in four bars or
//! more the chords say so.
//!
//! ## Why it matters
//!
//! The melody is still there, in another key than the chords: it is heard only when somebody plays along.
//!
//! ## An example
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: C major
//! ---
//!
//! ~~~ riff
//! chord   C               |F               |G               |C               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1   2   3   4   |
//! e       --------0-1-3-1-|1---3-1-0---1---|----2-----------|----------------|
//! B       1---3-----------|------------3---|4-----4-2-1-2---|3---1---0---1---|
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ---
//! title: Two Lamps
//! key: C major
//! ---
//!
//! ~~~ riff
//! chord   C               |F               |G               |C               |
//! count   1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1   2   3   4   |
//! e       --------0-1-3-1-|1---3-1-0---1---|----1-----------|----------------|
//! B       1---3-----------|------------3---|3-----3-1-0-1---|3---1---0---1---|
//! ~~~
//! ````

use crate::findings::slip::Slipped;
use crate::findings::{Finding, Rule, Weight};

/// The rule `fret-slip`.
pub static RULE: Rule =
    Rule { name: "fret-slip", weight: Weight::Doubt, source: include_str!("fret_slip.rs") };

/// All of some bars is some frets off; with the repair in words, which is `by` frets up.
pub fn bars(slipped: &Slipped, by: i16) -> (Finding, String) {
    let frets = match by.unsigned_abs() {
        1 => "one fret".to_owned(),
        2 => "two frets".to_owned(),
        by => format!("{by} frets"),
    };
    let (off, back) = if by > 0 { ("low", "up") } else { ("high", "down") };
    let repair = format!("{frets} {back}");
    let finding = slipped.finding(&RULE, &format!("{frets} too {off}"), &repair);
    // So far off is rather a capo that was forgotten.
    (if by.abs() > 2 { finding.note(capo_words(by)) } else { finding }, repair)
}

/// What a riff is likely to be that is off by a capo's fret.
fn capo_words(by: i16) -> String {
    let fret = by.abs();
    match by {
        ..0 => format!("with a capo at fret {fret}, frets are counted from it: the capo is fret 0"),
        _ => {
            format!("if these frets are counted from a capo at fret {fret}, so must the chords be")
        }
    }
}
