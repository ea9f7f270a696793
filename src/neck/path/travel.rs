//! What it costs to shift the hand, worked out once for all places of a passage.

use super::{Leap, Moment};
use crate::neck::speed::Shift;
use crate::neck::{Fret, Neck};
use std::time::Duration;

/// What costs more than any way around it but a broken joint: a shift for which there is no time (assumed).
const TOO_LATE: f64 = 10.0;

/// The shifts between the places of the hand from one fret to another.
#[derive(Debug)]
pub(super) struct Travel {
    /// The first place.
    first: Fret,
    places: usize,
    shifts: Vec<Costs>,
}

/// A shift and what is needed of it again and again.
#[derive(Debug, Clone, Copy)]
struct Costs {
    shift: Shift,
    /// 0.06 √D, D in mm: by the root, so that a few long shifts are better than many short ones (hand note
    /// section 3.2).
    way: f64,
    expert: f64,
    shortest: f64,
}

impl Travel {
    /// The shifts over all frets of a passage.
    pub fn over(moments: &[Moment], neck: &Neck) -> Travel {
        let frets = || {
            let stops = moments.iter().flat_map(|moment| &moment.stops);
            stops.map(|stop| stop.fret).filter(|fret| fret.is_pressed())
        };
        // The little finger reaches forward over four frets, the index finger back over one.
        let first = frets().min().unwrap_or(Fret::FIRST).down(4).max(Fret::FIRST);
        let last = frets().max().unwrap_or(Fret::FIRST).up(1);
        Travel::within(first, last, neck)
    }

    /// The shifts between two places.
    pub fn between(one: Fret, other: Fret, neck: &Neck) -> Travel {
        Travel::within(one.min(other), one.max(other), neck)
    }

    fn within(first: Fret, last: Fret, neck: &Neck) -> Travel {
        let costs = |from: Fret, to: Fret| {
            let distance = (neck.pressed(from) - neck.pressed(to)).abs();
            let shift = Shift { distance, slot: neck.width(to) };
            Costs {
                shift,
                way: 0.06 * distance.sqrt(),
                expert: shift.expert(),
                shortest: shift.shortest(),
            }
        };
        let shifts = first.to(last).flat_map(|from| first.to(last).map(move |to| (from, to)));
        let shifts = shifts.map(|(from, to)| costs(from, to)).collect();
        Travel { first, places: usize::from(last.above(first)) + 1, shifts }
    }

    /// The costs between two places; `None` where the hand stays.
    fn costs(&self, from: Fret, to: Fret) -> Option<&Costs> {
        if from == to {
            return None;
        }
        let row = usize::from(from).checked_sub(usize::from(self.first))?;
        let column = usize::from(to).checked_sub(usize::from(self.first))?;
        self.shifts.get(row * self.places + column)
    }

    /// What a shift between single notes costs (hand note section 3.2).
    pub fn shift(&self, from: Fret, to: Fret) -> f64 {
        self.costs(from, to).map_or(0.0, |costs| 0.60 + costs.way)
    }

    /// What a shift between grips of several fingers costs: less by itself, since each finger's own way
    /// is counted too (hand note section 3.3).
    pub fn chord_shift(&self, from: Fret, to: Fret) -> f64 {
        self.costs(from, to).map_or(0.0, |costs| 0.3 + costs.way)
    }

    /// What it costs that there is little time for a shift, once it takes an expert more than half of what
    /// there is (hand note section 3.2); nothing where the time is not known.
    pub fn hurry(&self, from: Fret, to: Fret, time: Duration) -> f64 {
        let Some(costs) = self.costs(from, to).filter(|_| !time.is_zero()) else { return 0.0 };
        let time = milliseconds(time);
        let late = if time < costs.shortest { TOO_LATE } else { 0.0 };
        late + (costs.expert / time - 0.5).max(0.0).powi(2)
    }

    /// The leap between two places, if the time is known and too short for it.
    pub fn leap(&self, from: Fret, to: Fret, time: Duration) -> Option<Leap> {
        let costs = self.costs(from, to).filter(|_| !time.is_zero())?;
        let relaxed = costs.shift.relaxed();
        let (distance, shortest) = (costs.shift.distance, costs.shortest);
        let leap = Leap { from, to, distance, time, shortest, relaxed };
        (milliseconds(time) < shortest).then_some(leap)
    }
}

fn milliseconds(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
