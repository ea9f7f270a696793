//! The rules of the hand stated once more, each by itself and in millimetres of its own, for the search
//! to be held against: every assignment of digits to strings is tried, and nothing of the search is used.

use crate::neck::Fret;

/// The neck of the tests: a classical guitar of 650 mm, strings 8.6 mm apart at the nut and 11.6 mm at
/// the bridge.
const SCALE: f64 = 650.0;
const NUT: f64 = 8.6;
const BRIDGE: f64 = 11.6;

/// How far two fingers of the medium hand reach at most, in mm, by their numbers.
const REACH: [((u8, u8), f64); 6] = [
    ((1, 2), 62.0),
    ((2, 3), 52.0),
    ((3, 4), 52.0),
    ((1, 3), 88.0),
    ((2, 4), 86.0),
    ((1, 4), 120.0),
];

/// The thumb's number.
const THUMB: u8 = 5;

/// A digit with the fret that it presses and all strings that it is given, the lowest first.
struct Digit {
    number: u8,
    fret: Fret,
    strings: Vec<usize>,
}

impl Digit {
    fn low(&self) -> usize {
        self.strings[0]
    }

    fn high(&self) -> usize {
        self.strings[self.strings.len() - 1]
    }

    fn is_barre(&self) -> bool {
        self.strings.len() > 1
    }
}

/// All ways to hold a strummed shape, as signs from the lowest string up, in the order of the signs.
/// `scale` is the hand's size, the medium one's being 1.
pub fn all_ways(frets: &[Option<Fret>], scale: f64, thumb: bool) -> Vec<String> {
    let fretted: Vec<usize> =
        (0..frets.len()).filter(|string| frets[*string].is_some_and(Fret::is_pressed)).collect();
    let digits: u64 = if thumb { 5 } else { 4 };
    let mut found: Vec<String> = Vec::new();
    for mut number in 0..digits.pow(fretted.len() as u32) {
        let mut on = vec![0; frets.len()];
        for string in &fretted {
            on[*string] = (number % digits) as u8 + 1;
            number /= digits;
        }
        if is_held(frets, &on, scale) {
            let sign = |number: &u8| ['-', '1', '2', '3', '4', 'T'][usize::from(*number)];
            found.push(on.iter().map(sign).collect());
        }
    }
    found.sort();
    found
}

fn is_held(frets: &[Option<Fret>], on: &[u8], scale: f64) -> bool {
    let Some(digits) = digits(frets, on) else { return false };
    let fingers: Vec<&Digit> = digits.iter().filter(|digit| digit.number != THUMB).collect();
    let mut pairs = (0..fingers.len())
        .flat_map(|at| (at + 1..fingers.len()).map(move |other| (at, other)))
        .map(|(at, other)| (fingers[at], fingers[other]));
    pairs.all(|(lower, higher)| {
        in_order(lower, higher) && apart(lower, higher) <= reach(lower, higher) * scale
    }) && fingers.iter().all(|finger| lies(frets, finger, &fingers))
        && Fret::FIRST.to(Fret::new(24)).all(|fret| has_room(fret, &fingers))
        && digits.iter().filter(|digit| digit.number == THUMB).all(|thumb| is_over(thumb, &fingers))
}

/// H1: a digit presses one fret. Nothing where one would press two.
fn digits(frets: &[Option<Fret>], on: &[u8]) -> Option<Vec<Digit>> {
    let mut digits = Vec::new();
    for number in 1..=THUMB {
        let strings: Vec<usize> = (0..on.len()).filter(|string| on[*string] == number).collect();
        let Some(first) = strings.first() else { continue };
        let fret = frets[*first]?;
        if strings.iter().any(|string| frets[*string] != Some(fret)) {
            return None;
        }
        digits.push(Digit { number, fret, strings });
    }
    Some(digits)
}

