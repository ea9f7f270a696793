//! Other forms: without a count, in pitches, in strokes; and how findings name places.

use super::super::testing::{Reading, events};
use super::{check, line, only};
use crate::music::melody::Sounding;
use crate::music::tab::{Form, Joint, Pick, Sound};
use crate::neck::{Fingering, Fret, StringIndex};
use crate::theory::{Chord, Midi, Ticks};

#[test]
fn a_riff_without_a_count_has_columns_for_moments() {
    let text = "~~~ riff over verse\ne  ----5h7--|---\nB  -5--6----|-8-\n";
    let reading = Reading::of(text).over("verse", "A|D");
    assert_eq!(reading.found(), ["no-count 1:1 ~~~ riff over verse"]);
    let riff = reading.read().0.unwrap();
    assert!(!riff.timed);
    assert_eq!(events(&riff), ["1 1+3 2:5", "1 4+2 2:6 1:5", "1 6+4 1:7", "2 1+2 2:8"]);
    assert_eq!(riff.place(0, Ticks(4), Some(StringIndex::new(5))), "bar 1, first string");
}

#[test]
fn notes_rows_are_laid_on_strings() {
    for (head, row, wanted) in [
        ("", "C4  D   E   F   ", ["2:1", "2:3", "1:0", "1:1"]),
        (" near fret 7", "A4  B   C5  D   ", ["2:10", "1:7", "1:8", "1:10"]),
        (" strings 2 1", "C4  D   E   F   ", ["2:1", "2:3", "1:0", "1:1"]),
        (" on strings 6-4, near fret 5", "A2  C3  E   G   ", ["6:5", "6:8", "5:7", "4:5"]),
    ] {
        let text = format!("~~~ riff{head}\ncount 1   2   3   4\nnotes {row}\n");
        let riff = Reading::of(&text).clean();
        let found: Vec<String> = events(&riff)
            .iter()
            .map(|event| event.split(' ').next_back().unwrap().to_string())
            .collect();
        assert_eq!(found, wanted, "{text}");
        assert!(
            riff.bars[0]
                .events
                .iter()
                .flat_map(|event| &event.notes)
                .all(|note| { (note.sound == Sound::Fret(Fret::new(0))) == note.finger.is_none() })
        );
    }
}

#[test]
fn notes_sound_together_and_are_joined() {
    let text = "\
~~~ riff over verse
count  1     2     3     4     |1     2     3     4
notes  A4+C#5(E5)--B4hC#5A4----|D5/---E5bF#5G#4~--
left   12                      |
";
    let riff = Reading::of(text).over("verse", "A|D").clean();
    let tones = riff.tones();
    let pitches: Vec<Vec<Sounding>> =
        tones.iter().flatten().map(|event| event.iter().map(|tone| tone.sound).collect()).collect();
    let sounds = |pitches: &[i32]| -> Vec<Sounding> {
        pitches.iter().map(|pitch| Sounding::Pitch(Midi::new(*pitch))).collect()
    };
    assert_eq!(pitches[0], sounds(&[69, 73]));
    let fingers: Vec<char> =
        riff.bars[0].events[0].notes.iter().map(|note| note.finger.unwrap().sign()).collect();
    assert_eq!(fingers, ['1', '2']);
    assert!(riff.bars[0].events[1].notes[0].ghost);
    assert_eq!(pitches[2..], [[73], [69], [74], [78], [68]].map(|pitches| sounds(&pitches)));
    let notes: Vec<&crate::music::tab::Note> =
        riff.bars.iter().flat_map(|bar| &bar.events).skip(2).map(|event| &event.notes[0]).collect();
    let joints = |note: &crate::music::tab::Note| {
        (note.graces.first().map(|grace| grace.joined), note.joined)
    };
    assert_eq!(joints(notes[0]), (Some(None), Some(Joint::HammerOn)));
    assert_eq!(joints(notes[3]), (Some(Some(Joint::Slide)), Some(Joint::Bend)));
    assert_eq!(notes[3].string, notes[2].string);
    assert_eq!(notes[3].finger, notes[2].finger);
    assert!(notes[4].vibrato);
}

#[test]
fn faults_in_notes_rows_are_told() {
    for (row, found) in [
        ("C   D", vec!["block-syntax 3:7 C", "block-syntax 3:11 D"]),
        ("c4  D4", vec!["block-syntax 3:7 c", "block-syntax 3:8 4"]),
        ("C4h D4+F4", vec!["block-syntax 3:9 h"]),
        ("D4b", vec!["block-syntax 3:9 b"]),
        ("C4  C1", vec!["no-voicing 3:11 C1"]),
        ("C4  E2+F2", vec!["no-voicing 3:11 E2"]),
        ("(C4 D4", vec!["block-syntax 3:7 (", "column-adrift 3:8 C4"]),
        ("C4 D4", vec!["column-adrift 3:10 D4"]),
    ] {
        let text = format!("~~~ riff\ncount 1   2   3   4\nnotes {row}\n");
        assert_eq!(Reading::of(&text).found(), found, "{row}");
    }
    let text = "~~~ riff on strings 6 5\ncount 1   2   3   4\nnotes C4  C6\n";
    let (riff, findings) = Reading::of(text).read();
    assert_eq!(
        findings[0].message,
        "bar 1, beat 2: C6 has no place on these strings; it is left out"
    );
    assert_eq!(findings[0].notes, ["the nearest that has one is G4"]);
    assert_eq!(events(&riff.unwrap()).len(), 1);
    let fallen = "~~~ riff\ncount 1   2   3   4\nnotes C4bD4-bC#4\n";
    let (_, findings) = Reading::of(fallen).read();
    let message = "bar 1, beat 2: `b` bends up, and C#4 is not above D4, where the string is";
    assert_eq!(findings[0].message, message);
    check("~~~ riff near fret 70\ncount 1 2\nnotes C4\n", &["block-syntax 1:10 near fret 70"]);
    check("~~~ riff strings 9\ncount 1 2\nnotes C4\n", &["block-syntax 1:10 strings 9"]);
    check("~~~ riff\ncount 1 2\nnotes C#5 D5\nG     5\n", &["block-syntax 3:1 notes"]);
}

