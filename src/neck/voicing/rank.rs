//! The order in which a teacher shows the shapes of a chord: few fingers and open strings near the
//! nut, the root in the bass, no tone missing but a fifth, no silent string in the middle (design section 2).

use super::{MEAN_UNIT, Shape};
use crate::neck::hold::{self, Hold, Posture};
use crate::neck::{Finger, Fret, Hand, Instrument, Neck, StringIndex, by_string};
use crate::theory::chord::Tone;
use crate::theory::{Chord, Degree, Midi};
use std::cmp::Ordering;

/// A shape with the easiest way to hold it.
#[derive(Debug, Clone)]
pub struct Ranked {
    /// The shape.
    pub shape: Shape,
    /// How it is held.
    pub hold: Hold,
    /// How far it is from what is shown first; lower is earlier.
    pub cost: f64,
}

/// The first `keep` of some shapes that can be held, in the order in which they are shown near a
/// fret; near 0 is near the nut, the usual place. Among equals the lower mean fret is first, then the
/// lower fret string by string.
pub fn ranked(
    shapes: &[Shape],
    chord: &Chord,
    instrument: &Instrument,
    hand: Hand,
    near: Fret,
    keep: usize,
) -> Vec<Ranked> {
    let order = Order { chord, instrument, near };
    let neck = Neck::of(instrument);
    let mut by_looks: Vec<(f64, Shape)> =
        shapes.iter().map(|shape| (order.looks(shape), *shape)).collect();
    by_looks.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| tie(&a.1, &b.1)));
    let mut first: Vec<Ranked> = Vec::new();
    for (looks, shape) in by_looks {
        // The hold only adds to it, so what comes after can't be among the first either.
        if first.len() >= keep && first.last().is_none_or(|last| last.cost < looks) {
            break;
        }
        let Some(hold) = hold::easiest(shape.frets(), &neck, hand, Posture::default()) else {
            continue;
        };
        let held = STRAIN * hold.strain + FINGER * fingers(&hold) as f64;
        let cramped = if is_cramped(&hold, &shape) { CRAMPED } else { 0.0 };
        let cost = looks + held + cramped + LONG_BARRE * beyond_a_short_barre(&hold) as f64;
        let before =
            |one: &Ranked| one.cost.total_cmp(&cost).then_with(|| tie(&one.shape, &shape)).is_lt();
        let at = first.partition_point(before);
        first.insert(at, Ranked { shape, hold, cost });
        first.truncate(keep);
    }
    first
}

fn tie(one: &Shape, other: &Shape) -> Ordering {
    (one.mean_fret(), one).cmp(&(other.mean_fret(), other))
}

/// How many fingers press.
fn fingers(hold: &Hold) -> usize {
    let mut used: Vec<Finger> = hold.fingers.iter().flatten().copied().collect();
    used.sort_unstable();
    used.dedup();
    used.len()
}

/// How many strings other fingers than the index lie on beyond three, which is what one of them is taught to cover.
fn beyond_a_short_barre(hold: &Hold) -> usize {
    let others = [Finger::Middle, Finger::Ring, Finger::Little];
    let strings = |finger: Finger| hold.fingers.iter().filter(|own| **own == Some(finger)).count();
    others.into_iter().map(|finger| strings(finger).saturating_sub(3)).sum()
}

/// Whether the little finger has no room among others that press lower, on strings to either side of it: it lies over
/// several strings there and must bend back, or the other three crowd one fret beneath it, two of them side by side.
fn is_cramped(hold: &Hold, shape: &Shape) -> bool {
    let pressed = || {
        let strings = hold.fingers.iter().zip(shape.frets()).enumerate();
        strings.filter_map(|(string, (finger, fret))| Some((string, (*finger)?, (*fret)?)))
    };
    let little: Vec<(usize, Fret)> = pressed()
        .filter(|(_, finger, _)| *finger == Finger::Little)
        .map(|(string, _, fret)| (string, fret))
        .collect();
    let (Some((low, fret)), Some((high, _))) = (little.first(), little.last()) else {
        return false;
    };
    let lower = || pressed().filter(|(.., other)| other < fret);
    let is_between =
        lower().any(|(string, ..)| string < *low) && lower().any(|(string, ..)| string > *high);
    let mut others: Vec<(Finger, Fret)> = lower().map(|(_, finger, fret)| (finger, fret)).collect();
    others.sort_unstable();
    others.dedup();
    let one_fret =
        others.windows(2).all(|pair| matches!(pair, [(_, one), (_, next)] if one == next));
    let strings: Vec<usize> = lower().map(|(string, ..)| string).collect();
    let has_neighbours =
        strings.windows(2).any(|pair| matches!(pair, [one, next] if one + 1 == *next));
    is_between && (little.len() > 1 || others.len() == 3 && one_fret && has_neighbours)
}

