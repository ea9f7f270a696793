//! Notes that come out of the one before, and those that slide in and out.

use super::ears::*;
use super::*;
use crate::music::tab::{Joint, Slide};

/// A note on the G string at a fret, and another that is joined to it a quarter later.
fn joined(sound: Sound, frets: (u8, u8), joint: Joint) -> Vec<f64> {
    let first = with(struck(0, 3, frets.0), |note| note.release = Release::Into(joint));
    let second = with(struck(960, 3, frets.1), |note| note.attack = Attack::Joined(joint));
    heard(&quiet(score(sound, vec![first, second], 1)))
}

/// The same, both plucked.
fn plucked(sound: Sound, frets: (u8, u8)) -> Vec<f64> {
    heard(&quiet(score(sound, vec![struck(0, 3, frets.0), struck(960, 3, frets.1)], 1)))
}

#[test]
fn hammers_pulls_and_taps_sound_at_their_time_without_a_pick() {
    let at = seconds(960);
    for sound in [Sound::Steel, Sound::Nylon, Sound::Electric] {
        for (joint, frets) in
            [(Joint::HammerOn, (5, 7)), (Joint::PullOff, (7, 5)), (Joint::Tap, (5, 12))]
        {
            let picked = plucked(sound, frets);
            let heard = joined(sound, frets, joint);
            let name = format!("{sound:?} {joint:?}");
            let (before, after) = (55.0 + f64::from(frets.0), 55.0 + f64::from(frets.1));
            assert!((pitch(&heard, at - 0.04, before) - before).abs() < 0.05, "{name}");
            assert!((pitch(&heard, at + 0.03, after) - after).abs() < 0.05, "{name}");
            let softer = attack(&picked, at) - attack(&heard, at);
            assert!((4.0..30.0).contains(&softer), "{name}: attack {softer:.1} dB softer");
            let gap = level(&heard, at - 0.1, at) - least(&heard, at - 0.02, at + 0.06);
            assert!(gap < 6.0, "{name}: a gap of {gap:.1} dB");
            let less = level(&picked, at, at + 0.2) - level(&heard, at, at + 0.2);
            assert!((0.5..11.0).contains(&less), "{name}: {less:.1} dB softer");
        }
    }
}

#[test]
fn a_slide_passes_each_fret_and_arrives_on_time() {
    for (from, to) in [(2, 7), (9, 5)] {
        let heard = joined(Sound::Steel, (from, to), Joint::Slide);
        let (from, to) = (55.0 + f64::from(from), 55.0 + f64::from(to));
        let at = seconds(960);
        assert!((pitch(&heard, at - 0.15, from) - from).abs() < 0.05);
        assert!((pitch(&heard, at + 0.02, to) - to).abs() < 0.05);
        let way = (-20..4).map(|step| at + 0.005 * f64::from(step));
        let way: Vec<f64> = way.map(|now| pitch(&heard, now, (from + to) / 2.0)).collect();
        let between = way.iter().filter(|pitch| {
            let near = pitch.round();
            near > from.min(to) && near < from.max(to)
        });
        assert!(between.count() >= 4, "{way:.1?}");
        let gap = level(&heard, at - 0.2, at - 0.1) - least(&heard, at - 0.1, at + 0.05);
        assert!(gap < 6.0, "a gap of {gap:.1} dB");
    }
}

#[test]
fn what_slides_in_and_out_comes_from_nowhere_and_goes_there() {
    for (way, sign) in [(Slide::Up, -1.0), (Slide::Down, 1.0)] {
        let into = with(struck(0, 3, 9), |note| note.attack = Attack::SlidIn(way));
        let sound = heard(&quiet(score(Sound::Steel, vec![into], 1)));
        let begins = pitch(&sound, 0.025, 64.0 + 1.5 * sign);
        assert!((begins - 64.0) * sign > 0.7, "{way:?}: begins at {begins:.2}");
        assert!((pitch(&sound, 0.2, 64.0) - 64.0).abs() < 0.05);

        let out = with(struck(0, 3, 9), |note| note.release = Release::SlidOut(way));
        let sound = heard(&quiet(score(Sound::Steel, vec![out], 1)));
        assert!((pitch(&sound, 0.25, 64.0) - 64.0).abs() < 0.05);
        let ends = pitch(&sound, 0.44, 64.0 - 3.0 * sign);
        assert!((ends - 64.0) * sign < -2.0, "{way:?}: ends at {ends:.2}");
        assert!(level(&sound, 0.6, 0.65) < level(&sound, 0.2, 0.25) - 30.0);
    }
}

#[test]
fn no_slide_begins_or_ends_beyond_the_nut() {
    let into = with(struck(0, 3, 1), |note| note.attack = Attack::SlidIn(Slide::Up));
    let sound = heard(&quiet(score(Sound::Steel, vec![into], 1)));
    assert!(pitch(&sound, 0.02, 55.0) > 54.9);
    let out = with(struck(0, 3, 2), |note| note.release = Release::SlidOut(Slide::Down));
    let sound = heard(&quiet(score(Sound::Steel, vec![out], 1)));
    assert!(pitch(&sound, 0.45, 55.0) > 54.9);
}

#[test]
fn grace_notes_are_heard_before_their_note() {
    let mut grace = struck(0, 3, 5);
    grace.played.end = Ticks(120);
    grace.played.release = Release::Into(Joint::HammerOn);
    let main = with(struck(120, 3, 7), |note| note.attack = Attack::Joined(Joint::HammerOn));
    let sound = heard(&quiet(score(Sound::Steel, vec![grace, main], 1)));
    assert!((pitch(&sound, 0.02, 60.0) - 60.0).abs() < 0.1);
    assert!((pitch(&sound, 0.1, 62.0) - 62.0).abs() < 0.05);
    assert!(level(&sound, 0.1, 0.2) > level(&sound, 0.01, 0.06) - 10.0);
}

#[test]
fn a_tapped_note_needs_no_note_before_it_and_is_softer_than_a_picked_one() {
    let tapped = with(struck(0, 3, 12), |note| note.attack = Attack::Tapped);
    let tapped = heard(&quiet(score(Sound::Electric, vec![tapped], 1)));
    let picked = heard(&quiet(score(Sound::Electric, vec![struck(0, 3, 12)], 1)));
    let softer = level(&picked, 0.0, 0.2) - level(&tapped, 0.0, 0.2);
    assert!((3.0..8.0).contains(&softer), "{softer:.1} dB");
    assert!((pitch(&tapped, 0.05, 67.0) - 67.0).abs() < 0.05);
    assert!(attack(&tapped, 0.0) < attack(&picked, 0.0) - 3.0);
}

#[test]
fn a_string_that_is_struck_again_does_not_click() {
    for sound in Sound::ALL {
        for (string, fret, again) in [(0, 0, 0), (0, 3, 5), (3, 2, 2), (5, 12, 0)] {
            let fresh = heard(&quiet(score(sound, vec![struck(960, string, again)], 1)));
            let notes = vec![struck(0, string, fret), struck(960, string, again)];
            let heard = heard(&quiet(score(sound, notes, 1)));
            let louder = attack(&heard, seconds(960)) - attack(&fresh, seconds(960));
            assert!(louder < 3.0, "{sound:?} {string} {fret}: {louder:.1} dB");
        }
    }
}
