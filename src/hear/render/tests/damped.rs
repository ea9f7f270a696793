//! What is damped: by the palm, by the hand, by a finger at a note's end; and what rings on.

use super::ears::*;
use super::*;

/// What a note gives alone on a sound.
fn alone(sound: Sound, note: Struck) -> Vec<f64> {
    heard(&quiet(score(sound, vec![note], 1)))
}

#[test]
fn the_palm_makes_a_note_short_and_dark() {
    for sound in Sound::ALL {
        for string in [0, 3] {
            let open = alone(sound, struck(0, string, 3));
            let muted = alone(sound, with(struck(0, string, 3), |note| note.palm_muted = true));
            let name = format!("{sound:?} {string}");
            let fallen = level(&muted, 0.0, 0.05) - level(&muted, 0.35, 0.4);
            assert!(fallen > 36.0, "{name}: 60 dB not within half a second: {fallen:.1}");
            assert!(level(&muted, 0.1, 0.15) > level(&open, 0.1, 0.15) - 30.0, "{name}: a click");
            let darker = bright(&open, 0.0, 0.15) / bright(&muted, 0.0, 0.15);
            assert!(darker > 1.2, "{name}: {darker:.2} times darker");
            let pitched = pitch(&muted, 0.06, f64::from(pitch_at(string, 3)));
            assert!((pitched - f64::from(pitch_at(string, 3))).abs() < 0.15, "{name}: {pitched}");
        }
    }
}

#[test]
fn a_stroke_on_damped_strings_has_no_pitch() {
    for sound in Sound::ALL {
        for string in [0, 2, 4] {
            let muted = alone(sound, with(struck(0, string, 0), |note| note.heard = Heard::Muted));
            let open = alone(sound, struck(0, string, 0));
            let name = format!("{sound:?} {string}");
            let fallen = level(&muted, 0.0, 0.03) - level(&muted, 0.1, 0.13);
            assert!(fallen > 35.0, "{name}: {fallen:.1} dB within a tenth of a second");
            let softer = level(&open, 0.0, 0.02) - level(&muted, 0.0, 0.02);
            assert!((-3.0..10.0).contains(&softer), "{name}: {softer:.1} dB softer");
            let (rings, noise) = (likeness(&open), likeness(&muted));
            assert!(rings > 0.6 && noise < 0.4, "{name}: like itself {rings:.2}, {noise:.2}");
        }
    }
}

/// How much of 60 ms comes again after the period of any pitch from E2 to F#4 that they have most of.
fn likeness(sound: &[f64]) -> f64 {
    let sound = cut(sound, 0.0, 0.06);
    let again =
        |shift: usize| sound.iter().zip(&sound[shift..]).map(|(now, then)| now * then).sum::<f64>();
    (120..560).map(again).fold(f64::MIN, f64::max) / again(0)
}

#[test]
fn what_is_stopped_is_silent_at_once_and_what_is_let_ring_to_the_end_of_its_ring() {
    for sound in Sound::ALL {
        for (string, release) in [(0, Release::Stopped), (3, Release::Stopped), (3, Release::Rung)]
        {
            let heard = alone(sound, with(struck(0, string, 2), |note| note.release = release));
            let end = seconds(960);
            let ringing = level(&heard, end - 0.1, end);
            let name = format!("{sound:?} {string} {release:?}");
            assert!(ringing > level(&heard, 0.0, 0.1) - 20.0, "{name}: over before its end");
            let fallen = ringing - level(&heard, end + 0.13, end + 0.15);
            assert!(fallen > 40.0, "{name}: {fallen:.1} dB after 150 ms");
            let more = attack(&heard, end) - attack(&heard, end - 0.02);
            assert!(more < 1.0, "{name}: a click of {more:.1} dB");
        }
    }
}

#[test]
fn what_is_struck_again_rings_until_then() {
    let strummed = |at: u32, rank: u8| {
        let strum = Some(Strum { direction: Pick::Down, rank });
        Struck { strum, ..struck(at, usize::from(rank), 2) }
    };
    let notes = (0..6).map(|rank| strummed(0, rank));
    let notes = notes.chain((0..6).map(|rank| strummed(960, rank))).collect();
    let heard = heard(&quiet(score(Sound::Steel, notes, 1)));
    // The highest string is struck some 40 ms behind the beat.
    let high = hertz(f64::from(pitch_at(5, 2)));
    let fallen =
        tone(&heard, high, seconds(960) - 0.04, 0.03) - tone(&heard, high, seconds(960), 0.03);
    assert!(fallen < 3.0, "{fallen:.1} dB");
}
