//! The metronome's click: a block of wood, struck.

use crate::hear::strings::RATE;
use std::f64::consts::PI;

/// How long a click is, in samples: 60 ms.
const LENGTH: u32 = RATE * 60 / 1000;

/// The samples of a click, −1 to 1: a tone that dies away within a hundredth of a second, higher on a bar's first
/// (assumed, to be measured).
pub fn samples(strong: bool) -> Vec<f64> {
    let (hertz, size) = if strong { (1760.0, 0.4) } else { (1175.0, 0.25) };
    let sample = |at: u32| {
        let seconds = f64::from(at) / f64::from(RATE);
        let rise = (seconds * 2000.0).min(1.0);
        size * rise * libm::exp(-seconds * 110.0) * libm::sin(2.0 * PI * hertz * seconds)
    };
    (0..LENGTH).map(sample).collect()
}
