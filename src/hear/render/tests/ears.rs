//! What tests hear by: levels, tones, pitches, brightness and beginnings, measured on samples.

use super::*;
use std::f64::consts::PI;

/// A part's samples once through and the tail behind it, as its strings and amplifier give them, not yet made as
/// loud as a score is.
pub fn heard(score: &Score) -> Vec<f64> {
    sides(score, 440.0).iter().map(|[left, right]| (left + right) / 2.0_f64.sqrt()).collect()
}

/// The samples of both sides, not yet made as loud as a score is, with the A at `pitch` Hz.
pub fn sides(score: &Score, pitch: f64) -> Vec<[f64; 2]> {
    let stage = Stage::new(score, pitch);
    let mut band = Band::new(&stage);
    let mut all = Vec::new();
    for plan in [Plan::new(score, score.rounds[0].tempo), Plan::silence(TAIL)] {
        pieces(&plan, |at, length| {
            all.extend_from_slice(band.play(&stage, &plan, at, length, 1.0));
            Ok::<(), ()>(())
        })
        .unwrap();
    }
    all
}

/// Ticks at the tests' tempo as seconds.
pub fn seconds(ticks: u32) -> f64 {
    f64::from(ticks) / 1920.0
}

/// What is heard from a moment to another, in seconds.
pub fn cut(sound: &[f64], from: f64, to: f64) -> &[f64] {
    let at = |seconds: f64| ((seconds * f64::from(RATE)) as usize).min(sound.len());
    &sound[at(from)..at(to)]
}

/// The mean power of what is heard from a moment to another, in dB.
pub fn level(sound: &[f64], from: f64, to: f64) -> f64 {
    let sound = cut(sound, from, to);
    let power = sound.iter().map(|sample| sample * sample).sum::<f64>() / sound.len() as f64;
    10.0 * (power + 1e-20).log10()
}

/// The least level of 8 ms from a moment to another, in dB.
pub fn least(sound: &[f64], from: f64, to: f64) -> f64 {
    let steps = ((to - from) / 0.002) as usize;
    let levels = (0..steps).map(|step| {
        let at = from + 0.002 * step as f64;
        level(sound, at, at + 0.008)
    });
    levels.fold(f64::MAX, f64::min)
}

/// How much of a tone there is from a moment on, as a level in dB, and its phase.
fn tone_and_phase(sound: &[f64], hertz: f64, from: f64, length: f64) -> (f64, f64) {
    let first = (from * f64::from(RATE)) as usize;
    let length = (length * f64::from(RATE)) as usize;
    let turn = 2.0 * PI * hertz / f64::from(RATE);
    let (mut real, mut imaginary) = (0.0, 0.0);
    for at in 0..length {
        let window = 0.5 - 0.5 * (2.0 * PI * at as f64 / length as f64).cos();
        let angle = turn * (first + at) as f64;
        real += window * sound[first + at] * angle.cos();
        imaginary -= window * sound[first + at] * angle.sin();
    }
    let size = (real * real + imaginary * imaginary).sqrt() / length as f64;
    (20.0 * (size + 1e-12).log10(), imaginary.atan2(real))
}

/// The level of a tone in dB from a moment on, for so many seconds.
pub fn tone(sound: &[f64], hertz: f64, from: f64, length: f64) -> f64 {
    tone_and_phase(sound, hertz, from, length).0
}

/// How far the tone that is heard near a frequency is from it, in cents: by its phase at a moment and 50 ms
/// later, so that it has to be within 10 Hz.
pub fn off(sound: &[f64], hertz: f64, from: f64) -> f64 {
    let apart = RATE as usize / 20;
    let later = apart as f64 / f64::from(RATE);
    let before = tone_and_phase(sound, hertz, from, 0.15).1;
    let after = tone_and_phase(sound, hertz, from + later, 0.15).1;
    let gone = (after - before + 3.0 * PI).rem_euclid(2.0 * PI) - PI;
    1200.0 * ((hertz + gone / (2.0 * PI * later)) / hertz).log2()
}

/// The pitch at a moment as a number of MIDI's, looked for within two half steps about one: the shift at which
/// 25 ms are most like what comes after.
pub fn pitch(sound: &[f64], at: f64, about: f64) -> f64 {
    let (low, high) = (hertz(about - 2.0), hertz(about + 2.0));
    let sound = cut(sound, at - 0.0125, at + 0.0375);
    let length = RATE as usize / 40;
    let alike = |shift: usize| {
        let (mut both, mut first, mut second) = (0.0, 0.0, 1e-20);
        for at in 0..length {
            let (now, then) = (sound[at], sound[at + shift]);
            both += now * then;
            first += now * now;
            second += then * then;
        }
        both / (first * second + 1e-30).sqrt()
    };
    let shifts = (f64::from(RATE) / high) as usize..=(f64::from(RATE) / low) as usize;
    let best = shifts.max_by(|one, other| alike(*one).total_cmp(&alike(*other))).unwrap();
    let (before, now, after) = (alike(best - 1), alike(best), alike(best + 1));
    let shift = best as f64 + 0.5 * (before - after) / (before - 2.0 * now + after);
    69.0 + 12.0 * (f64::from(RATE) / shift / 440.0).log2()
}

/// The frequency of a pitch, a number of MIDI's.
pub fn hertz(pitch: f64) -> f64 {
    440.0 * ((pitch - 69.0) / 12.0).exp2()
}

/// How bright what is heard from a moment to another is: the middle of its power over frequency, in Hz.
pub fn bright(sound: &[f64], from: f64, to: f64) -> f64 {
    let sound = cut(sound, from, to);
    let power: f64 = sound.iter().map(|sample| sample * sample).sum();
    let steps: f64 = sound.windows(2).map(|two| (two[1] - two[0]) * (two[1] - two[0])).sum();
    (steps / (power + 1e-20)).sqrt() * f64::from(RATE) / (2.0 * PI)
}

/// How hard something sets in at a moment: the level of its high part within 10 ms.
pub fn attack(sound: &[f64], at: f64) -> f64 {
    high(sound, at, at + 0.01)
}

/// The level in dB of the high part of what is heard from a moment to another, which counts by the square of its
/// frequency.
pub fn high(sound: &[f64], from: f64, to: f64) -> f64 {
    let sound = cut(sound, from, to);
    let turns = sound.windows(3).map(|three| three[2] - 2.0 * three[1] + three[0]);
    let power = turns.map(|turn| turn * turn).sum::<f64>() / sound.len() as f64;
    10.0 * (power + 1e-20).log10()
}

/// When something is first heard from a moment on, in seconds: a tenth of the highest sample within 100 ms.
pub fn onset(sound: &[f64], from: f64) -> f64 {
    let sound = cut(sound, from, from + 0.1);
    let peak = sound.iter().fold(0.0_f64, |peak, sample| peak.max(sample.abs()));
    let first = sound.iter().position(|sample| sample.abs() > 0.1 * peak).unwrap();
    from + first as f64 / f64::from(RATE)
}

/// How many seconds the tone of a frequency takes to fall by 60 dB, from what it falls within half a second.
pub fn decay(sound: &[f64], hertz: f64, from: f64) -> f64 {
    let fallen = tone(sound, hertz, from, 0.1) - tone(sound, hertz, from + 0.5, 0.1);
    60.0 * 0.5 / fallen
}
