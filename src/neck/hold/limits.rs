//! What a hand can't do: the rules that every hold keeps, asked in this order (hand note section 2.2, H1 to
//! H8). They are what anatomy and common teaching leave; where a number says so, it is assumed.

use super::Task;
use super::press::{Press, pairs};
use crate::neck::{Finger, Fret, StringIndex};

/// Why a shape, or a way to hold it, is beyond the model of the hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Breach {
    /// The notes need more fingers than the four that press.
    TooMany {
        /// How many they need at least.
        needed: usize,
    },
    /// No finger presses a fretted string.
    Unpressed {
        /// The string.
        string: StringIndex,
        /// Its fret.
        fret: Fret,
    },
    /// One finger is to press two frets.
    TwoFrets(Press, Press),
    /// A finger presses below a lower one: nearer the nut, or on a bassier string of one fret.
    Crossing {
        /// The finger of the smaller number.
        lower: Press,
        /// The finger of the greater number.
        higher: Press,
    },
    /// A finger can't lie on so many strings, or lies on one that must ring lower or be silent.
    Barre {
        /// The finger, and what it should lie on.
        press: Press,
        /// Why it can't.
        trouble: BarreTrouble,
    },
    /// Two fingers are too far apart.
    Reach(Gap),
    /// Fingertips have no room beside one another.
    Crowd {
        /// The fret that they share.
        fret: Fret,
        /// How far they must be staggered along the fret, in mm.
        needed: f64,
        /// How much room there is, in mm.
        room: f64,
    },
    /// The thumb, over the neck's edge, is on another string than the lowest, or too far from the
    /// index finger.
    Thumb(Press),
}

/// Why a finger can't lie across strings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarreTrouble {
    /// This string lies under it, but must be silent or ring lower.
    Covers(StringIndex),
    /// The finger reaches over so many strings at most; 0 where its last joint would have to bend
    /// back, which this one can't.
    Width(usize),
    /// The index finger is on the same fret.
    Index,
}

/// Two fingers and the distance between their tips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// The finger of the smaller number.
    pub lower: Press,
    /// The finger of the greater number.
    pub higher: Press,
    /// How far apart they must be, in mm.
    pub distance: f64,
    /// How far the hand lets them be, in mm.
    pub limit: f64,
}

impl Gap {
    /// The part of the limit that is used; above 1 it is too far.
    fn share(&self) -> f64 {
        self.distance / self.limit
    }
}

impl Breach {
    /// How many rules a hold kept before this one, and how near it came, for finding the one that
    /// failed last: the greater pair came further.
    pub(super) fn progress(&self) -> (u8, f64) {
        match self {
            Breach::TooMany { .. } | Breach::Unpressed { .. } => (0, 0.0),
            Breach::TwoFrets(..) => (1, 0.0),
            Breach::Crossing { .. } => (2, 0.0),
            Breach::Barre { press, .. } => (3, -(press.width() as f64)),
            Breach::Reach(gap) => (4, -gap.share()),
            Breach::Crowd { needed, room, .. } => (5, -needed / room),
            Breach::Thumb(_) => (6, 0.0),
        }
    }
}

