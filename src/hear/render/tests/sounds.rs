//! Sounds, pickups, amplifiers, and where parts stand.

use super::ears::*;
use super::*;

/// A low and a high note, on an instrument's own strings.
fn tuned(sound: Sound, string: usize, fret: u8) -> Score {
    let mut note = struck(0, string, fret);
    note.played.end = Ticks(3840);
    quiet(score(sound, vec![note], 1))
}

fn toned(score: Score, tone: Tone) -> Vec<f64> {
    let mut score = score;
    score.parts[0].tones = vec![(Ticks::ZERO, tone)];
    heard(&score)
}

#[test]
fn each_sound_has_its_own_brightness_and_decay() {
    let measured = Sound::ALL.map(|sound| {
        let low = heard(&tuned(sound, 0, 0));
        let high = heard(&tuned(sound, 5, 5));
        let lasts = (decay(&low, hertz(40.0), 0.1), decay(&high, hertz(69.0), 0.1));
        (sound, bright(&low, 0.0, 0.3), lasts)
    });
    for (sound, bright, (low, high)) in measured {
        let (brightness, lows, highs) = match sound {
            Sound::Steel => (700.0..1200.0, 5.0..9.0, 2.5..6.0),
            Sound::Nylon => (250.0..500.0, 3.0..5.5, 1.5..3.5),
            Sound::Electric => (500.0..1000.0, 5.0..11.0, 3.0..7.0),
            Sound::Bass => (200.0..450.0, 4.0..9.0, 1.0..5.0),
        };
        assert!(brightness.contains(&bright), "{sound:?}: {bright:.0} Hz");
        assert!(lows.contains(&low), "{sound:?}: the low string falls in {low:.2} s");
        assert!(highs.contains(&high), "{sound:?}: the high one in {high:.2} s");
    }
}

#[test]
fn no_place_on_the_neck_is_much_louder_than_another() {
    for sound in Sound::ALL {
        let places = (0..6).flat_map(|string| [0, 5, 12].map(|fret| (string, fret)));
        let levels: Vec<f64> = places
            .map(|(string, fret)| level(&heard(&tuned(sound, string, fret)), 0.0, 0.3))
            .collect();
        let high = levels.iter().fold(f64::MIN, |high, level| high.max(*level));
        let low = levels.iter().fold(f64::MAX, |low, level| low.min(*level));
        assert!(high - low < 8.0, "{sound:?}: {levels:.1?}");
    }
}

#[test]
fn the_sounds_are_about_as_loud_as_one_another() {
    let levels = Sound::ALL.map(|sound| level(&heard(&tuned(sound, 1, 3)), 0.0, 0.5));
    let high = levels.iter().fold(f64::MIN, |high, level| high.max(*level));
    let low = levels.iter().fold(f64::MAX, |low, level| low.min(*level));
    assert!(high - low < 4.0, "{levels:.1?}");
}

#[test]
fn steel_falls_off_where_it_would_be_harsh() {
    let heard = heard(&tuned(Sound::Steel, 1, 0));
    // Tones of harmonics about 0.5, 3 and 9 kHz.
    let about = |first: i32| {
        let of = |part: i32| 10.0_f64.powf(tone(&heard, 110.0 * f64::from(part), 0.01, 0.1) / 10.0);
        10.0 * (first..first + 5).map(of).sum::<f64>().log10()
    };
    let (low, middle, high) = (about(3), about(26), about(80));
    assert!((10.0..40.0).contains(&(low - middle)), "{low:.1} {middle:.1}");
    assert!(middle - high > 12.0, "{middle:.1} {high:.1}");
}

#[test]
fn the_bridge_is_brighter_than_the_neck() {
    for sound in [Sound::Electric, Sound::Bass] {
        let of = |pickup: Pickup| {
            let heard = toned(tuned(sound, 2, 2), Tone { driven: false, pickup });
            (bright(&heard, 0.05, 0.3), level(&heard, 0.0, 0.3))
        };
        let (neck, bridge) = (of(Pickup::Neck), of(Pickup::Bridge));
        assert!(bridge.0 > 1.2 * neck.0, "{sound:?}: {neck:.0?} {bridge:.0?}");
        assert!((neck.1 - bridge.1).abs() < 8.0, "{sound:?}: {neck:.1?} {bridge:.1?}");
    }
}

#[test]
fn a_driven_amplifier_gives_more_harmonics_for_longer_as_loud_and_around_the_middle() {
    for (string, fret) in [(0, 0), (2, 2), (4, 12)] {
        let of = |driven: bool| {
            toned(tuned(Sound::Electric, string, fret), Tone { driven, ..Tone::default() })
        };
        let (clean, driven) = (of(false), of(true));
        let name = format!("{string} {fret}");
        let louder = level(&driven, 0.0, 0.5) - level(&clean, 0.0, 0.5);
        assert!(louder.abs() < 3.0, "{name}: {louder:.1} dB");
        let fallen = |heard: &[f64]| level(heard, 0.1, 0.2) - level(heard, 1.5, 1.6);
        assert!(fallen(&driven) < 0.6 * fallen(&clean), "{name}: doesn't sustain");
        let rich = |heard: &[f64]| high(heard, 1.0, 1.4) - level(heard, 1.0, 1.4);
        let richer = rich(&driven) - rich(&clean);
        assert!(richer > 3.0, "{name}: only {richer:.1} dB more harmonics");
        let mean = cut(&driven, 0.1, 1.9).iter().sum::<f64>() / (1.8 * f64::from(RATE));
        let aside = 20.0 * mean.abs().log10() - level(&driven, 0.1, 1.9);
        assert!(aside < -40.0, "{name}: beside the middle by {aside:.1} dB");
    }
}

