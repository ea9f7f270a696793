//! What a page's own strings (`templates/string.js`) play, as data: scores, and the tables of the string model that sines
//! and powers are needed for.

use crate::hear::render::{Reach, Wood};
use crate::hear::strings::{Amp, Damping, Losses, Tuned, touch};
use crate::hear::{Click, HeardBar, Part, Pickup, Round, Score, Struck, Strum, Tone};
use crate::lesson::Sound;
use crate::music::performance::{Attack, Heard, Release, Strength};
use crate::music::tab::{Joint, Pick, Slide};
use crate::neck::{Fret, StringIndex};
use crate::theory::Ticks;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Which differences of a table are the smallest: those of the fifth order are about twice as long, of the seventh no
/// shorter (measured on all tables).
const ORDER: usize = 6;

/// The scores of a page as JSON, with the A above middle C at `pitch` Hz. No `<` is in it, so that it may stand in a
/// script's element as it is.
pub fn data(scores: &[Score], pitch: f64) -> String {
    let data = Data {
        sounds: strings(scores, pitch),
        clicks: [false, true].map(Wood::new),
        scores: scores.iter().map(Playable::of).collect(),
    };
    // Nothing in it can fail: all keys are words.
    serde_json::to_string(&data).unwrap_or_default().replace('<', "\\u003c")
}

#[derive(Serialize)]
struct Data<'s> {
    sounds: BTreeMap<&'static str, Strings>,
    clicks: [Wood; 2],
    scores: Vec<Playable<'s>>,
}

/// What the strings of a sound are like.
#[derive(Serialize)]
struct Strings {
    place: f64,
    bright: f64,
    noise: f64,
    pickups: [f64; 2],
    body: Vec<(f64, [f64; 5])>,
    speaker: [f64; 5],
    /// The step of the whole tables with which these begin.
    first: usize,
    /// Delay, gain and pole of each step, packed.
    losses: BTreeMap<&'static str, [String; 3]>,
}

/// The strings of all sounds that scores have, with as much of their tables as is in use.
fn strings(scores: &[Score], pitch: f64) -> BTreeMap<&'static str, Strings> {
    let mut reaches: BTreeMap<&str, (Sound, Reach)> = BTreeMap::new();
    for score in scores {
        for (part, reach) in score.parts.iter().zip(Reach::of(score)) {
            let (_, all) =
                reaches.entry(part.sound.name()).or_insert_with(|| (part.sound, reach.clone()));
            *all = together(all, &reach);
        }
    }
    let strings = reaches
        .into_iter()
        .map(|(name, (sound, reach))| (name, Strings::new(sound, &reach, pitch)));
    strings.collect()
}

fn together(one: &Reach, other: &Reach) -> Reach {
    Reach {
        lowest: one.lowest.min(other.lowest),
        highest: one.highest.max(other.highest),
        dampings: one.dampings.union(&other.dampings).copied().collect::<BTreeSet<_>>(),
    }
}

impl Strings {
    fn new(sound: Sound, reach: &Reach, pitch: f64) -> Strings {
        let (bright, noise) = touch::pick(sound);
        let weights = Amp::new(sound).weights();
        let steps = Losses::steps(reach.lowest, reach.highest);
        let table = |damping| Losses::table((sound, pitch), damping, steps.clone());
        Strings {
            place: touch::place(sound),
            bright,
            noise,
            pickups: touch::pickups(sound),
            body: weights.body,
            speaker: weights.speaker,
            first: steps.start,
            losses: reach.dampings.iter().map(|one| (named(*one), packed(&table(*one)))).collect(),
        }
    }
}

fn named(damping: Damping) -> &'static str {
    match damping {
        Damping::Open => "open",
        Damping::Palm => "palm",
        Damping::Stopped => "stopped",
        Damping::Muted => "muted",
    }
}

/// Delays, gains and poles, each column packed.
fn packed(table: &[Tuned]) -> [String; 3] {
    let columns: [fn(&Tuned) -> f64; 3] =
        [|tuned| tuned.delay, |tuned| tuned.gain, |tuned| tuned.pole];
    columns.map(|column| {
        let mut bytes = Vec::new();
        differences(table.iter().map(column)).for_each(|left| put(left, &mut bytes));
        STANDARD.encode(bytes)
    })
}

/// Differences of differences, `ORDER` times, of the bits of numbers, read as whole numbers: a table is so smooth that a
/// byte or two are left of each.
fn differences(numbers: impl Iterator<Item = f64>) -> impl Iterator<Item = i64> {
    let mut before = [0_i64; ORDER];
    numbers.map(move |number| {
        before.iter_mut().fold(number.to_bits().cast_signed(), |now, before| {
            now.wrapping_sub(std::mem::replace(before, now))
        })
    })
}

/// Puts a number as bytes of seven bits, the lowest first, the eighth set but in the last; of the number's own bits the
/// lowest is set where it is below 0.
fn put(number: i64, bytes: &mut Vec<u8>) {
    let mut left = ((number << 1) ^ (number >> 63)).cast_unsigned();
    while left > 127 {
        bytes.push((left & 127) as u8 | 128);
        left >>= 7;
    }
    bytes.push(left as u8);
}

/// A score.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Playable<'s> {
    title: &'s str,
    rounds: Vec<Tempo>,
    bars: Vec<Bar>,
    /// When each is heard, and when it is written.
    moments: Vec<(u32, u32)>,
    count_in: Vec<(u32, bool)>,
    count_in_length: u32,
    clicks: Vec<(u32, bool)>,
    parts: Vec<Playing<'s>>,
    length: u32,
}

