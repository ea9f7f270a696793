//! The grips that can take what sounds at a moment, each with its cost.

use super::{Moment, Stop};
use crate::neck::hold::{self, Press};
use crate::neck::{Finger, Fret, Hand, Neck, Posture, StringIndex};
use std::collections::HashMap;
use std::ops::Range;

/// More grips of one chord are not tried, nor any that is so much harder than its easiest: a change to the
/// next chord doesn't make up for it (hand note section 3.3).
const MOST: usize = 10;
const HARDER: f64 = 0.45;

/// What each fret up the neck costs: of equals the low position is played (hand note section 3.2).
pub(super) const LOW_FIRST: f64 = 0.012;

/// Fingers on the strings, and the hand in its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Grip {
    /// The fret under the index finger, the fingers lying one a fret.
    pub place: Fret,
    /// How hard it is by itself.
    pub cost: f64,
    /// Its presses among all.
    first: u32,
    presses: u8,
}

/// The grips of a passage, with the presses that they are made of.
#[derive(Debug)]
pub(super) struct Grips<'n> {
    neck: &'n Neck,
    hand: Hand,
    presses: Vec<Press>,
    /// The grips of what was met before, by what must be held.
    known: HashMap<Shape, Vec<Grip>>,
}

/// What a grip must hold: for each string its fret, and its finger where that is given.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
struct Shape {
    frets: Vec<Option<Fret>>,
    fingers: Vec<Option<Finger>>,
}

