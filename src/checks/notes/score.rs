//! How likely a tone is where it stands, and where else it may have been meant: by chord, key and line,
//! and by the habits of the riff's other bars.
//!
//! It has the parts of the hand note's score, section 5.3 (after Temperley 2008: range, proximity, key): what the
//! key expects, how far the line leaps, what a tone is to its chord. The weights are our own, since riffs leap
//! more than tunes: assumed, to be measured.

use super::context::{Line, StringFret, Tone};
use crate::neck::StringIndex;
use crate::theory::{Midi, Ticks, profile};
use std::collections::{BTreeMap, BTreeSet};

/// In which bars something is played.
type Bars = BTreeSet<usize>;

/// What the bars of a riff do again and again.
#[derive(Debug, Default)]
pub struct Habits {
    /// Which bars play a string at a moment of the bar.
    strings: BTreeMap<(Ticks, StringIndex), Bars>,
    /// Which bars play anything then.
    moments: BTreeMap<Ticks, Bars>,
    /// Which bars hold a place on the neck under a chord.
    places: BTreeMap<(Option<u16>, StringFret), Bars>,
    /// Which bars have a chord.
    chords: BTreeMap<Option<u16>, Bars>,
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
    pub fn usual(&self, tone: &Tone, place: StringFret) -> f64 {
        let chord = tone.chord.map(|chord| chord.classes);
        let string = chance(
            others(self.strings.get(&(tone.at, place.string)), tone.bar),
            others(self.moments.get(&tone.at), tone.bar),
        );
        let held = chance(
            others(self.places.get(&(chord, place)), tone.bar),
            others(self.chords.get(&chord), tone.bar),
        );
        // Each for about half: the two say much of the same.
        0.5 * string + 0.6 * held
    }
}

fn others(bars: Option<&Bars>, own: usize) -> usize {
    bars.map_or(0, |bars| bars.len() - usize::from(bars.contains(&own)))
}

/// The chance of what so many of so many do, never nothing and never sure: one in four where nobody is
/// asked, as if there were 1.6 bars more.
fn chance(part: usize, whole: usize) -> f64 {
    ((part as f64 + 0.4) / (whole as f64 + 1.6)).ln()
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

/// The places that a slip of a fret or a string may have made of a tone's place (the moves of the hand note,
/// section 5.4), likeliest first, each with how much likelier it is than what is written.
pub fn alternatives(line: &Line<'_>, habits: &Habits, tone: &Tone) -> Vec<(StringFret, f64)> {
    let here = judge(line, habits, tone, tone.place, tone.pitch);
    let strings = line.riff.instrument.tuning.len();
    let StringFret { string, fret } = tone.place;
    let fretted = [-1, 1].map(|by| Some(StringFret { string, fret: fret.moved(by)? }));
    let crossed = [-1, 1].map(|by| Some(StringFret { string: string.moved(by)?, fret }));
    let free = |place: &StringFret| {
        place.string.index() < strings
            && place.fret <= line.riff.instrument.last_fret()
            && (place.string == string
                || !line.together(tone).iter().any(|other| other.place.string == place.string))
    };
    let mut ranked: Vec<(StringFret, f64)> = fretted
        .into_iter()
        .chain(crossed.into_iter().filter(|_| !tone.joined))
        .flatten()
        .filter(free)
        .filter_map(|place| {
            Some((place, judge(line, habits, tone, place, line.pitch(place)?) - here))
        })
        .collect();
    ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
    ranked
}

fn judge(line: &Line<'_>, habits: &Habits, tone: &Tone, place: StringFret, pitch: Midi) -> f64 {
    likelihood(line, tone, pitch) + habits.usual(tone, place)
}
