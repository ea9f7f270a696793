//! The metronome's click: a block of wood, struck.
//!
//! Each sample of a tone is the one before it times a number of two parts, so that a click is told in a few of them.

use crate::hear::strings::RATE;
use serde::Serialize;
use std::f64::consts::PI;

/// How long a click is, in samples: 60 ms.
const LENGTH: u32 = RATE * 60 / 1000;

/// How much higher the second tone of a bar of wood is than its first (N. H. Fletcher and T. D. Rossing, "The Physics
/// of Musical Instruments", chapter 2: a bar with free ends).
const OVERTONE: f64 = 2.756;

/// In how many samples a click rises: half a thousandth of a second.
const RISE: f64 = RATE as f64 / 2000.0;

/// How a click sounds.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Wood {
    /// How loud it is.
    size: f64,
    /// In how many samples it rises.
    rise: f64,
    /// How many samples it has.
    length: u32,
    tones: [Tone; 2],
}

/// A tone that dies away.
#[derive(Debug, Clone, Copy, Serialize)]
struct Tone {
    /// How loud it is beside the others.
    share: f64,
    /// What each sample is multiplied with for the next: a number's real part and its imaginary one.
    turn: [f64; 2],
}

impl Wood {
    /// A tone that dies away within a hundredth of a second, higher on a bar's first, and its overtone, faster
    /// (assumed, to be measured). Both lie between two notes of the scale, so that no click is taken for one.
    pub fn new(strong: bool) -> Wood {
        let (hertz, size) = if strong { (2283.0, 0.36) } else { (1614.0, 0.24) };
        let tones = [Tone::new(1.0, hertz, 130.0), Tone::new(0.35, OVERTONE * hertz, 260.0)];
        Wood { size, rise: RISE, length: LENGTH, tones }
    }

    /// Its samples, −1 to 1.
    pub fn samples(&self) -> Vec<f64> {
        let mut waves = [[1.0, 0.0]; 2];
        let sample = |at: u32| {
            let mut sum = 0.0;
            for (tone, wave) in self.tones.iter().zip(&mut waves) {
                let ([real, imaginary], [cos, sin]) = (*wave, tone.turn);
                sum += tone.share * imaginary;
                *wave = [real * cos - imaginary * sin, real * sin + imaginary * cos];
            }
            self.size * (f64::from(at) / self.rise).min(1.0) * sum
        };
        (0..self.length).map(sample).collect()
    }
}

impl Tone {
    /// So loud, so high, and a second later by so many e-folds less.
    fn new(share: f64, hertz: f64, dies: f64) -> Tone {
        let left = libm::exp(-dies / f64::from(RATE));
        let angle = 2.0 * PI * hertz / f64::from(RATE);
        Tone { share, turn: [left * libm::cos(angle), left * libm::sin(angle)] }
    }
}
