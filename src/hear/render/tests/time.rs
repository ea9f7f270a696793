//! The metronome, tempos, and the pitch that all is tuned to.

use super::ears::*;
use super::*;

#[test]
fn strong_clicks_are_higher_and_louder() {
    let clicked = |strong: bool| {
        let mut score = score(Sound::Steel, Vec::new(), 1);
        score.clicks = vec![Click { at: Ticks::ZERO, strong }];
        heard(&score)
    };
    let (strong, weak) = (clicked(true), clicked(false));
    assert!(level(&strong, 0.0, 0.05) > level(&weak, 0.0, 0.05) + 2.0);
    assert!(bright(&strong, 0.0, 0.05) > 1.2 * bright(&weak, 0.0, 0.05));
    assert!(level(&strong, 0.06, 0.1) < level(&strong, 0.0, 0.02) - 50.0);
}

#[test]
fn clicks_are_heard_over_strums() {
    let strum = |at: u32| {
        (0..6_u8).map(move |rank| {
            let strum = Some(Strum { direction: Pick::Down, rank });
            Struck { strum, ..struck(at, usize::from(rank), [3, 2, 0, 0, 0, 3][usize::from(rank)]) }
        })
    };
    for sound in [Sound::Steel, Sound::Electric] {
        let notes: Vec<Struck> = [0, 960, 1920, 2880].into_iter().flat_map(strum).collect();
        let strummed = score(sound, notes, 1);
        let clicks =
            (0..4).map(|beat| Click { at: Ticks(960 * beat), strong: beat == 0 }).collect();
        let both: Vec<f64> = left(&rendered(&Score { clicks, ..strummed.clone() }));
        let alone: Vec<f64> = left(&rendered(&quiet(strummed)));
        for beat in 0..4 {
            let at = seconds(960 * beat);
            let click: Vec<f64> =
                both.iter().zip(&alone).map(|(both, alone)| both - alone).collect();
            let hertz = strongest(&click, at);
            let over = tone(&click, hertz, at, 0.02) - tone(&alone, hertz, at, 0.02);
            assert!(over > 6.0, "{sound:?}, beat {beat}: {over:.1} dB at {hertz:.0} Hz");
        }
    }
}

/// The strongest tone within 20 ms from a moment on, in Hz.
fn strongest(sound: &[f64], at: f64) -> f64 {
    let tones = (40..160).map(|step| 25.0 * f64::from(step));
    let level = |hertz: &f64| tone(sound, *hertz, at, 0.02);
    tones.max_by(|one, other| level(one).total_cmp(&level(other))).unwrap()
}

fn left(samples: &[[i16; 2]]) -> Vec<f64> {
    samples.iter().map(|sides| f64::from(sides[0]) / 32_767.0).collect()
}

#[test]
fn notes_begin_on_time_on_each_rung_behind_the_count_in() {
    let notes = [0, 1920].map(|at| with(struck(at, 3, 2), |note| note.end = Ticks(at + 480)));
    let tempos = [60, 97, 180];
    let mut score = score(Sound::Steel, notes.to_vec(), 1);
    score.rounds =
        tempos.map(|number| Round { tempo: Tempo { number, ..TEMPO }, times: 1 }).to_vec();
    score.length = Ticks(3840);
    score.clicks = Vec::new();
    score.count_in =
        (0..4).map(|beat| Click { at: Ticks(960 * beat), strong: beat == 0 }).collect();
    score.count_in_length = Ticks(3840);
    let heard = left(&rendered(&score));
    let mut begins = 0.0;
    for tempo in tempos {
        let beat = 60.0 / f64::from(tempo);
        for beats in [0.0, 1.0, 2.0, 3.0, 4.0, 6.0] {
            let at: f64 = begins + beats * beat;
            let late = onset(&heard, (at - 0.01).max(0.0)) - at;
            assert!(late.abs() < 0.001, "beat {beats} at {tempo}: {:.2} ms late", 1000.0 * late);
        }
        begins += 8.0 * beat;
    }
}

#[test]
fn all_is_tuned_to_the_pitch_that_is_asked_for() {
    for reference in [432.0, 442.0] {
        let mut note = struck(0, 5, 5);
        note.played.end = Ticks(3840);
        let sound = sides(&quiet(score(Sound::Nylon, vec![note], 1)), reference);
        let sound: Vec<f64> = sound.iter().map(|sides| sides[0]).collect();
        assert!(off(&sound, reference, 0.05).abs() < 1.0);
    }
}
