//! The fingers of a passage: which finger takes which note, so that the hand moves least.
//!
//! Strings and frets are given; fingers and places of the hand are chosen. The moments at which
//! something is fretted are layers of grips, each with a cost of its own, and a cost lies between
//! every grip and every grip of the next layer; the path of least cost is found layer by layer (the
//! optimum path of Sayegh 1989). Open strings need no finger: they only give the hand time.
//!
//! The costs are those of the hand note: of single notes as its section 3.2 has them, of chords its section
//! 3.3, with which a prototype found the fingerings of textbooks. That hand travel, position and spread are
//! what is hard is measured (Heijink and Meulenbroek 2002); the weights are assumed, to be measured.

mod free;
mod grips;
mod travel;

#[cfg(test)]
mod tests;

use super::hold::Press;
use super::{Finger, Fret, Hand, Neck, StringIndex};
pub use free::{Choice, Placed, places};
use grips::{Grip, Grips};
use std::time::Duration;
use travel::Travel;

/// What happens at one moment.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Moment {
    /// The time since the moment before; zero where it is not known, or is no time at all (grace
    /// notes).
    pub since: Duration,
    /// What sounds anew.
    pub stops: Vec<Stop>,
    /// Strings with their frets that sound on from before, and so keep their fingers.
    pub ringing: Vec<(StringIndex, Fret)>,
}

/// A string stopped at a fret, or open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stop {
    /// The string.
    pub string: StringIndex,
    /// The fret, 0 for the open string.
    pub fret: Fret,
    /// The finger, where it is given.
    pub finger: Option<Finger>,
    /// How it comes out of what the string sounded before.
    pub joint: Joint,
}

/// How a note comes out of the one before on its string, as far as the fingers are concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joint {
    /// Struck anew.
    Struck,
    /// By the same finger: a slide, a bend.
    SameFinger,
    /// By another finger: a hammer-on, a pull-off.
    OtherFinger,
}

/// The fingers of a passage.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// For each moment the finger of each stop; `None` for open strings, and where the hand has no
    /// way to hold what sounds together.
    pub fingers: Vec<Vec<Option<Finger>>>,
    /// The fret under the index finger at each moment, its fingers lying one a fret; `None` before
    /// anything is fretted.
    pub places: Vec<Option<Fret>>,
    /// How hard it is in all.
    pub cost: f64,
    /// The shifts for which there is no time.
    pub jumps: Vec<Jump>,
}

/// A shift of the hand for which there is no time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jump {
    /// The moment of the last fretted notes before it, by its index.
    pub from: usize,
    /// The moment of the notes that it ends at.
    pub to: usize,
    /// How far the hand goes.
    pub leap: Leap,
}

/// How far a hand goes, and in what time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leap {
    /// The fret under the index finger before.
    pub from: Fret,
    /// The fret under the index finger behind.
    pub to: Fret,
    /// How far, in mm.
    pub distance: f64,
    /// The time that there is.
    pub time: Duration,
    /// The time that a hand needs at the least, in ms.
    pub shortest: f64,
    /// The time in which it is fine, in ms.
    pub relaxed: f64,
}

/// Finds the fingers of a passage.
pub fn fingers(moments: &[Moment], neck: &Neck, hand: Hand) -> Path {
    let travel = Travel::over(moments, neck);
    let mut grips = Grips::new(neck, hand);
    let layers = layers(moments, &mut grips);
    let chosen = cheapest(&layers, &grips, &travel);
    Path::of(moments, &layers, &chosen, &grips, &travel)
}

/// The leap between two places of the hand, if there is no time for it.
pub fn leap(from: Fret, to: Fret, time: Duration, neck: &Neck) -> Option<Leap> {
    Travel::between(from, to, neck).leap(from, to, time)
}

/// A moment at which something is fretted.
#[derive(Debug)]
struct Layer<'m> {
    /// The moment's index.
    at: usize,
    moment: &'m Moment,
    /// The time since the last layer.
    since: Duration,
    /// Whether only open strings sounded in between, so that the hand was free.
    freed: bool,
    /// The grips that take it.
    grips: Vec<Grip>,
}

