//! Whether a hand can hold a shape at all, asked thousands of times: the rules of [`super::super::hold`]
//! with everything that is measured in millimetres looked up in tables.

use crate::neck::{Finger, Hand, Neck};

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
    highest: Vec<u8>,
    /// For each fret and number of strings between, how far two fingertips must be staggered, in mm.
    stagger: Vec<f64>,
    /// For each fret how far its fingertips may be staggered in all, in mm.
    room: Vec<f64>,
}

impl Grip {
    /// The hand on a neck whose last fret is given.
    pub fn new(neck: &Neck, hand: Hand, last_fret: u8) -> Grip {
        let most = hand.reach(Finger::Index, Finger::Little).map_or(0.0, |reach| reach.most);
        let least = |near, far| neck.furthest_back(far) - neck.furthest_forward(near);
        let highest: Vec<u8> = (0..=last_fret)
            .map(|near| {
                let reached =
                    (near..=last_fret).take_while(|far| *far == near || least(near, *far) <= most);
                reached.last().unwrap_or(near)
            })
            .collect();
        let spans = (0u8..).zip(&highest).map(|(near, far)| usize::from(far - near));
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
        for near in 0..self.frets as u8 {
            for span in 0..=self.widest as u8 {
                let far = near.saturating_add(span);
                let along = neck.furthest_back(far) - neck.furthest_forward(near);
                let along = if span == 0 { 0.0 } else { along.max(0.0) };
                let gap = neck.string_gap(neck.pressed(far));
                for strings in 0..self.strings {
                    let across = 0.5 * (strings as f64 * gap);
                    let distance = (along * along + across * across).sqrt();
                    let reached = (0..6)
                        .filter(|pair| distance <= reaches.get(*pair).copied().unwrap_or_default());
                    self.reach.push(reached.fold(0, |mask, pair| mask | 1 << pair));
                }
            }
        }
    }

    fn measure_room(&mut self, neck: &Neck) {
        for fret in 0..self.frets as u8 {
            self.room.push(0.8 * neck.width(fret) + 4.0);
            let gap = neck.string_gap(neck.pressed(fret));
            for strings in 0..self.strings {
                let across = strings as f64 * gap;
                self.stagger.push((121.0 - across * across).max(0.0).sqrt());
            }
        }
    }

    /// The highest fret that the hand can hold together with a lower one.
    pub fn highest_with(&self, fret: u8) -> u8 {
        self.highest.get(usize::from(fret)).copied().unwrap_or(fret)
    }

    /// Whether there is a way to hold these frets, the thumb behind the neck. Frets beyond the last
    /// can't be held.
    pub fn can_hold(&self, frets: &[Option<u8>]) -> bool {
        let mut task = Task {
            grip: self,
            frets,
            notes: [Note::default(); 12],
            count: 0,
            lowest_above: [u8::MAX; 13],
            needed: [0; 13],
        };
        task.count_notes();
        task.notes().last().is_none_or(|last| usize::from(last.fret) < self.frets) && task.is_held()
    }

    /// The pairs of fingers that get from one press to another.
    fn pairs(&self, one: &Press, other: &Press) -> u8 {
        let (near, far) = if one.fret <= other.fret { (one, other) } else { (other, one) };
        let span = usize::from(far.fret - near.fret);
        let strings = one.strings_from(other);
        if span > self.widest {
            return 0;
        }
        let at = (usize::from(near.fret) * (self.widest + 1) + span) * self.strings + strings;
        self.reach.get(at).copied().unwrap_or_default()
    }

    fn stagger(&self, fret: u8, strings: usize) -> f64 {
        self.stagger.get(usize::from(fret) * self.strings + strings).copied().unwrap_or_default()
    }

    fn room(&self, fret: u8) -> f64 {
        self.room.get(usize::from(fret)).copied().unwrap_or_default()
    }
}

/// A fretted note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
struct Note {
    fret: u8,
    string: u8,
}

/// A finger, 0 to 3, on one fret over strings from `low` to `high`.
#[derive(Debug, Clone, Copy, Default)]
struct Press {
    finger: u8,
    fret: u8,
    low: u8,
    high: u8,
}

