//! Every way that a hand can hold a shape, the easiest first (hand note sections 2.2 to 2.5).
//!
//! A way is found as a row of presses: the fretted notes, ordered by fret and then by string, are
//! cut into at most four runs of one fret each, and the runs take rising fingers. Since a higher
//! finger never presses a lower fret, nor a bassier string of the same fret, no way is missed but
//! the two that break the order: index and middle finger swapped on one fret, and the thumb on the
//! lowest string. Six notes in four runs at most, and four fingers to choose from, make no more than 84 ways
//! beside those, so all are tried.

mod judge;
pub(in crate::neck) mod limits;
mod press;
mod strain;

#[cfg(test)]
mod tests;

pub use judge::{Judgement, judge, least_span, obstacle, up_the_neck};
pub use limits::{BarreTrouble, Breach, Gap};
pub use press::Press;

use super::{Finger, Fret, Hand, Neck, StringIndex, by_string};
use press::Note;

/// One way to hold a shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// For each string the finger that presses it.
    pub fingers: Vec<Option<Finger>>,
    /// How hard it is: up to 0.9 easy, up to 1.8 moderate, up to 2.6 hard (grades assumed, to be
    /// measured).
    pub strain: f64,
    /// How far the widest pair of fingers is stretched: 0 comfortable, above 1 only off the places
    /// where a fingertip presses by choice.
    pub stretch: f64,
}

/// How the instrument is held and struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Posture {
    /// Whether the thumb may come over the neck to the lowest string.
    pub thumb: bool,
    /// Whether the strings are strummed, so that a silent one between must be damped. Plucked, it is
    /// only left alone, and a finger may lie on it.
    pub strum: bool,
}

impl Default for Posture {
    /// The thumb behind the neck, the strings strummed.
    fn default() -> Posture {
        Posture { thumb: false, strum: true }
    }
}

/// The fingers that press by rising number.
const FINGERS: [Finger; 4] = [Finger::Index, Finger::Middle, Finger::Ring, Finger::Little];

/// Every way to hold a shape on a neck, the least strain first; none where the model of the hand
/// can't hold it. A shape that presses nothing is held by no finger.
///
/// `frets` has a fret for each string, the lowest-placed first (0 is open, counted from the capo),
/// `None` where it is silent.
pub fn holds(frets: &[Option<Fret>], neck: &Neck, hand: Hand, posture: Posture) -> Vec<Hold> {
    let task = Task { frets, neck, hand, posture };
    let fretted = task.fretted();
    let mut found = task.search(&fretted, None);
    if posture.thumb && frets.first().is_some_and(|fret| fret.is_some_and(|fret| fret.is_pressed()))
    {
        let (thumb, rest) =
            fretted.iter().partition::<Vec<Note>, _>(|note| note.string == StringIndex::LOWEST);
        let thumb = thumb.first().map(|note| Press::new(Finger::Thumb, *note));
        found.extend(task.search(&rest, thumb));
    }
    let order = |hold: &Hold| hold.fingers.iter().map(|f| f.map(Finger::sign)).collect::<Vec<_>>();
    found.sort_by(|a, b| a.strain.total_cmp(&b.strain).then_with(|| order(a).cmp(&order(b))));
    found
}

/// The easiest way to hold a shape, if there is one.
pub fn easiest(frets: &[Option<Fret>], neck: &Neck, hand: Hand, posture: Posture) -> Option<Hold> {
    holds(frets, neck, hand, posture).into_iter().next()
}

/// A shape to be held, and by what.
struct Task<'a> {
    frets: &'a [Option<Fret>],
    neck: &'a Neck,
    hand: Hand,
    posture: Posture,
}

impl Task<'_> {
    /// The notes that must be pressed, ordered by fret, then string.
    fn fretted(&self) -> Vec<Note> {
        let pressed = |(string, fret): (StringIndex, &Option<Fret>)| {
            fret.filter(|fret| fret.is_pressed()).map(|fret| Note { fret, string })
        };
        let mut notes: Vec<Note> = by_string(self.frets).filter_map(pressed).collect();
        notes.sort();
        notes
    }

    /// All holds that press the notes with four fingers, the thumb being where it is.
    fn search(&self, notes: &[Note], thumb: Option<Press>) -> Vec<Hold> {
        let mut found = Vec::new();
        self.each_way(notes, &mut |presses| {
            if self.first_breach(presses, thumb.as_ref()).is_none() {
                found.push(self.hold(presses, thumb));
            }
        });
        found
    }

    /// Every way to lay four fingers on the notes that keeps them in order.
    fn each_way(&self, notes: &[Note], each: &mut impl FnMut(&[Press])) {
        self.cut(notes, &mut Vec::new(), &mut |runs| {
            fingerings_of(runs).iter().for_each(|presses| each(presses));
        });
    }

    /// Cuts the notes into at most four runs of one fret in every way that leaves each run
    /// something that a finger can lie on. A run's finger is not chosen yet.
    fn cut(&self, notes: &[Note], runs: &mut Vec<Press>, each: &mut impl FnMut(&[Press])) {
        let Some(first) = notes.first() else { return each(runs) };
        if runs.len() == FINGERS.len() {
            return;
        }
        let mut run = Press::new(Finger::Index, *first);
        for (at, note) in notes.iter().enumerate() {
            run.high = note.string;
            if note.fret != run.fret || !self.can_lie(&run) {
                return;
            }
            runs.push(run);
            self.cut(notes.get(at + 1..).unwrap_or_default(), runs, each);
            runs.pop();
        }
    }

    /// What each finger is on, as a hold.
    fn hold(&self, presses: &[Press], thumb: Option<Press>) -> Hold {
        let finger_on = |(string, fret): (StringIndex, &Option<Fret>)| {
            let mut all = presses.iter().chain(&thumb);
            let on = all.find(|press| press.covers(string) && Some(press.fret) == *fret);
            on.map(|press| press.finger)
        };
        let fingers = by_string(self.frets).map(finger_on).collect();
        let strain = self.strain(presses) + thumb.map_or(0.0, |_| strain::THUMB);
        Hold { fingers, strain, stretch: self.widest_stretch(presses) }
    }
}

/// Every choice of rising fingers for runs in order, and with it the swap of index and middle
/// finger where they press one fret.
fn fingerings_of(runs: &[Press]) -> Vec<Vec<Press>> {
    let mut ways = Vec::new();
    for chosen in (0u8..16).filter(|chosen| chosen.count_ones() as usize == runs.len()) {
        let fingers = FINGERS.iter().enumerate().filter(|(at, _)| chosen >> at & 1 == 1);
        let way: Vec<Press> = runs
            .iter()
            .zip(fingers)
            .map(|(run, (_, finger))| Press { finger: *finger, ..*run })
            .collect();
        ways.extend(swapped(&way));
        ways.push(way);
    }
    ways
}

/// The same way with index and middle finger swapped, where they may be: each on one string, the
/// fret the same.
fn swapped(way: &[Press]) -> Option<Vec<Press>> {
    let [first, second, rest @ ..] = way else { return None };
    let pair = first.finger == Finger::Index && second.finger == Finger::Middle;
    let single = !first.is_barre() && !second.is_barre();
    if !pair || !single || first.fret != second.fret {
        return None;
    }
    let index = Press { finger: Finger::Index, ..*second };
    let middle = Press { finger: Finger::Middle, ..*first };
    Some([&[index, middle], rest].concat())
}
