//! The fingers that are worked out, and the doubts of the hand.

use crate::blocks::riff::testing::Reading;
use crate::findings::Findings;
use crate::music::tab::Sound;
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
    assert_eq!(fingers, ".13213.121331313.3211");
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

/// The places and the fingers of notes in order: `4:0.` is string 4, open.
fn laid(reading: &Reading) -> String {
    let mut tab = reading.tab().0.unwrap();
    let shapes = |chord: &Chord| {
        let own = reading.book.1.iter().find(|(own, _)| own == chord);
        own.map(|(_, shape)| shape.clone())
    };
    tab.try_hands(&reading.setting, &shapes, &mut Findings::default());
    let instrument = &tab.riff.instrument;
    let events = tab.riff.bars.iter().flat_map(|bar| &bar.events);
    let notes = events.flat_map(|event| &event.notes).map(|note| {
        let Sound::Fret(fret) = note.sound else { return String::new() };
        let finger = note.finger.map_or('.', Finger::sign);
        format!("{}:{fret}{finger}", instrument.tuning.number(note.string))
    });
    notes.collect::<Vec<_>>().join(" ")
}

/// What is picked of a chord in pitches lies on its shape and has the fingers that hold it.
#[test]
fn a_picked_chord_in_pitches_is_held() {
    let open = ["", " near fret 0"];
    for (chord, notes, expected, phrases) in [
        ("D", "D3  A3  D4  F#4", "4:0. 3:21 2:33 1:22", open),
        ("A", "A2  E3  A3  C#4", "5:0. 4:21 3:22 2:23", open),
        ("Am", "A2  E3  A3  C4 ", "5:0. 4:22 3:23 2:11", open),
        ("E", "E2  B2  E3  G#3", "6:0. 5:22 4:23 3:11", open),
        ("D7", "D3  A3  C4  F#4", "4:0. 3:22 2:11 1:23", open),
        ("B7", "B2  D#3 A3  F#4", "5:22 4:11 3:23 1:24", open),
        ("F#m", "F#2 C#3 F#3 A3 ", "6:21 5:43 4:44 3:21", open),
        // One finger presses, and it is the one of the whole shape.
        ("Cmaj7", "C3  G3  B3  E4 ", "5:33 3:0. 2:0. 1:0.", open),
        ("C#m", "C#3 G#3 C#4 E4 ", "5:41 4:63 3:64 2:52", ["", " near fret 4"]),
    ] {
        for phrase in phrases {
            let text = format!(
                "~~~ riff{phrase}\nchord  {chord:16}|\ncount  1   2   3   4   |\nnotes  {notes} |\n"
            );
            assert_eq!(laid(&Reading::of(&text)), expected, "{chord}{phrase}");
        }
    }
}

/// The lesson's own shape is the one that is held; a bar with other notes is a melody.
#[test]
fn a_picked_chord_in_pitches_is_held_as_the_lesson_shows_it() {
    let text = "~~~ riff\nchord  C               |                |\ncount  1   2   3   4   |1   2   3   4   |\nnotes  C3  G3  C4  E4  |C3  D3  E3  F3  |\n";
    let mut reading = Reading::of(text);
    assert!(laid(&reading).starts_with("5:33 3:0. 2:11 1:0. "), "{}", laid(&reading));
    let frets = [None, Some(3), Some(5), Some(5), Some(5), Some(3)];
    let fingers = ['.', '1', '2', '3', '4', '1'].map(Finger::from_char);
    let frets = frets.map(|fret| fret.map(Fret::new)).to_vec();
    let shape = Fingering { frets, fingers: fingers.to_vec() };
    reading.book.1.push((Chord::parse("C").unwrap(), shape));
    assert!(laid(&reading).starts_with("5:31 4:52 3:53 2:54 "), "{}", laid(&reading));
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

/// One finger holds what rings and is written for another fret.
#[test]
fn a_finger_that_keeps_a_note_ringing_is_not_free() {
    let text = |ring: &str, left: &str| {
        format!(
            "~~~ riff\ncount  1 & 2 & 3 & 4 & |\nG      ----0-----------|\nD      --2---------2---|\nA      3---------------|\nring   {ring}|\nleft   {left}|\n"
        )
    };
    let all = "================";
    let (torn, kept) = ("2 2         2   ", "3 2         2   ");
    let told = tried(&text(all, torn)).1;
    let message = "reach: bar 1, the & of 1: finger 2 keeps fret 3 of string 5 ringing and can't press fret 2 of string 4";
    assert_eq!(told, [message]);
    for (ring, left) in [(all, kept), ("                ", torn), ("==              ", torn)] {
        assert_eq!(tried(&text(ring, left)).1, [""; 0], "{ring}{left}");
    }
    let barre = "~~~ riff\ncount  1 & 2 & |\nB      ----2---|\nG      --2-----|\nD      2-------|\nring   ========|\nleft   1 1 1   |\n";
    assert_eq!(tried(barre).1, [""; 0]);
}

#[test]
fn a_finger_that_is_torn_is_told_with_one_that_is_free() {
    let text = "~~~ riff\ncount  1 & 2 & |\nD      --2-----|\nA      3-------|\nring   ========|\nleft   2 2     |\n";
    let reading = Reading::of(text);
    let mut findings = Findings::default();
    reading.tab().0.unwrap().try_hands(&reading.setting, &|_| None, &mut findings);
    let found = findings.sorted();
    let note = "press fret 2 of string 4 with finger 1, or end the `ring` run before";
    assert_eq!(found[0].notes[0], note);
    assert_eq!(&text[found[0].labels[0].span.start..found[0].labels[0].span.end], "3");
}

const SUSPENDED: &str = "~~~ riff
chord  D       |Dsus4   |D       |Dsus2   |
count  1 & 2 & |1 & 2 & |1 & 2 & |1 & 2 & |
e      ------2-|------3-|------2-|------0-|
B      ----3---|----3---|----3---|----3---|
G      --2-----|--2-----|--2-----|--2-----|
D      0-------|0-------|0-------|0-------|
";

/// Neighbours keep the fingers that can stay.
#[test]
fn picked_chords_keep_common_fingers() {
    assert_eq!(tried_in(SUSPENDED, "2/4"), ".132.134.132.13.");
    let aside = "~~~ riff\nchord  Am      |Asus2   |Am      |\ncount  1 & 2 & |1 & 2 & |1 & 2 & |\ne      --------|--------|--------|\nB      ------1-|------0-|------1-|\nG      ----2---|----2---|----2---|\nD      --2-----|--2-----|--2-----|\nA      0-------|0-------|0-------|\n";
    assert_eq!(tried_in(aside, "2/4"), ".231.23..231");
}

/// Where all of a chord is picked, its fingers are those of what is picked.
#[test]
fn a_chord_that_is_picked_whole_is_held_without_more() {
    let text = "~~~ riff\nchord  Fmaj7   |\ncount  1 & 2 & |\ne      ------0-|\nB      ----1---|\nG      --2-----|\nD      3-------|\n";
    assert_eq!(tried_in(text, "2/4"), "321.");
}

fn tried_in(text: &str, meter: &str) -> String {
    tried_with(&Reading::of(text).meter(meter), |_| None).0
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