// What each trait of a shape costs. The weights are fitted to the forty shapes that the tests list,
// those that beginners learn first; only their proportion matters.

/// The strain of its hold.
const STRAIN: f64 = 0.25;
/// Each finger.
const FINGER: f64 = 0.10;
/// Each string of a barre beyond three where it isn't the index finger's: F#m7 is shown as `242222` before `202222`
/// (assumed).
const LONG_BARRE: f64 = 1.00;
/// A little finger without room, which is shown after all else (assumed).
const CRAMPED: f64 = 8.00;
/// Each fret that its mean lies away from the one asked for.
const AWAY: f64 = 0.10;
/// Each fret of that beyond the third.
const ELSEWHERE: f64 = 0.25;
/// The same where a place further up is asked for: who wants one wants no shape of another.
const NOT_NEAR: f64 = 2.50;
/// Each fret from its lowest pressed one to its highest.
const SPREAD: f64 = 0.30;
/// Each fret of that beyond a position's four, low on the neck, where few hands reach so far: in Aadd9 `x02600` is shown
/// after all shapes that a position holds (assumed).
const TOO_WIDE: f64 = 8.00;
/// Each open string near the nut, where it belongs.
const OPEN: f64 = -0.05;
/// Each open string beneath a hand that reaches the last fret near the nut, or from beside it further up.
const OPEN_BELOW: f64 = 0.05;
/// Each open string further up, where its sound stands out, twice where fingers must arch over it there; or once beneath such a hand between two fingers that
/// must arch over it: enough that Bm is shown as `x24432` before `x20432`.
const OPEN_FAR_UP: f64 = 0.60;
/// Each silent string between sounding ones.
const SILENT_BETWEEN: f64 = 2.40;
/// Each silent string below the lowest that sounds.
const SILENT_BELOW: f64 = 0.20;
/// Each silent string above the highest that sounds.
const SILENT_ABOVE: f64 = 1.40;
/// The same where a chord has a diminished fifth, in a shape without open strings that sounds every tone, on a string
/// that has none of them at the lowest fret, outside the shape or beside the bass, whose finger leans on it: no index
/// finger could lie on it, as it does in a barre chord. Bdim is shown as `x2343x`, G#m7b5 as `4x443x` (assumed).
const HELPLESS: f64 = 0.30;
/// Each string that a fragment sounds less than a whole chord does: [`WHOLE`], of a power chord three.
const FRAGMENT: f64 = 2.20;
/// Each string that doubles another at the same pitch.
const UNISON: f64 = 1.20;
/// Another note than the chord's own in the bass, or on the lowest string that sounds where an open one behind it
/// sounds lower: Am as `8 0 7 5 5 5` is no root position to a hand that strums.
const OTHER_BASS: f64 = 3.00;
/// Each two notes closer than a major third that both lie below [`CLEAR`], where no bass is asked for: they blur, and
/// F#m7 is shown as `242222` before `202220` (assumed).
const BLURRED: f64 = 0.80;
/// From here on small intervals are heard as chords: C3, as arrangers are taught.
const CLEAR: Midi = Midi::new(48);
/// A missing fifth.
const NO_FIFTH: f64 = 0.70;
/// Each other tone that is missing.
const NO_TONE: f64 = 0.95;
/// Each ninth and each thirteenth of a seventh chord that lies beneath the third (assumed, as the lines of
/// taught shapes that the tests list): voicings have the third and the seventh below and colours on top.
const COLOUR_BELOW: f64 = 1.20;
/// So many strings sound a whole chord: three tones and one of them doubled (assumed).
const WHOLE: usize = 4;
/// Up to this fret a shape lies near the nut: the frets that four fingers stand on beside it.
const NEAR_THE_NUT: Fret = Fret::new(4);
/// Up to this fret a hand's lowest finger keeps it beside the nut, though one note lies further up: in drop D
/// G is shown as `520003` (assumed).
const BESIDE_THE_NUT: Fret = Fret::new(2);

/// What the order goes by.
struct Order<'a> {
    chord: &'a Chord,
    instrument: &'a Instrument,
    near: Fret,
}

