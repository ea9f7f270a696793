//! How hard a hold is, and how far its fingers are stretched.
//!
//! The weights are those of the hand note, section 2.3, but where one names the shape that it is set by: set by
//! hand on 64 shapes whose taught fingerings the tests list, and such that changing them all by a quarter at
//! random leaves 61 of the 64 as they are taught. What a strum's silent strings cost is common teaching, its figures assumed.

use super::press::{Press, pairs};
use super::{FINGERS, Task};
use crate::neck::{Finger, Fret};

/// What the thumb over the neck's edge costs.
pub(super) const THUMB: f64 = 0.60;

/// Up to this fret a hand lies beside the nut, a finger a fret.
const BESIDE_NUT: Fret = Fret::new(4);

impl Task<'_> {
    /// How far a pair is stretched beyond comfort, pressing where it does by choice: 1 is the most. More
    /// is reached only off those places.
    pub(super) fn stretch(&self, one: &Press, other: &Press) -> f64 {
        let along = (self.neck.pressed(one.fret) - self.neck.pressed(other.fret)).abs();
        let distance = self.distance(along, one, other);
        self.hand.reach(one.finger, other.finger).map_or(0.0, |reach| {
            (distance - reach.comfortable).max(0.0) / (reach.most - reach.comfortable)
        })
    }

    pub(super) fn widest_stretch(&self, presses: &[Press]) -> f64 {
        pairs(presses).map(|(one, other)| self.stretch(one, other)).fold(0.0, f64::max)
    }

    /// How hard a hold is. A stretch counts by its square: a little of it is nothing, and two half
    /// stretches are easier than a whole one.
    pub(super) fn strain(&self, presses: &[Press]) -> f64 {
        let fingers: f64 = presses.iter().map(|press| self.finger_strain(press)).sum();
        let between: f64 = pairs(presses)
            .map(|(one, other)| self.stretch(one, other).powi(2) + diagonal_strain(one, other))
            .sum();
        let spread: f64 = presses
            .windows(2)
            .map(|pair| match pair {
                [one, other] => spread_strain(one, other),
                _ => 0.0,
            })
            .sum();
        let crowded: f64 = self
            .crowds(presses)
            .map(|(fret, need)| 0.35 * need / (0.8 * self.neck.width(fret)))
            .sum();
        fingers
            + between
            + spread
            + crowded
            + led_strain(presses)
            + self.place_strain(presses)
            + self.covered_strain(presses)
            + self.damping_strain(presses)
    }

    /// What it costs that one or two fingers beside the nut, under open strings, are not those whose frets
    /// they are: enough that the frets decide but for the little finger, so that the hand lies where the
    /// next chord finds it (common teaching, the figure assumed).
    fn place_strain(&self, presses: &[Press]) -> f64 {
        let among_open = self.frets.iter().flatten().any(|fret| fret.is_open());
        let beside_nut = |press: &Press| !press.is_barre() && press.fret <= BESIDE_NUT;
        if presses.len() > 2 || !among_open || !presses.iter().all(beside_nut) {
            return 0.0;
        }
        let too_far = |press: &Press| (i32::from(press.fret) - press.number()).max(0);
        0.04 * f64::from(presses.iter().map(too_far).sum::<i32>())
    }

    /// What it costs that another finger than the index lies on a string that a higher one presses further up,
    /// though there are fingers enough for all strings: flat, it is in that one's way. The D form `xx3565` is
    /// taught 1 2 4 3 from the first fret on (the figure assumed).
    fn covered_strain(&self, presses: &[Press]) -> f64 {
        if !self.has_fingers_enough() {
            return 0.0;
        }
        let covers = |(lower, higher): &(&Press, &Press)| {
            lower.finger != Finger::Index && lower.is_barre() && lower.covers(higher.low)
        };
        1.80 * pairs(presses).filter(covers).count() as f64
    }

    /// Whether each pressed string could have a finger of its own.
    fn has_fingers_enough(&self) -> bool {
        let pressed = self.frets.iter().flatten().filter(|fret| fret.is_pressed());
        pressed.count() <= FINGERS.len()
    }

    /// What a finger costs by itself; ring and little finger are slower and less independent (Aoki and
    /// others 2005, Lang and Schieber 2004).
    fn finger_strain(&self, press: &Press) -> f64 {
        let finger = match press.finger {
            Finger::Index | Finger::Middle | Finger::Thumb => 0.10,
            Finger::Ring => 0.13,
            Finger::Little => 0.28,
        };
        if press.is_barre() { finger + self.barre_strain(press) } else { finger }
    }

    /// What it costs to lie on several strings: the more of them, the more must be pressed at once, most
    /// with a finger that is used to press with its tip.
    fn barre_strain(&self, press: &Press) -> f64 {
        let strings = press.width() as f64;
        let length = match press.width() {
            ..=2 => 0.45,
            3 => 0.60,
            4 => 0.70,
            5 => 0.85,
            // On from five and six strings in the same steps (assumed).
            _ => 1.00 + 0.15 * (strings - 6.0),
        };
        let finger = match press.finger {
            // Close to the nut (or capo) the strings are stiff.
            Finger::Index => 0.25 * f64::from(Fret::new(3).above(press.fret)) / 2.0 * strings / 6.0,
            Finger::Middle => 0.60,
            Finger::Ring => 0.35,
            // The shortest one lies over two strings where fingers are too few, as in `353455`; else others are
            // spread first, as `x31333` is taught 2 1 3 3 3.
            _ if press.width() <= 2 && !self.has_fingers_enough() => 0.50,
            Finger::Little | Finger::Thumb => 2.50,
        };
        length + finger + if self.is_hinged(press) { 0.80 } else { 0.0 }
    }

    /// What it costs to damp the silent strings between sounding ones in a strum: little where a
    /// finger beside them leans on them, more where another must be spared for it, most where none is
    /// left. Those outside are simply not struck.
    fn damping_strain(&self, presses: &[Press]) -> f64 {
        if !self.posture.strum {
            return 0.0;
        }
        let sounding = |fret: &Option<Fret>| fret.is_some();
        let (first, last) = (
            self.frets.iter().position(sounding).unwrap_or_default(),
            self.frets.iter().rposition(sounding).unwrap_or_default(),
        );
        let pressed = |fret: &Option<Fret>| fret.is_some_and(Fret::is_pressed);
        let cost = |strings: &[Option<Fret>]| match strings {
            [one, None, other] if pressed(one) || pressed(other) => 0.10,
            [_, None, _] if presses.len() < FINGERS.len() => 0.50,
            [_, None, _] => 1.50,
            _ => 0.0,
        };
        self.frets.get(first..=last).unwrap_or_default().windows(3).map(cost).sum()
    }
}

