//! A string as a loop: a line of delay whose end is filtered and led back to its beginning.

use super::NOTHING;
use super::losses::Tuned;

/// The most samples that a loop holds, a power of two: down to 11 Hz.
pub const LENGTH: usize = 4096;

/// A loop with what runs in it.
#[derive(Clone)]
pub struct Line {
    samples: Box<[f64; LENGTH]>,
    at: usize,
    filtered: f64,
}

/// How a loop is set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Length, loss and darkness.
    pub tuned: Tuned,
    /// Where the pickup sits, as a part of the loop from the bridge; 0 hears the bridge itself.
    pub pickup: f64,
}

impl Line {
    /// A loop at rest.
    pub fn new() -> Line {
        Line { samples: Box::new([0.0; LENGTH]), at: 0, filtered: 0.0 }
    }

    /// Ends all that runs in it.
    pub fn rest(&mut self) {
        self.samples.fill(0.0);
        self.filtered = 0.0;
    }

    /// Adds what is heard to `out`, while the setting goes from one to another; `fed` is fed into it. Tells the
    /// largest sample.
    pub fn run(
        &mut self,
        from: Setting,
        to: Setting,
        fed: impl Fn(usize) -> f64,
        out: &mut [f64],
    ) -> f64 {
        let part = 1.0 / out.len().max(1) as f64;
        let glides = from != to;
        let mut setting = from;
        let mut reader = Reader::new(setting.tuned.delay);
        let mut largest: f64 = 0.0;
        for (index, heard) in out.iter_mut().enumerate() {
            if glides {
                setting = between(from, to, index as f64 * part);
                reader = Reader::new(setting.tuned.delay);
            }
            let Tuned { delay, gain, pole } = setting.tuned;
            let end = reader.read(&self.samples, self.at);
            let lost = gain * (1.0 - pole) * end + pole * self.filtered;
            self.filtered = if lost < NOTHING && lost > -NOTHING { 0.0 } else { lost };
            let fed = fed(index);
            // Heard where the wave is led back and the burst comes in: at the end it would be late by the whole loop.
            let begun = self.filtered + fed;
            self.samples[self.at & (LENGTH - 1)] = begun;
            let tapped = if setting.pickup > 0.0 { self.tap(delay * setting.pickup) } else { 0.0 };
            self.at = self.at.wrapping_add(1);
            let sample = begun - tapped;
            largest = largest.max(sample.max(-sample)).max(fed.max(-fed));
            *heard += sample;
        }
        largest
    }

    /// What passed so many samples ago, between samples by a straight line.
    fn tap(&self, ago: f64) -> f64 {
        let whole = ago as usize;
        let rest = ago - whole as f64;
        let newer = self.samples[self.at.wrapping_sub(whole) & (LENGTH - 1)];
        let older = self.samples[self.at.wrapping_sub(whole + 1) & (LENGTH - 1)];
        newer + rest * (older - newer)
    }
}

/// Reads the end of the loop between samples, by Lagrange's polynomial through four of them.
struct Reader {
    ago: usize,
    weights: [f64; 4],
}

impl Reader {
    /// For a delay in samples, 2 at least.
    fn new(delay: f64) -> Reader {
        let delay = delay.clamp(2.0, (LENGTH - 4) as f64);
        let whole = delay as usize;
        // From 1 to 2, where the polynomial is best: between its middle two.
        let d = delay - whole as f64 + 1.0;
        let weights = [
            -(d - 1.0) * (d - 2.0) * (d - 3.0) / 6.0,
            d * (d - 2.0) * (d - 3.0) / 2.0,
            -d * (d - 1.0) * (d - 3.0) / 2.0,
            d * (d - 1.0) * (d - 2.0) / 6.0,
        ];
        Reader { ago: whole - 1, weights }
    }

    fn read(&self, samples: &[f64; LENGTH], at: usize) -> f64 {
        let first = at.wrapping_sub(self.ago);
        let sample = |older: usize| samples[first.wrapping_sub(older) & (LENGTH - 1)];
        let [a, b, c, d] = self.weights;
        (a * sample(0) + b * sample(1)) + (c * sample(2) + d * sample(3))
    }
}

fn between(from: Setting, to: Setting, part: f64) -> Setting {
    Setting {
        tuned: from.tuned.toward(to.tuned, part),
        pickup: from.pickup + (to.pickup - from.pickup) * part,
    }
}