impl Order<'_> {
    /// What a shape costs without its hold.
    fn looks(&self, shape: &Shape) -> f64 {
        let pitches: Vec<Midi> = shape.pitches(self.instrument).collect();
        let lowest = pitches.iter().min().map_or(0, |pitch| pitch.class());
        let has_bass = !self.instrument.tuning.is_reentrant();
        let other = |class: u8| class != self.chord.lowest().class();
        let struck_first = pitches.first().filter(|_| self.strings_rise());
        let other_bass = (other(lowest) && (has_bass || self.chord.bass.is_some()))
            || struck_first.is_some_and(|pitch| other(pitch.class()));
        self.place_cost(shape)
            + self.silence_cost(shape)
            + FRAGMENT * self.lacking(shape) as f64
            + if self.strings_rise() { UNISON * unisons(&pitches) as f64 } else { 0.0 }
            + if other_bass { OTHER_BASS } else { 0.0 }
            + if self.chord.bass.is_none() { BLURRED * blurred(&pitches) as f64 } else { 0.0 }
            + self.tones_cost(&pitches)
            + COLOUR_BELOW * self.colours_below(&pitches) as f64
    }

    /// What its place on the neck costs.
    fn place_cost(&self, shape: &Shape) -> f64 {
        let pressed = || shape.sounding().map(|(_, fret)| fret).filter(|fret| fret.is_pressed());
        let (low, high) =
            (pressed().min().unwrap_or_default(), pressed().max().unwrap_or_default());
        let near = i64::from(self.near) * MEAN_UNIT;
        let away = (shape.mean_fret() - near).abs() as f64 / MEAN_UNIT as f64;
        // Beyond three frets it is another place on the neck (assumed: a position is four frets).
        let elsewhere = (away - 3.0).max(0.0);
        AWAY * away
            + if self.near.is_pressed() { NOT_NEAR } else { ELSEWHERE } * elsewhere
            + SPREAD * f64::from(high.above(low))
            + TOO_WIDE * f64::from(reach_beyond_a_position(low, high))
            + open_cost(shape, low, high)
    }

    /// Whether each string sounds above the one before it; where they don't, as on a ukulele, doubles are
    /// wanted.
    fn strings_rise(&self) -> bool {
        self.instrument.tuning.strings().iter().map(|open| open.midi()).is_sorted()
    }

    /// How many strings a fragment sounds less than a whole chord.
    fn lacking(&self, shape: &Shape) -> usize {
        let whole = (self.chord.tones.len() + 1).min(WHOLE).min(shape.frets().len());
        whole.saturating_sub(shape.sounding().count())
    }

    /// What its silent strings cost. A power chord is played on the low strings, so it is those
    /// below it that cost more.
    fn silence_cost(&self, shape: &Shape) -> f64 {
        let frets = shape.frets();
        let below = frets.iter().take_while(|fret| fret.is_none()).count();
        let above = frets.iter().rev().take_while(|fret| fret.is_none()).count();
        let (each_below, each_above) = match self.chord.tones.len() {
            ..=2 => (SILENT_ABOVE, SILENT_BELOW),
            _ => (SILENT_BELOW, SILENT_ABOVE),
        };
        let lowest = self.lowest_of_whole(shape);
        let first_above = frets.len() - above;
        let silent = by_string(frets).filter(|(_, fret)| fret.is_none());
        let cost = |(string, _): (StringIndex, _)| {
            let helpless = lowest.is_some_and(|lowest| !self.has_tone(string, lowest));
            match (string.index(), helpless) {
                (index, _) if index < below => each_below,
                (index, true) if index >= first_above || index == below + 1 => {
                    HELPLESS.min(each_above)
                }
                (index, false) if index >= first_above => each_above,
                _ => SILENT_BETWEEN,
            }
        };
        silent.map(cost).sum()
    }

    /// The lowest fret of a shape without open strings that sounds all tones of a chord with a diminished fifth, four
    /// strings of it or more.
    fn lowest_of_whole(&self, shape: &Shape) -> Option<Fret> {
        let lowest = shape.sounding().map(|(_, fret)| fret).min()?;
        let classes =
            shape.pitches(self.instrument).fold(0, |mask, pitch| mask | 1 << pitch.class());
        let is_diminished = self.chord.tones.iter().any(|tone| tone.degree == Degree::new(5, -1));
        let is_whole = self.chord.classes() & !classes == 0 && self.lacking(shape) == 0;
        Some(lowest).filter(|lowest| lowest.is_pressed() && is_whole && is_diminished)
    }

    /// Whether a place sounds a tone of the chord.
    fn has_tone(&self, string: StringIndex, fret: Fret) -> bool {
        let pitch = self.instrument.written_pitch(string, fret);
        pitch.is_some_and(|pitch| self.chord.degree_of_class(pitch.class()).is_some())
    }

    /// How many ninths and thirteenths of a seventh chord sound beneath its major third only; a minor one
    /// has its ninth on either side.
    fn colours_below(&self, pitches: &[Midi]) -> usize {
        let degrees = || self.chord.tones.iter().map(|tone| tone.degree);
        let of = |number: u8| degrees().find(|degree| degree.number == number);
        let major_third = of(3).filter(|third| third.alter == 0);
        let sounding = |degree: Degree| {
            let class = degree.above(self.chord.root).class();
            pitches.iter().copied().filter(move |pitch| pitch.class() == class)
        };
        let Some(third) = of(7).and(major_third).and_then(|third| sounding(third).min()) else {
            return 0;
        };
        let colours = degrees().filter(|degree| matches!(degree.number, 9 | 13));
        colours.filter(|colour| sounding(*colour).max().is_some_and(|top| top < third)).count()
    }

    /// A missing fifth costs less than another tone that may be left out. An eleventh half a step above
    /// the third is the first that a player leaves out of a thirteenth: it costs where it sounds.
    fn tones_cost(&self, pitches: &[Midi]) -> f64 {
        let sounding = pitches.iter().fold(0u16, |mask, pitch| mask | 1 << pitch.class());
        let has = |number, alter| {
            self.chord.tones.iter().any(|tone| tone.degree == Degree::new(number, alter))
        };
        let hard_eleventh = has(13, 0) && has(3, 0);
        let cost = |tone: &Tone| {
            let sounds = sounding & 1 << tone.degree.above(self.chord.root).class() != 0;
            match (tone.degree, sounds) {
                (Degree { number: 11, alter: 0 }, sounds) if hard_eleventh => {
                    if sounds {
                        NO_TONE
                    } else {
                        0.0
                    }
                }
                (_, true) => 0.0,
                (Degree { number: 5, alter: 0 }, false) => NO_FIFTH,
                _ => NO_TONE,
            }
        };
        self.chord.tones.iter().map(cost).sum()
    }
}

