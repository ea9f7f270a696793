//! How likely a tone is where it stands, and where else it may have been meant: by chord, key and line,
//! and by the habits of the riff's other bars.
//!
//! It has the parts of the hand note's score, section 5.3 (after Temperley 2008: range, proximity, key): what the
//! key expects, how far the line leaps, what a tone is to its chord. The weights are our own, since riffs leap
//! more than tunes: assumed, to be measured.

use super::PLAIN_KEY;
use super::context::{Line, StringFret, Tone};
use crate::neck::{Fret, StringIndex};
use crate::theory::{Midi, Ticks, profile};
use foldhash::fast::RandomState;
use std::collections::{BTreeSet, HashMap};

/// In which bars something is played.
type Bars = BTreeSet<usize>;

/// What is only ever asked for by its key.
type Known<K> = HashMap<K, Bars, RandomState>;

/// What the bars of a riff do again and again.
#[derive(Debug, Default)]
pub struct Habits {
    /// Which bars play a string at a moment of the bar.
    strings: Known<(Ticks, StringIndex)>,
    /// Which bars play anything then.
    moments: Known<Ticks>,
    /// Which bars hold a place on the neck under a chord.
    places: Known<(Option<u16>, StringFret)>,
    /// Which bars have a chord.
    chords: Known<Option<u16>>,
}

impl Habits {
    /// The habits of a riff.
    pub fn of(line: &Line<'_>) -> Habits {
        let mut habits = Habits::default();
        for tone in &line.tones {
            let chord = tone.chord.map(|chord| chord.classes);
            habits.strings.entry((tone.at, tone.place.string)).or_default().insert(tone.bar);
            habits.moments.entry(tone.at).or_default().insert(tone.bar);
            habits.places.entry((chord, tone.place)).or_default().insert(tone.bar);
            habits.chords.entry(chord).or_default().insert(tone.bar);
        }
        habits
    }

    /// How usual a place is at a tone's moment, judged by the other bars: the natural logarithm of
    /// a chance. Where no other bar plays then, or has the chord, all places are one.
    fn usual(&self, tone: &Tone, place: StringFret) -> f64 {
        let chord = tone.chord.map(|chord| chord.classes);
        let moments = others(self.moments.get(&tone.at), tone.bar);
        let chords = others(self.chords.get(&chord), tone.bar);
        both(
            chance(self.on_string(tone, place), moments).ln(),
            chance(self.at_place(tone, place), chords).ln(),
        )
    }

    /// How much more usual a place is at a tone's moment than the tone's own, judged likewise.
    pub fn more_usual(&self, tone: &Tone, place: StringFret) -> f64 {
        let ratio = |count: fn(&Habits, &Tone, StringFret) -> usize| {
            let [there, here] = [place, tone.place].map(|place| count(self, tone, place));
            if there == here { 0.0 } else { (likes(there) / likes(here)).ln() }
        };
        both(ratio(Habits::on_string), ratio(Habits::at_place))
    }

    /// In how many other bars a place's string is played at a tone's moment.
    fn on_string(&self, tone: &Tone, place: StringFret) -> usize {
        others(self.strings.get(&(tone.at, place.string)), tone.bar)
    }

    /// In how many other bars a place is played under a tone's chord.
    fn at_place(&self, tone: &Tone, place: StringFret) -> usize {
        others(self.places.get(&(tone.chord.map(|chord| chord.classes), place)), tone.bar)
    }
}

/// What string and place say together: each counts for about half, for the two say much of the same.
fn both(string: f64, held: f64) -> f64 {
    0.5 * string + 0.6 * held
}

fn others(bars: Option<&Bars>, own: usize) -> usize {
    bars.map_or(0, |bars| bars.len() - usize::from(bars.contains(&own)))
}

/// The chance of what so many of so many do, never nothing and never sure: one in four where nobody is
/// asked, as if there were 1.6 bars more.
fn chance(part: usize, whole: usize) -> f64 {
    likes(part) / (whole as f64 + 1.6)
}

/// What so many bars that do a thing count for: never nothing.
fn likes(bars: usize) -> f64 {
    bars as f64 + 0.4
}

/// What a tone outside chord and key is worth less than a chord tone; the hand note, section 5.3, has ln 0.06,
/// which is −2.8, for what nothing explains.
const FOREIGN: f64 = -2.4;
/// What a tone of the key is worth less than a chord tone, on a beat and between; the same has from ln 0.2 to
/// ln 0.5, which is −1.6 to −0.7, for what moves by step.
const AT_HOME: [f64; 2] = [-1.2, -0.9];
/// What it is worth that the line explains a tone outside chord and key: a little less than being at home.
const EXPLAINED: f64 = 1.0;
/// How much what the key expects counts beside the chord, whose tones are mostly the key's.
const KEY: f64 = 0.4;
/// What each half step to the nearest tones before and after costs, up to an octave: a slip tears a line
/// apart. By the distance and not by its square, as the hand note has it for tunes.
const LEAP: f64 = -0.12;

/// How well a pitch fits chord and key at a tone's moment: 0 is best, the natural logarithm of a
/// chance.
pub fn fit(line: &Line<'_>, tone: &Tone, pitch: Midi) -> f64 {
    if tone.chord.is_some_and(|chord| chord.holds(pitch)) {
        return 0.0;
    }
    let [strong, weak] = AT_HOME;
    let home = if tone.strong { strong } else { weak };
    match (tone.chord, line.is_at_home(pitch)) {
        (_, true) => home,
        (None, false) if line.key.is_none() => 0.0,
        _ => FOREIGN,
    }
}

