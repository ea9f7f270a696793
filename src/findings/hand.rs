//! What the rules of the hand share: where a hand is judged, and how its fingers are called.

use super::Span;
use crate::neck::hold::{Gap, Press};
use crate::neck::{Finger, Fret, Hand, Tuning};

/// What every finding about the hand says besides.
pub const CAUTION: &str =
    "this is the model of an average hand; your hand decides, and pain is a reason to stop";

/// Where a shape stands, and who is to hold it.
#[derive(Debug, Clone, Copy)]
pub struct ShapePlace<'a> {
    /// The words before the message, such as the bar and the count; may be empty.
    pub before: &'a str,
    /// Where it stands in the lesson.
    pub span: Span,
    /// The frets, the lowest-placed string first.
    pub frets: &'a [Option<Fret>],
    /// The strings.
    pub tuning: &'a Tuning,
    /// The hand.
    pub hand: Hand,
}

/// How a message calls a finger.
pub fn called(finger: Finger) -> String {
    match finger {
        Finger::Thumb => "the thumb".to_string(),
        _ => format!("finger {}", finger.sign()),
    }
}

/// "fingers 1 and 4".
pub(super) fn pair(gap: &Gap) -> String {
    format!("fingers {} and {}", gap.lower.finger.sign(), gap.higher.finger.sign())
}

/// "finger 2 at fret 3 of string 5".
pub(super) fn seat(press: &Press, place: &ShapePlace) -> String {
    let number = place.tuning.number(press.low);
    format!("{} at fret {} of string {number}", called(press.finger), press.fret)
}
