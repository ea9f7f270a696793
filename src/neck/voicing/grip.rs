//! Whether a hand can hold a shape at all, asked thousands of times: the rules of [`super::super::hold`]
//! with everything that is measured in millimetres looked up in tables. A test holds the two together.

use crate::neck::hold::limits::{room_to_stagger, stagger, stretched};
use crate::neck::{Finger, Fret, Hand, Neck};

/// The pairs of fingers, each a bit of a table's entry; a finger is 0 to 3.
const PAIRS: [(Finger, Finger); 6] = [
    (Finger::Index, Finger::Middle),
    (Finger::Index, Finger::Ring),
    (Finger::Index, Finger::Little),
    (Finger::Middle, Finger::Ring),
    (Finger::Middle, Finger::Little),
    (Finger::Ring, Finger::Little),
];

/// The bit of each pair of fingers, the lower one first.
const PAIR_BIT: [[u8; 4]; 4] = [[0, 1, 2, 4], [1, 0, 8, 16], [2, 8, 0, 32], [4, 16, 32, 0]];

/// For a finger, how many strings it lies on flat, and how many with its last joint bent back; the
/// index finger's first number is for six strings, and all of a wider neck (as the hold's rules).
const WIDTHS: [(usize, usize); 4] = [(6, 3), (2, 0), (4, 3), (3, 2)];

/// More frets than any neck has (12 to 36), the nut counted.
const MOST_FRETS: usize = 64;

/// A hand on a neck.
#[derive(Debug)]
pub struct Grip {
    frets: usize,
    strings: usize,
    /// How many frets the widest pair reaches at most, anywhere on the neck.
    widest: usize,
    /// For each fret, each number of frets above it and each number of strings between, the pairs
    /// of fingers that get so far apart.
    reach: Vec<u8>,
    /// For each fret the highest that the hand reaches with it.
    highest: Vec<Fret>,
    /// For each fret and number of strings between, how far two fingertips must be staggered, in mm.
    stagger: Vec<f64>,
    /// For each fret how far its fingertips may be staggered in all, in mm.
    room: Vec<f64>,
}

impl Grip {
    /// The hand on a neck whose last fret is given.
    pub fn new(neck: &Neck, hand: Hand, last_fret: Fret) -> Grip {
        let most = hand.reach(Finger::Index, Finger::Little).map_or(0.0, |reach| reach.most);
        let least = |near, far| neck.furthest_back(far) - neck.furthest_forward(near);
        let highest: Vec<Fret> = Fret::OPEN
            .to(last_fret)
            .map(|near| {
                let reached =
                    near.to(last_fret).take_while(|far| *far == near || least(near, *far) <= most);
                reached.last().unwrap_or(near)
            })
            .collect();
        let spans =
            Fret::OPEN.to(last_fret).zip(&highest).map(|(near, far)| usize::from(far.above(near)));
        let mut grip = Grip {
            frets: usize::from(last_fret) + 1,
            strings: neck.strings().max(1),
            widest: spans.max().unwrap_or_default(),
            reach: Vec::new(),
            highest,
            stagger: Vec::new(),
            room: Vec::new(),
        };
        grip.measure_reach(neck, hand);
        grip.measure_room(neck);
        grip
    }

    fn measure_reach(&mut self, neck: &Neck, hand: Hand) {
        let reaches =
            PAIRS.map(|(one, other)| hand.reach(one, other).map_or(0.0, |reach| reach.most));
        for near in (0..self.frets as u8).map(Fret::new) {
            for span in 0..=self.widest as u8 {
                let far = near.up(span);
                let along = neck.furthest_back(far) - neck.furthest_forward(near);
                let along = if span == 0 { 0.0 } else { along.max(0.0) };
                let gap = neck.string_gap(neck.pressed(far));
                for strings in 0..self.strings {
                    let distance = stretched(along, strings as f64 * gap);
                    let reached = (0..6)
                        .filter(|pair| distance <= reaches.get(*pair).copied().unwrap_or_default());
                    self.reach.push(reached.fold(0, |mask, pair| mask | 1 << pair));
                }
            }
        }
    }

    fn measure_room(&mut self, neck: &Neck) {
        for fret in (0..self.frets as u8).map(Fret::new) {
            self.room.push(room_to_stagger(neck.width(fret)));
            let gap = neck.string_gap(neck.pressed(fret));
            for strings in 0..self.strings {
                self.stagger.push(stagger(strings as f64 * gap));
            }
        }
    }

