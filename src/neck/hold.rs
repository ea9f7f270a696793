//! Every way that a hand can hold a shape, the easiest first.
//!
//! A way is found as a row of presses: the fretted notes, ordered by fret and then by string, are
//! cut into at most four runs of one fret each, and the runs take rising fingers. Since a higher
//! finger never presses a lower fret, nor a bassier string of the same fret, no way is missed but
//! the two that break the order: index and middle finger swapped on neighbouring strings, and the
//! thumb on the lowest string.

use super::{Finger, Hand, Neck};

/// One way to hold a shape.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// For each string the finger that presses it.
    pub fingers: Vec<Option<Finger>>,
    /// How hard it is: up to 0.9 easy, up to 1.8 moderate, up to 2.6 hard (grades assumed).
    pub strain: f64,
    /// How far the widest pair of fingers is stretched: 0 comfortable, above 1 only off the places
    /// where a fingertip presses by choice.
    pub stretch: f64,
}

/// How the instrument is held and struck.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Posture {
    /// Whether the thumb may come over the neck to the lowest string.
    pub thumb: bool,
    /// Whether the strings are strummed, so that a silent one between must be damped.
    pub strum: bool,
}

impl Default for Posture {
    /// The thumb behind the neck, the strings strummed.
    fn default() -> Posture {
        Posture { thumb: false, strum: true }
    }
}

/// The fingers that press by rising number.
const FINGERS: [Finger; 4] = [Finger::Index, Finger::Middle, Finger::Ring, Finger::Little];

/// Every way to hold a shape on a neck, the least strain first; none where the model of the hand
/// can't hold it. A shape that presses nothing is held by no finger.
///
/// `frets` has a fret for each string, the lowest-placed first (0 is open, counted from the capo),
/// `None` where it is silent.
pub fn holds(frets: &[Option<u8>], neck: &Neck, hand: Hand, posture: Posture) -> Vec<Hold> {
    let task = Task { frets, neck, hand, posture };
    let fretted = task.fretted();
    let mut found = task.search(&fretted, None);
    if posture.thumb && frets.first().is_some_and(|fret| fret.is_some_and(|fret| fret > 0)) {
        let (thumb, rest) = fretted.iter().partition::<Vec<Note>, _>(|note| note.string == 0);
        let thumb = thumb.first().map(|note| Press::new(Finger::Thumb, *note));
        found.extend(task.search(&rest, thumb));
    }
    let order = |hold: &Hold| hold.fingers.iter().map(|f| f.map(Finger::sign)).collect::<Vec<_>>();
    found.sort_by(|a, b| a.strain.total_cmp(&b.strain).then_with(|| order(a).cmp(&order(b))));
    found
}

/// The easiest way to hold a shape, if there is one.
pub fn easiest(frets: &[Option<u8>], neck: &Neck, hand: Hand, posture: Posture) -> Option<Hold> {
    holds(frets, neck, hand, posture).into_iter().next()
}

/// A fretted note of the shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Note {
    fret: u8,
    string: usize,
}

/// A finger on one fret, over strings from `low` to `high`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Press {
    finger: Finger,
    fret: u8,
    low: usize,
    high: usize,
}

impl Press {
    fn new(finger: Finger, note: Note) -> Press {
        Press { finger, fret: note.fret, low: note.string, high: note.string }
    }

    /// How many strings it lies on.
    fn width(&self) -> usize {
        self.high - self.low + 1
    }

    fn covers(&self, string: usize) -> bool {
        (self.low..=self.high).contains(&string)
    }

    fn is_barre(&self) -> bool {
        self.low != self.high
    }

    /// How many strings it lies from another press at the nearest; 0 where they overlap.
    fn strings_from(&self, other: &Press) -> usize {
        let (lower, higher) = if self.low <= other.low { (self, other) } else { (other, self) };
        higher.low.saturating_sub(lower.high)
    }

