//! How fast a hand is: shifts along the neck, and plucked notes.
//!
//! A shift is a movement to a target (Fitts 1954): its difficulty is log2(2 D / W), D being the
//! distance and W the width of the place that is hit, half a fret's slot. No single time is true for
//! every player (Visentin et al. 2015), so there are three lines (hand note section 4).

/// A shift of the hand along the neck.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shift {
    /// How far, in mm.
    pub distance: f64,
    /// The width of the slot behind the fret where it ends, in mm.
    pub slot: f64,
}

impl Shift {
    /// Above this time, in ms, it is fine: reciprocal tapping (Fitts 1954, as MacKenzie 1992 gives
    /// it).
    pub fn relaxed(self) -> f64 {
        (12.8 + 94.7 * self.difficulty()).max(0.0)
    }

    /// Below this time, in ms, it is very demanding: single movements (Fitts and Peterson 1964), at
    /// least 50 ms.
    pub fn expert(self) -> f64 {
        (-70.0 + 74.0 * self.difficulty()).max(50.0)
    }

    /// Below this time, in ms, no hand gets there: the shortest movement, speeding up for half the way
    /// and slowing down for the other half (2 √(D / a), as Nelson 1983), at an acceleration of 40 m/s²,
    /// and 40 ms to press (both assumed, to be measured).
    pub fn shortest(self) -> f64 {
        40.0 + 2000.0 * (self.distance / 1000.0 / 40.0).sqrt()
    }

    fn difficulty(self) -> f64 {
        (2.0 * self.distance / (0.5 * self.slot)).log2()
    }
}

/// What plucks one note after another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Plucking {
    /// A pick, down and up in turn.
    Alternate,
    /// Two fingers in turn.
    TwoFingers,
    /// Thumb and fingers in a row.
    Row,
    /// The same finger, or the same stroke of the pick, again.
    Again,
}

impl Plucking {
    /// Notes a second that are no trouble, and the most that a hand can. From rates of one effector
    /// (5 to 7 a second; Fujii et al. 2009), of two fingers in turn (half as fast again; Aoki and
    /// Kinoshita 2001) and a pick's two notes a cycle (hand note section 4); the lower figures are
    /// assumed, to be measured.
    pub fn rates(self) -> (f64, f64) {
        match self {
            Plucking::Alternate => (8.0, 20.0),
            Plucking::TwoFingers => (6.0, 14.0),
            Plucking::Row => (8.0, 16.0),
            Plucking::Again => (4.0, 10.0),
        }
    }
}

/// What remains of a rate where consecutive picked notes cross two strings or more: the pick has further
/// to go (the figure is assumed, to be measured).
pub const CROSSING: f64 = 0.8;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::neck::geometry::Spacing;
    use crate::neck::{Fret, Neck};

    #[test]
    fn shifts_take_the_time_of_the_table() {
        let neck = Neck::new(650.0, 6, Spacing { nut: 8.6, bridge: 11.6 }, 0);
        for (from, to, relaxed, expert, shortest) in [
            (3, 5, 303.0, 157.0, 118.0),
            (1, 5, 406.0, 237.0, 153.0),
            (5, 12, 495.0, 307.0, 168.0),
            (1, 8, 495.0, 307.0, 184.0),
            (1, 12, 574.0, 368.0, 211.0),
        ] {
            let (low, high) = (Fret::new(from), Fret::new(to));
            let distance = neck.pressed(high) - neck.pressed(low);
            let shift = Shift { distance, slot: neck.width(high) };
            for (found, wanted) in
                [(shift.relaxed(), relaxed), (shift.expert(), expert), (shift.shortest(), shortest)]
            {
                assert!((found - wanted).abs() < 3.0, "{from} to {to}: {found} not {wanted}");
            }
        }
    }
}