/// What it costs that a higher finger presses further up on a bassier string, against the way that a hand
/// slants over the strings; most where it is the little finger, the shortest.
fn diagonal_strain(lower: &Press, higher: &Press) -> f64 {
    let strings = lower.low.above(higher.high);
    if higher.fret <= lower.fret || strings < 2 {
        return 0.0;
    }
    let whole = 0.15 * (strings - 1) as f64 / 4.0;
    if higher.finger == Finger::Little { whole } else { whole / 2.0 }
}

/// What it costs that the middle finger leads a barre of the ring finger one fret behind it, the index finger being
/// free: that one leads, as in `xx1222`, which is taught 1 2 3 4 or with a barre behind 1 (the figure assumed).
fn led_strain(presses: &[Press]) -> f64 {
    match presses {
        [first, second]
            if (first.finger, second.finger) == (Finger::Middle, Finger::Ring)
                && second.is_barre()
                && second.fret.above(first.fret) == 1 =>
        {
            0.60
        }
        _ => 0.0,
    }
}

/// What it costs that neighbouring fingers lie closer or wider than one finger a fret, as a hand at rest
/// does; and the swap of index and middle finger.
fn spread_strain(lower: &Press, higher: &Press) -> f64 {
    let frets = i32::from(higher.fret) - i32::from(lower.fret);
    let fingers = higher.number() - lower.number();
    let swapped = lower.fret == higher.fret && lower.low > higher.low;
    0.40 * f64::from((frets - fingers).abs()) + if swapped { 0.55 } else { 0.0 }
}
