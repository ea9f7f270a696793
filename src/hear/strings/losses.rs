//! How long a loop is for each pitch, and what is lost in it each time round, so that it sounds as long as a string
//! does and in tune to a hundredth of a cent.

use super::{RATE, touch};
use crate::lesson::Sound;
use std::f64::consts::PI;
use std::ops::Range;

/// How many steps of the tables there are to a half step. Between them a straight line is off by 0.003 cents.
const STEPS: usize = 16;
/// The lowest pitch of the tables, as a number of MIDI's: 14.6 Hz.
const LOWEST: f64 = 10.0;
/// How many half steps the tables have.
const HALF_STEPS: usize = 118;
/// How many steps they have.
const LENGTH: usize = HALF_STEPS * STEPS + 1;
/// Where the decay of the high part is given, in Hz.
const HIGH: f64 = 5000.0;

/// What damps a string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Damping {
    /// Nothing: it rings.
    Open,
    /// The palm at the bridge.
    Palm,
    /// A finger that is lifted, or laid on it.
    Stopped,
    /// The whole hand.
    Muted,
}

impl Damping {
    /// What a string loses by itself and by this, as seconds in which it falls by 60 dB, at its fundamental and at 5
    /// kHz (assumed, to be measured).
    fn decay(self, sound: Sound, frequency: f64) -> (f64, f64) {
        let (low, high) = touch::decay(sound);
        // Thick strings sound longer, by the fourth root of their period (assumed, to be measured).
        let low = low * (110.0 / frequency).sqrt().sqrt();
        match self {
            Damping::Open => (low, high),
            Damping::Palm => (low.min(0.45), 0.05),
            Damping::Stopped => (0.14, 0.05),
            Damping::Muted => (0.06, 0.025),
        }
    }

    const ALL: [Damping; 4] = [Damping::Open, Damping::Palm, Damping::Stopped, Damping::Muted];
}

/// How a loop is tuned.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Tuned {
    /// The delay without that of the filter, in samples.
    pub delay: f64,
    /// What is left of a wave each time round.
    pub gain: f64,
    /// The pole of the filter, 0 to 1: the more, the darker.
    pub pole: f64,
}

impl Tuned {
    /// What lies between two, 0 the first and 1 the other.
    pub fn toward(self, other: Tuned, part: f64) -> Tuned {
        let between = |from: f64, to: f64| from + (to - from) * part;
        Tuned {
            delay: between(self.delay, other.delay),
            gain: between(self.gain, other.gain),
            pole: between(self.pole, other.pole),
        }
    }

    /// The loop of a frequency, at which a wave falls by 60 dB in so many seconds, and at 5 kHz in so many.
    fn solve(frequency: f64, (low, high): (f64, f64)) -> Tuned {
        let frequency = frequency.min(f64::from(RATE) / 3.0);
        let angle = |hertz: f64| 2.0 * PI * hertz / f64::from(RATE);
        let left = |seconds: f64| libm::exp(-6.907_755_278_982_137 / (frequency * seconds));
        let (turn, cos, high_cos) =
            (angle(frequency), libm::cos(angle(frequency)), libm::cos(angle(HIGH)));
        // Of (1 − p) / (1 − p z⁻¹) the square of the size is (1 − p)² / (1 − 2 p cos + p²); its ratio at both
        // frequencies gives a quadratic for p, which has a root below 1 while the ratio is no less than this.
        let least = 2.0 * (1.0 - cos) / (1.0 - high_cos);
        let ratio = left(high) / left(low);
        let ratio = (ratio * ratio).max(least);
        let (a, b) = (1.0 - ratio, cos - ratio * high_cos);
        let pole = if a > 0.0 { (b - (b * b - a * a).max(0.0).sqrt()) / a } else { 0.0 };
        let size = (1.0 - pole) / (1.0 - 2.0 * pole * cos + pole * pole).sqrt();
        let late = libm::atan2(pole * libm::sin(turn), 1.0 - pole * cos) / turn;
        Tuned {
            delay: f64::from(RATE) / frequency - late,
            gain: (left(low) / size).min(0.9999),
            pole,
        }
    }
}

/// The loops of all pitches for each damping.
#[derive(Debug)]
pub struct Losses {
    tables: [Vec<Tuned>; 4],
}

impl Losses {
    /// Those of a sound, at a reference pitch in Hz.
    pub fn new(sound: Sound, reference: f64) -> Losses {
        let whole = |damping| Losses::table((sound, reference), damping, 0..LENGTH);
        Losses { tables: Damping::ALL.map(whole) }
    }

    /// Some steps of the table of a sound, at a reference pitch in Hz, for a damping.
    pub fn table(
        (sound, reference): (Sound, f64),
        damping: Damping,
        steps: Range<usize>,
    ) -> Vec<Tuned> {
        let tuned = steps.map(|step| {
            let pitch = LOWEST + step as f64 / STEPS as f64;
            let frequency = reference * libm::exp2((pitch - 69.0) / 12.0);
            Tuned::solve(frequency, damping.decay(sound, frequency))
        });
        tuned.collect()
    }

    /// The steps of the tables from a pitch to another, and one beyond both.
    pub fn steps(lowest: f64, highest: f64) -> Range<usize> {
        let first = (step(lowest) as usize).saturating_sub(1);
        first..(step(highest) as usize + 3).min(LENGTH)
    }

    /// The loop of a pitch, a number of MIDI's with its parts; what is beyond the tables is as their ends are.
    pub fn at(&self, pitch: f64, damping: Damping) -> Tuned {
        let table = self.of(damping);
        let step = step(pitch);
        let whole = step as usize;
        let Some(from) = table.get(whole) else { return Tuned::default() };
        let to = table.get(whole + 1).unwrap_or(from);
        from.toward(*to, step - whole as f64)
    }

    fn of(&self, damping: Damping) -> &[Tuned] {
        let [open, palm, stopped, muted] = &self.tables;
        match damping {
            Damping::Open => open,
            Damping::Palm => palm,
            Damping::Stopped => stopped,
            Damping::Muted => muted,
        }
    }
}

/// Where a pitch is in the tables, in steps.
fn step(pitch: f64) -> f64 {
    ((pitch - LOWEST) * STEPS as f64).clamp(0.0, (HALF_STEPS * STEPS) as f64)
}
