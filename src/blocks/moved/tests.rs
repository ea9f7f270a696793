#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use crate::blocks::tab::Tab;
use crate::blocks::{self, Block};
use crate::findings::Source;
use crate::findings::{Finding, Findings, Weight};
use crate::lesson;
use crate::lesson::world::MemoryWorld;
use crate::music::melody::Sounding;
use crate::music::tab::Riff;
use crate::music::tab::{Joint, Sound};
use crate::neck::{Finger, Fret};
use proptest::prelude::*;

const HOOK: &str = "\
~~~ riff hook
chord A                   |F#m
count 1   &   2   3   4   |1   2   3   4   |
e     ----------------0---|----------------|
B     ----2-----------2---|----2-----------|
G     --------2---4h6-----|--------2---4p2-|
D     --------------------|----------------|
A     0-------------------|----------------|
E     --------------------|2---------------|
~~~
";

/// Reads a lesson in A major that has these blocks, and hands over what became of each.
fn with_lesson<T>(text: &str, see: impl FnOnce(&[Block], &[Finding]) -> T) -> T {
    let text = format!("---\ntitle: Moves\nkey: A major\n---\n{text}");
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let blocks = blocks::read(&lesson).finish(&lesson, &mut findings);
    see(&blocks, &findings.sorted())
}

fn riff(blocks: &[Block], index: usize) -> Riff {
    blocks[index].as_a::<Tab>().unwrap().riff.clone()
}

/// The hook and what a move makes of it, with the messages of what was found.
fn moved(phrases: &str) -> (Riff, Riff, Vec<String>) {
    let blocks = format!("{HOOK}\n~~~ move high from hook\n{phrases}\n~~~\n");
    with_lesson(&blocks, |blocks, findings| {
        let messages = findings.iter().map(|finding| finding.message.clone()).collect();
        (riff(blocks, 0), riff(blocks, 1), messages)
    })
}

/// What sounds when: the pitches of each event, grace notes first.
fn sounds(riff: &Riff) -> Vec<(u32, Vec<i32>)> {
    let starts =
        riff.bars.iter().flat_map(|bar| bar.events.iter().map(|event| (bar.start + event.at).0));
    let tones = riff.tones();
    let pitches = tones.iter().flatten().map(|event| {
        let mut all: Vec<i32> = event
            .iter()
            .flat_map(|tone| tone.graces.iter().map(|grace| grace.sound.number()))
            .collect();
        all.extend(event.iter().map(|tone| match tone.sound {
            Sounding::Pitch(pitch) | Sounding::Harmonic { pitch, .. } => pitch.number(),
            Sounding::Muted => -1,
        }));
        all.sort_unstable();
        all
    });
    starts.zip(pitches).collect()
}

fn raised(sounds: &[(u32, Vec<i32>)], by: i32) -> Vec<(u32, Vec<i32>)> {
    sounds
        .iter()
        .map(|(at, pitches)| (*at, pitches.iter().map(|pitch| pitch + by).collect()))
        .collect()
}

/// Neighbours in a moved riff keep the fingers that can stay.
#[test]
fn moved_chords_keep_common_fingers() {
    const SUSPENDED: &str = "~~~ riff arp, meter 2/4
chord D       |Dsus4   |D       |Dsus2   |
count 1 & 2 & |1 & 2 & |1 & 2 & |1 & 2 & |
e     ------2-|------3-|------2-|------0-|
B     ----3---|----3---|----3---|----3---|
G     --2-----|--2-----|--2-----|--2-----|
D     0-------|0-------|0-------|0-------|
~~~
";
    let text = format!("{SUSPENDED}\n~~~ move high from arp, up an octave\n~~~\n");
    let riff = with_lesson(&text, |blocks, _| riff(blocks, 1));
    let sign = |finger: Option<Finger>| finger.map_or('.', Finger::sign);
    let fingers: String = riff.played().iter().map(|(_, _, finger)| sign(*finger)).collect();
    assert_eq!(fingers, "1243123312431241");
}

