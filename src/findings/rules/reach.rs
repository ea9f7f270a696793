//! Two fingers would have to get further apart than the hand reaches, by the model of the hand that the
//! lesson names.
//!
//! ## Why it matters
//!
//! Frets lie far apart near the nut. A shape that is easy at the fifth fret can be out of reach at the
//! first, and whoever forces it may be hurt. The hand is an average one of its size: `hand: large`, or
//! your own span in mm, changes the limit.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape, hand small
//! F    1 3 x x x 5    by 1 3 . . . 4
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape, hand small
//! F    1 3 3 2 1 1    by 1 3 4 2 1 1
//! ~~~
//! ````

use crate::findings::hand::{ShapePlace, pair};
use crate::findings::{Finding, Rule, Weight};
use crate::neck::hold::{Gap, Press};

/// The rule `reach`.
pub static RULE: Rule =
    Rule { name: "reach", weight: Weight::Doubt, source: include_str!("reach.rs") };

/// Two fingers lie farther apart than the hand reaches.
pub fn too_far(gap: &Gap, place: &ShapePlace) -> Finding {
    let message = format!(
        "{}{} must get {:.0} mm apart, at frets {} and {}; {} reaches {:.0} mm",
        place.before,
        pair(gap),
        gap.distance,
        gap.lower.fret,
        gap.higher.fret,
        place.hand.called(),
        gap.limit
    );
    Finding::new(&RULE, place.span, message)
}

/// The thumb doesn't come so far over the neck.
pub fn thumb(press: &Press, place: &ShapePlace) -> Finding {
    let message = format!(
        "{}the thumb, over the neck's edge, doesn't reach fret {} of string {}",
        place.before,
        press.fret,
        place.tuning.number(press.high)
    );
    Finding::new(&RULE, place.span, message)
}