#[test]
fn joints_that_would_cross_strings_are_lost() {
    for (row, message, wanted) in [
        (
            "D4hF4   ",
            "bar 1, beat 1, first string: the hammer-on is lost here, since it would cross strings",
            ["1 0+3840 1:1"].as_slice(),
        ),
        (
            "D4-hF4  ",
            "bar 1, beat 2, first string: the hammer-on is lost here, since it would cross strings",
            &["1 0+960 6:22", "1 960+2880 1:1"],
        ),
    ] {
        let text = format!("~~~ riff strings 6 1\ncount 1   2   3   4\nnotes {row}\n");
        let (riff, findings) = Reading::of(&text).read();
        assert_eq!(findings[0].message, message);
        assert_eq!(findings[0].rule.name, "technique-lost");
        assert_eq!(events(&riff.unwrap()), wanted);
    }
    // A bend is made on the string that is held, however far it goes.
    let bend = "~~~ riff strings 6 1\ncount 1   2   3   4\nnotes D4-bF4\n";
    assert_eq!(only(&Reading::of(bend).clean()).sound, Sound::Fret(Fret::new(25)));
}

#[test]
fn strumming_patterns_take_the_shapes_of_the_lesson_or_the_best() {
    let text = "\
~~~ riff
chord A       |Em
count 1 2 & 4 |1 2 3 4
pick  d d u x |d   d
";
    let mut reading = Reading::of(text);
    let shape = Fingering {
        frets: [None, Some(0), Some(2), Some(2), Some(2), None]
            .map(|fret| fret.map(Fret::new))
            .to_vec(),
        fingers: Vec::new(),
    };
    reading.book.1.push((Chord::parse("A").unwrap(), shape));
    let riff = reading.clean();
    assert_eq!(
        events(&riff),
        [
            "1 0+960 5:0 4:2 3:2 2:2",
            "1 960+480 5:0 4:2 3:2 2:2",
            "1 1440+1440 5:0 4:2 3:2 2:2",
            "1 2880+960 5:x 4:x 3:x 2:x",
            "2 0+1920 6:0 5:2 4:2 3:0 2:0 1:0",
            "2 1920+1920 6:0 5:2 4:2 3:0 2:0 1:0",
        ]
    );
    let Form::Strum(shapes) = &riff.form else { panic!("{:?}", riff.form) };
    assert_eq!(
        shapes.iter().map(|strummed| strummed.chord.to_string()).collect::<Vec<_>>(),
        ["A", "Em"]
    );
    assert_eq!(riff.bars[0].events[2].pick, Some(Pick::Up));
    check("~~~ riff\ncount 1 2\npick  d d\n", &["block-syntax 3:7 d"]);
    check(
        "~~~ riff near fret 3\nchord A\ncount 1 2\npick  d d\n",
        &["block-syntax 1:10 near fret 3"],
    );
    let words = Reading::of("~~~ riff\nchord A\ncount 1  4\nsung  la la\n").clean();
    assert_eq!(words.form, Form::Words);
    assert_eq!(words.bars[0].remarks("sung").len(), 2);
}

#[test]
fn a_letter_with_its_accents_is_one_column() {
    let text = "~~~ riff\nsung   e\u{301}te\u{301} la\u{300}\ncount  1   4\nG      5---7\n";
    let riff = Reading::of(text).clean();
    assert_eq!(riff.bars[0].remarks("sung")[1].text, "la\u{300}");
    assert_eq!(riff.bars[0].remarks("sung")[1].at, Ticks(2880));
}

#[test]
fn messages_name_bar_count_and_string() {
    let row = |string: &str| line("1   &   2   |1   2   &", string);
    for (text, message) in [
        (
            row("5---7---5---|5----7--"),
            "bar 2, third string: fret 7 stands under no count; the nearest are beat 2 and the & of 2",
        ),
        (
            row("5---7---5--|-5---7---"),
            "bar 1, third string: its bar line stands 1 column to the left of the other rows'",
        ),
        (
            row("5---7---5---|5---s---"),
            "bar 2, beat 2, third string: `s` is no sign of a string row",
        ),
        (
            row("5---7-h---------------"),
            "bar 1, the & of 1, third string: `h` leads to no fret on this string",
        ),
        (
            row("5---7---30--|-----"),
            "bar 1, beat 2, third string: fret 30 is off the neck, which ends at fret 22",
        ),
        (
            format!("{}pick   d   k\n", row("5---7---5---|-----")),
            "bar 1, the & of 1: `k` is no stroke",
        ),
        (
            format!("{}left   1   2     3\n", row("5---7---5---|-----")),
            "bar 1: `3` in the `left` row stands under no count; the nearest is beat 2",
        ),
        (
            format!("{}accent >            >\n", row("5---7---5---|-----")),
            "bar 2, beat 1: `>` in the `accent` row, but no note begins there",
        ),
        (line("1   2   5", "---------"), "bar 1 counts to 5, but 4/4 has 4 beats"),
        (line("1 3 2", "-----"), "bar 1: the count `2` falls back"),
    ] {
        let (_, findings) = Reading::of(&text).read();
        let messages: Vec<&str> = findings.iter().map(|finding| finding.message.as_str()).collect();
        assert!(messages.contains(&message), "{text}{messages:#?}");
    }
}