#[test]
fn the_first_note_that_is_driven_is_no_louder_than_it_rings() {
    let tone = Tone { driven: true, ..Tone::default() };
    for from in [0, 960] {
        let mut score = quiet(score(Sound::Electric, vec![struck(from, 3, 2)], 1));
        score.parts[0].tones = vec![(Ticks(from), tone)];
        let heard = heard(&score);
        let peak = |from: f64, to: f64| {
            cut(&heard, from, to).iter().fold(0.0_f64, |peak, sample| peak.max(sample.abs()))
        };
        let at = seconds(from);
        let (first, later) = (peak(at, at + 0.05), peak(at + 0.1, at + 0.2));
        assert!(first < 1.5 * later, "from {from}: {first:.2} {later:.2}");
    }
}

#[test]
fn what_is_driven_is_so_to_its_end_and_then_nothing_is_heard() {
    let tone = Tone { driven: true, pickup: Pickup::Bridge };
    let heard = toned(quiet(score(Sound::Electric, vec![struck(2880, 3, 2)], 1)), tone);
    let end = seconds(3840);
    assert!(level(&heard, end + 0.02, end + 0.03) > level(&heard, end - 0.1, end) - 15.0);
    assert!(level(&heard, end + 0.3, end + 0.4) < level(&heard, end - 0.1, end) - 70.0);
}

#[test]
fn parts_stand_from_left_to_right_with_one_power() {
    for parts in 2..=4 {
        let one = tuned(Sound::Steel, 2, 2);
        let places: Vec<(f64, f64)> = (0..parts)
            .map(|index| {
                let mut score = one.clone();
                score.parts = vec![one.parts[0].clone(); parts];
                for (other, part) in score.parts.iter_mut().enumerate() {
                    part.notes.retain(|_| other == index);
                }
                let sides = sides(&score, 440.0);
                let power = |side: usize| {
                    sides.iter().take(20_000).map(|sample| sample[side] * sample[side]).sum::<f64>()
                };
                (power(1) / (power(0) + power(1)), 10.0 * (power(0) + power(1)).log10())
            })
            .collect();
        assert!(places.windows(2).all(|two| two[1].0 > two[0].0 + 0.1), "{places:.2?}");
        assert!(places.iter().all(|place| (place.1 - places[0].1).abs() < 0.1), "{places:.2?}");
        assert!((places[0].0 + places[parts - 1].0 - 1.0).abs() < 0.01, "{places:.2?}");
    }
}

#[test]
fn chords_and_a_tune_are_about_as_loud_and_every_score_is_as_loud_as_another() {
    let chord: Vec<Struck> =
        [0, 1920].iter().flat_map(|at| [1, 2, 3, 4].map(|string| struck(*at, string, 2))).collect();
    let tune = vec![struck(0, 5, 3), struck(1920, 5, 5)];
    let two = |one: &[Struck], other: &[Struck]| {
        let mut score = quiet(score(Sound::Steel, one.to_vec(), 1));
        score.parts.push(Part { notes: other.to_vec(), ..score.parts[0].clone() });
        sides(&score, 440.0)
    };
    let alone = |side: usize, sides: &[[f64; 2]]| {
        level(&sides.iter().map(|sides| sides[side]).collect::<Vec<f64>>(), 0.0, 1.0)
    };
    let (chords, tunes) = (two(&chord, &[]), two(&[], &tune));
    let louder = alone(0, &chords) - alone(1, &tunes);
    assert!(louder.abs() < 4.0, "{louder:.1} dB");
    let loudness = |notes: &[Struck]| {
        let heard = rendered(&quiet(score(Sound::Steel, notes.to_vec(), 1)));
        level(&heard.iter().map(|sides| f64::from(sides[0])).collect::<Vec<f64>>(), 0.0, 2.0)
    };
    let louder = loudness(&chord) - loudness(&tune);
    assert!(louder.abs() < 3.0, "{louder:.1} dB");
}

#[test]
fn what_sounds_at_the_end_rings_out() {
    let mut last = struck(2880, 2, 2);
    last.played.end = Ticks(3840);
    let heard = rendered(&quiet(score(Sound::Steel, vec![last], 2)));
    let heard: Vec<f64> = heard.iter().map(|sides| f64::from(sides[0])).collect();
    let end = 4.0;
    let fallen = |from: f64| level(&heard, end - 0.1, end) - level(&heard, from, from + 0.1);
    assert!(fallen(end + 1.0) < 20.0, "{:.1} dB", fallen(end + 1.0));
    assert!(fallen(end + 1.4) > 20.0, "{:.1} dB", fallen(end + 1.4));
    // Where it goes round, what isn't let ring is stopped.
    assert!(level(&heard, 1.9, 2.0) - level(&heard, 2.2, 2.3) > 30.0);
}
