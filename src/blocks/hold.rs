//! What a hand can't hold, and what would help: findings of `finger-count`, `finger-crossing` and `reach`, for
//! shapes and for the chords of a riff.

use crate::findings::Finding;
use crate::findings::hand::ShapePlace;
use crate::findings::rules::{finger_count, finger_crossing, reach};
use crate::neck::hold::{Breach, least_span, up_the_neck};
use crate::neck::{Neck, Posture};

/// The finding for a rule of the hand that is broken.
pub fn beyond(breach: &Breach, place: &ShapePlace) -> Finding {
    match breach {
        Breach::TooMany { needed } => finger_count::too_many(*needed, place),
        Breach::Unpressed { string, fret } => finger_count::unpressed(*string, *fret, place),
        Breach::TwoFrets(one, other) => finger_count::two_frets(one, other, place),
        Breach::Barre { press, trouble } => finger_count::barre(press, *trouble, place),
        Breach::Crowd { fret, needed, room } => finger_count::crowd(*fret, *needed, *room, place),
        Breach::Crossing { lower, higher } => finger_crossing::crossed(lower, higher, place),
        Breach::Reach(gap) => reach::too_far(gap, place),
        Breach::Thumb(press) => reach::thumb(press, place),
    }
}

/// The finding with what would help where the notes can't be fingered otherwise.
pub fn with_ways_out(mut finding: Finding, place: &ShapePlace, neck: &Neck) -> Finding {
    if finding.rule == &finger_crossing::RULE {
        return finding;
    }
    let posture = Posture::default();
    if let Some(span) =
        least_span(place.frets, neck, posture).filter(|span| *span > place.hand.span)
    {
        finding = finding.note(format!("a hand that spans {span:.0} mm or more holds it"));
    }
    match up_the_neck(place.frets, neck, place.hand, posture) {
        Some(fret) => finding.note(format!(
            "further up the neck, where frets lie closer, the same shape is easier: from fret {fret}"
        )),
        None => finding,
    }
}