/// What the open strings of a shape cost that is pressed from one fret to another.
fn open_cost(shape: &Shape, low: Fret, high: Fret) -> f64 {
    let open = shape.sounding().filter(|(_, fret)| fret.is_open()).count();
    let beyond = shape.sounding().filter(|(_, fret)| *fret > NEAR_THE_NUT).count();
    let under = open_under(shape);
    match high.cmp(&NEAR_THE_NUT) {
        Ordering::Less => OPEN * open as f64,
        Ordering::Greater if low > BESIDE_THE_NUT || beyond > 1 => {
            OPEN_FAR_UP * (open + under) as f64
        }
        _ => OPEN_BELOW * (open - under) as f64 + OPEN_FAR_UP * under as f64,
    }
}

/// How many frets further than four a hand reaches whose lowest finger stands low on the neck.
fn reach_beyond_a_position(low: Fret, high: Fret) -> u8 {
    if low <= NEAR_THE_NUT { high.above(low).saturating_sub(3) } else { 0 }
}

/// How many open strings sound between two that are pressed.
fn open_under(shape: &Shape) -> usize {
    let is_under = |strings: &&[Option<Fret>]| match strings {
        [Some(one), Some(open), Some(other)] => {
            open.is_open() && one.is_pressed() && other.is_pressed()
        }
        _ => false,
    };
    shape.frets().windows(3).filter(is_under).count()
}

/// How many neighbouring notes blur.
fn blurred(pitches: &[Midi]) -> usize {
    let low = pitches.iter().filter(|pitch| **pitch < CLEAR).copied().collect::<Vec<_>>();
    low.windows(2)
        .filter(|pair| matches!(pair, [one, next] if (1..4).contains(&(*next - *one))))
        .count()
}

/// How many strings sound a pitch that a string before them sounds already.
fn unisons(pitches: &[Midi]) -> usize {
    let mut different = pitches.to_vec();
    different.sort_unstable();
    different.dedup();
    pitches.len() - different.len()
}
