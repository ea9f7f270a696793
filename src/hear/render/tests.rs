mod bent;
mod bytes;
mod damped;
mod ears;
mod joined;
mod sounds;
mod strokes;
mod time;

use super::*;
use crate::hear::{Click, Part, Pickup, Struck, Strum, Tone};
use crate::lesson::Sound;
use crate::music::performance::{Attack, Heard, Played, Release, Strength};
use crate::music::tab::Pick;
use crate::neck::{Fret, Instrument, StringIndex};

const TEMPO: Tempo = Tempo { number: 120, dotted: false };

fn struck(at: u32, string: usize, fret: u8) -> Struck {
    let string = StringIndex::new(string);
    let fret = Fret::new(fret);
    let pitch = Instrument::guitar().written_pitch(string, fret).unwrap();
    let quarter = (Ticks(at), Ticks(at + 960));
    let played = Played { release: Release::Rung, ..Played::plain(string, (fret, pitch), quarter) };
    Struck { played, strum: None }
}

/// A note to which something is done.
fn with(mut struck: Struck, change: impl FnOnce(&mut Played)) -> Struck {
    change(&mut struck.played);
    struck
}

/// The pitch at a place of the neck, a number of MIDI's.
fn pitch_at(string: usize, fret: u8) -> i32 {
    let open = Instrument::guitar().written_pitch(StringIndex::new(string), Fret::OPEN);
    open.unwrap().number() + i32::from(fret)
}

/// The same without clicks.
fn quiet(score: Score) -> Score {
    Score { clicks: Vec::new(), ..score }
}

/// A bar of four quarters, so many times.
fn score(sound: Sound, notes: Vec<Struck>, times: u32) -> Score {
    let part = Part {
        name: String::from("part"),
        instrument: Instrument::guitar(),
        sound,
        notes,
        tones: Vec::new(),
        words: Vec::new(),
    };
    Score {
        title: String::new(),
        key: None,
        rounds: vec![Round { tempo: TEMPO, times }],
        count_in: Vec::new(),
        count_in_length: Ticks::ZERO,
        bars: Vec::new(),
        moments: Vec::new(),
        clicks: vec![Click { at: Ticks::ZERO, strong: true }],
        parts: vec![part],
        length: Ticks(3840),
    }
}

fn four() -> Vec<Struck> {
    vec![struck(0, 0, 3), struck(960, 2, 2), struck(1920, 5, 15), struck(2880, 1, 0)]
}

fn rendered(score: &Score) -> Vec<[i16; 2]> {
    let mut all = Vec::new();
    let ended = render(score, 440.0, &mut |samples| {
        all.extend_from_slice(samples);
        Ok::<(), ()>(())
    });
    assert_eq!(ended, Ok(()));
    all
}

#[test]
fn every_sound_keeps_its_level_and_stands_on_the_middle() {
    for sound in Sound::ALL {
        let score = Score { clicks: Vec::new(), ..score(sound, four(), 1) };
        let all = rendered(&score);
        assert_eq!(all.len() as u64, length(&score), "{sound:?}");
        let peak = all.iter().flatten().map(|side| i32::from(*side).abs()).max().unwrap();
        assert!((8_231..32_767).contains(&peak), "{sound:?}: {peak}");
        let sum: i64 = all.iter().map(|sides| i64::from(sides[0])).sum();
        let middle = sum as f64 / all.len() as f64;
        assert!(middle.abs() < 8.0, "{sound:?}: {middle}");
    }
}

#[test]
fn the_third_time_is_the_second_sample_by_sample_and_joins_it_without_a_step() {
    let all = rendered(&score(Sound::Steel, four(), 3));
    let once = samples(TEMPO, Ticks(3840)) as usize;
    assert_eq!(all[once..2 * once], all[2 * once..3 * once]);
    let step = |at: usize| (i32::from(all[at][0]) - i32::from(all[at - 1][0])).abs();
    let around = RATE as usize / 20;
    let largest =
        (2 * once - around..2 * once + around).filter(|at| *at != 2 * once).map(step).max();
    assert!(Some(step(2 * once)) <= largest);
}

/// The frequency of the strongest tone near one, in cents away from it: the phase of the tone in two stretches of
/// its sound, half a second apart.
fn cents(sound: &[f64], near: f64) -> f64 {
    let turn = 2.0 * std::f64::consts::PI * near / f64::from(RATE);
    let phase = |from: usize| {
        let length = RATE as usize / 5;
        let (mut real, mut imaginary) = (0.0, 0.0);
        for at in 0..length {
            let part = at as f64 / length as f64;
            let window = 4.0 * part * (1.0 - part);
            let angle = turn * (from + at) as f64;
            real += window * window * sound[from + at] * angle.cos();
            imaginary -= window * window * sound[from + at] * angle.sin();
        }
        imaginary.atan2(real)
    };
    let apart = RATE as usize / 8;
    let from = RATE as usize / 20;
    let pi = std::f64::consts::PI;
    let gone = (phase(from + apart) - phase(from) + 3.0 * pi).rem_euclid(2.0 * pi) - pi;
    let frequency = near + gone / (2.0 * pi) * f64::from(RATE) / apart as f64;
    1200.0 * (frequency / near).log2()
}

#[test]
fn strings_are_in_tune_on_every_sound() {
    for sound in Sound::ALL {
        for (string, fret) in [(0, 0), (0, 7), (2, 2), (3, 11), (5, 0), (5, 15)] {
            let mut note = struck(0, string, fret);
            note.played.end = Ticks(3840);
            let score = Score { clicks: Vec::new(), ..score(sound, vec![note], 1) };
            let heard: Vec<f64> =
                rendered(&score).iter().map(|sides| f64::from(sides[0])).collect();
            let open = Instrument::guitar().written_pitch(StringIndex::new(string), Fret::OPEN);
            let pitch = f64::from(open.unwrap().number()) + f64::from(fret);
            let off = cents(&heard, 440.0 * ((pitch - 69.0) / 12.0).exp2());
            assert!(off.abs() < 1.0, "{sound:?}, string {string}, fret {fret}: {off:.3} cents");
        }
    }
}

#[test]
fn a_wav_file_has_a_sample_for_each_that_was_made() {
    let score = score(Sound::Nylon, four(), 1);
    let mut file = std::io::Cursor::new(Vec::new());
    let mut told = 0;
    crate::hear::wav::write(&score, 440.0, &mut file, &mut |made| told += made).unwrap();
    assert_eq!(told, length(&score));
    let read = hound::WavReader::new(std::io::Cursor::new(file.into_inner())).unwrap();
    assert_eq!(u64::from(read.duration()), told);
}