/// H2 and H3: a higher finger is on no lower fret, and on the same fret on the treble side; only index
/// and middle finger may change places there, each on one string.
fn in_order(lower: &Digit, higher: &Digit) -> bool {
    let swapped =
        lower.number == 1 && higher.number == 2 && !lower.is_barre() && !higher.is_barre();
    lower.fret < higher.fret
        || lower.fret == higher.fret && (lower.high() < higher.low() || swapped)
}

/// H4 and H5: what a finger lies on, and how many strings it lies on, flat or bent back.
fn lies(frets: &[Option<Fret>], finger: &Digit, fingers: &[&Digit]) -> bool {
    if !finger.is_barre() {
        return true;
    }
    let under = &frets[finger.low()..=finger.high()];
    let rings_lower = |fret: &Fret| *fret < finger.fret;
    let bent = frets[finger.high() + 1..].iter().flatten().any(rings_lower);
    let most = match (finger.number, bent) {
        (1, false) => 6,
        (2, false) => 2,
        (3, false) => 4,
        (4, false) => 3,
        (1 | 3, true) => 3,
        (4, true) => 2,
        _ => 0,
    };
    let beside_index =
        finger.number == 2 && fingers.iter().any(|one| one.number == 1 && one.fret == finger.fret);
    under.iter().all(|fret| fret.is_some_and(|fret| fret >= finger.fret))
        && under.len() <= most
        && !beside_index
}

/// H6: how far apart two fingertips are that press as near to each other as still sounds.
fn apart(lower: &Digit, higher: &Digit) -> f64 {
    let (near, far) = (lower.fret.min(higher.fret), lower.fret.max(higher.fret));
    let along = if near == far {
        0.0
    } else {
        let forward = wire(near) - (slot(near) / 4.0).min(4.0);
        let back = wire(far) - slot(far) / 2.0;
        f64::max(0.0, back - forward)
    };
    f64::hypot(along, across(lower, higher) / 2.0)
}

fn reach(lower: &Digit, higher: &Digit) -> f64 {
    let pair = (lower.number, higher.number);
    REACH.iter().find(|(of, _)| *of == pair).unwrap().1
}

/// H7: fingertips on one fret, 11 mm wide, stand beside or behind one another in its slot.
fn has_room(fret: Fret, fingers: &[&Digit]) -> bool {
    let mut here: Vec<&&Digit> = fingers.iter().filter(|finger| finger.fret == fret).collect();
    here.sort_by_key(|finger| finger.low());
    let behind = |pair: &[&&Digit]| {
        let beside = across(pair[0], pair[1]);
        if beside < 11.0 { (11.0f64.powi(2) - beside.powi(2)).sqrt() } else { 0.0 }
    };
    here.windows(2).map(behind).sum::<f64>() <= 0.8 * slot(fret) + 4.0
}

/// H8: over the neck's edge the thumb gets to the lowest string, a fret from the index finger at most.
fn is_over(thumb: &Digit, fingers: &[&Digit]) -> bool {
    let index = fingers.iter().find(|finger| finger.number == 1);
    thumb.strings == [0] && index.is_some_and(|index| index.fret.abs_diff(thumb.fret) <= 1)
}

/// How far two digits are apart across the strings, the nearest strings that they lie on being meant.
fn across(one: &Digit, other: &Digit) -> f64 {
    let lies_on = |digit: &Digit| digit.low()..=digit.high();
    let strings = lies_on(one).flat_map(|string| lies_on(other).map(move |to| string.abs_diff(to)));
    let higher = one.fret.max(other.fret);
    let at = wire(higher) - slot(higher) / 4.0;
    strings.min().unwrap() as f64 * (NUT + (BRIDGE - NUT) * at / SCALE)
}

/// Where a fret's wire is, from the nut.
fn wire(fret: Fret) -> f64 {
    SCALE * (1.0 - 2f64.powf(-f64::from(fret) / 12.0))
}

/// How wide the slot before a wire is.
fn slot(fret: Fret) -> f64 {
    wire(fret) - wire(fret.down(1))
}
