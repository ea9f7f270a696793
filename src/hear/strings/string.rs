//! A string with the hand on it: what is done to it, and how it goes from one to the next.

use super::line::{LENGTH, Line, MOST, Setting};
use super::losses::{Damping, Losses};
use super::{NOTHING, Pluck, RATE, STRETCH};

/// In how many samples a finger lands, or what damps takes hold: 4 ms (assumed, to be measured).
const LANDING: u32 = RATE / 250;
/// How much of what rang before is left where a pick touches the string (assumed, to be measured).
const TOUCHED: f64 = 0.08;
/// In how many samples the pick touches it: 1 ms (assumed, to be measured).
const TOUCH: u32 = RATE / 1000;
/// What is no longer heard: a thousandth of the smallest step of 16 bits.
const SILENT: f64 = 3e-8;

/// What is done to a string at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gesture {
    /// It is plucked at a pitch, a number of MIDI's, and what rang before is touched.
    Pluck {
        /// The pitch.
        pitch: f64,
        /// How.
        pluck: Pluck,
        /// What damps it from then on.
        damping: Damping,
    },
    /// A finger lands on it or leaves it while it rings on: its pitch changes at once, and it is moved a little.
    Land {
        /// The pitch.
        pitch: f64,
        /// How it is moved.
        pluck: Pluck,
    },
    /// It goes to another pitch, as in a slide or a bend.
    Glide {
        /// The pitch that is reached.
        pitch: f64,
        /// In how many samples.
        over: u32,
    },
    /// Vibrato begins, this wide in half steps.
    Shake(f64),
    /// Something else damps it.
    Damp(Damping),
}

/// A string, what rings on it, and what is under way.
#[derive(Clone)]
pub struct Tied {
    line: Line,
    burst: Vec<f64>,
    fed: usize,
    /// How much of what rang before is left while the burst is fed.
    touched: Glide,
    pitch: Glide,
    damping: (Damping, Damping, Glide),
    shake: f64,
    /// Samples since the vibrato began.
    shaken: u32,
    pickup: f64,
    /// For how many samples nothing is heard any more.
    silent: usize,
    at_rest: bool,
}

/// A number on its way to another.
#[derive(Debug, Clone, Copy)]
struct Glide {
    from: f64,
    to: f64,
    gone: u32,
    over: u32,
}

impl Glide {
    fn new(from: f64, to: f64, over: u32) -> Glide {
        Glide { from, to, gone: 0, over }
    }

    fn now(&self) -> f64 {
        if self.is_over() {
            return self.to;
        }
        self.from + (self.to - self.from) * f64::from(self.gone) / f64::from(self.over)
    }

    fn is_over(&self) -> bool {
        self.gone >= self.over
    }

    fn go(&mut self, samples: usize) {
        let samples = u32::try_from(samples).unwrap_or(u32::MAX);
        self.gone = self.gone.saturating_add(samples).min(self.over);
    }
}

impl Tied {
    /// A string at rest.
    pub fn resting() -> Tied {
        Tied {
            line: Line::new(),
            burst: Vec::new(),
            fed: 0,
            touched: Glide::new(1.0, 1.0, 0),
            pitch: Glide::new(60.0, 60.0, 0),
            damping: (Damping::Open, Damping::Open, Glide::new(1.0, 1.0, 0)),
            shake: 0.0,
            shaken: 0,
            pickup: 0.0,
            silent: 0,
            at_rest: true,
        }
    }

    /// Does something to it.
    pub fn take(&mut self, gesture: Gesture, losses: &Losses) {
        match gesture {
            Gesture::Pluck { pitch, pluck, damping } => {
                let from = if self.at_rest { pitch } else { self.sounding() };
                self.pitch = Glide::new(from, pitch, LANDING / 2);
                self.damping = (damping, damping, Glide::new(1.0, 1.0, 0));
                self.push(pitch, pluck, losses);
                self.touched = Glide::new(1.0, TOUCHED, TOUCH);
            }
            Gesture::Land { pitch, pluck } => {
                self.pitch = Glide::new(self.sounding(), pitch, LANDING);
                self.push(pitch, pluck, losses);
            }
            Gesture::Glide { pitch, over } => {
                self.pitch = Glide::new(self.pitch.now(), pitch, over);
            }
            Gesture::Shake(wide) => {
                let left = self.pitch.over.saturating_sub(self.pitch.gone).max(LANDING);
                self.pitch = Glide::new(self.sounding(), self.pitch.to, left);
                (self.shake, self.shaken) = (wide, 0);
            }
            Gesture::Damp(damping) => {
                self.damping = (self.damping.1, damping, Glide::new(0.0, 1.0, LANDING));
            }
        }
    }

