//! Fingers as an author writes them, judged; and what stands in the way where no hold exists.

use super::limits::{Breach, Gap};
use super::press::{Press, pairs};
use super::{FINGERS, Posture, Task, easiest};
use crate::neck::{Finger, Fret, Hand, Neck, StringIndex, by_string};

/// What becomes of a shape under given fingers.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Judgement {
    /// The rules of the hand that they break, one breach a rule.
    pub breaches: Vec<Breach>,
    /// The pair that is stretched furthest beyond what is comfortable, where one is stretched so
    /// far that it is reached only off the places where fingertips press by choice.
    pub stretch: Option<Gap>,
}

/// Judges fingers on a shape. Both have an entry for each string, the lowest-placed first.
pub fn judge(
    frets: &[Option<Fret>],
    fingers: &[Option<Finger>],
    neck: &Neck,
    hand: Hand,
    posture: Posture,
) -> Judgement {
    let task = Task { frets, neck, hand, posture };
    let presses = Press::of_fingers(frets, fingers);
    let unpressed = unpressed(frets, fingers, &presses);
    let breaches = unpressed.into_iter().chain(task.breaches(&presses)).collect();
    Judgement { breaches, stretch: task.wide_stretch(&presses) }
}

/// Why no hold of a shape exists, if none does: the rule that ended the way that came furthest, since that
/// is the one a player would be nearest to mending (hand note section 2.4).
pub fn obstacle(
    frets: &[Option<Fret>],
    neck: &Neck,
    hand: Hand,
    posture: Posture,
) -> Option<Breach> {
    let task = Task { frets, neck, hand, posture };
    let fretted = task.fretted();
    let mut furthest: Option<Breach> = None;
    let mut held = false;
    task.each_way(&fretted, &mut |presses| match task.first_breach(presses, None) {
        None => held = true,
        Some(breach) if furthest.is_none_or(|known| known.progress() < breach.progress()) => {
            furthest = Some(breach);
        }
        Some(_) => {}
    });
    if held {
        return None;
    }
    Some(furthest.unwrap_or(Breach::TooMany { needed: task.fewest_fingers() }))
}

/// The smallest span of a hand that holds a shape, in whole mm up to 200; `None` where the size of
/// the hand is not what stands in the way. A larger hand holds all that a smaller one does.
pub fn least_span(frets: &[Option<Fret>], neck: &Neck, posture: Posture) -> Option<f64> {
    let held = |span: u32| {
        let hand = Hand { span: f64::from(span) };
        easiest(frets, neck, hand, posture).is_some()
    };
    let (mut short, mut enough) = (100, 200);
    if !held(enough) {
        return None;
    }
    while enough - short > 1 {
        let middle = (short + enough) / 2;
        if held(middle) { enough = middle } else { short = middle }
    }
    Some(f64::from(enough))
}

/// The lowest fret from which a shape can be held further up the neck, where frets lie closer: the
/// fret that its lowest pressed one goes to. `None` where open strings tie it to its place, or it
/// can't be held up to the twelfth fret; further up fingertips begin to crowd (hand note section 2.5).
pub fn up_the_neck(
    frets: &[Option<Fret>],
    neck: &Neck,
    hand: Hand,
    posture: Posture,
) -> Option<Fret> {
    let lowest = frets.iter().flatten().min().filter(|fret| fret.is_pressed())?;
    let moved = |by: u8| -> Vec<Option<Fret>> {
        frets.iter().map(|fret| fret.map(|fret| fret.up(by))).collect()
    };
    let held =
        |by: &u8| easiest(&moved(*by), neck, hand, posture).is_some_and(|held| held.stretch <= 1.0);
    (1..=Fret::new(12).above(*lowest)).find(held).map(|by| lowest.up(by))
}

/// A fretted string on which no finger is, nor lies.
fn unpressed(
    frets: &[Option<Fret>],
    fingers: &[Option<Finger>],
    presses: &[Press],
) -> Option<Breach> {
    let pressed = |string: StringIndex, fret: Fret| {
        presses.iter().any(|press| press.covers(string) && press.fret == fret)
    };
    let mut strings = by_string(frets).zip(fingers);
    strings.find_map(|((string, fret), finger)| match (*fret, *finger) {
        (Some(fret), None) if fret.is_pressed() && !pressed(string, fret) => {
            Some(Breach::Unpressed { string, fret })
        }
        _ => None,
    })
}

impl Task<'_> {
    /// How many fingers press all notes at least, where every finger could lie on any number of
    /// strings.
    fn fewest_fingers(&self) -> usize {
        let mut runs: Vec<Press> = Vec::new();
        for note in self.fretted() {
            let single = Press::new(Finger::Index, note);
            let longer = runs.last().map(|run| Press { high: note.string, ..*run });
            match longer.filter(|run| run.fret == note.fret && self.can_lie(run)) {
                Some(longer) => {
                    runs.pop();
                    runs.push(longer);
                }
                None => runs.push(single),
            }
        }
        runs.len().max(FINGERS.len() + 1)
    }

    /// The pair that is stretched furthest, where that is further than the places allow where
    /// fingertips press by choice.
    fn wide_stretch(&self, presses: &[Press]) -> Option<Gap> {
        let (_, (lower, higher)) = pairs(presses)
            .map(|(one, other)| (self.stretch(one, other), (one, other)))
            .filter(|(stretch, _)| *stretch > 1.0)
            .max_by(|(a, _), (b, _)| a.total_cmp(b))?;
        let distance = self.least_distance(lower, higher);
        let limit = self.hand.reach(lower.finger, higher.finger)?.comfortable;
        Some(Gap { lower: *lower, higher: *higher, distance, limit })
    }
}