impl<'n> Grips<'n> {
    pub fn new(neck: &'n Neck, hand: Hand) -> Grips<'n> {
        Grips { neck, hand, presses: Vec::new(), known: HashMap::new() }
    }

    /// The fingers of a grip, by rising number.
    pub fn presses(&self, grip: &Grip) -> &[Press] {
        let first = grip.first as usize;
        self.presses.get(first..first + usize::from(grip.presses)).unwrap_or_default()
    }

    /// The distance along the neck between two frets, in mm.
    pub fn along(&self, one: Fret, other: Fret) -> f64 {
        (self.neck.pressed(one) - self.neck.pressed(other)).abs()
    }

    /// The distance across the strings between two presses, in mm.
    pub fn across(&self, one: &Press, other: &Press) -> f64 {
        let gap = self.neck.string_gap(self.neck.pressed(one.fret.max(other.fret)));
        one.low.abs_diff(other.low) as f64 * gap
    }

    /// The grips that take a moment; at least one.
    pub fn of(&mut self, moment: &Moment) -> Vec<Grip> {
        let fretted = || moment.stops.iter().filter(|stop| stop.fret.is_pressed());
        let mut stops = fretted();
        if let (Some(single), None, true) = (stops.next(), stops.next(), moment.ringing.is_empty())
        {
            return self.of_single(single);
        }
        let together = Shape::of(moment, &moment.ringing);
        let grips = self.of_chord(together);
        if !grips.is_empty() {
            return grips;
        }
        // Not all that should ring can be held on to.
        let grips = self.of_chord(Shape::of(moment, &[]));
        if !grips.is_empty() {
            return grips;
        }
        let lowest = fretted().map(|stop| stop.fret).min().unwrap_or(Fret::FIRST);
        vec![self.grip(&[], lowest, 0.0)]
    }

    /// The grips of a single note: each finger in its place, the index finger also reaching back a
    /// fret, the little finger forward one, as far as a position stretches (hand note section 3.2).
    fn of_single(&mut self, stop: &Stop) -> Vec<Grip> {
        let places: [(Finger, i32); 6] = [
            (Finger::Index, 0),
            (Finger::Index, 1),
            (Finger::Middle, -1),
            (Finger::Ring, -2),
            (Finger::Little, -3),
            (Finger::Little, -4),
        ];
        let fret = i32::from(stop.fret);
        let on_neck = |place: i32| Fret::checked(place).filter(|place| place.is_pressed());
        let mut found = Vec::with_capacity(places.len());
        for (finger, from_fret) in places {
            if stop.finger.is_none_or(|given| given == finger)
                && let Some(place) = on_neck(fret + from_fret)
            {
                found.push(self.single(stop, finger, place));
            }
        }
        if let (Some(finger), true) = (stop.finger, found.is_empty()) {
            // The thumb, or a finger so near the nut that there is no fret for those before it.
            let place = if finger == Finger::Thumb { stop.fret } else { Fret::FIRST };
            found.push(self.single(stop, finger, place));
        }
        found
    }

    /// A finger on a single note; what it costs is how weak it is, how far up the neck, and how many mm
    /// it is stretched away from its own fret (hand note section 3.2).
    fn single(&mut self, stop: &Stop, finger: Finger, place: Fret) -> Grip {
        let (weakness, number) = match finger {
            Finger::Index | Finger::Thumb => (0.0, 0),
            Finger::Middle => (0.0, 1),
            Finger::Ring => (0.02, 2),
            Finger::Little => (0.10, 3),
        };
        let stretched = self.along(stop.fret, place.up(number));
        let cost = weakness + LOW_FIRST * f64::from(place) + 0.035 * stretched;
        let press = Press { finger, fret: stop.fret, low: stop.string, high: stop.string };
        self.grip(&[press], place, cost)
    }

    /// The grips of several notes: the easiest holds that keep the given fingers, or else these as
    /// they are given; none where the hand has no hold.
    fn of_chord(&mut self, shape: Shape) -> Vec<Grip> {
        if let Some(known) = self.known.get(&shape) {
            return known.clone();
        }
        let posture = Posture { thumb: shape.uses_thumb(), strum: false };
        let mut holds = hold::holds(&shape.frets, self.neck, self.hand, posture);
        holds.retain(|hold| shape.is_kept_by(&hold.fingers));
        let easiest = holds.first().map_or(0.0, |hold| hold.strain);
        let mut found: Vec<Grip> = Vec::new();
        for hold in holds.iter().take(MOST).take_while(|hold| hold.strain <= easiest + HARDER) {
            let presses = Press::of_fingers(&shape.frets, &hold.fingers);
            found.push(self.grip(&presses, place_of(&presses), hold.strain));
        }
        if found.is_empty() && shape.fingers.iter().any(Option::is_some) {
            let presses = Press::of_fingers(&shape.frets, &shape.fingers);
            found.push(self.grip(&presses, place_of(&presses), 0.0));
        }
        self.known.insert(shape, found.clone());
        found
    }

    fn grip(&mut self, presses: &[Press], place: Fret, cost: f64) -> Grip {
        let Range { start, end } = self.presses.len()..self.presses.len() + presses.len();
        self.presses.extend_from_slice(presses);
        let first = u32::try_from(start).unwrap_or(u32::MAX);
        Grip { place, cost, first, presses: u8::try_from(end - start).unwrap_or_default() }
    }
}

/// The place of the hand that its lowest finger gives it.
fn place_of(presses: &[Press]) -> Fret {
    let lowest = presses.iter().find(|press| press.finger != Finger::Thumb).or(presses.first());
    lowest.map_or(Fret::FIRST, |press| {
        let back = if press.finger == Finger::Thumb { 0 } else { press.number() - 1 };
        press.fret.moved(-back).unwrap_or(Fret::FIRST).max(Fret::FIRST)
    })
}

impl Shape {
    /// What sounds anew and what rings on.
    fn of(moment: &Moment, ringing: &[(StringIndex, Fret)]) -> Shape {
        let strings = moment.stops.iter().map(|stop| stop.string);
        let strings = strings.chain(ringing.iter().map(|(string, _)| *string));
        let strings = strings.max().map_or(0, |last| last.index() + 1);
        let mut shape = Shape { frets: vec![None; strings], fingers: vec![None; strings] };
        for (string, fret) in ringing {
            shape.set(*string, *fret, None);
        }
        for stop in &moment.stops {
            shape.set(stop.string, stop.fret, stop.finger);
        }
        shape
    }

    fn set(&mut self, string: StringIndex, fret: Fret, finger: Option<Finger>) {
        if let Some(place) = self.frets.get_mut(string.index()) {
            *place = Some(fret);
        }
        if let Some(place) = self.fingers.get_mut(string.index()) {
            *place = finger.filter(|_| fret.is_pressed());
        }
    }

    fn uses_thumb(&self) -> bool {
        self.fingers.contains(&Some(Finger::Thumb))
    }

    fn is_kept_by(&self, fingers: &[Option<Finger>]) -> bool {
        self.fingers.iter().zip(fingers).all(|(given, held)| given.is_none() || given == held)
    }
}