impl Task<'_> {
    /// Every rule that the presses break, one breach a rule. They are in the order of their
    /// fingers, the thumb last. Where fingers cross, distances mean nothing.
    pub(super) fn breaches(&self, all: &[Press]) -> Vec<Breach> {
        let thumbs = all.partition_point(|press| press.finger != Finger::Thumb);
        let (presses, thumbs) = all.split_at(thumbs);
        if let Some(disorder) = two_frets(all).or_else(|| crossing(presses)) {
            return vec![disorder];
        }
        let rules = [
            self.barre(presses),
            self.out_of_reach(presses),
            self.crowd(presses),
            thumbs.first().and_then(|thumb| thumb_out_of_reach(thumb, presses)),
        ];
        rules.into_iter().flatten().collect()
    }

    /// The first rule that the presses of the search break. They keep the order of the fingers by
    /// the way they are made.
    pub(super) fn first_breach(&self, presses: &[Press], thumb: Option<&Press>) -> Option<Breach> {
        self.barre(presses)
            .or_else(|| self.out_of_reach(presses))
            .or_else(|| self.crowd(presses))
            .or_else(|| thumb.and_then(|thumb| thumb_out_of_reach(thumb, presses)))
    }

    /// Whether nothing under the press must ring lower than it presses.
    pub(super) fn can_lie(&self, press: &Press) -> bool {
        self.ringing_under(press).is_none()
    }

    /// A string under the press that rings lower than it presses, or must be silent in a strum.
    fn ringing_under(&self, press: &Press) -> Option<StringIndex> {
        let strum = self.posture.strum;
        let rings = |fret: &Option<Fret>| fret.map_or(strum, |fret| fret < press.fret);
        let (low, high) = (press.low.index(), press.high.index());
        let covered = self.frets.get(low..=high).unwrap_or_default();
        covered.iter().position(rings).map(|at| StringIndex::new(low + at))
    }

    /// The first barre that a finger can't lay.
    fn barre(&self, presses: &[Press]) -> Option<Breach> {
        let index = presses.iter().find(|press| press.finger == Finger::Index);
        let trouble = |press: &Press| {
            if !press.is_barre() {
                return None;
            }
            if let Some(string) = self.ringing_under(press) {
                return Some(BarreTrouble::Covers(string));
            }
            let most = self.widest(press);
            if press.width() > most {
                return Some(BarreTrouble::Width(most));
            }
            // Not where the index finger presses (H4; assumed).
            let on_index = index.is_some_and(|index| index.fret == press.fret);
            (press.finger == Finger::Middle && on_index).then_some(BarreTrouble::Index)
        };
        presses.iter().find_map(|press| {
            trouble(press).map(|trouble| Breach::Barre { press: *press, trouble })
        })
    }

    /// How many strings the finger can lie on there, flat or with its last joint bent back (H4, H5; common
    /// teaching).
    fn widest(&self, press: &Press) -> usize {
        let (flat, hinged) = match press.finger {
            // Six strings, or all of a wider neck (assumed).
            Finger::Index => (self.frets.len().max(6), 3),
            Finger::Middle => (2, 0),
            Finger::Ring => (4, 3),
            Finger::Little => (3, 2),
            Finger::Thumb => (1, 0),
        };
        if self.is_hinged(press) { hinged } else { flat }
    }

    /// Whether a barre must bend back (H5): a finger comes in from the treble side, and so lies flat on all
    /// strings there too, but one of them rings lower than it presses.
    pub(super) fn is_hinged(&self, press: &Press) -> bool {
        let above = self.frets.get(press.high.next().index()..).unwrap_or_default();
        press.is_barre() && above.iter().flatten().any(|fret| *fret < press.fret)
    }

    /// The pair of fingers that is furthest beyond what it reaches (H6).
    fn out_of_reach(&self, presses: &[Press]) -> Option<Breach> {
        let worst = pairs(presses)
            .filter_map(|(lower, higher)| {
                let limit = self.hand.reach(lower.finger, higher.finger)?.most;
                let distance = self.least_distance(lower, higher);
                Some(Gap { lower: *lower, higher: *higher, distance, limit })
            })
            .filter(|gap| gap.distance > gap.limit)
            .max_by(|a, b| a.share().total_cmp(&b.share()));
        worst.map(Breach::Reach)
    }

    /// How far apart two fingers must be at the least, the one nearer the nut pressing as far
    /// forward and the other as far back as sounds.
    pub(super) fn least_distance(&self, one: &Press, other: &Press) -> f64 {
        let (near, far) = if one.fret <= other.fret { (one, other) } else { (other, one) };
        let (back, forward) =
            (self.neck.furthest_back(far.fret), self.neck.furthest_forward(near.fret));
        let along = if near.fret == far.fret { 0.0 } else { (back - forward).max(0.0) };
        self.distance(along, one, other)
    }

    /// The fret on which fingertips have no room beside one another, staggered along the slot (H7).
    fn crowd(&self, presses: &[Press]) -> Option<Breach> {
        let room = |fret| room_to_stagger(self.neck.width(fret));
        let crowded = self.crowds(presses).find(|(fret, needed)| *needed > room(*fret));
        crowded.map(|(fret, needed)| Breach::Crowd { fret, needed, room: room(fret) })
    }

    /// For each fret that fingers share, how far they must be staggered along it, in mm.
    pub(super) fn crowds(&self, presses: &[Press]) -> impl Iterator<Item = (Fret, f64)> {
        let mut frets: Vec<Fret> = presses.iter().map(|press| press.fret).collect();
        frets.dedup();
        frets.into_iter().map(|fret| {
            let mut here: Vec<&Press> = presses.iter().filter(|press| press.fret == fret).collect();
            here.sort_by_key(|press| press.low);
            let stagger = here.windows(2).map(|pair| match pair {
                [one, other] => stagger(self.across(one, other)),
                _ => 0.0,
            });
            (fret, stagger.sum())
        })
    }

    /// How far two presses lie apart across the strings, at the higher of their frets, in mm.
    fn across(&self, one: &Press, other: &Press) -> f64 {
        let at = self.neck.pressed(one.fret.max(other.fret));
        one.strings_from(other) as f64 * self.neck.string_gap(at)
    }

    /// A distance between the tips of two fingers that press.
    pub(super) fn distance(&self, along: f64, one: &Press, other: &Press) -> f64 {
        stretched(along, self.across(one, other))
    }
}

