//! A string as a loop: a line of delay whose end is filtered and led back to its beginning.

use super::NOTHING;
use super::losses::Tuned;

/// The most samples that a loop holds, a power of two: down to 11 Hz.
pub const LENGTH: usize = 4096;

/// So many samples at most are made at once: what the pickup hears of them is then still in the loop.
pub const MOST: usize = LENGTH / 4;

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

    /// Adds what is heard to `out`, of `MOST` samples at most, while the setting goes from one to another; `fed` is
    /// fed into it, and nothing where that ends. Heard where the wave is led back and the burst comes in: at the end
    /// it would be late by the whole loop. Tells the sum of the squares of what passed there.
    pub fn run(&mut self, from: Setting, to: Setting, fed: &[f64], out: &mut [f64]) -> f64 {
        let power = if from == to && fed.is_empty() {
            self.run_alone(from, out)
        } else {
            self.run_on(from, to, fed, out)
        };
        if self.filtered < NOTHING && self.filtered > -NOTHING {
            self.filtered = 0.0;
        }
        power
    }

    /// Settings that go, and what is fed, sample by sample.
    fn run_on(&mut self, from: Setting, to: Setting, fed: &[f64], out: &mut [f64]) -> f64 {
        let part = 1.0 / out.len().max(1) as f64;
        let mut power = 0.0;
        for (index, heard) in out.iter_mut().enumerate() {
            let Setting { tuned, pickup } = between(from, to, index as f64 * part);
            let end = Reader::new(tuned.delay).read(&self.samples, self.at);
            self.filtered = tuned.gain * (1.0 - tuned.pole) * end + tuned.pole * self.filtered;
            let begun = self.filtered + fed.get(index).copied().unwrap_or(0.0);
            self.samples[self.at & (LENGTH - 1)] = begun;
            *heard += begun;
            if pickup > 0.0 {
                *heard -= Tap::new(tuned.delay * pickup).read(&self.samples, self.at);
            }
            self.at = self.at.wrapping_add(1);
            power += begun * begun;
        }
        power
    }

    /// A setting that stays, with nothing fed, as nearly always: what follows from it is worked out once.
    fn run_alone(&mut self, Setting { tuned, pickup }: Setting, out: &mut [f64]) -> f64 {
        let (reader, begun) = (Reader::new(tuned.delay), self.at);
        let left = tuned.gain * (1.0 - tuned.pole);
        let (mut at, mut filtered, mut power) = (self.at, self.filtered, 0.0);
        for heard in out.iter_mut() {
            let end = reader.read(&self.samples, at);
            filtered = left * end + tuned.pole * filtered;
            self.samples[at & (LENGTH - 1)] = filtered;
            *heard += filtered;
            at = at.wrapping_add(1);
            power += filtered * filtered;
        }
        (self.at, self.filtered) = (at, filtered);
        if pickup > 0.0 {
            let tap = Tap::new(tuned.delay * pickup);
            for (index, heard) in out.iter_mut().enumerate() {
                *heard -= tap.read(&self.samples, begun.wrapping_add(index));
            }
        }
        power
    }
}

/// Reads what passed so many samples ago, between samples by a straight line.
struct Tap {
    ago: usize,
    rest: f64,
}

impl Tap {
    fn new(ago: f64) -> Tap {
        let whole = ago as usize;
        Tap { ago: whole, rest: ago - whole as f64 }
    }

    fn read(&self, samples: &[f64; LENGTH], at: usize) -> f64 {
        let first = at.wrapping_sub(self.ago);
        let (newer, older) =
            (samples[first & (LENGTH - 1)], samples[first.wrapping_sub(1) & (LENGTH - 1)]);
        newer + self.rest * (older - newer)
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