/// The moments with grips, those left out at which nothing is fretted.
fn layers<'m>(moments: &'m [Moment], grips: &mut Grips) -> Vec<Layer<'m>> {
    let mut layers = Vec::new();
    let mut since = Duration::ZERO;
    let mut freed = false;
    for (at, moment) in moments.iter().enumerate() {
        since = since.saturating_add(moment.since);
        if moment.stops.iter().all(|stop| stop.fret.is_open()) {
            freed |= moment.ringing.iter().all(|(_, fret)| fret.is_open());
            continue;
        }
        layers.push(Layer { at, moment, since, freed, grips: grips.of(moment) });
        since = Duration::ZERO;
        freed = false;
    }
    layers
}

/// For each layer the grip of the cheapest path, by its index.
fn cheapest(layers: &[Layer], grips: &Grips, travel: &Travel) -> Vec<usize> {
    let Some(first) = layers.first() else { return Vec::new() };
    let mut costs: Vec<f64> = first.grips.iter().map(|grip| grip.cost).collect();
    let mut back: Vec<Vec<u16>> = Vec::with_capacity(layers.len());
    for pair in layers.windows(2) {
        let [before, layer] = pair else { continue };
        let mut came = Vec::with_capacity(layer.grips.len());
        let mut next = Vec::with_capacity(layer.grips.len());
        for grip in &layer.grips {
            let mut best = (f64::INFINITY, 0);
            for (at, (from, cost)) in before.grips.iter().zip(&costs).enumerate() {
                // No step costs less than this, so most ways need no look.
                if cost + LEAST_STEP >= best.0 {
                    continue;
                }
                let cost = cost + step(from, grip, layer, grips, travel);
                if cost < best.0 {
                    best = (cost, at);
                }
            }
            next.push(best.0 + grip.cost);
            came.push(u16::try_from(best.1).unwrap_or_default());
        }
        back.push(came);
        costs = next;
    }
    let ends = costs.iter().enumerate().min_by(|(_, a), (_, b)| a.total_cmp(b));
    let mut at = ends.map_or(0, |(at, _)| at);
    let mut chosen = vec![at];
    for came in back.iter().rev() {
        at = came.get(at).copied().map_or(0, usize::from);
        chosen.push(at);
    }
    chosen.reverse();
    chosen
}

/// What the change from grip to grip weighs beside the strain of the grips themselves.
const CHANGE: f64 = 0.6;

/// What a finger saves that stays where it is: it anchors the hand.
const ANCHOR: f64 = 0.20;

/// The most that fingers which stay where they are save: five of them.
const LEAST_STEP: f64 = -5.0 * CHANGE * ANCHOR;

/// What breaks a joint or lets go a note that should ring costs more than any way around it (assumed: over
/// ten times a long shift).
const BROKEN: f64 = 20.0;

/// What it costs to go from one grip to the next.
fn step(from: &Grip, to: &Grip, layer: &Layer, grips: &Grips, travel: &Travel) -> f64 {
    let (before, after) = (grips.presses(from), grips.presses(to));
    let reshaped = match (before, after) {
        ([one], [other]) => {
            let slid = layer.moment.stops.iter().any(|stop| stop.joint == Joint::SameFinger);
            finger_again(one, other, slid) + shift(from, to, one, other, layer, travel)
        }
        _ => CHANGE * (reshaping(before, after, grips) + travel.chord_shift(from.place, to.place)),
    };
    let hurry = travel.hurry(from.place, to.place, layer.since);
    reshaped + hurry + broken(before, after, layer.moment)
}

/// What it costs that a finger takes the next note too: another could have been ready for it, and on
/// another string it must be lifted over.
fn finger_again(one: &Press, other: &Press, slid: bool) -> f64 {
    if one.finger != other.finger || (one.fret, one.low) == (other.fret, other.low) {
        return 0.0;
    }
    match one.low.abs_diff(other.low) {
        0 if slid => 0.0,
        0 => 0.40,
        // The finger rolls over.
        1 if one.fret == other.fret => 0.25,
        _ => 0.55,
    }
}

/// What it costs to shift the hand between single notes; less where a finger stays on its string
/// and guides it, or an open string frees it.
fn shift(
    from: &Grip,
    to: &Grip,
    one: &Press,
    other: &Press,
    layer: &Layer,
    travel: &Travel,
) -> f64 {
    let guided = one.finger == other.finger && one.low == other.low;
    let ease = match () {
        _ if layer.freed => 0.7,
        _ if guided => 0.8,
        _ => 1.0,
    };
    ease * travel.shift(from.place, to.place)
}

