//! The metronome's click: a block of wood, struck.

use crate::hear::strings::RATE;
use std::f64::consts::PI;

/// How long a click is, in samples: 60 ms.
const LENGTH: u32 = RATE * 60 / 1000;

/// How much higher the second tone of a bar of wood is than its first (N. H. Fletcher and T. D. Rossing, "The Physics
/// of Musical Instruments", chapter 2: a bar with free ends).
const OVERTONE: f64 = 2.756;

/// The samples of a click, −1 to 1: a tone that dies away within a hundredth of a second, higher on a bar's first, and
/// its overtone, faster (assumed, to be measured). Both tones lie between two notes of the scale, so that no click is
/// taken for one.
pub fn samples(strong: bool) -> Vec<f64> {
    let (hertz, size) = if strong { (2283.0, 0.36) } else { (1614.0, 0.24) };
    let sample = |at: u32| {
        let seconds = f64::from(at) / f64::from(RATE);
        let rise = (seconds * 2000.0).min(1.0);
        let tone = |hertz: f64, dies: f64| {
            libm::exp(-seconds * dies) * libm::sin(2.0 * PI * hertz * seconds)
        };
        size * rise * (tone(hertz, 130.0) + 0.35 * tone(OVERTONE * hertz, 260.0))
    };
    (0..LENGTH).map(sample).collect()
}
