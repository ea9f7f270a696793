//! A shape asks the fingers for more than they can do: more fingers than four, one finger on two frets,
//! a finger laid over a string that must ring, more fingertips than a fret has room for.
//!
//! ## Why it matters
//!
//! Four fingers press. A barre saves some, but it lies on every string that it crosses: an open string
//! beneath it doesn't ring, and one that should be silent sounds. Where the fingering is your own,
//! another one may hold the same notes.
//!
//! ## An example
//!
//! ````text
//! ~~~ shape
//! G    3 2 0 0 0 3    by 2 1 . . . 2
//! ~~~
//! ````
//!
//! ## The same, repaired
//!
//! ````text
//! ~~~ shape
//! G    3 2 0 0 0 3    by 2 1 . . . 3
//! ~~~
//! ````

use crate::findings::hand::{ShapePlace, called};
use crate::findings::{Finding, Rule, Weight};
use crate::neck::hold::{BarreTrouble, Press};
use crate::neck::{Fret, StringIndex};

/// The rule `finger-count`.
pub static RULE: Rule =
    Rule { name: "finger-count", weight: Weight::Doubt, source: include_str!("finger_count.rs") };

fn at(place: &ShapePlace, words: String) -> Finding {
    Finding::new(&RULE, place.span, format!("{}{words}", place.before))
}

/// A shape takes more fingers than there are.
pub fn too_many(needed: usize, place: &ShapePlace) -> Finding {
    at(place, format!("this takes {needed} fingers, and a hand presses with four"))
}

/// A fret is left without a finger.
pub fn unpressed(string: StringIndex, fret: Fret, place: &ShapePlace) -> Finding {
    let number = place.tuning.number(string);
    at(place, format!("no finger presses fret {fret} of string {number}"))
}

/// One finger is put at two frets.
pub fn two_frets(one: &Press, other: &Press, place: &ShapePlace) -> Finding {
    let finger = called(one.finger);
    at(place, format!("{finger} can't press frets {} and {} at once", one.fret, other.fret))
}

/// More fingertips stand on a fret than it has room for.
pub fn crowd(fret: Fret, needed: f64, room: f64, place: &ShapePlace) -> Finding {
    at(
        place,
        format!(
            "the fingertips on fret {fret} must be staggered by {needed:.0} mm, and there are {room:.0} mm"
        ),
    )
}

/// A finger can't lie over the strings that it is put on.
pub fn barre(press: &Press, trouble: BarreTrouble, place: &ShapePlace) -> Finding {
    let (finger, fret) = (called(press.finger), press.fret);
    let words = match trouble {
        BarreTrouble::Covers(string) => {
            let state = match place.frets.get(string.index()).copied().flatten() {
                None => "must be silent".to_string(),
                Some(Fret::OPEN) => "must ring open".to_string(),
                Some(fret) => format!("must ring at fret {fret}"),
            };
            format!("{finger} lies over string {}, which {state}", place.tuning.number(string))
        }
        BarreTrouble::Width(0) => {
            format!("{finger} can't bend back over {} strings at fret {fret}", press.width())
        }
        BarreTrouble::Width(most) => {
            let width = press.width();
            format!("{finger} can't lie on {width} strings at fret {fret}, at most on {most}")
        }
        BarreTrouble::Index => {
            format!("{finger} can't lie on two strings of fret {fret}, where finger 1 presses")
        }
    };
    at(place, words)
}
