//! What stands behind the strings of a part: the body, or pickup, amplifier and loudspeaker.

use super::{NOTHING, RATE};
use crate::lesson::Sound;
use std::f64::consts::PI;

/// How fast the amplifier goes from clean to driven: in 20 ms.
const TURN: f64 = 50.0 / RATE as f64;

/// How much of what is new goes into what is low each sample: below 160 Hz.
const LOW: f64 = 2.0 * PI * 160.0 / RATE as f64;

/// The way of a part's sound from its strings to the mix.
#[derive(Clone)]
pub struct Amp {
    /// What hears the strings: each adds so much of what it lets through.
    filters: Vec<(f64, Filter)>,
    speaker: Filter,
    /// What is low in the sound of the strings.
    low: f64,
    steady: Steady,
    /// Goes from 0, clean, to 1, driven; `None` before anything is led through.
    drive: Option<f64>,
}

/// The weights of a part's filters, each of a sample, of the one before and of the one before that, then of what came
/// out one and two samples ago.
#[derive(Debug, Clone)]
pub struct Weights {
    /// Of those that hear the strings, with how much each adds.
    pub body: Vec<(f64, [f64; 5])>,
    /// Of the loudspeaker.
    pub speaker: [f64; 5],
}

impl Amp {
    /// That of a sound.
    pub fn new(sound: Sound) -> Amp {
        // The air in the body and its top, then what the bridge gives at once (assumed, to be measured).
        let filters = match sound {
            Sound::Steel => vec![
                (1.0, Filter::band(105.0, 8.0)),
                (0.8, Filter::band(205.0, 9.0)),
                (0.5, Filter::band(420.0, 6.0)),
                (0.9, Filter::band(2600.0, 0.8)),
                (1.6, Filter::low(8000.0, 0.7)),
            ],
            Sound::Nylon => vec![
                (1.2, Filter::band(98.0, 8.0)),
                (1.0, Filter::band(190.0, 9.0)),
                (0.7, Filter::band(390.0, 6.0)),
                (1.8, Filter::low(6500.0, 0.6)),
            ],
            Sound::Electric => vec![(1.0, Filter::low(3600.0, 1.6))],
            Sound::Bass => vec![(1.3, Filter::low(1800.0, 0.8))],
        };
        Amp {
            filters,
            speaker: Filter::low(4200.0, 0.8),
            low: 0.0,
            steady: Steady::default(),
            drive: None,
        }
    }

    /// The weights of its filters.
    pub fn weights(&self) -> Weights {
        let body = self.filters.iter().map(|(part, filter)| (*part, filter.weights()));
        Weights { body: body.collect(), speaker: self.speaker.weights() }
    }

    /// Leads a part's sound through, which then is driven or clean.
    pub fn lead(&mut self, driven: bool, sound: &mut [f64]) {
        let mut drive = self.drive.unwrap_or(if driven { 1.0 } else { 0.0 });
        for sample in sound {
            let strings = *sample;
            let mut clean = 0.0;
            for (part, filter) in &mut self.filters {
                clean += *part * filter.next(strings);
            }
            drive = if driven { (drive + TURN).min(1.0) } else { (drive - TURN).max(0.0) };
            if drive > 0.0 {
                // The low part is driven less, so that chords stay clear (assumed, to be measured).
                self.low = quieted(self.low + LOW * (clean - self.low));
                let driven = self.speaker.next(bent(8.0 * (clean - 0.7 * self.low))) * 0.95;
                clean += drive * (driven - clean);
            }
            *sample = self.steady.next(clean);
        }
        self.drive = Some(drive);
        self.filters.iter_mut().for_each(|(_, filter)| filter.quiet());
        self.speaker.quiet();
        self.steady.out = quieted(self.steady.out);
    }
}

/// A soft limit at −1 and 1, smooth and without a corner; silence stays silence. It bends a little more above than
/// beneath, as valves do (assumed, to be measured).
fn bent(sample: f64) -> f64 {
    let limited = |sample: f64| sample / (1.0 + sample * sample).sqrt();
    limited(sample + 0.2) - limited(0.2)
}

/// A filter of the second order (transposed direct form).
#[derive(Debug, Clone)]
struct Filter {
    ahead: [f64; 3],
    back: [f64; 2],
    kept: [f64; 2],
}

impl Filter {
    /// What is below a frequency in Hz, with the height `q` there; by the bilinear transform.
    fn low(frequency: f64, q: f64) -> Filter {
        let (cos, slope) = Filter::turn(frequency, q);
        Filter::scaled([(1.0 - cos) / 2.0, 1.0 - cos, (1.0 - cos) / 2.0], cos, slope)
    }

    /// What is about a frequency in Hz, `q` times as high as wide; by the bilinear transform.
    fn band(frequency: f64, q: f64) -> Filter {
        let (cos, slope) = Filter::turn(frequency, q);
        Filter::scaled([slope, 0.0, -slope], cos, slope)
    }

    fn turn(frequency: f64, q: f64) -> (f64, f64) {
        let angle = 2.0 * PI * frequency / f64::from(RATE);
        (libm::cos(angle), libm::sin(angle) / (2.0 * q))
    }

    fn scaled(ahead: [f64; 3], cos: f64, slope: f64) -> Filter {
        let whole = 1.0 + slope;
        Filter {
            ahead: ahead.map(|weight| weight / whole),
            back: [-2.0 * cos / whole, (1.0 - slope) / whole],
            kept: [0.0; 2],
        }
    }

    fn weights(&self) -> [f64; 5] {
        let ([a, b, c], [d, e]) = (self.ahead, self.back);
        [a, b, c, d, e]
    }

    fn next(&mut self, sample: f64) -> f64 {
        let out = self.ahead[0] * sample + self.kept[0];
        self.kept[0] = (self.ahead[1] * sample + self.kept[1]) - self.back[0] * out;
        self.kept[1] = self.ahead[2] * sample - self.back[1] * out;
        out
    }

    fn quiet(&mut self) {
        self.kept = self.kept.map(quieted);
    }
}

/// Takes away what stands still: a high pass of the first order at 14 Hz.
#[derive(Debug, Clone, Default)]
struct Steady {
    before: f64,
    out: f64,
}

impl Steady {
    fn next(&mut self, sample: f64) -> f64 {
        self.out = (sample - self.before) + 0.998 * self.out;
        self.before = sample;
        self.out
    }
}

fn quieted(sample: f64) -> f64 {
    if sample < NOTHING && sample > -NOTHING { 0.0 } else { sample }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_silent_amplifier_comes_to_rest_without_numbers_that_are_slow() {
        for sound in Sound::ALL {
            for driven in [false, true] {
                let mut amp = Amp::new(sound);
                let mut slow = 0;
                let mut piece = vec![1.0; 1024];
                for _ in 0..200 {
                    amp.lead(driven, &mut piece);
                    slow += piece.iter().filter(|sample| sample.is_subnormal()).count();
                    piece.fill(0.0);
                }
                assert!(slow < 1024, "{sound:?}: {slow}");
                amp.lead(driven, &mut piece);
                assert!(piece.iter().all(|sample| quieted(*sample) == 0.0), "{sound:?}");
            }
        }
    }
}