/// A picked chord keeps its shape wherever it goes: a string for each of its notes, each with one finger.
#[test]
fn a_picked_chord_keeps_its_shape() {
    const PICKED: &str = "~~~ riff arp
chord D               |
count 1 & 2 & 3 & 4 & |
e     ------2---------|
B     ----3-----3-----|
G     --2-----2---2---|
D     0-----------0---|
ring  ================|
~~~
";
    for (phrases, wanted) in [
        ("up a major second", "4:2 3:4 2:5 1:4"),
        ("up a fifth", "4:7 3:9 2:10 1:9"),
        ("near fret 9, up a fifth", "4:7 3:9 2:10 1:9"),
        ("on strings 5 4 3 2, up a major second", "5:7 4:9 3:9 2:9"),
    ] {
        let text = format!("{PICKED}\n~~~ move high from arp\n{phrases}\n~~~\n");
        let riff = with_lesson(&text, |blocks, _| riff(blocks, 1));
        let mut places: Vec<_> = riff.played();
        places.sort_unstable();
        places.dedup();
        let found: Vec<String> = places
            .iter()
            .map(|(string, fret, _)| format!("{}:{fret}", riff.instrument.tuning.number(*string)))
            .collect();
        assert_eq!(found.join(" "), wanted, "{phrases}: {places:?}");
    }
}

/// An open chord that is moved up has the fingers of its barre, though not all of it is picked.
#[test]
fn a_picked_chord_that_is_moved_has_the_fingers_of_its_barre() {
    const AM: &str = "Am              |
count 1 & 2 & 3 & 4 & |
e     ------0-----0---|
B     ----1-----1---1-|
G     --2-----2-------|
A     0---------------|
";
    const F: &str = "F               |
count 1 & 2 & 3 & 4 & |
e     ------1-----1---|
B     ----1-----1---1-|
G     --2-----2-------|
E     1---------------|
";
    for (picked, wanted) in [(AM, "14214212"), (F, "12112111")] {
        let text = format!(
            "~~~ riff low\nchord {picked}~~~\n\n~~~ move high from low\nup a major second\n~~~\n"
        );
        let riff = with_lesson(&text, |blocks, _| riff(blocks, 1));
        let notes = riff.bars.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes);
        let fingers: String = notes.map(|note| note.finger.map_or('.', Finger::sign)).collect();
        assert_eq!(fingers, wanted, "{picked}");
    }
}

#[test]
fn moves_sound_the_interval_that_is_asked_for() {
    for (phrases, by, key, chords) in [
        ("", 0, "A major", "A F#m"),
        ("near fret 9", 0, "A major", "A F#m"),
        ("up an octave", 12, "A major", "A F#m"),
        ("near fret 7, up a fourth", 5, "D major", "D Bm"),
        ("up a minor third", 3, "C major", "C Am"),
        ("up a tritone", 6, "Eb major", "Eb Cm"),
        ("to D", 5, "D major", "D Bm"),
        ("to C major", 3, "C major", "C Am"),
        ("to E, up", 7, "E major", "E C#m"),
        ("up to F#", 9, "F# major", "F# D#m"),
        ("to Eb", 6, "Eb major", "Eb Cm"),
        ("up a perfect fifth", 7, "E major", "E C#m"),
    ] {
        let (hook, high, messages) = moved(phrases);
        assert_eq!(messages, Vec::<String>::new(), "{phrases}");
        assert_eq!(sounds(&high), raised(&sounds(&hook), by), "{phrases}");
        assert_eq!(high.key.unwrap().to_string(), key, "{phrases}");
        let symbols: Vec<String> = high
            .bars
            .iter()
            .flat_map(|bar| &bar.chords)
            .map(|at| at.chord.as_ref().unwrap().to_string())
            .collect();
        assert_eq!(symbols.join(" "), chords, "{phrases}");
    }
}

