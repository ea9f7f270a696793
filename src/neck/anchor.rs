//! Anchors: where shapes follow one another, fingers that can stay on their string and fret do, and the hand
//! turns about them.
//!
//! A plain chord is held as it is taught, whatever stands beside it, unless another way is as easy; its
//! relatives take the fingers that it leaves them, even if the little finger must help (common teaching). Only
//! where all fingers stay that could is the hand anchored: where one takes another's place, it is set anew.

use super::hold::{self, Press};
use super::{Finger, Fingering, Fret, Hand, Neck, Posture, StringIndex};
use std::collections::{BTreeSet, VecDeque};

/// How much harder than the easiest a hold may be that keeps fingers where they are: so little that both are
/// taught, for shapes that are held as they are learned; enough to bring in the little finger and leave a
/// finger out, for those that follow them (strain as in hand note section 2.3; assumed, to be measured).
const AS_EASY: f64 = 0.1;
const FOR_ANCHOR: f64 = 0.8;
/// How often all shapes are looked at: once beside those that are settled, once beside all.
const SWEEPS: usize = 2;

/// A shape, and the ways to hold it that are looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Choices {
    frets: Vec<Option<Fret>>,
    /// Whether its fingers go by those of the shapes beside it, rather than these by its own.
    derived: bool,
    /// For each way the finger of each string, the easiest first.
    ways: Vec<Vec<Option<Finger>>>,
}

impl Choices {
    /// A shape whose fingers are given.
    pub fn given(fingering: Fingering) -> Choices {
        Choices { frets: fingering.frets, derived: false, ways: vec![fingering.fingers] }
    }

    /// A shape that is learned by itself: few ways to hold it are as easy as the easiest.
    pub fn taught(frets: Vec<Option<Fret>>, neck: &Neck, hand: Hand, posture: Posture) -> Choices {
        let ways = ways(&frets, AS_EASY, neck, hand, posture);
        Choices { frets, derived: false, ways }
    }

    /// A shape that is learned as a change of another.
    pub fn derived(frets: Vec<Option<Fret>>, neck: &Neck, hand: Hand, posture: Posture) -> Choices {
        let ways = ways(&frets, FOR_ANCHOR, neck, hand, posture);
        Choices { frets, derived: true, ways }
    }

    /// Whether the hand is anchored between a way to hold this shape and another shape as that is held: they have
    /// places in common, each with one finger.
    fn is_anchored(
        &self,
        way: &[Option<Finger>],
        other: &Choices,
        taken: &[Option<Finger>],
    ) -> bool {
        let places = self.frets.iter().zip(way).zip(other.frets.iter().zip(taken));
        let mut common = places
            .filter(|((fret, _), (there, _))| fret == there && fret.is_some_and(Fret::is_pressed))
            .map(|((_, finger), (_, there))| finger == there)
            .peekable();
        common.peek().is_some() && common.all(|stays| stays)
    }
}

/// The holds of a shape that are so much harder than the easiest, and take no barre and no wide stretch that it
/// doesn't take; the easiest first.
fn ways(
    frets: &[Option<Fret>],
    harder: f64,
    neck: &Neck,
    hand: Hand,
    posture: Posture,
) -> Vec<Vec<Option<Finger>>> {
    let holds = hold::holds(frets, neck, hand, posture);
    let Some(easiest) = holds.first() else { return Vec::new() };
    let barres = |fingers: &[Option<Finger>]| -> Vec<(Fret, StringIndex, StringIndex)> {
        let presses = Press::of_fingers(frets, fingers).into_iter();
        presses.filter(Press::is_barre).map(|press| (press.fret, press.low, press.high)).collect()
    };
    let known = barres(&easiest.fingers);
    let fitting = holds.iter().filter(|hold| {
        hold.strain <= easiest.strain + harder
            && hold.stretch <= easiest.stretch.max(1.0)
            && barres(&hold.fingers).iter().all(|barre| known.contains(barre))
    });
    fitting.map(|hold| hold.fingers.clone()).collect()
}

/// For each shape its fingers: of the ways to hold it that which anchors the hand in most of the `changes`, each
/// from one shape to another by their indices; the easiest of equals. No fingers where no hand holds it.
pub fn fingers(shapes: &[Choices], changes: &[(usize, usize)]) -> Vec<Vec<Option<Finger>>> {
    let beside = neighbours(shapes.len(), changes);
    let mut taken: Vec<Option<&[Option<Finger>]>> = vec![None; shapes.len()];
    for at in std::iter::repeat_n(order(shapes, &beside), SWEEPS).flatten() {
        let (Some(shape), Some(beside)) = (shapes.get(at), beside.get(at)) else { continue };
        let now = taken.get(at).copied().flatten();
        let anchored = |way: &[Option<Finger>]| {
            let settled = beside
                .iter()
                .filter_map(|at| Some((shapes.get(*at)?, taken.get(*at).copied().flatten()?)));
            settled.filter(|(other, taken)| shape.is_anchored(way, other, taken)).count()
        };
        let ways = shape.ways.iter().map(Vec::as_slice).rev();
        // Of equals the one that it has, or else the first.
        let best = ways.max_by_key(|way| (anchored(way), now == Some(*way)));
        if let Some(taken) = taken.get_mut(at) {
            *taken = best;
        }
    }
    taken.into_iter().map(|fingers| fingers.unwrap_or_default().to_vec()).collect()
}

/// For each of so many shapes those that it changes from or into.
fn neighbours(shapes: usize, changes: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut beside: Vec<Vec<usize>> = vec![Vec::new(); shapes];
    for (one, other) in changes.iter().filter(|(one, other)| one != other) {
        for (from, to) in [(*one, *other), (*other, *one)] {
            beside.get_mut(from).into_iter().for_each(|beside| beside.push(to));
        }
    }
    beside
}

/// The shapes in the order in which their fingers are settled: those that are learned by themselves, then those
/// beside them, and so on; those beside none last.
fn order(shapes: &[Choices], beside: &[Vec<usize>]) -> Vec<usize> {
    let (by_themselves, derived): (Vec<usize>, Vec<usize>) =
        (0..shapes.len()).partition(|at| shapes.get(*at).is_some_and(|shape| !shape.derived));
    let mut seen = BTreeSet::new();
    let mut order = Vec::new();
    let mut ahead: VecDeque<usize> = by_themselves.into();
    for start in derived.into_iter().map(Some).chain([None]) {
        while let Some(at) = ahead.pop_front() {
            if seen.insert(at) {
                order.push(at);
                ahead.extend(beside.get(at).into_iter().flatten());
            }
        }
        ahead.extend(start);
    }
    order
}

#[cfg(test)]
mod tests;