impl Press {
    fn new(finger: u8, note: Note) -> Press {
        Press { finger, fret: note.fret, low: note.string, high: note.string }
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

/// A shape to be held.
struct Task<'a> {
    grip: &'a Grip,
    frets: &'a [Option<u8>],
    notes: [Note; 12],
    count: usize,
    /// For each string the lowest fret that sounds on it or above.
    lowest_above: [u8; 13],
    /// For each note how many pressed frets begin with it or behind it: so many fingers at least are
    /// needed from there on.
    needed: [u8; 13],
}

impl Task<'_> {
    /// Orders the fretted notes by fret, then string.
    fn count_notes(&mut self) {
        for (string, fret) in self.frets.iter().enumerate().rev() {
            let above = self.lowest_above.get(string + 1).copied().unwrap_or(u8::MAX);
            if let Some(place) = self.lowest_above.get_mut(string) {
                *place = fret.map_or(above, |fret| fret.min(above));
            }
        }
        for (string, fret) in self.frets.iter().enumerate() {
            if let (Some(fret @ 1..), Some(place)) = (*fret, self.notes.get_mut(self.count)) {
                *place = Note { fret, string: string as u8 };
                self.count += 1;
            }
        }
        let count = self.count;
        self.notes.get_mut(..count).unwrap_or_default().sort_unstable();
        let mut next = None;
        for (note, needed) in self.notes.iter().zip(&mut self.needed).take(count) {
            if next != Some(note.fret) {
                *needed = 1;
            }
            next = Some(note.fret);
        }
        let mut sum = 0;
        for needed in self.needed.iter_mut().rev() {
            sum += *needed;
            *needed = sum;
        }
    }

    fn notes(&self) -> &[Note] {
        self.notes.get(..self.count).unwrap_or_default()
    }

    fn is_held(&self) -> bool {
        self.rest_is_held(0, Laid::default()) || self.is_held_swapped()
    }

    /// Whether the notes from one on can be held, given what is laid down for those before.
    fn rest_is_held(&self, from: usize, laid: Laid) -> bool {
        let rest = self.notes().get(from..).unwrap_or_default();
        let Some(first) = rest.first() else { return true };
        if laid.next > 3 {
            return false;
        }
        let mut run = Press::new(0, *first);
        for (at, note) in rest.iter().enumerate() {
            run.high = note.string;
            if note.fret != run.fret || !self.can_lie(&run) {
                return false;
            }
            let needed = self.needed.get(from + at + 1).copied().unwrap_or_default();
            for finger in laid.next..4u8.saturating_sub(needed) {
                let press = Press { finger, ..run };
                let held = self
                    .lay(&laid, press)
                    .is_some_and(|laid| self.rest_is_held(from + at + 1, laid));
                if held {
                    return true;
                }
            }
        }
        false
    }

    /// Whether it can be held with index and middle finger swapped on the lowest fret.
    fn is_held_swapped(&self) -> bool {
        let [first, second, ..] = self.notes() else { return false };
        if first.fret != second.fret {
            return false;
        }
        let (index, middle) = (Press::new(0, *second), Press::new(1, *first));
        if self.grip.pairs(&index, &middle) & 1 == 0 {
            return false;
        }
        let staggered = self.grip.stagger(first.fret, usize::from(second.string - first.string));
        let presses = [index, middle, Press::default(), Press::default()];
        let laid = Laid { presses, count: 2, next: 2, staggered, top: second.string };
        staggered <= self.grip.room(first.fret) && self.rest_is_held(2, laid)
    }

    /// Whether nothing under the press must ring lower than it presses.
    fn can_lie(&self, press: &Press) -> bool {
        let covered = self.frets.get(usize::from(press.low)..=usize::from(press.high));
        covered.unwrap_or_default().iter().all(|fret| fret.is_some_and(|fret| fret >= press.fret))
    }

    /// What is laid down with one press more, if it keeps the rules of the hand.
    fn lay(&self, laid: &Laid, press: Press) -> Option<Laid> {
        if press.is_barre() && !self.can_bar(&press, laid) {
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
    fn can_bar(&self, press: &Press, laid: &Laid) -> bool {
        let width = usize::from(press.high - press.low) + 1;
        let above = self.lowest_above.get(usize::from(press.high) + 1).copied().unwrap_or(u8::MAX);
        let hinged = above < press.fret;
        let (flat, bent) = WIDTHS.get(usize::from(press.finger)).copied().unwrap_or_default();
        let flat = if press.finger == 0 { flat.max(self.frets.len()) } else { flat };
        let beside_index = press.finger == 1
            && laid.presses().iter().any(|other| other.finger == 0 && other.fret == press.fret);
        width <= if hinged { bent } else { flat } && !beside_index
    }
}
