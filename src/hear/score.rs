//! The score: what is heard of a block or a loop, ready to be written as notes or as sound.

use crate::lesson::Sound;
use crate::lesson::setting::Tempo;
use crate::music::ladder::{self, Round};
use crate::music::performance::Played;
use crate::music::tab::Pick;
use crate::neck::Instrument;
use crate::theory::{Chord, Key, Meter, Ticks};
use std::time::Duration;

/// What is heard of a block or a loop: bars and parts once through, and at which tempos that goes round.
/// Moments are swung ticks from the beginning of one time through, where nothing else is said.
#[derive(Debug, Clone)]
pub struct Score {
    /// The block's title.
    pub title: String,
    /// The key as it sounds, capos counted.
    pub key: Option<Key>,
    /// The ladder of tempos, one rung after another; each plays all bars.
    pub rounds: Vec<Round>,
    /// The clicks before each round, in ticks from the first of them; none without a count-in.
    pub count_in: Vec<Click>,
    /// How long a count-in is, at its round's tempo: less by an upbeat, which is counted in with it;
    /// 0 without one.
    pub count_in_length: Ticks,
    /// The bars in the order in which they are played, repeats and endings played out.
    pub bars: Vec<HeardBar>,
    /// The moments at which anything is written, rising: when each is heard, and when it is written.
    pub moments: Vec<(Ticks, Ticks)>,
    /// The clicks within one time through; none without a click.
    pub clicks: Vec<Click>,
    /// Who plays, from left to right.
    pub parts: Vec<Part>,
    /// How long one time through is.
    pub length: Ticks,
}

/// A click of the metronome.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Click {
    /// When.
    pub at: Ticks,
    /// Whether it is the first of its bar.
    pub strong: bool,
}

/// A bar one time that it is played.
#[derive(Debug, Clone)]
pub struct HeardBar {
    /// When it begins.
    pub start: Ticks,
    /// When it begins in what is written, in ticks from the beginning of that.
    pub written: Ticks,
    /// How long it is: less than the meter's bar in an upbeat.
    pub length: Ticks,
    /// Its meter.
    pub meter: Meter,
    /// Its number as printed: 1 is the first whole bar, 0 an upbeat.
    pub number: usize,
    /// Each chord with the moment, in ticks from the bar's beginning, from which it holds, rising; as it is written,
    /// without the capo. `None` is no chord.
    pub chords: Vec<(Ticks, Option<Chord>)>,
}

/// What one plays.
#[derive(Debug, Clone)]
pub struct Part {
    /// The part's name, or the block's where it is alone.
    pub name: String,
    /// Tuning, capo and scale length.
    pub instrument: Instrument,
    /// What it sounds like.
    pub sound: Sound,
    /// The notes, rising by their starts.
    pub notes: Vec<Struck>,
    /// What is heard of its `tone` row: each tone with the moment from which it holds, rising.
    pub tones: Vec<(Ticks, Tone)>,
    /// Syllables that are sung, each with its moment, rising.
    pub words: Vec<(Ticks, String)>,
}

/// A note of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Struck {
    /// The note.
    pub played: Played,
    /// Its place in a strum; `None` where its strings are struck at one moment.
    pub strum: Option<Strum>,
}

/// A string's place in a strum, which is written at one moment and sounds string after string.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Strum {
    /// Which way the pick goes.
    pub direction: Pick,
    /// How many strings it has struck before this one.
    pub rank: u8,
}

/// What amplifier and pickups do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tone {
    /// Whether the amplifier is overdriven; clean else.
    pub driven: bool,
    /// Which pickup is heard.
    pub pickup: Pickup,
}

/// Where the pickup sits that is heard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[allow(missing_docs)]
pub enum Pickup {
    #[default]
    Neck,
    Bridge,
}

/// One time that all bars are played.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TimeThrough {
    /// When it begins, in ticks from the beginning of all that is heard.
    pub start: Ticks,
    /// At which tempo it is played.
    pub tempo: Tempo,
}

impl Score {
    /// The rounds, each with the moment at which its count-in begins, in ticks from the beginning of all that is heard.
    pub fn rungs(&self) -> impl Iterator<Item = (Ticks, Round)> + use<'_> {
        self.rounds.iter().scan(Ticks::ZERO, move |next, round| {
            let begins = *next;
            *next += self.count_in_length + self.length * round.times;
            Some((begins, *round))
        })
    }

    /// The times that all bars are played, one after another, those of a round behind its count-in.
    pub fn times(&self) -> impl Iterator<Item = TimeThrough> + use<'_> {
        self.rungs().flat_map(move |(begins, Round { tempo, times })| {
            let first = begins + self.count_in_length;
            (0..times).map(move |time| TimeThrough { start: first + self.length * time, tempo })
        })
    }

    /// How long all of it takes, the count-ins and all rounds.
    pub fn duration(&self) -> Duration {
        ladder::duration(self.rounds.iter().copied(), self.count_in_length, self.length)
    }
}
