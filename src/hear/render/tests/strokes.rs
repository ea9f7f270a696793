//! How a string is struck: softly, hard, over a node, one after another.

use super::ears::*;
use super::*;

#[test]
fn ghost_notes_are_softer_and_accents_louder_and_brighter() {
    for sound in Sound::ALL {
        for string in [0, 2, 3] {
            let of = |strength: Strength| {
                let note = with(struck(0, string, 2), |note| note.strength = strength);
                heard(&quiet(score(sound, vec![note], 1)))
            };
            let [ghost, plain, accent] =
                [Strength::Ghost, Strength::Plain, Strength::Accented].map(of);
            let level = |heard: &[f64]| level(heard, 0.0, 0.25);
            let name = format!("{sound:?} {string}");
            let softer = level(&plain) - level(&ghost);
            assert!((8.0..14.0).contains(&softer), "{name}: a ghost is {softer:.1} dB softer");
            let louder = level(&accent) - level(&plain);
            assert!((3.0..6.0).contains(&louder), "{name}: an accent is {louder:.1} dB louder");
            let bright = |heard: &[f64]| bright(heard, 0.0, 0.1);
            assert!(bright(&accent) > 1.05 * bright(&plain), "{name}");
            assert!(bright(&ghost) < 0.95 * bright(&plain), "{name}");
        }
    }
}

#[test]
fn harmonics_sound_their_pitch_and_nothing_beneath() {
    for sound in [Sound::Steel, Sound::Nylon, Sound::Electric] {
        for string in [0, 3, 5] {
            for (fret, parts) in [(12, 2.0), (7, 3.0), (5, 4.0), (4, 5.0), (3, 6.0)] {
                let above = crate::neck::harmonic::above_open(Fret::new(fret));
                let note = with(struck(0, string, 0), |note| {
                    let pitch = crate::theory::Midi::new(pitch_at(string, 0) + above);
                    note.heard = Heard::Harmonic { fret: Fret::new(fret), pitch };
                });
                let heard = heard(&quiet(score(sound, vec![note], 1)));
                let open = hertz(f64::from(pitch_at(string, 0)));
                let name = format!("{sound:?} {string} {fret}");
                let off = off(&heard, parts * open, 0.05);
                assert!(off.abs() < 3.0, "{name}: {off:.1} cents");
                let own = tone(&heard, parts * open, 0.05, 0.3);
                let beneath = own - tone(&heard, open, 0.05, 0.3);
                assert!(beneath > 30.0, "{name}: the open string is {beneath:.1} dB down");
            }
        }
    }
}

#[test]
fn strums_go_from_the_lowest_string_down_and_from_the_highest_up() {
    let frets = [3, 2, 0, 0, 0, 3];
    for (direction, half) in
        [(Pick::Down, 120), (Pick::Up, 120), (Pick::Down, 960), (Pick::Up, 960)]
    {
        let struck_after = |rank: usize| {
            let string = if direction == Pick::Up { 5 - rank } else { rank };
            let note = with(struck(0, string, frets[string]), |note| note.end = Ticks(half));
            let strum = Some(Strum { direction, rank: u8::try_from(rank).unwrap() });
            onset(&heard(&quiet(score(Sound::Steel, vec![Struck { strum, ..note }], 1))), 0.0)
        };
        let times: Vec<f64> = (0..6).map(struck_after).collect();
        assert!(times[0] < 0.002, "{direction:?}: {times:.4?}");
        assert!(times.windows(2).all(|two| two[1] > two[0] + 0.002), "{direction:?}: {times:.4?}");
        let spread = times[5] - times[0];
        assert!((0.008..0.04).contains(&spread), "{direction:?}: {spread:.4} s");
        assert!(spread < 0.001 + seconds(half) / 2.0, "{direction:?}: {spread:.4} s");
    }
}