/// A bar that is heard, and the beat that is counted in it.
#[derive(Serialize)]
struct Bar {
    start: u32,
    length: u32,
    written: u32,
    number: usize,
    beat: u32,
}

#[derive(Serialize)]
struct Tempo {
    number: u16,
    dotted: bool,
    times: u32,
}

/// A part: the pitches of its open strings as numbers of MIDI's, its notes, and its tones, each with when it holds, whether
/// it is driven, and which of two pickups is heard.
#[derive(Serialize)]
struct Playing<'s> {
    name: &'s str,
    sound: &'static str,
    strings: Vec<i32>,
    notes: Vec<Note>,
    tones: Vec<(u32, bool, u8)>,
}

/// A note: when it begins, how long it is, its string, its pitch (none of a stroke on damped strings), and what else it has.
#[derive(Serialize)]
#[serde(untagged)]
enum Note {
    Usual(u32, u32, usize, i32),
    Unusual(u32, u32, usize, Option<i32>, Unusual),
}

/// What is unusual about a note; what isn't there is as usual.
#[derive(Serialize, Default, PartialEq)]
struct Unusual {
    #[serde(skip_serializing_if = "is_not")]
    harmonic: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    attack: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    release: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strength: Option<&'static str>,
    #[serde(skip_serializing_if = "is_not")]
    vibrato: bool,
    #[serde(skip_serializing_if = "is_not")]
    quarter: bool,
    #[serde(skip_serializing_if = "is_not")]
    palm: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    strum: Option<(&'static str, u8)>,
}

fn is_not(what: &bool) -> bool {
    !what
}

impl Playable<'_> {
    fn of(score: &Score) -> Playable<'_> {
        let round = |Round { tempo, times }: &Round| Tempo {
            number: tempo.number,
            dotted: tempo.dotted,
            times: *times,
        };
        Playable {
            title: &score.title,
            rounds: score.rounds.iter().map(round).collect(),
            bars: score.bars.iter().map(bar).collect(),
            moments: score.moments.iter().map(|(heard, written)| (heard.0, written.0)).collect(),
            count_in: score.count_in.iter().map(click).collect(),
            count_in_length: score.count_in_length.0,
            clicks: score.clicks.iter().map(click).collect(),
            parts: score.parts.iter().map(Playing::of).collect(),
            length: score.length.0,
        }
    }
}

impl Playing<'_> {
    fn of(part: &Part) -> Playing<'_> {
        let instrument = &part.instrument;
        let open = (0..instrument.tuning.len()).filter_map(|string| {
            let open = instrument.sounding_pitch(StringIndex::new(string), Fret::OPEN)?;
            Some(open.number())
        });
        Playing {
            name: &part.name,
            sound: part.sound.name(),
            strings: open.collect(),
            notes: part.notes.iter().map(Note::of).collect(),
            tones: part.tones.iter().map(tone).collect(),
        }
    }
}

fn bar(bar: &HeardBar) -> Bar {
    let &HeardBar { start, length, written, number, meter, .. } = bar;
    let beat = meter.felt_beat();
    Bar { start: start.0, length: length.0, written: written.0, number, beat: beat.0 }
}

fn click(click: &Click) -> (u32, bool) {
    (click.at.0, click.strong)
}

fn tone((at, tone): &(Ticks, Tone)) -> (u32, bool, u8) {
    (at.0, tone.driven, u8::from(tone.pickup == Pickup::Bridge))
}

impl Note {
    fn of(Struck { played, strum }: &Struck) -> Note {
        let unusual = Unusual {
            harmonic: matches!(played.heard, Heard::Harmonic { .. }),
            attack: attack(played.attack),
            release: release(played.release),
            strength: strength(played.strength),
            vibrato: played.vibrato,
            quarter: played.quarter_bend,
            palm: played.palm_muted,
            strum: strum.map(|Strum { direction, rank }| {
                (if direction == Pick::Up { "up" } else { "down" }, rank)
            }),
        };
        let (start, length) = (played.start.0, played.end.since(played.start).0);
        let (string, pitch) = (played.string.index(), pitch(played.heard));
        match pitch {
            Some(pitch) if unusual == Unusual::default() => {
                Note::Usual(start, length, string, pitch)
            }
            pitch => Note::Unusual(start, length, string, pitch, unusual),
        }
    }
}

fn pitch(heard: Heard) -> Option<i32> {
    match heard {
        Heard::Fretted { pitch, .. } | Heard::Harmonic { pitch, .. } => Some(pitch.number()),
        Heard::Muted => None,
    }
}

fn attack(attack: Attack) -> Option<&'static str> {
    match attack {
        Attack::Plucked => None,
        Attack::SlidIn(Slide::Up) => Some("slid up"),
        Attack::SlidIn(Slide::Down) => Some("slid down"),
        Attack::Tapped => Some("tapped"),
        Attack::Joined(Joint::HammerOn | Joint::Tap) => Some("hammer"),
        Attack::Joined(Joint::PullOff) => Some("pull"),
        Attack::Joined(Joint::Slide) => Some("slide"),
        Attack::Joined(Joint::Bend | Joint::Release) => Some("bend"),
    }
}

fn release(release: Release) -> Option<&'static str> {
    match release {
        Release::Stopped | Release::Rung => None,
        Release::SlidOut(Slide::Up) => Some("up"),
        Release::SlidOut(Slide::Down) => Some("down"),
        Release::Into(_) => Some("into"),
    }
}

fn strength(strength: Strength) -> Option<&'static str> {
    match strength {
        Strength::Ghost => Some("ghost"),
        Strength::Plain => None,
        Strength::Accented => Some("accent"),
    }
}
