//! A finger on a fret.

use crate::neck::{Finger, Fret, StringIndex, by_string};

/// A fretted note of a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Note {
    pub fret: Fret,
    pub string: StringIndex,
}

/// A finger on one fret, over strings from `low` to `high`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Press {
    /// The finger.
    pub finger: Finger,
    /// The fret.
    pub fret: Fret,
    /// The lowest-placed string that it lies on.
    pub low: StringIndex,
    /// The highest-placed string that it lies on.
    pub high: StringIndex,
}

impl Press {
    pub(super) fn new(finger: Finger, note: Note) -> Press {
        Press { finger, fret: note.fret, low: note.string, high: note.string }
    }

    /// What each finger presses, by rising number, the thumb last. A finger on several strings of
    /// one fret lies on all between; one that is asked to press several frets has a press for each.
    pub fn of_fingers(frets: &[Option<Fret>], fingers: &[Option<Finger>]) -> Vec<Press> {
        let mut presses: Vec<Press> = Vec::new();
        for ((string, fret), finger) in by_string(frets).zip(fingers) {
            let fret = fret.filter(|fret| fret.is_pressed());
            let (Some(fret), Some(finger)) = (fret, *finger) else { continue };
            match presses.iter_mut().find(|known| known.finger == finger && known.fret == fret) {
                Some(known) => known.high = string,
                None => presses.push(Press::new(finger, Note { fret, string })),
            }
        }
        presses.sort_by_key(|press| (press.finger, press.fret));
        presses
    }

    /// How many strings it lies on.
    pub fn width(&self) -> usize {
        self.high.above(self.low) + 1
    }

    /// Whether it lies on a string.
    pub fn covers(&self, string: StringIndex) -> bool {
        (self.low..=self.high).contains(&string)
    }

    /// Whether it lies on more than one string.
    pub fn is_barre(&self) -> bool {
        self.low != self.high
    }

    /// How many strings it lies from another press at the nearest; 0 where they overlap.
    pub(super) fn strings_from(&self, other: &Press) -> usize {
        let (lower, higher) = if self.low <= other.low { (self, other) } else { (other, self) };
        higher.low.above(lower.high)
    }

    /// 1 for the index finger to 4 for the little one.
    pub fn number(&self) -> i32 {
        self.finger as i32 + 1
    }
}

/// Every pair of presses, in the order of the fingers.
pub(super) fn pairs(presses: &[Press]) -> impl Iterator<Item = (&Press, &Press)> {
    presses
        .iter()
        .enumerate()
        .flat_map(|(at, one)| presses.iter().skip(at + 1).map(move |other| (one, other)))
}
