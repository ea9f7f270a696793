//! What a hand can't hold, in words: findings of `finger-count`, `finger-crossing`, `reach` and
//! `stretch`, for shapes and for the chords of a riff.

use crate::findings::Finding;
use crate::findings::Span;
use crate::findings::rules::{finger_count, finger_crossing, reach, stretch};
use crate::neck::hold::{BarreTrouble, Breach, Gap, Press, least_span, up_the_neck};
use crate::neck::{Finger, Hand, Neck, Posture, Tuning};

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
    pub frets: &'a [Option<u8>],
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

/// A finding for a rule of the hand that is broken.
pub fn beyond(breach: &Breach, place: &ShapePlace) -> Finding {
    let rule = match breach {
        Breach::Crossing { .. } => &finger_crossing::RULE,
        Breach::Reach(_) | Breach::Thumb(_) => &reach::RULE,
        _ => &finger_count::RULE,
    };
    Finding::new(rule, place.span, format!("{}{}", place.before, words(breach, place)))
}

/// A finding for two fingers that are stretched further than is comfortable.
pub fn wide(gap: &Gap, place: &ShapePlace) -> Finding {
    let message = format!(
        "{}{} stretch {:.0} mm at the least; {} spreads them {:.0} mm in comfort",
        place.before,
        fingers(gap),
        gap.distance,
        place.hand.called(),
        gap.limit
    );
    Finding::new(&stretch::RULE, place.span, message)
}

/// The finding with what would help where the notes can't be fingered otherwise, and the caution.
pub fn with_ways_out(mut finding: Finding, place: &ShapePlace, neck: &Neck) -> Finding {
    let posture = Posture::default();
    if finding.rule.name != finger_crossing::RULE.name {
        if let Some(span) =
            least_span(place.frets, neck, posture).filter(|span| *span > place.hand.span)
        {
            finding = finding.note(format!("a hand that spans {span:.0} mm or more holds it"));
        }
        if let Some(fret) = up_the_neck(place.frets, neck, place.hand, posture) {
            finding = finding.note(format!(
                "further up the neck, where frets lie closer, the same shape is easier: from fret {fret}"
            ));
        }
    }
    finding.note(CAUTION)
}

fn words(breach: &Breach, place: &ShapePlace) -> String {
    match breach {
        Breach::TooMany { needed } => {
            format!("this takes {needed} fingers, and a hand presses with four")
        }
        Breach::Unpressed { string, fret } => {
            format!("no finger presses fret {fret} of string {}", place.tuning.number(*string))
        }
        Breach::TwoFrets(one, other) => format!(
            "{} can't press frets {} and {} at once",
            called(one.finger),
            one.fret,
            other.fret
        ),
        Breach::Crossing { lower, higher } => format!(
            "fingers {} and {} cross: {}, {}",
            lower.finger.sign(),
            higher.finger.sign(),
            seat(lower, place),
            seat(higher, place)
        ),
        Breach::Barre { press, trouble } => barre(press, *trouble, place),
        Breach::Reach(gap) => format!(
            "{} must get {:.0} mm apart, at frets {} and {}; {} reaches {:.0} mm",
            fingers(gap),
            gap.distance,
            gap.lower.fret,
            gap.higher.fret,
            place.hand.called(),
            gap.limit
        ),
        Breach::Crowd { fret, needed, room } => format!(
            "the fingertips on fret {fret} must be staggered by {needed:.0} mm, and there are {room:.0} mm"
        ),
        Breach::Thumb(press) => format!(
            "the thumb, over the neck's edge, doesn't reach fret {} of string {}",
            press.fret,
            place.tuning.number(press.high)
        ),
    }
}

/// "fingers 1 and 4".
fn fingers(gap: &Gap) -> String {
    format!("fingers {} and {}", gap.lower.finger.sign(), gap.higher.finger.sign())
}

/// "finger 2 at fret 3 of string 5".
fn seat(press: &Press, place: &ShapePlace) -> String {
    let number = place.tuning.number(press.low);
    format!("{} at fret {} of string {number}", called(press.finger), press.fret)
}

fn barre(press: &Press, trouble: BarreTrouble, place: &ShapePlace) -> String {
    let finger = called(press.finger);
    match trouble {
        BarreTrouble::Covers(string) => {
            let state = match place.frets.get(string).copied().flatten() {
                None => "must be silent".to_string(),
                Some(0) => "must ring open".to_string(),
                Some(fret) => format!("must ring at fret {fret}"),
            };
            let number = place.tuning.number(string);
            format!("{finger} lies over string {number}, which {state}")
        }
        BarreTrouble::Width(0) => {
            format!(
                "{finger} can't bend back over {} strings at fret {}",
                press.width(),
                press.fret
            )
        }
        BarreTrouble::Width(most) => format!(
            "{finger} can't lie on {} strings at fret {}, at most on {most}",
            press.width(),
            press.fret
        ),
        BarreTrouble::Index => {
            format!(
                "{finger} can't lie on two strings of fret {}, where finger 1 presses",
                press.fret
            )
        }
    }
}
