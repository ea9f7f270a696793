//! Two fingers would have to get further apart than the hand reaches, by the model of the hand that the
//! lesson names; or a finger that holds what must still ring would have to be somewhere else.
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

use crate::findings::hand::{ShapePlace, called, pair};
use crate::findings::{Finding, Rule, Weight};
use crate::neck::hold::{Gap, Press};
use crate::neck::{Finger, Fret, StringIndex, by_string};
use crate::words::listed;

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

/// What is to ring on can't be kept while other notes are struck.
pub fn ringing(kept: &[(StringIndex, Fret)], place: &ShapePlace) -> Finding {
    let at = |(string, fret): &(StringIndex, Fret)| {
        format!("fret {fret} of string {}", place.tuning.number(*string))
    };
    let pressed = by_string(place.frets).filter_map(|(string, fret)| Some((string, (*fret)?)));
    let pressed = pressed.filter(|(_, fret)| fret.is_pressed());
    let pressed: Vec<String> = pressed.map(|note| at(&note)).collect();
    let kept: Vec<String> = kept.iter().map(at).collect();
    let message = format!(
        "{}no hand keeps {} ringing and presses {}",
        place.before,
        listed(&kept),
        listed(&pressed)
    );
    Finding::new(&RULE, place.span, message)
        .note("end the `ring` run before, or let an open string ring")
}

/// A finger is to press a note while another that it holds must still ring. `other` is a finger that is free for
/// it, if there is one.
pub fn held_down(
    finger: Finger,
    (kept, pressed): ((StringIndex, Fret), (StringIndex, Fret)),
    other: Option<Finger>,
    place: &ShapePlace,
) -> Finding {
    let at = |(string, fret): (StringIndex, Fret)| {
        format!("fret {fret} of string {}", place.tuning.number(string))
    };
    let before = place.before;
    let (finger, kept, pressed) = (called(finger), at(kept), at(pressed));
    let message = format!("{before}{finger} keeps {kept} ringing and can't press {pressed}");
    let sooner = "end the `ring` run before";
    Finding::new(&RULE, place.span, message).note(match other {
        Some(other) => format!("press {pressed} with {}, or {sooner}", called(other)),
        None => sooner.to_owned(),
    })
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