/// What it costs to change a grip's fingers, for each of them by how it gets to its new place, 150 mm being
/// as far as one whole cost; and for a barre that is laid or taken up.
fn reshaping(before: &[Press], after: &[Press], grips: &Grips) -> f64 {
    let barres = |presses: &[Press]| presses.iter().any(Press::is_barre);
    let barred = if barres(before) == barres(after) { 0.0 } else { 0.2 };
    if let Some(moved) = block_move(before, after, grips) {
        return moved + barred;
    }
    let laid = |press: &Press| {
        // A finger that was free could be made ready.
        let Some(old) = before.iter().find(|old| old.finger == press.finger) else { return 0.20 };
        let along = grips.along(old.fret, press.fret);
        match (old.fret == press.fret, old.low == press.low) {
            (true, true) => -ANCHOR,
            // A guide along its string.
            (false, true) => 0.15 + along / 150.0,
            _ => {
                let across = grips.across(old, press);
                0.30 + (along * along + across * across).sqrt() / 150.0
            }
        }
    };
    after.iter().map(laid).sum::<f64>() + barred
}

/// What it costs where all fingers move alike: the hand keeps its form, so it is one move and not one a
/// finger.
fn block_move(before: &[Press], after: &[Press], grips: &Grips) -> Option<f64> {
    let way = |old: &Press, new: &Press| {
        let up = |old: StringIndex, new: StringIndex| new.index() as i32 - old.index() as i32;
        let strings = (up(old.low, new.low), up(old.high, new.high));
        (i32::from(new.fret) - i32::from(old.fret), strings)
    };
    let (old, new) = (before.first()?, after.first()?);
    let first = way(old, new);
    let alike = before.len() == after.len()
        && before.iter().zip(after).all(|(a, b)| a.finger == b.finger && way(a, b) == first);
    if !alike || first == (0, (0, 0)) {
        return None;
    }
    let along = if first.0 == 0 { 0.0 } else { 0.1 };
    Some(0.25 + grips.across(old, new) / 150.0 + along)
}

/// What it costs to break joints, and to let go what should ring.
fn broken(before: &[Press], after: &[Press], moment: &Moment) -> f64 {
    let on = |presses: &[Press], string: StringIndex| {
        presses.iter().find(|press| press.covers(string)).map(|press| (press.finger, press.fret))
    };
    let joints = moment.stops.iter().filter(|stop| stop.fret.is_pressed()).filter(|stop| {
        let (Some((old, from)), Some((new, to))) =
            (on(before, stop.string), on(after, stop.string))
        else {
            return false;
        };
        match stop.joint {
            Joint::Struck => false,
            Joint::SameFinger => old != new,
            Joint::OtherFinger => (from < to) != (old < new) || old == new,
        }
    });
    let let_go = moment.ringing.iter().filter(|(string, fret)| {
        fret.is_pressed()
            && on(before, *string).is_some()
            && on(before, *string) != on(after, *string)
    });
    BROKEN * (joints.count() + let_go.count()) as f64
}

impl Path {
    fn of(
        moments: &[Moment],
        layers: &[Layer],
        chosen: &[usize],
        grips: &Grips,
        travel: &Travel,
    ) -> Path {
        let mut path = Path {
            fingers: moments.iter().map(|moment| vec![None; moment.stops.len()]).collect(),
            places: vec![None; moments.len()],
            cost: 0.0,
            jumps: Vec::new(),
        };
        let mut before: Option<(&Layer, &Grip)> = None;
        for (layer, chosen) in layers.iter().zip(chosen) {
            let Some(grip) = layer.grips.get(*chosen) else { continue };
            path.cost += grip.cost;
            if let Some((from, held)) = before {
                path.cost += step(held, grip, layer, grips, travel);
                let leap = travel.leap(held.place, grip.place, layer.since);
                path.jumps.extend(leap.map(|leap| Jump { from: from.at, to: layer.at, leap }));
            }
            path.take(layer, grip, grips);
            before = Some((layer, grip));
        }
        path
    }

    /// Writes down the fingers of a layer.
    fn take(&mut self, layer: &Layer, grip: &Grip, grips: &Grips) {
        let on = |stop: &Stop| {
            let presses = grips.presses(grip).iter();
            let mut over = presses.filter(|press| press.covers(stop.string));
            over.find(|press| press.fret == stop.fret).map(|press| press.finger)
        };
        if let Some(fingers) = self.fingers.get_mut(layer.at) {
            *fingers = layer.moment.stops.iter().map(on).collect();
        }
        if let Some(place) = self.places.get_mut(layer.at) {
            *place = Some(grip.place);
        }
    }
}