#[test]
fn moves_keep_to_their_strings_and_near_their_fret() {
    let (_, high, messages) = moved("on strings 4 3 2 1, near fret 9, up an octave");
    assert_eq!(messages, Vec::<String>::new());
    let notes = || high.bars.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes);
    assert!(notes().all(|note| note.string.index() >= 2));
    assert!(
        notes().all(|note| matches!(note.sound, Sound::Fret(fret) if fret >= Fret::new(4))),
        "{:?}",
        notes().collect::<Vec<_>>()
    );
    assert!(notes().all(|note| note.finger.is_some()));
    let joints: Vec<Joint> = notes().filter_map(|note| note.joined).collect();
    assert_eq!(joints, [Joint::HammerOn, Joint::PullOff]);
}

#[test]
fn what_has_no_place_is_told_with_the_nearest() {
    let (hook, high, messages) = moved("on strings 6 5");
    assert_eq!(sounds(&high).len(), sounds(&hook).len());
    assert_eq!(messages, Vec::<String>::new());
    let (_, _, messages) = moved("on strings 6, up two octaves");
    assert!(messages[0].ends_with("has no place on these strings; it is left out"), "{messages:?}");
}

#[test]
fn techniques_that_a_place_does_not_allow_are_told() {
    let low = "\
~~~ riff low
count 1   2   3   4   |
G     4/--5---2~--7b9-|
~~~

~~~ move open from low
PHRASES
~~~
";
    for (phrases, lost) in [
        ("down a major third, on strings 2 3, near fret 1", vec!["slide", "vibrato"]),
        ("near fret 4", vec![]),
    ] {
        let blocks = low
            .replace("PHRASES", phrases)
            .replace("2~", if lost.is_empty() { "2~" } else { "4~" });
        with_lesson(&blocks, |_, findings| {
            let found: Vec<&str> = findings
                .iter()
                .filter(|finding| finding.rule.name == "technique-lost")
                .map(|finding| finding.message.as_str())
                .collect();
            assert_eq!(found.len(), lost.len(), "{phrases}: {found:?}");
            for (message, what) in found.iter().zip(lost) {
                assert!(message.contains(what), "{message}");
            }
        });
    }
}

#[test]
fn moves_can_be_moved_again() {
    let blocks = format!(
        "~~~ move higher from high\nup an octave\n~~~\n\n{HOOK}\n~~~ move high from the hook, near fret 5\nup a fifth\n~~~\n"
    );
    with_lesson(&blocks, |blocks, findings| {
        assert!(findings.is_empty(), "{findings:#?}");
        let (higher, hook, high) = (riff(blocks, 0), riff(blocks, 1), riff(blocks, 2));
        assert_eq!(sounds(&high).len(), sounds(&hook).len());
        assert_eq!(sounds(&higher), raised(&sounds(&hook), 19));
    });
}

#[test]
fn faults_of_moves_are_told() {
    for (block, found) in [
        ("~~~ move x from hok\n~~~\n", "no riff is called `hok`"),
        ("~~~ move x\nup an octave\n~~~\n", "this `move` doesn't say what is moved"),
        ("~~~ move x from x\n~~~\n", "this `move` comes from itself, by way of `x`"),
        ("~~~ move x from hook\nsideways\n~~~\n", "`sideways` is no phrase of a `move`"),
        ("~~~ move x from hook\nup a third\n~~~\n", "`up a third` doesn't say how far"),
        ("~~~ move x from hook\nto H\n~~~\n", "`to H` names no key"),
        (
            "~~~ move x from hook\nto E minor\n~~~\n",
            "the riff is in A major, and a move keeps the mode: write `to E`",
        ),
        (
            "~~~ move x from hook\nto D, up a fifth\n~~~\n",
            "`up a fifth` stands beside another phrase that says how far",
        ),
        (
            "~~~ changes c\n| A |\n~~~\n\n~~~ move x from c\n~~~\n",
            "`c` is no riff, nor one that was moved",
        ),
    ] {
        with_lesson(&format!("{HOOK}\n{block}"), |_, findings| {
            let messages: Vec<&str> =
                findings.iter().map(|finding| finding.message.as_str()).collect();
            assert_eq!(messages, [found], "{block}");
        });
    }
    let circle = "~~~ move a from b\n~~~\n\n~~~ move b from c\n~~~\n\n~~~ move c from b\n~~~\n";
    with_lesson(circle, |_, findings| {
        let messages: Vec<&str> = findings.iter().map(|finding| finding.message.as_str()).collect();
        assert_eq!(
            messages,
            [
                "this `move` comes from itself, by way of `c`",
                "this `move` comes from itself, by way of `b`"
            ]
        );
    });
}

