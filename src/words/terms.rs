//! What theory and the neck tell apart, as a student reads it: what chords do, and inversions.

use super::help::{Sign, sign};
use crate::neck::Finger;
use crate::neck::voicing::{Family, Inversion};
use crate::theory::Key;
use crate::theory::numeral::{AugmentedSixth, Explanation, Function, Own, Step};

/// What a chord does in a key, in letters and signs as they are typed: "borrowed from F# minor".
pub fn function(function: Function) -> String {
    with(function, |step| step.to_string(), |key| key.to_string())
}

/// The same with signs as they are printed: "borrowed from F♯ minor".
pub fn printed_function(function: Function) -> String {
    with(function, Step::printed, |key| key.printed())
}

/// What explains a chord, as it is printed beneath it: without what a colon explains. `None` where nothing
/// does.
pub fn brief_explanation(explanation: &Explanation) -> Option<String> {
    let words = printed_function(explanation.function?);
    let brief = words.split(':').next().unwrap_or_default();
    let bass = if explanation.foreign_bass.is_some() { ", bass outside" } else { "" };
    Some(format!("{brief}{bass}"))
}

fn with(function: Function, step: impl Fn(Step) -> String, key: impl Fn(Key) -> String) -> String {
    match function {
        Function::Own(place) => own(place).into(),
        Function::AlteredDominant => "dominant with altered tones".into(),
        Function::AugmentedTonic => "tonic with a raised fifth".into(),
        Function::BluesTonic => "tonic in a blues: dominant seventh on I".into(),
        Function::BluesSubdominant => "subdominant in a blues: dominant seventh on IV".into(),
        Function::SubdominantSeventh => "subdominant with a minor seventh".into(),
        Function::DominantOf(target) => format!("dominant of {}", step(target)),
        Function::LeadingToneOf(target) => format!("leading-tone chord of {}", step(target)),
        Function::RelatedTwoOf(target) => format!("related ii of {}", step(target)),
        Function::RelatedTwoOfSubstitute => "related ii of a tritone substitute".into(),
        Function::SuspendedDominantOf(target) => {
            format!("suspended dominant of {}", step(target))
        }
        Function::CadentialSixFour => "dominant (cadential six-four)".into(),
        Function::RaisedLeadingTone => "leading-tone chord".into(),
        Function::ChromaticPredominant => "chromatic predominant".into(),
        Function::TritoneSubstitute => "tritone substitute for V7".into(),
        Function::TritoneSubstituteOfDominant => "tritone substitute for V7/V".into(),
        Function::TritoneSubstituteOf(target) => {
            format!("tritone substitute for V7/{}", step(target))
        }
        Function::Neapolitan => "Neapolitan chord".into(),
        Function::AugmentedSixth(kind) => format!("{} augmented sixth", sixth(kind)),
        Function::CommonToneDiminished(target) => {
            format!("common-tone diminished chord of {}", step(target))
        }
        Function::Borrowed(from) => format!("borrowed from {}", key(from)),
        Function::PassingDiminished => "passing diminished chord".into(),
        Function::NeighbourDiminished => "neighbouring diminished chord".into(),
    }
}

const fn sixth(kind: AugmentedSixth) -> &'static str {
    match kind {
        AugmentedSixth::Italian => "Italian",
        AugmentedSixth::French => "French",
        AugmentedSixth::German => "German",
    }
}

/// What one of a key's own chords does there.
pub const fn own(place: Own) -> &'static str {
    match place {
        Own::Tonic => "tonic",
        Own::TonicFamily => "tonic family",
        Own::Supertonic => "supertonic",
        Own::Mediant => "mediant",
        Own::Subdominant => "subdominant",
        Own::SubdominantFamily => "subdominant family",
        Own::RaisedFourth => "raised fourth",
        Own::Dominant => "dominant",
        Own::MinorDominant => "minor dominant",
        Own::DiminishedDominant => "diminished dominant",
        Own::Submediant => "submediant",
        Own::LeadingTone => "leading-tone chord",
        Own::Subtonic => "subtonic",
    }
}

/// What a fretting finger is called.
pub const fn finger(finger: Finger) -> &'static str {
    match finger {
        Finger::Index => "index",
        Finger::Middle => "middle",
        Finger::Ring => "ring",
        Finger::Little => "little finger",
        Finger::Thumb => "thumb",
    }
}

/// The same, where nothing else says that it is a finger: "index finger".
pub const fn whole_finger(finger: Finger) -> &'static str {
    match finger {
        Finger::Index => "index finger",
        Finger::Middle => "middle finger",
        Finger::Ring => "ring finger",
        Finger::Little | Finger::Thumb => self::finger(finger),
    }
}

/// No finger, as fingers are written.
pub const NO_FINGER: Sign = sign(".", "none");

/// The signs of all fretting fingers, and that of none.
pub fn fingers() -> Vec<Sign> {
    let each = |(written, one): (&'static str, Finger)| sign(written, finger(one));
    Finger::ALL.into_iter().map(each).chain([NO_FINGER]).collect()
}

/// What the shapes of a family of voicings are.
pub const fn family(family: Family) -> &'static str {
    match family {
        Family::Triads => "three voices as close as can be",
        Family::SpreadTriads => "three voices, the middle one an octave higher",
        Family::Shells => {
            "root on string 6 or 5, third and seventh on 4 and 3 where not said otherwise"
        }
        Family::Drop2 => "four voices, the second from the top an octave lower",
        Family::Drop3 => "four voices, the third from the top an octave lower",
        Family::Any => "any shape that sounds the whole chord, its root lowest, or a slash's bass",
    }
}

/// Which tone is lowest in an inversion.
pub const fn lowest(inversion: Inversion) -> &'static str {
    match inversion {
        Inversion::Root => "the root is lowest",
        Inversion::First => "the third is lowest",
        Inversion::Second => "the fifth is lowest",
        Inversion::Third => "the seventh or sixth is lowest",
    }
}

/// Which tone of a chord is lowest.
pub const fn inversion(inversion: Inversion) -> &'static str {
    match inversion {
        Inversion::Root => "root position",
        Inversion::First => "first inversion",
        Inversion::Second => "second inversion",
        Inversion::Third => "third inversion",
    }
}
