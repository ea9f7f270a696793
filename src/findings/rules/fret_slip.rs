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

use crate::findings::{Rule, Weight};

/// The rule `fret-slip`.
pub static RULE: Rule =
    Rule { name: "fret-slip", weight: Weight::Doubt, source: include_str!("fret_slip.rs") };
