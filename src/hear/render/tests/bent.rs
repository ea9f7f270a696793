//! Bends, quarter tones and vibrato.

use super::ears::*;
use super::*;
use crate::music::tab::Joint;

/// A note on the B string at the 7th fret, then bent so far, then let down.
fn bent(far: i32) -> Vec<f64> {
    let first = with(struck(0, 4, 7), |note| note.release = Release::Into(Joint::Bend));
    let second = with(bend(struck(960, 4, 7), far), |note| {
        note.attack = Attack::Joined(Joint::Bend);
        note.release = Release::Into(Joint::Release);
    });
    let third = with(struck(1920, 4, 7), |note| note.attack = Attack::Joined(Joint::Release));
    heard(&quiet(score(Sound::Electric, vec![first, second, third], 1)))
}

fn bend(struck: Struck, far: i32) -> Struck {
    with(struck, |note| {
        if let Heard::Fretted { pitch, .. } = &mut note.heard {
            *pitch = *pitch + far;
        }
    })
}

#[test]
fn bends_arrive_on_time_and_in_tune_and_go_one_way() {
    let held = 66.0;
    for far in 1..=3 {
        let there = held + f64::from(far);
        let heard = bent(far);
        for (at, from, to) in [(960, held, there), (1920, there, held)] {
            let at = seconds(at);
            assert!(off(&heard, hertz(from), at - 0.45).abs() < 5.0, "{far}: left at once");
            assert!(off(&heard, hertz(to), at + 0.02).abs() < 5.0, "{far}: not there");
            let way = (-32..5).map(|step| at + 0.005 * f64::from(step));
            let way: Vec<f64> = way.map(|now| pitch(&heard, now, (from + to) / 2.0)).collect();
            let back = way.windows(2).map(|two| (two[0] - two[1]) * (to - from).signum());
            assert!(back.fold(f64::MIN, f64::max) < 0.06, "{far}: {way:.2?}");
        }
    }
}

#[test]
fn a_bent_string_is_plucked_at_its_pitch_and_a_quarter_tone_is_between() {
    let sound = heard(&quiet(score(Sound::Electric, vec![bend(struck(0, 4, 7), 2)], 1)));
    assert!((pitch(&sound, 0.03, 68.0) - 68.0).abs() < 0.05);
    assert!(off(&sound, hertz(68.0), 0.05).abs() < 5.0);
    let note = with(struck(0, 4, 7), |note| note.quarter_bend = true);
    let sound = heard(&quiet(score(Sound::Electric, vec![note], 1)));
    assert!((pitch(&sound, 0.02, 66.0) - 66.0).abs() < 0.2);
    assert!(off(&sound, hertz(66.5), 0.25).abs() < 5.0);
}

#[test]
fn vibrato_goes_five_or_six_times_a_second_a_quarter_of_a_half_step_about_the_note() {
    let mut note = with(struck(0, 3, 7), |note| note.vibrato = true);
    note.played.end = Ticks(3840);
    let heard = heard(&quiet(score(Sound::Electric, vec![note], 1)));
    let times: Vec<f64> = (0..250).map(|step| 0.5 + 0.005 * f64::from(step)).collect();
    let cents: Vec<f64> =
        times.iter().map(|at| 100.0 * (pitch(&heard, *at, 62.0) - 62.0)).collect();
    let high = cents.iter().fold(f64::MIN, |high, cents| high.max(*cents));
    let low = cents.iter().fold(f64::MAX, |low, cents| low.min(*cents));
    assert!((15.0..30.0).contains(&((high - low) / 2.0)), "{low:.1} to {high:.1} cents");
    assert!((high + low).abs() < 8.0, "{low:.1} to {high:.1} cents");
    let rises: Vec<f64> = (1..cents.len())
        .filter(|at| cents[at - 1] < 0.0 && cents[*at] >= 0.0)
        .map(|at| times[at])
        .collect();
    let rate = (rises.len() - 1) as f64 / (rises[rises.len() - 1] - rises[0]);
    assert!((5.0..6.5).contains(&rate), "{rate:.2} times a second");
}

#[test]
fn vibrato_ends_without_a_click() {
    let shaken = with(struck(0, 4, 7), |note| {
        note.vibrato = true;
        note.release = Release::Into(Joint::Release);
    });
    let next = with(struck(960, 4, 7), |note| note.attack = Attack::Joined(Joint::Release));
    let heard = heard(&quiet(score(Sound::Electric, vec![shaken, next], 1)));
    let at = seconds(960);
    let more = attack(&heard, at) - attack(&heard, at - 0.05);
    assert!(more < 3.0, "{more:.1} dB");
}