    /// The highest fret that the hand can hold together with a lower one.
    pub fn highest_with(&self, fret: Fret) -> Fret {
        self.highest.get(usize::from(fret)).copied().unwrap_or(fret)
    }

    /// Whether there is a way to hold these frets, the thumb behind the neck. Frets beyond the last
    /// can't be held.
    pub fn can_hold(&self, frets: &[Option<Fret>]) -> bool {
        Task::new(self, frets).is_some_and(|task| task.is_held())
    }

    /// The pairs of fingers that get from one press to another.
    fn pairs(&self, one: &Press, other: &Press) -> u8 {
        let (near, far) = if one.fret <= other.fret { (one, other) } else { (other, one) };
        let span = usize::from(far.fret.above(near.fret));
        let strings = one.strings_from(other);
        if span > self.widest {
            return 0;
        }
        let at = (usize::from(near.fret) * (self.widest + 1) + span) * self.strings + strings;
        self.reach.get(at).copied().unwrap_or_default()
    }

    fn stagger(&self, fret: Fret, strings: usize) -> f64 {
        self.stagger.get(usize::from(fret) * self.strings + strings).copied().unwrap_or_default()
    }

    fn room(&self, fret: Fret) -> f64 {
        self.room.get(usize::from(fret)).copied().unwrap_or_default()
    }
}

/// A finger, 0 to 3, on one fret over strings from `low` to `high`.
#[derive(Debug, Clone, Copy, Default)]
struct Press {
    finger: u8,
    fret: Fret,
    low: u8,
    high: u8,
}

impl Press {
    fn new(finger: u8, fret: Fret, string: u8) -> Press {
        Press { finger, fret, low: string, high: string }
    }

    /// The strings that it lies on, each a bit.
    fn covers(&self) -> u16 {
        (u16::MAX >> (15 - self.high.min(15))) & (u16::MAX << self.low.min(15))
    }

    fn strings_from(&self, other: &Press) -> usize {
        let (lower, higher) = if self.low <= other.low { (self, other) } else { (other, self) };
        usize::from(higher.low.saturating_sub(lower.high))
    }

    fn is_barre(&self) -> bool {
        self.low != self.high
    }
}

/// The presses laid down so far.
#[derive(Debug, Clone, Copy, Default)]
struct Laid {
    presses: [Press; 4],
    count: usize,
    /// The lowest finger that is free for what comes.
    next: u8,
    /// How far the fingertips on the last fret are staggered, and the highest string under one.
    staggered: f64,
    top: u8,
}

impl Laid {
    fn presses(&self) -> &[Press] {
        self.presses.get(..self.count).unwrap_or_default()
    }
}

/// A fret that is pressed, with the strings that matter to the fingers on it, each a bit.
#[derive(Debug, Clone, Copy, Default)]
struct Row {
    fret: Fret,
    /// The strings that are pressed there.
    pressed: u16,
    /// The strings that sound there or higher: a finger may lie on them.
    over: u16,
    /// The strings that ring lower.
    lower: u16,
}

/// A shape to be held.
struct Task<'a> {
    grip: &'a Grip,
    strings: usize,
    /// The frets that are pressed, rising.
    rows: [Row; 4],
    count: usize,
}