    fn push(&mut self, pitch: f64, pluck: Pluck, losses: &Losses) {
        self.shake = 0.0;
        self.burst = pluck.burst(losses.at(pitch, Damping::Open).delay);
        self.fed = 0;
        self.touched = Glide::new(1.0, 1.0, 0);
        self.silent = 0;
        self.at_rest = false;
    }

    /// Adds what is heard of it to `out`; the pickup goes to where `pickup` says.
    pub fn play(&mut self, losses: &Losses, pickup: f64, mut out: &mut [f64]) {
        while !self.at_rest && !out.is_empty() {
            let left = self.burst.len().saturating_sub(self.fed);
            let most = match left {
                0 if self.is_steady() && self.pickup == pickup => MOST,
                0 => STRETCH,
                left => left.min(STRETCH),
            };
            let (now, later) = out.split_at_mut(most.min(out.len()));
            self.stretch(losses, pickup, now);
            out = later;
        }
        if self.at_rest {
            self.pickup = pickup;
        }
    }

    /// Whether nothing is on its way to anything else.
    fn is_steady(&self) -> bool {
        self.pitch.is_over() && self.damping.2.is_over() && self.shake < NOTHING
    }

    /// Plays a short stretch, with settings that run straight, or a longer one with settings that stay.
    fn stretch(&mut self, losses: &Losses, pickup: f64, out: &mut [f64]) {
        let from = self.setting(losses);
        self.pitch.go(out.len());
        self.damping.2.go(out.len());
        self.touched.go(out.len());
        self.shaken = self.shaken.saturating_add(u32::try_from(out.len()).unwrap_or(u32::MAX));
        self.pickup += (pickup - self.pickup) * 0.05;
        if (pickup - self.pickup).max(self.pickup - pickup) < 1e-6 {
            self.pickup = pickup;
        }
        let to = self.setting(losses);
        let fed = self.burst.get(self.fed..).unwrap_or_default();
        let power = self.line.run(from, to, fed, out);
        self.fed += out.len().min(fed.len());
        self.silent = if power < SILENT * SILENT { self.silent + out.len() } else { 0 };
        if self.silent > LENGTH {
            self.line.rest();
            self.at_rest = true;
        }
    }

    fn setting(&self, losses: &Losses) -> Setting {
        let pitch = self.sounding();
        let (before, now, glide) = self.damping;
        let mut tuned = losses.at(pitch, now);
        let part = glide.now();
        if part < 1.0 {
            tuned = losses.at(pitch, before).toward(tuned, part);
        }
        if self.fed < self.burst.len() {
            tuned.gain *= self.touched.now();
        }
        Setting { tuned, pickup: self.pickup }
    }

    /// The pitch of the moment, with its vibrato.
    fn sounding(&self) -> f64 {
        self.pitch.now() + self.shake * self.wave()
    }

    /// Where the vibrato is, −1 to 1: it sets in after an eighth of a second, 5.5 times a second (assumed, to be
    /// measured). Parabolas stand for the sine.
    fn wave(&self) -> f64 {
        if self.shake < NOTHING {
            return 0.0;
        }
        let seconds = f64::from(self.shaken) / f64::from(RATE);
        let depth = ((seconds - 0.125) * 6.0).clamp(0.0, 1.0);
        let turn = (seconds - 0.125).max(0.0) * 5.5;
        let half = (turn - (turn as u64) as f64) * 2.0;
        let arch = |part: f64| 4.0 * part * (1.0 - part);
        depth * if half < 1.0 { arch(half) } else { -arch(half - 1.0) }
    }
}
