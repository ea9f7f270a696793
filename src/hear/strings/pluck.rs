//! What sets a string moving: a short push with noise in it.

use super::NOTHING;

/// How a string is set moving.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pluck {
    /// How strong, 1 is an accent.
    pub strength: f64,
    /// How bright, 0 to 1: of a soft or fleshy pluck less.
    pub bright: f64,
    /// Where along the string, from the bridge, as a part of it.
    pub place: f64,
    /// How much of it is noise, 0 to 1: the scrape of a pick more, a fingertip less.
    pub noise: f64,
    /// Over which harmonic's node it is touched; 1 is a string that isn't.
    pub harmonic: u32,
    /// Where the noise begins; another for each note, so that no two are alike, but the same each time round.
    pub seed: u64,
}

impl Pluck {
    /// What is fed into a loop of so many samples, as long as it goes once round. Its middle is nothing, and its
    /// size is that of the strength whatever the pitch.
    pub fn burst(&self, length: f64) -> Vec<f64> {
        let parts = self.harmonic.max(1);
        let part = length / f64::from(parts);
        let one = self.push(part);
        // A node lets only those waves through that are the same in each part of the string.
        let whole = (length + 0.5) as usize;
        let again = |at: usize| {
            let turn = (at as f64 / part) as u32;
            one.get(at - (f64::from(turn) * part + 0.5).min(at as f64) as usize)
        };
        let mut burst: Vec<f64> =
            (0..whole.max(2)).map(|at| again(at).copied().unwrap_or(0.0)).collect();
        let middle = burst.iter().sum::<f64>() / burst.len() as f64;
        burst.iter_mut().for_each(|sample| *sample -= middle);
        let size =
            (burst.iter().map(|sample| sample * sample).sum::<f64>() / burst.len() as f64).sqrt();
        let scale = if size > NOTHING { self.strength / size } else { 0.0 };
        burst.iter_mut().for_each(|sample| *sample *= scale);
        burst
    }

    /// The push on a string of so many samples, led back from the nearer end with its sign turned: what has a node
    /// where the string is plucked doesn't sound. A string that is let go presses on the bridge for the time that
    /// the wave takes from the pluck to the bridge and back, so that its harmonics fall by 6 dB an octave (N. H.
    /// Fletcher and T. D. Rossing, "The Physics of Musical Instruments", chapter 9: the force of a plucked string);
    /// how long the pick takes to let it go rounds the edges, and the high harmonics fall faster.
    fn push(&self, length: f64) -> Vec<f64> {
        let samples = ((length + 0.5) as usize).max(2);
        // From 0.05 ms for a hard pick to 1.2 ms for a soft thumb (assumed, to be measured).
        let wide = (60.0 * (1.0 - self.bright) - 2.0).min(length * 0.4).max(2.0);
        let mut noise = Noise(self.seed);
        let dark = 0.15 + 0.75 * (1.0 - self.bright);
        let (mut pressed, mut filtered) = (0.0, 0.0);
        let pushed: Vec<f64> = (0..samples)
            .map(|at| {
                let part = at as f64 / wide;
                let hump = if part < 1.0 { 6.0 * part * (1.0 - part) } else { 0.0 };
                pressed += hump / wide;
                let pushed = pressed + self.noise * noise.next();
                filtered += (1.0 - dark) * (pushed - filtered);
                filtered
            })
            .collect();
        let back = ((length * self.place + 0.5) as usize).max(1);
        let from = |at: usize| pushed.get(at.checked_sub(back)?);
        pushed.iter().enumerate().map(|(at, sample)| sample - from(at).unwrap_or(&0.0)).collect()
    }
}

/// Noise of whole numbers (a linear congruence with the multiplier and increment of D. E. Knuth's MMIX).
struct Noise(u64);

impl Noise {
    /// A number from −1 to 1.
    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from((self.0 >> 33) as u32) / f64::from(1_u32 << 30) - 1.0
    }
}