    /// 1 for the index finger to 4 for the little one.
    fn number(&self) -> i32 {
        self.finger as i32 + 1
    }
}

/// A shape to be held, and by what.
struct Task<'a> {
    frets: &'a [Option<u8>],
    neck: &'a Neck,
    hand: Hand,
    posture: Posture,
}

impl Task<'_> {
    /// The notes that must be pressed, ordered by fret, then string.
    fn fretted(&self) -> Vec<Note> {
        let pressed = |(string, fret): (usize, &Option<u8>)| {
            fret.filter(|fret| *fret > 0).map(|fret| Note { fret, string })
        };
        let mut notes: Vec<Note> = self.frets.iter().enumerate().filter_map(pressed).collect();
        notes.sort();
        notes
    }

    /// All holds that press the notes with four fingers, the thumb being where it is.
    fn search(&self, notes: &[Note], thumb: Option<Press>) -> Vec<Hold> {
        let mut found = Vec::new();
        self.cut(notes, &mut Vec::new(), &mut |runs| {
            for presses in fingerings_of(runs) {
                found.extend(self.hold(&presses, thumb));
            }
        });
        found
    }

    /// Cuts the notes into at most four runs of one fret in every way that leaves each run
    /// something that a finger can lie on. A run's finger is not chosen yet.
    fn cut(&self, notes: &[Note], runs: &mut Vec<Press>, each: &mut impl FnMut(&[Press])) {
        let Some(first) = notes.first() else { return each(runs) };
        if runs.len() == FINGERS.len() {
            return;
        }
        let mut run = Press::new(Finger::Index, *first);
        for (at, note) in notes.iter().enumerate() {
            run.high = note.string;
            if note.fret != run.fret || !self.can_lie(&run) {
                return;
            }
            runs.push(run);
            self.cut(notes.get(at + 1..).unwrap_or_default(), runs, each);
            runs.pop();
        }
    }

    /// Whether nothing under the press must ring lower than it presses.
    fn can_lie(&self, press: &Press) -> bool {
        let covered = self.frets.get(press.low..=press.high).unwrap_or_default();
        covered.iter().all(|fret| fret.is_some_and(|fret| fret >= press.fret))
    }

    /// The presses as a hold, if they keep the rules of the hand.
    fn hold(&self, presses: &[Press], thumb: Option<Press>) -> Option<Hold> {
        let sound = presses.iter().all(|press| self.can_press(press))
            && keeps_middle_off_the_index(presses)
            && self.can_reach(presses)
            && self.has_room(presses)
            && thumb.is_none_or(|thumb| thumb_reaches(&thumb, presses));
        if !sound {
            return None;
        }
        let finger_on = |(string, fret): (usize, &Option<u8>)| {
            let mut all = presses.iter().chain(&thumb);
            let on = all.find(|press| press.covers(string) && Some(press.fret) == *fret);
            on.map(|press| press.finger)
        };
        let fingers = self.frets.iter().enumerate().map(finger_on).collect();
        let strain = self.strain(presses) + thumb.map_or(0.0, |_| 0.60);
        Some(Hold { fingers, strain, stretch: self.widest_stretch(presses) })
    }

    /// Whether the finger can lie on so many strings, flat or with its last joint bent back.
    fn can_press(&self, press: &Press) -> bool {
        if !press.is_barre() {
            return true;
        }
        let (flat, hinged) = match press.finger {
            // Six strings, or all of a wider neck (assumed).
            Finger::Index => (self.frets.len().max(6), 3),
            Finger::Middle => (2, 0),
            Finger::Ring => (4, 3),
            Finger::Little => (3, 2),
            Finger::Thumb => (1, 0),
        };
        press.width() <= if self.is_hinged(press) { hinged } else { flat }
    }

    /// Whether a barre must bend back, since a string on its treble side, which it would lie on
    /// too, rings lower than it presses.
    fn is_hinged(&self, press: &Press) -> bool {
        let above = self.frets.get(press.high + 1..).unwrap_or_default();
        press.is_barre() && above.iter().flatten().any(|fret| *fret < press.fret)
    }

    /// Whether every pair of fingers gets so far apart, the lower pressing as far forward and the
    /// higher as far back as sounds.
    fn can_reach(&self, presses: &[Press]) -> bool {
        pairs(presses).all(|(one, other)| {
            let (near, far) = if one.fret <= other.fret { (one, other) } else { (other, one) };
            let least = self.neck.furthest_back(far.fret) - self.neck.furthest_forward(near.fret);
            let along = if near.fret == far.fret { 0.0 } else { least.max(0.0) };
            let distance = self.distance(along, one, other);
            self.hand.reach(one.finger, other.finger).is_none_or(|reach| distance <= reach.most)
        })
    }

    /// Whether the fingertips on each fret have room beside one another, staggered along the slot.
    fn has_room(&self, presses: &[Press]) -> bool {
        self.crowds(presses).all(|(fret, need)| need <= 0.8 * self.neck.width(fret) + 4.0)
    }

    /// For each fret that fingers share, how far they must be staggered along it, in mm: two
    /// fingertips need 11 mm between their centres (assumed).
    fn crowds(&self, presses: &[Press]) -> impl Iterator<Item = (u8, f64)> {
        let mut frets: Vec<u8> = presses.iter().map(|press| press.fret).collect();
        frets.dedup();
        frets.into_iter().map(|fret| {
            let mut here: Vec<&Press> = presses.iter().filter(|press| press.fret == fret).collect();
            here.sort_by_key(|press| press.low);
            let stagger = here.windows(2).map(|pair| match pair {
                [one, other] => {
                    let across = self.across(one, other);
                    (121.0 - across * across).max(0.0).sqrt()
                }
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

    /// A distance between fingertips. Half the way across is taken up by bending the finger
    /// (assumed).
    fn distance(&self, along: f64, one: &Press, other: &Press) -> f64 {
        let across = 0.5 * self.across(one, other);
        (along * along + across * across).sqrt()
    }

    /// How far a pair is stretched beyond comfort: 1 is the most.
    fn stretch(&self, one: &Press, other: &Press) -> f64 {
        let along = (self.neck.pressed(one.fret) - self.neck.pressed(other.fret)).abs();
        let distance = self.distance(along, one, other);
        self.hand.reach(one.finger, other.finger).map_or(0.0, |reach| {
            (distance - reach.comfortable).max(0.0) / (reach.most - reach.comfortable)
        })
    }

    fn widest_stretch(&self, presses: &[Press]) -> f64 {
        pairs(presses).map(|(one, other)| self.stretch(one, other)).fold(0.0, f64::max)
    }

    /// How hard a hold is. The weights are set by hand on common shapes, whose taught fingerings
    /// the tests list.
    fn strain(&self, presses: &[Press]) -> f64 {
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
        fingers + between + spread + crowded + self.damping_strain(presses)
    }

    /// What a finger costs by itself; ring and little finger are slower and less independent.
    fn finger_strain(&self, press: &Press) -> f64 {
        let finger = match press.finger {
            Finger::Index | Finger::Middle | Finger::Thumb => 0.10,
            Finger::Ring => 0.13,
            Finger::Little => 0.28,
        };
        if press.is_barre() { finger + self.barre_strain(press) } else { finger }
    }

    fn barre_strain(&self, press: &Press) -> f64 {
        let strings = press.width() as f64;
        let length = match press.width() {
            ..=2 => 0.45,
            3 => 0.60,
            4 => 0.70,
            5 => 0.85,
            _ => 1.00 + 0.15 * (strings - 6.0),
        };
        let finger = match press.finger {
            // Close to the nut (or capo) the strings are stiff.
            Finger::Index => 0.25 * f64::from(3u8.saturating_sub(press.fret)) / 2.0 * strings / 6.0,
            Finger::Middle => 0.60,
            Finger::Ring => 0.35,
            Finger::Little | Finger::Thumb => 0.50,
        };
        length + finger + if self.is_hinged(press) { 0.80 } else { 0.0 }
    }

    /// What it costs to damp the silent strings between sounding ones in a strum: little where a
    /// finger beside them leans on them, more where another must be spared for it.
    fn damping_strain(&self, presses: &[Press]) -> f64 {
        if !self.posture.strum {
            return 0.0;
        }
        let sounding = |fret: &Option<u8>| fret.is_some();
        let (first, last) = (
            self.frets.iter().position(sounding).unwrap_or_default(),
            self.frets.iter().rposition(sounding).unwrap_or_default(),
        );
        let fretted = |string: usize| matches!(self.frets.get(string), Some(Some(1..)));
        let cost = |string: usize| {
            let beside = fretted(string + 1) || string.checked_sub(1).is_some_and(fretted);
            match () {
                _ if beside => 0.10,
                _ if presses.len() < FINGERS.len() => 0.50,
                _ => 1.50,
            }
        };
        (first..last).filter(|string| self.frets.get(*string) == Some(&None)).map(cost).sum()
    }
}

/// Every choice of rising fingers for runs in order, and with it the swap of index and middle
/// finger where they press one fret on neighbouring strings.
fn fingerings_of(runs: &[Press]) -> Vec<Vec<Press>> {
    let mut ways = Vec::new();
    for chosen in (0u8..16).filter(|chosen| chosen.count_ones() as usize == runs.len()) {
        let fingers = FINGERS.iter().enumerate().filter(|(at, _)| chosen >> at & 1 == 1);
        let way: Vec<Press> = runs
            .iter()
            .zip(fingers)
            .map(|(run, (_, finger))| Press { finger: *finger, ..*run })
            .collect();
        ways.extend(swapped(&way));
        ways.push(way);
    }
    ways
}

/// The same way with index and middle finger swapped, where they may be: each on one string, the
/// strings neighbours, the fret the same.
fn swapped(way: &[Press]) -> Option<Vec<Press>> {
    let [first, second, rest @ ..] = way else { return None };
    let pair = first.finger == Finger::Index && second.finger == Finger::Middle;
    let single = !first.is_barre() && !second.is_barre();
    if !pair || !single || first.fret != second.fret || first.strings_from(second) != 1 {
        return None;
    }
    let index = Press { finger: Finger::Index, ..*second };
    let middle = Press { finger: Finger::Middle, ..*first };
    Some([&[index, middle], rest].concat())
}

/// Every pair of presses, in the order of the fingers.
fn pairs(presses: &[Press]) -> impl Iterator<Item = (&Press, &Press)> {
    presses
        .iter()
        .enumerate()
        .flat_map(|(at, one)| presses.iter().skip(at + 1).map(move |other| (one, other)))
}

/// Whether the middle finger lays no barre on the fret where the index finger presses (assumed).
fn keeps_middle_off_the_index(presses: &[Press]) -> bool {
    let index = presses.iter().find(|press| press.finger == Finger::Index);
    let middle = presses.iter().find(|press| press.finger == Finger::Middle);
    match (index, middle) {
        (Some(index), Some(middle)) => !middle.is_barre() || index.fret != middle.fret,
        _ => true,
    }
}

/// Whether the thumb, over the neck's edge, presses within a fret of the index finger (assumed).
fn thumb_reaches(thumb: &Press, presses: &[Press]) -> bool {
    let index = presses.iter().find(|press| press.finger == Finger::Index);
    index.is_some_and(|index| thumb.fret.abs_diff(index.fret) <= 1)
}

/// What it costs that a higher finger presses further up on a bassier string.
fn diagonal_strain(lower: &Press, higher: &Press) -> f64 {
    let strings = lower.low.saturating_sub(higher.high);
    if higher.fret <= lower.fret || strings < 2 {
        return 0.0;
    }
    let whole = 0.15 * (strings - 1) as f64 / 4.0;
    if higher.finger == Finger::Little { whole } else { whole / 2.0 }
}

/// What it costs that neighbouring fingers lie closer or wider than one finger a fret; and the
/// swap of index and middle finger.
fn spread_strain(lower: &Press, higher: &Press) -> f64 {
    let frets = i32::from(higher.fret) - i32::from(lower.fret);
    let fingers = higher.number() - lower.number();
    let swapped = lower.fret == higher.fret && lower.low > higher.low;
    0.40 * f64::from((frets - fingers).abs()) + if swapped { 0.55 } else { 0.0 }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::neck::geometry::Spacing;
    use proptest::prelude::*;

    const THUMB: Posture = Posture { thumb: true, strum: true };
    const PLUCKED: Posture = Posture { thumb: false, strum: false };

    fn classical() -> Neck {
        Neck::new(650.0, 6, Spacing { nut: 8.6, bridge: 11.6 }, 0)
    }

    /// Reads `x32010` or `5 7 9 6 x x`.
    fn frets(text: &str) -> Vec<Option<u8>> {
        if text.contains(' ') {
            return text.split(' ').map(|fret| fret.parse().ok()).collect();
        }
        text.chars().map(|fret| fret.to_digit(10).map(|fret| fret as u8)).collect()
    }

    fn shown(hold: &Hold) -> String {
        hold.fingers.iter().map(|finger| finger.map_or('-', Finger::sign)).collect()
    }

    fn best(shape: &str, hand: Hand, posture: Posture) -> Option<Hold> {
        easiest(&frets(shape), &classical(), hand, posture)
    }

    /// Checks rows of shape, accepted fingerings (the model's own first) and the model's strain.
    fn check(rows: &[(&str, &str, f64)], posture: Posture) {
        for (shape, accepted, strain) in rows {
            let hold = best(shape, Hand::MEDIUM, posture).unwrap();
            let found = shown(&hold);
            assert!(accepted.split(' ').any(|way| way == found), "{shape}: {found}");
            assert!((hold.strain - strain).abs() < 0.006, "{shape}: {:.3}", hold.strain);
        }
    }

    #[test]
    fn open_chords_are_fingered_as_taught() {
        check(
            &[
                ("x32010", "-32-1-", 0.39),
                ("320003", "21---3 32---4", 0.73),
                ("xx0232", "---132", 0.73),
                ("x02220", "--123- --213-", 1.29),
                ("022100", "-231--", 0.83),
                ("x02210", "--231-", 0.83),
                ("022000", "-12--- -23---", 0.68),
                ("xx0231", "---231 ---241", 0.35),
                ("xx3210", "--321-", 0.35),
                ("x21202", "-213-4", 1.41),
                ("x32310", "-3241-", 1.07),
                ("320001", "32---1", 0.47),
                ("xx0212", "---213", 0.73),
                ("x02020", "--1-2- --2-3- --1-3-", 0.60),
                ("020100", "-2-1--", 0.22),
                ("x32030", "-21-3- -32-4-", 0.73),
                ("x32033", "-21-34", 1.49),
                ("xx3213", "--3214", 1.03),
                ("022102", "-231-4", 1.51),
                ("x02200", "--12-- --23--", 0.68),
                ("xx0233", "---123 ---134", 0.81),
                ("200232", "1--243", 1.41),
                ("021100", "-312--", 0.90),
            ],
            Posture::default(),
        );
    }

    #[test]
    fn barre_chords_are_fingered_as_taught() {
        check(
            &[
                ("133211", "134211", 2.36),
                ("133111", "134111", 2.24),
                ("131211", "131211", 1.60),
                ("355333", "134111", 2.00),
                ("x24432", "-13421", 2.07),
                ("x13331", "-13331 -12341", 3.04),
                ("x24442", "-13331 -12341", 2.93),
                ("xx3211", "--3211", 0.88),
                ("x355xx", "-134-- -133--", 1.00),
                ("35xxxx", "13----", 0.23),
                ("xxx988", "---211 ---312", 0.65),
                ("x x x 12 13 12", "---132", 0.73),
                ("xxx553", "---341 ---231 ---331", 1.02),
                ("xx555x", "--111- --123- --333-", 0.70),
                ("244222", "134111", 2.12),
                ("x46654", "-13421", 1.97),
                ("x54555", "-21333", 1.68),
                ("577655", "134211", 2.12),
            ],
            Posture::default(),
        );
    }

    #[test]
    fn voicings_are_fingered_as_taught() {
        check(
            &[
                ("x3545x", "-1324-", 1.01),
                ("x3534x", "-1312- -1423-", 0.95),
                ("x3535x", "-1314-", 1.51),
                ("x3434x", "-1213- -1324-", 1.33),
                ("x3424x", "-2314-", 1.03),
                ("xx5557", "--1113 --1114", 0.83),
                ("3x443x", "1-342-", 1.62),
                ("3x333x", "2-333-", 1.68),
                ("3x343x", "1-243- 1-132-", 1.51),
                ("5 7 9 6 x x", "1342--", 1.65),
                ("8 10 12 x x x", "134--- 124---", 0.95),
                ("135xxx", "134--- 124---", 5.68),
                ("x7678x", "-2134-", 1.01),
                ("2x221x", "2-341-", 1.67),
                ("3x243x", "2-143-", 1.13),
                ("5x555x", "2-333-", 1.68),
                ("xx5777", "--1333 --1234", 1.18),
            ],
            Posture::default(),
        );
        check(&[("12345x", "T1234-", 1.21), ("130211", "T3-211", 1.52)], THUMB);
        check(&[("200232", "T--132", 1.33)], THUMB);
    }

    #[test]
    fn wide_shapes_depend_on_the_hand() {
        for (shape, small, medium, large) in [
            ("1xxxx5", None, Some(3.20), Some(1.65)),
            ("5xxxx9", Some(1.45), Some(0.82), Some(0.78)),
            ("12 x x x x 16", Some(0.78), Some(0.78), Some(0.78)),
            ("3xxxx8", None, None, Some(3.26)),
            ("1xxxx7", None, None, None),
        ] {
            for (hand, strain) in
                [(Hand::SMALL, small), (Hand::MEDIUM, medium), (Hand::LARGE, large)]
            {
                let found = best(shape, hand, PLUCKED).map(|hold| (hold.strain * 100.0).round());
                assert_eq!(found, strain.map(|s: f64| (s * 100.0).round()), "{shape} {hand:?}");
            }
        }
        assert_eq!(best("135xxx", Hand::SMALL, Posture::default()), None);
    }

    #[test]
    fn what_no_hand_holds_has_no_fingering() {
        for shape in
            ["54321x", "12345x", "246135", "x13579", "123123", "130211", "141414", "320008"]
        {
            assert_eq!(best(shape, Hand::MEDIUM, Posture::default()), None, "{shape}");
        }
    }

    #[test]
    fn nothing_fretted_needs_no_finger() {
        for shape in ["xx0000", "000000", "xxxxxx"] {
            let hold = best(shape, Hand::MEDIUM, Posture::default()).unwrap();
            assert_eq!((shown(&hold).as_str(), hold.strain), ("------", 0.0));
        }
        assert_eq!(holds(&[], &classical(), Hand::MEDIUM, THUMB).len(), 1);
    }

    /// Every assignment of digits to the fretted strings, each rule asked of it as it is stated.
    fn by_brute_force(frets: &[Option<u8>], hand: Hand, posture: Posture) -> Vec<String> {
        let fretted: Vec<usize> =
            (0..frets.len()).filter(|at| frets[*at].is_some_and(|fret| fret > 0)).collect();
        let mut digits = FINGERS.to_vec();
        if posture.thumb {
            digits.push(Finger::Thumb);
        }
        let mut found = Vec::new();
        for mut number in 0..digits.len().pow(fretted.len() as u32) {
            let mut fingers = vec![None; frets.len()];
            for string in &fretted {
                fingers[*string] = Some(digits[number % digits.len()]);
                number /= digits.len();
            }
            if is_legal(frets, &fingers, hand) {
                found.push(fingers.iter().map(|f| f.map_or('-', Finger::sign)).collect());
            }
        }
        found.sort();
        found
    }

    fn is_legal(frets: &[Option<u8>], fingers: &[Option<Finger>], hand: Hand) -> bool {
        let neck = classical();
        let task = Task { frets, neck: &neck, hand, posture: Posture::default() };
        let mut presses: Vec<Press> = Vec::new();
        for finger in FINGERS.into_iter().chain([Finger::Thumb]) {
            let on: Vec<usize> = (0..frets.len()).filter(|s| fingers[*s] == Some(finger)).collect();
            let (Some(low), Some(high)) = (on.first(), on.last()) else { continue };
            let fret = frets[*low].unwrap();
            let covered = &frets[*low..=*high];
            // One digit, one fret; under a barre nothing silent, open or lower.
            if on.iter().any(|string| frets[*string] != Some(fret))
                || covered.iter().any(|under| under.is_none_or(|under| under < fret))
            {
                return false;
            }
            presses.push(Press { finger, fret, low: *low, high: *high });
        }
        let thumb = presses.pop_if(|press| press.finger == Finger::Thumb);
        let in_order = pairs(&presses).all(|(a, b)| {
            let swap = (a.finger, b.finger) == (Finger::Index, Finger::Middle)
                && a.low == a.high
                && b.low == b.high
                && a.low == b.low + 1;
            a.fret < b.fret || (a.fret == b.fret && (a.high < b.low || swap))
        });
        let thumb_sound = thumb.is_none_or(|thumb| {
            thumb.low == 0 && thumb.high == 0 && thumb_reaches(&thumb, &presses)
        });
        in_order
            && thumb_sound
            && presses.iter().all(|press| task.can_press(press))
            && keeps_middle_off_the_index(&presses)
            && task.can_reach(&presses)
            && task.has_room(&presses)
    }

    fn any_shape() -> impl Strategy<Value = Vec<Option<u8>>> {
        let near = |base: u8| {
            let fret = prop_oneof![
                1 => Just(None),
                1 => Just(Some(0)),
                5 => (base..base + 5).prop_map(Some),
            ];
            proptest::collection::vec(fret, 6)
        };
        (1u8..12).prop_flat_map(near)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        #[test]
        fn the_search_finds_what_brute_force_finds(shape in any_shape(), thumb: bool) {
            let posture = Posture { thumb, strum: true };
            let found = holds(&shape, &classical(), Hand::MEDIUM, posture);
            let mut found: Vec<String> = found.iter().map(shown).collect();
            found.sort();
            prop_assert_eq!(found, by_brute_force(&shape, Hand::MEDIUM, posture));
        }

        #[test]
        fn a_larger_hand_holds_all_that_a_smaller_one_does(shape in any_shape()) {
            let ways = |hand| -> Vec<String> {
                holds(&shape, &classical(), hand, Posture::default()).iter().map(shown).collect()
            };
            let (small, medium, large) = (ways(Hand::SMALL), ways(Hand::MEDIUM), ways(Hand::LARGE));
            prop_assert!(small.iter().all(|way| medium.contains(way)));
            prop_assert!(medium.iter().all(|way| large.contains(way)));
        }

        #[test]
        fn strain_rises_along_the_list(shape in any_shape()) {
            let found = holds(&shape, &classical(), Hand::MEDIUM, THUMB);
            prop_assert!(found.is_sorted_by(|a, b| a.strain <= b.strain));
        }
    }
}
