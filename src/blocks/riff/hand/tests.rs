//! The fingers that are worked out, and the doubts of the hand.

use crate::blocks::riff::testing::Reading;
use crate::findings::Findings;
use crate::neck::{Finger, Fingering, Fret};
use crate::theory::Chord;

/// The fingers of the notes in order, `.` for none, and the findings as `rule: message`.
fn tried(text: &str) -> (String, Vec<String>) {
    tried_with(&Reading::of(text), |_| None)
}

fn tried_with(
    reading: &Reading,
    shapes: impl Fn(&Chord) -> Option<Fingering>,
) -> (String, Vec<String>) {
    let mut tab = reading.tab().0.unwrap();
    let mut findings = Findings::default();
    tab.try_hands(&reading.setting, &|chord| shapes(chord), &mut findings);
    let bars = tab.riff.bars.iter();
    let notes = bars.flat_map(|bar| &bar.events).flat_map(|event| &event.notes);
    let signs = notes.map(|note| note.finger.map_or('.', Finger::sign)).collect();
    let told = findings.sorted().into_iter();
    (signs, told.map(|found| format!("{}: {}", found.rule.name, found.message)).collect())
}

#[test]
fn gaps_are_filled_and_written_fingers_kept() {
    for (left, fingers) in
        [("", "1314."), ("left   1       2      ", "1324."), ("left       4          ", "2424.")]
    {
        let text = format!(
            "~~~ riff\ncount  1   2   3   4   |1   2   3   4   |\nB      5---7---5---8---|0---------------|\n{left}\n"
        );
        let (found, told) = tried(&text);
        assert_eq!(told, [""; 0], "{left}");
        assert_eq!(found, fingers, "{left}");
    }
}

#[test]
fn a_bend_and_a_slide_keep_their_finger() {
    let (fingers, told) = tried(
        "~~~ riff\ncount  1   2     3   4     |\nB      5---7b9---5---------|\nG      --------------7/9---|\n",
    );
    assert_eq!(told, [""; 0]);
    assert_eq!(fingers.len(), 4, "{fingers}");
    assert!(!fingers.contains('.'), "{fingers}");
}

#[test]
fn doubts_name_bar_and_count() {
    for (text, expected) in [
        (
            "~~~ riff\ncount  1   2   |\nB      7---3---|\nG      3-------|\nleft   21  1   |\n",
            "finger-crossing: bar 1, beat 1: fingers 1 and 2 cross: finger 1 at fret 7 of string 2, \
             finger 2 at fret 3 of string 3",
        ),
        (
            "~~~ riff\ncount  1 e & a 2 |\ne      0-1-15--0-|\n",
            "jump: bar 1, the & of 1: the hand goes 292 mm, from fret 1 to fret 12, in 150 ms; \
             the fastest takes 211",
        ),
    ] {
        assert_eq!(tried(text).1, [expected], "{text}");
    }
}

const PICKED: &str = "~~~ riff
chord  D               |Dm9             |D               |
count  1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |1 & 2 & 3 & 4 & |
e      ------2---------|----------------|--------2-------|
B      ----3-----3-----|------5---------|----3-----------|
G      --2-----2---2---|----5-----5---5-|----------2-2---|
D      0-----------0---|--3-----3---3---|0---------------|
A      ----------------|5---------------|----------------|
";

/// What is picked of a chord is fingered as the chord that is held, each time alike.
#[test]
fn a_picked_chord_has_the_fingers_of_the_chord_that_is_held() {
    let (fingers, told) = tried(PICKED);
    assert_eq!(told, [""; 0]);
    assert_eq!(fingers, ".13213.131441414.3211");
}

#[test]
fn a_picked_chord_has_the_fingers_of_the_lessons_shape() {
    let shape = |chord: &Chord| {
        let frets = [None, None, Some(0), Some(2), Some(3), Some(2)];
        let fingers =
            [None, None, None, Some(Finger::Middle), Some(Finger::Little), Some(Finger::Ring)];
        let frets = frets.map(|fret| fret.map(Fret::new)).to_vec();
        (chord.to_string() == "D").then_some(Fingering { frets, fingers: fingers.to_vec() })
    };
    let fingers = tried_with(&Reading::of(PICKED), shape).0;
    assert!(fingers.starts_with(".24324.2"), "{fingers}");
}

#[test]
fn what_no_hand_can_keep_ringing_is_out_of_reach() {
    let text = |far| {
        format!(
            "~~~ riff\ncount  1   2   3   4   |\ne      --------{far}-------|\nA      3---------------|\nring   ================|\n"
        )
    };
    assert_eq!(tried(&text("5-")).1, [""; 0]);
    let told = tried(&text("12")).1;
    let message = "reach: bar 1, beat 3: no hand keeps fret 3 of string 5 ringing and presses fret 12 of string 1";
    assert_eq!(told, [message]);
}

#[test]
fn a_repeat_that_begins_again_too_soon_is_a_jump() {
    let text = "~~~ riff\ncount   1   2   3   4 e & a :|\ne       1-----------15------:|\n";
    assert_eq!(tried(text).1, [""; 0]);
    let late = "~~~ riff\ncount   1   2   3   4 e & a :|\ne       1-----------------15:|\n";
    let told = tried(late).1;
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told.iter().all(|told| told.contains("when the repeat begins again")), "{told:?}");
}