/// The distance to which two fingers must be spread whose tips lie so far apart along and across the
/// strings, in mm. Half the way across is taken up by bending the finger (H6; assumed).
pub(in crate::neck) fn stretched(along: f64, across: f64) -> f64 {
    let across = 0.5 * across;
    (along * along + across * across).sqrt()
}

/// How far two fingertips on one fret must be staggered along it, so far apart across the strings, in mm:
/// so that their centres are as far from one another as a fingertip is wide, 11 mm (H7; assumed).
pub(in crate::neck) fn stagger(across: f64) -> f64 {
    (11.0 * 11.0 - across * across).max(0.0).sqrt()
}

/// How far the fingertips on a fret may be staggered in all, in a slot of a width in mm: most of it sounds,
/// and fingers may yield a little to one another (H7; assumed).
pub(in crate::neck) fn room_to_stagger(slot: f64) -> f64 {
    0.8 * slot + 4.0
}

/// A finger that is to press two frets at once.
fn two_frets(presses: &[Press]) -> Option<Breach> {
    let mut pairs = pairs(presses);
    let twice = pairs.find(|(one, other)| one.finger == other.finger);
    twice.map(|(one, other)| Breach::TwoFrets(*one, *other))
}

/// The first pair of fingers that cross (H2, H3). Index and middle finger may be swapped on one fret, as
/// in A major with fingers 2 1 3: with the hand turned, the middle finger goes to the bassier string.
fn crossing(presses: &[Press]) -> Option<Breach> {
    let crossed = |lower: &Press, higher: &Press| {
        let swap = (lower.finger, higher.finger) == (Finger::Index, Finger::Middle)
            && !lower.is_barre()
            && !higher.is_barre();
        match lower.fret.cmp(&higher.fret) {
            std::cmp::Ordering::Less => false,
            std::cmp::Ordering::Equal => lower.high >= higher.low && !swap,
            std::cmp::Ordering::Greater => true,
        }
    };
    let other_fingers = |(one, other): &(&Press, &Press)| one.finger != other.finger;
    let pair = pairs(presses).filter(other_fingers).find(|(one, other)| crossed(one, other));
    pair.map(|(lower, higher)| Breach::Crossing { lower: *lower, higher: *higher })
}

/// Whether the thumb, over the neck's edge, presses another string than the lowest, or is more than a fret
/// away from the index finger (H8; assumed).
fn thumb_out_of_reach(thumb: &Press, presses: &[Press]) -> Option<Breach> {
    let index = presses.iter().find(|press| press.finger == Finger::Index);
    let near = index.is_some_and(|index| thumb.fret.abs_diff(index.fret) <= 1);
    (thumb.high > StringIndex::LOWEST || !near).then_some(Breach::Thumb(*thumb))
}