#[test]
fn a_riff_in_any_scale_is_moved_to_the_same_scale_elsewhere() {
    let tune = "\n~~~ riff tune, key E phrygian dominant\nchord E               |\ncount 1   2   3   4   |\ne     0---1---4---5---|\n~~~\n";
    for (target, found) in [
        ("A phrygian dominant", ""),
        ("the key of A", ""),
        ("A major", "the riff is in E phrygian dominant, and a move keeps the mode: write `to A`"),
    ] {
        let blocks = format!("{tune}\n~~~ move high from tune\nto {target}\n~~~\n");
        with_lesson(&blocks, |blocks, findings| {
            let messages: Vec<&str> =
                findings.iter().map(|finding| finding.message.as_str()).collect();
            assert_eq!(messages.join(""), found);
            if found.is_empty() {
                assert_eq!(sounds(&riff(blocks, 1)), raised(&sounds(&riff(blocks, 0)), 5));
                let key = riff(blocks, 1).key.unwrap();
                assert_eq!(key.to_string(), "A phrygian dominant");
            }
        });
    }
}

#[test]
fn a_riff_without_a_key_has_none_to_be_moved_from() {
    let blocks = format!(
        "{}\n~~~ move x from hook\nto E\n~~~\n",
        HOOK.replace("riff hook", "riff hook, key none")
    );
    with_lesson(&blocks, |_, findings| {
        assert_eq!(findings[0].message, "the riff that is moved has no key to be moved from");
    });
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn moved_lines_keep_their_pitches(
        frets in prop::collection::vec((0_usize..6, 0_u8..11), 1..8),
        near in 0_u8..10,
        up in 0_usize..4,
    ) {
        let (words, by) = [("up a unison", 0), ("up a whole step", 2), ("up a fourth", 5), ("up an octave", 12)][up];
        let mut rows: Vec<String> = ["e", "B", "G", "D", "A", "E"].map(|label| format!("{label:<6}")).to_vec();
        let mut count = "count ".to_string();
        for (place, (string, fret)) in frets.iter().enumerate() {
            count.push_str(if place % 2 == 0 { ["1   ", "2   ", "3   ", "4   "][place / 2] } else { "&   " });
            for (index, row) in rows.iter_mut().enumerate() {
                let cell = if index == *string { fret.to_string() } else { String::new() };
                row.push_str(&format!("{cell:-<4}"));
            }
        }
        let blocks = format!("~~~ riff line\n{count}\n{}\n~~~\n\n~~~ move other from line\n{words}, near fret {near}\n~~~\n", rows.join("\n"));
        with_lesson(&blocks, |blocks, findings| {
            // A random line is no music: what is doubted about its notes is left aside.
            let lost = ["technique-lost", "no-voicing"];
            let faults = findings.iter().filter(|finding| {
                finding.weight == Weight::Fault || lost.contains(&finding.rule.name)
            });
            prop_assert_eq!(faults.count(), 0, "{:#?}", findings);
            let (line, other) = (riff(blocks, 0), riff(blocks, 1));
            prop_assert_eq!(sounds(&other), raised(&sounds(&line), by));
            Ok(())
        })?;
    }
}
