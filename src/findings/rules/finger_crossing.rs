//! Two fingers cross: a higher finger presses nearer the nut than a lower one, or a bassier string of
//! the same fret.
//!
//! ## Why it matters
//!
//! Crossed fingers can be put down slowly, but no hand changes to them in time. Most often two figures
//! behind `by`, or in a `left` row, changed places. Index and middle finger may be swapped on one fret.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! C    x 3 2 0 1 0    by . 1 2 . 3 .
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! C    x 3 2 0 1 0    by . 3 2 . 1 .
//! ~~~
//! ````

use crate::findings::hand::{ShapePlace, seat};
use crate::findings::{Finding, Rule, Weight};
use crate::neck::hold::Press;

/// The rule `finger-crossing`.
pub static RULE: Rule = Rule {
    name: "finger-crossing",
    weight: Weight::Doubt,
    source: include_str!("finger_crossing.rs"),
};

/// Two fingers lie across each other.
pub fn crossed(lower: &Press, higher: &Press, place: &ShapePlace) -> Finding {
    let message = format!(
        "{}fingers {} and {} cross: {}, {}",
        place.before,
        lower.finger.sign(),
        higher.finger.sign(),
        seat(lower, place),
        seat(higher, place)
    );
    Finding::new(&RULE, place.span, message)
}