/// The same with the line that the tone is in: how likely a pitch is at its place.
pub fn likelihood(line: &Line<'_>, tone: &Tone, pitch: Midi) -> f64 {
    let class = pitch.class();
    let profile = line.key.map_or(0.0, |found| profile::chance(&found.key, class).ln());
    let leap = |by: isize| {
        line.nearest(tone, pitch, by)
            .map_or(0.0, |other| LEAP * f64::from((pitch - other.pitch).abs().min(12)))
    };
    let foreign = !tone.chord.is_some_and(|chord| chord.holds(pitch)) && !line.is_at_home(pitch);
    let explained = if foreign && line.explained(tone, pitch).is_some() { EXPLAINED } else { 0.0 };
    fit(line, tone, pitch) + explained + KEY * profile + leap(-1) + leap(1)
}

/// Whether a tone, were it of another pitch, is outside chord and key and nothing explains it.
pub fn is_foreign(line: &Line<'_>, tone: &Tone, pitch: Midi) -> bool {
    is_outside(line, tone, pitch) && line.explained(tone, pitch).is_none()
}

/// Whether a tone, were it of another pitch, is outside chord and key, where both are known.
pub fn is_outside(line: &Line<'_>, tone: &Tone, pitch: Midi) -> bool {
    let known = line.key.is_some_and(|found| found.margin > PLAIN_KEY);
    known && tone.chord.is_some_and(|chord| !chord.holds(pitch)) && !line.is_at_home(pitch)
}

/// How much more seldom two frets slip than one, and a digit is lost than a fret slips (assumed, to be measured).
const TWO_FRETS: f64 = -1.0;
const LOST_DIGIT: f64 = -1.5;

/// The places that a slip may have made of a tone's place, each with how much more seldom it is than one fret or
/// one string: a fret or two, a string (the moves of the hand note, section 5.4), a digit lost of two.
fn moves(tone: &Tone, last_fret: Fret) -> impl Iterator<Item = (StringFret, f64)> {
    let StringFret { string, fret } = tone.place;
    let at = move |fret: Option<Fret>, cost| Some((StringFret { string, fret: fret? }, cost));
    let fretted = [(-1, 0.0), (1, 0.0), (-2, TWO_FRETS), (2, TWO_FRETS)];
    let fretted = fretted.map(|(by, cost)| at(fret.moved(by), cost));
    let crossed = [-1, 1].map(|by| Some((StringFret { string: string.moved(by)?, fret }, 0.0)));
    let crossed = crossed.into_iter().filter(|_| !tone.joined);
    let digit = fret.number();
    let first = (1..=2).filter(move |_| digit < 10).map(move |ten| ten * 10 + digit);
    let second = (0..10).filter(move |_| matches!(digit, 1 | 2)).map(move |unit| digit * 10 + unit);
    let digits = first.chain(second.filter(move |other| *other != 10 + digit)).map(Fret::new);
    let digits = digits.filter(move |other| other.abs_diff(fret) > 2 && *other <= last_fret);
    let digits = digits.map(move |fret| at(Some(fret), LOST_DIGIT));
    fretted.into_iter().chain(crossed).chain(digits).flatten()
}

/// The places that a slip may have made of a tone's place, likeliest first, each with how much likelier it is than
/// what is written.
pub fn alternatives(line: &Line<'_>, habits: &Habits, tone: &Tone) -> Vec<(StringFret, f64)> {
    let here = judge(line, habits, tone, tone.place, tone.pitch);
    let strings = line.riff.instrument.tuning.len();
    let last_fret = line.riff.instrument.last_fret();
    let free = |place: &StringFret| {
        place.string.index() < strings
            && place.fret <= last_fret
            && (place.string == tone.place.string
                || !line.together(tone).iter().any(|other| other.place.string == place.string))
    };
    let mut ranked: Vec<(StringFret, f64)> = moves(tone, last_fret)
        .filter(|(place, _)| free(place))
        .filter_map(|(place, cost)| {
            Some((place, cost + judge(line, habits, tone, place, line.pitch(place)?) - here))
        })
        .collect();
    ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
    ranked
}

fn judge(line: &Line<'_>, habits: &Habits, tone: &Tone, place: StringFret, pitch: Midi) -> f64 {
    likelihood(line, tone, pitch) + habits.usual(tone, place) + reached(line, tone, place)
}

/// What each fret costs by which a place lies further from the frets pressed before and after it than the hand reaches
/// where it is: a lost digit tears the hand from its place.
const FAR: f64 = -0.25;
/// Frets that lie under the hand (hand note, section 2), and beyond which it makes no odds how far it jumps (assumed).
const UNDER_THE_HAND: u8 = 4;
const ANYWHERE: u8 = 12;

fn reached(line: &Line<'_>, tone: &Tone, place: StringFret) -> f64 {
    let beside = |by: isize| {
        let pressed = line.beside(tone, by).iter().filter(|other| other.place.fret.is_pressed());
        let nearest = pressed.map(|other| other.place.fret.abs_diff(place.fret)).min();
        nearest.filter(|_| place.fret.is_pressed()).unwrap_or(0)
    };
    let far = |frets: u8| f64::from(frets.min(ANYWHERE).saturating_sub(UNDER_THE_HAND));
    FAR * (far(beside(-1)) + far(beside(1)))
}