impl Task<'_> {
    /// The shape in rows. `None` where it has more than there are fingers, or presses beyond the
    /// last fret.
    fn new<'a>(grip: &'a Grip, frets: &[Option<Fret>]) -> Option<Task<'a>> {
        let mut task = Task { grip, strings: frets.len(), rows: [Row::default(); 4], count: 0 };
        let mut pressed = [0u16; MOST_FRETS];
        let (mut sounding, mut open, mut rows) = (0u16, 0u16, 0u64);
        for (string, fret) in frets.iter().enumerate() {
            let Some(fret) = *fret else { continue };
            sounding |= 1 << string;
            if fret.is_open() {
                open |= 1 << string;
                continue;
            }
            if usize::from(fret) >= grip.frets {
                return None;
            }
            *pressed.get_mut(usize::from(fret))? |= 1 << string;
            rows |= 1 << fret.number();
        }
        let mut lower = open;
        while rows != 0 {
            let fret = Fret::new(rows.trailing_zeros() as u8);
            rows &= rows - 1;
            let pressed = pressed.get(usize::from(fret)).copied().unwrap_or_default();
            let over = sounding & !lower;
            *task.rows.get_mut(task.count)? = Row { fret, pressed, over, lower };
            task.count += 1;
            lower |= pressed;
        }
        Some(task)
    }

    fn rows(&self) -> &[Row] {
        self.rows.get(..self.count).unwrap_or_default()
    }

    fn is_held(&self) -> bool {
        let Some(first) = self.rows().first() else { return true };
        self.rest_is_held(0, first.pressed, &Laid::default()) || self.is_held_swapped(first)
    }

    /// Whether what is left of a row and the rows behind it can be held, given what is laid down for
    /// those before. So many fingers at least are needed as there are rows.
    fn rest_is_held(&self, at: usize, left: u16, laid: &Laid) -> bool {
        let Some(row) = self.rows().get(at) else { return true };
        if left == 0 {
            let next = self.rows().get(at + 1).map_or(0, |row| row.pressed);
            return self.rest_is_held(at + 1, next, laid);
        }
        let behind = (self.count - at - 1) as u8;
        let mut run = Press::new(0, row.fret, left.trailing_zeros() as u8);
        let mut ends = left;
        while ends != 0 {
            run.high = ends.trailing_zeros() as u8;
            ends &= ends - 1;
            if run.covers() & !row.over != 0 {
                return false;
            }
            let needed = behind + u8::from(ends != 0);
            for finger in laid.next..4u8.saturating_sub(needed) {
                let laid = self.lay(laid, row, Press { finger, ..run });
                if laid.is_some_and(|laid| self.rest_is_held(at, ends, &laid)) {
                    return true;
                }
            }
        }
        false
    }

    /// Whether it can be held with index and middle finger swapped on the lowest fret.
    fn is_held_swapped(&self, row: &Row) -> bool {
        let one = row.pressed.trailing_zeros() as u8;
        let behind = row.pressed & row.pressed.wrapping_sub(1);
        if behind == 0 {
            return false;
        }
        let other = behind.trailing_zeros() as u8;
        let (index, middle) = (Press::new(0, row.fret, other), Press::new(1, row.fret, one));
        if self.grip.pairs(&index, &middle) & 1 == 0 {
            return false;
        }
        let staggered = self.grip.stagger(row.fret, usize::from(other - one));
        let presses = [index, middle, Press::default(), Press::default()];
        let laid = Laid { presses, count: 2, next: 2, staggered, top: other };
        staggered <= self.grip.room(row.fret) && self.rest_is_held(0, behind & (behind - 1), &laid)
    }

    /// What is laid down with one press more, if it keeps the rules of the hand.
    fn lay(&self, laid: &Laid, row: &Row, press: Press) -> Option<Laid> {
        if press.is_barre() && !self.can_bar(&press, row, laid) {
            return None;
        }
        let finger = usize::from(press.finger);
        for other in laid.presses() {
            let bit = PAIR_BIT.get(finger).and_then(|row| row.get(usize::from(other.finger)));
            if self.grip.pairs(other, &press) & bit.copied().unwrap_or_default() == 0 {
                return None;
            }
        }
        let mut next = *laid;
        let beside = laid.presses().last().is_some_and(|last| last.fret == press.fret);
        let across = usize::from(press.low.saturating_sub(laid.top));
        next.staggered =
            if beside { laid.staggered + self.grip.stagger(press.fret, across) } else { 0.0 };
        if next.staggered > self.grip.room(press.fret) {
            return None;
        }
        *next.presses.get_mut(laid.count)? = press;
        next.count += 1;
        next.next = press.finger + 1;
        next.top = press.high;
        Some(next)
    }

    /// Whether the finger can lie on so many strings.
    fn can_bar(&self, press: &Press, row: &Row, laid: &Laid) -> bool {
        let width = usize::from(press.high - press.low) + 1;
        let hinged = row.lower >> press.high != 0;
        let (flat, bent) = WIDTHS.get(usize::from(press.finger)).copied().unwrap_or_default();
        let flat = if press.finger == 0 { flat.max(self.strings) } else { flat };
        let beside_index = press.finger == 1
            && laid.presses().iter().any(|other| other.finger == 0 && other.fret == press.fret);
        width <= if hinged { bent } else { flat } && !beside_index
    }
}
