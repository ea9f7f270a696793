//! A score as samples, made piece by piece as they are asked for.
//!
//! Each time through begins at a whole sample. What still rings at its end rings on into the next; the state in
//! which the second time at a tempo begins is kept, and every later one begins with it, so that they are the same
//! sample by sample.

mod band;
mod click;
mod hands;
mod reach;

pub use self::click::Wood;
pub use self::reach::Reach;

use self::band::{Band, Stage};
use self::hands::Plan;
use super::strings::RATE;
use super::{Round, Score};
use crate::lesson::setting::Tempo;
use crate::theory::Ticks;

/// How many samples are made at once.
const PIECE: usize = 1024;
/// How long it rings on behind the last bar, in samples.
const TAIL: u32 = RATE * 3 / 2;
/// How loud the strings are once through, as a part of full scale: −20 dB, so that the files of a lesson are equally loud
/// (assumed, to be measured).
const LOUDNESS: f64 = 0.1;
/// Between these parts of full scale their highest peak lies whatever their loudness.
const PEAKS: (f64, f64) = (0.35, 0.85);
/// What is softer than the loudest by more than this, in power, counts for no loudness: 30 dB.
const UNHEARD: f64 = 0.001;
/// From where on samples are bent, so that none is beyond full scale.
const KNEE: f64 = 0.8;

/// What takes samples, left and right, in pieces: such as are rounded, or of another type.
pub type Sink<'s, E, S = i16> = &'s mut dyn FnMut(&[[S; 2]]) -> Result<(), E>;

/// Plays a score, with the A above middle C at `pitch` Hz, and gives its samples, left and right, to `sink` in
/// pieces. Ends early where the sink fails.
///
/// # Errors
///
/// The sink's.
pub fn render<E>(score: &Score, pitch: f64, sink: Sink<'_, E>) -> Result<(), E> {
    let mut rounded = Vec::with_capacity(PIECE);
    mix(score, pitch, &mut |piece| {
        rounded.clear();
        rounded.extend(piece.iter().map(|sides| sides.map(rounded_off)));
        sink(&rounded)
    })
}

/// The same before it is rounded to 16 bits: −1 to 1, but for peaks.
///
/// # Errors
///
/// The sink's.
pub fn mix<E>(score: &Score, pitch: f64, sink: Sink<'_, E, f64>) -> Result<(), E> {
    let stage = Stage::new(score, pitch);
    let Some((Round { tempo, .. }, last)) =
        score.rounds.first().zip(score.rounds.len().checked_sub(1))
    else {
        return Ok(());
    };
    let mut out = Out { scale: scale(&stage, score, *tempo), sink };
    let mut band = Band::new(&stage);
    for (index, Round { tempo, times }) in score.rounds.iter().enumerate() {
        let count_in = Plan::clicks(&score.count_in, score.count_in_length, *tempo);
        out.play(&mut band, &stage, &count_in)?;
        let mut plan = Plan::new(score, *tempo);
        let mut second = None;
        for time in 0..*times {
            match (time, &second) {
                (1, _) => second = Some(band.clone()),
                (_, Some(second)) => band = second.clone(),
                _ => {}
            }
            if index == last && time + 1 == *times {
                plan = plan.ringing_out();
            }
            out.play(&mut band, &stage, &plan)?;
        }
    }
    out.play(&mut band, &stage, &Plan::fading(score, TAIL))
}

/// How many samples, left and right as one, a score comes to.
pub fn length(score: &Score) -> u64 {
    if score.rounds.is_empty() {
        return 0;
    }
    let rounds = score.rounds.iter().map(|Round { tempo, times }| {
        let once = u64::from(samples(*tempo, score.length));
        u64::from(samples(*tempo, score.count_in_length)) + u64::from(*times) * once
    });
    rounds.fold(u64::from(TAIL), u64::saturating_add)
}

/// How many samples ticks take at a tempo, to the nearest.
fn samples(tempo: Tempo, ticks: Ticks) -> u32 {
    let second = 1_000_000_000;
    let samples = (tempo.time(ticks).as_nanos() * u128::from(RATE) + second / 2) / second;
    u32::try_from(samples).unwrap_or(u32::MAX)
}

/// By how much the strings are made louder, so that every score is equally loud as far as its peaks allow.
fn scale(stage: &Stage, score: &Score, tempo: Tempo) -> f64 {
    let plan = Plan::new(score, tempo).without_clicks();
    let mut band = Band::new(stage);
    let mut peak: f64 = 0.0;
    let mut powers = Vec::new();
    pieces(&plan, |at, length| {
        let mut power = 0.0;
        for [left, right] in band.play(stage, &plan, at, length, 1.0) {
            peak = peak.max(left.max(-left)).max(right.max(-right));
            power += left * left + right * right;
        }
        powers.push(power / (2 * length) as f64);
        Ok::<(), ()>(())
    })
    .unwrap_or_default();
    if peak < 1e-9 {
        return 1.0;
    }
    let (least, most) = PEAKS;
    (LOUDNESS / loudness(&powers)).min(most / peak).max(least / peak)
}

/// How loud pieces of these powers are together, those that aren't heard left out.
fn loudness(powers: &[f64]) -> f64 {
    let loudest = powers.iter().copied().fold(0.0, f64::max);
    let heard = || powers.iter().filter(|power| **power >= loudest * UNHEARD);
    (heard().sum::<f64>() / heard().count().max(1) as f64).sqrt()
}

/// A plan's pieces, each with where it begins and how long it is.
fn pieces<E>(plan: &Plan, mut each: impl FnMut(u32, usize) -> Result<(), E>) -> Result<(), E> {
    let mut at = 0;
    while at < plan.length {
        let length = (plan.length - at).min(PIECE as u32);
        each(at, length as usize)?;
        at += length;
    }
    Ok(())
}

/// Where samples go.
struct Out<'s, E> {
    scale: f64,
    sink: Sink<'s, E, f64>,
}

impl<E> Out<'_, E> {
    fn play(&mut self, band: &mut Band, stage: &Stage, plan: &Plan) -> Result<(), E> {
        pieces(plan, |at, length| (self.sink)(band.play(stage, plan, at, length, self.scale)))
    }
}

/// A sample in 16 bits: what is beyond the knee comes near full scale and never to it.
fn rounded_off(sample: f64) -> i16 {
    let size = sample.max(-sample);
    let over = (size - KNEE).max(0.0) / (1.0 - KNEE);
    let bent = size.min(KNEE) + (1.0 - KNEE) * over / (1.0 + over);
    let whole = (bent * 32_766.0 + 0.5) as i16;
    if sample < 0.0 { -whole } else { whole }
}

#[cfg(test)]
mod tests;
