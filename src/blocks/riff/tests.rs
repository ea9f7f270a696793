//! The riff section of the language page, sentence by sentence.
#![allow(clippy::unwrap_used)]

use super::model::{BarHarmony, Form, Joint, Pick, Riff, Slide, Sound};
use super::placing::Sounding;
use super::testing::{Reading, events, fixed, located};
use crate::findings::Ground;
use crate::neck::{Finger, Fingering};
use crate::theory::{Chord, Ticks};

const HOOK: &str = "\
~~~ riff over verse
chord   A                               |F#m7                            |
count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &  (4)      |
e       ------------------------0-------|--------------------------------|
B       --------2---------------2-------|------------2-------------------|
G       ----2-------2---4h--6-------2---|----2-------2-------2-----------|
D       --------------------------------|--------2-------2---------------|
A       0---------------0---------------|--------------------------------|
E       --------------------------------|2---------------2---------------|
left    .   1   2   1   1   4   3   1   |1   1   1   1   1   1           |
pick    d   d   u   d   d       d   u   |d   d   d   u   d   u           |
";

fn only(riff: &Riff) -> &super::model::Note {
    riff.bars.iter().flat_map(|bar| &bar.events).last().unwrap().notes.first().unwrap()
}

/// A riff of one bar in 4/4 with a count row and a third string.
fn line(count: &str, string: &str) -> String {
    format!("~~~ riff\ncount  {count}\nG      {string}\n")
}

fn check(text: &str, expected: &[&str]) {
    assert_eq!(Reading::of(text).found(), expected, "{text}");
}

#[test]
fn the_example_of_the_page_is_read() {
    let riff = Reading::of(HOOK).over("verse", "A | F#m7").clean();
    assert_eq!(
        events(&riff),
        [
            "1 0+480 5:0",
            "1 480+480 3:2",
            "1 960+480 2:2",
            "1 1440+480 3:2",
            "1 1920+480 5:0 3:4",
            "1 2400+480 3:6",
            "1 2880+480 2:2 1:0",
            "1 3360+480 3:2",
            "2 0+480 6:2",
            "2 480+480 3:2",
            "2 960+480 4:2",
            "2 1440+480 3:2 2:2",
            "2 1920+480 6:2 4:2",
            "2 2400+480 3:2",
        ]
    );
    let fourth = &riff.bars[0].events[4];
    assert_eq!(fourth.notes[0].finger, None);
    assert_eq!(fourth.notes[1].finger, Some(Finger::Index));
    assert_eq!(riff.bars[0].events[5].notes[0].joined, Some(Joint::HammerOn));
    assert_eq!(riff.bars[0].events[5].pick, None);
    assert_eq!(riff.bars[1].events[3].pick, Some(Pick::Up));
    assert_eq!(riff.place(1, Ticks(1440), Some(3)), "bar 2, the & of 2, third string");
    assert_eq!(riff.chord_at(1, Ticks(0)).map(Chord::to_string), Some("F#m7".to_string()));
}

#[test]
fn counts_are_moments() {
    for (meter, count, expected) in [
        ("4/4", "1 2 3 4", "0 960 1920 2880"),
        ("4/4", "1 & 2 + 4", "0 480 960 1440 2880"),
        ("2/4", "1 e & a 2", "0 240 480 720 960"),
        ("2/4", "1 la li 2 trip let", "0 320 640 960 1280 1600"),
        ("1/4", "1 ta la ta li ta", "0 160 320 480 640 800"),
        ("1/4", "1 ' e ' & ' a '", "0 120 240 360 480 600 720 840"),
        ("2/2", "1 & 2 &", "0 960 1920 2880"),
        ("3/8", "1 & 2 3", "0 240 480 960"),
        ("6/8", "1 2 & 3 4 5 6", "0 480 720 960 1440 1920 2400"),
        ("6/8", "1 la li 2 la li", "0 480 960 1440 1920 2400"),
        ("6/8", "1 ta la ta li ta 2", "0 240 480 720 960 1200 1440"),
        ("12/8", "1 10 11 12", "0 4320 4800 5280"),
        ("9/8", "1 la 3 li", "0 480 2880 3840"),
        ("4/4", "& 2 3 4", "480 960 1920 2880"),
        ("4/4", "e & a 4", "2160 2400 2640 2880"),
        ("1/4", "& a", "480 720"),
        ("4/4", "(1) 2 (&) 4", "0 960 1440 2880"),
        ("4/4", "1(2)3 ( 4 )", "0 960 1920 2880"),
    ] {
        let text = line(count, "--");
        let riff = Reading::of(&text).meter(meter).clean();
        let moments: Vec<String> =
            riff.bars[0].counts.iter().map(|count| count.at.0.to_string()).collect();
        assert_eq!(moments.join(" "), expected, "{meter}: {count}");
    }
}

#[test]
fn counts_that_fit_no_bar_are_faults() {
    for (meter, count, expected) in [
        ("4/4", "1 2 3 4 5", "bar-length 2:16 5"),
        ("6/8", "1 la li 2 la li 3", "bar-length 2:24 3"),
        ("4/4", "1 3 2 4", "count-order 2:12 2"),
        ("4/4", "1 2 2 & 3 4", "count-order 2:12 2"),
        ("4/4", "1 & e 2 3 4", "count-order 2:12 e"),
        ("4/4", "& 1 2 3 4", "count-order 2:8 &"),
        ("4/4", "ta 2 3 4", "count-order 2:8 ta"),
        ("4/4", "0 2 3 4", "count-order 2:8 0"),
        ("4/4", "1 4 a '", "4/4"),
        ("4/4", "1& 2 3 4", "block-syntax 2:8 1&"),
        ("4/4", "1 two 3 4", "block-syntax 2:10 two"),
        ("4/4", "1 (2 3 4", "block-syntax 2:10 ("),
        ("4/4", "1 2) 3 4", "block-syntax 2:11 )"),
        ("4/4", "1 4 a ' ' '", "bar-length 2:16 '"),
    ] {
        let text = line(count, "--");
        let found = Reading::of(&text).meter(meter).found();
        let expected: &[&str] = if expected.contains(' ') { &[expected] } else { &[] };
        assert_eq!(found, expected, "{meter}: {count}");
    }
}

#[test]
fn counts_that_may_mean_another_thing_are_hints() {
    for (meter, count, expected) in [
        ("6/8", "1 2 |1 2", "big-beats 2:8 1"),
        ("6/8", "1 2 |1 3", ""),
        ("6/8", "1 la 2 |1 2", ""),
        ("4/4", "1 & a 2 & a 3 & a 4 & a", "triplet-count 2:8 1 & a"),
        ("4/4", "1 & a 2 & a 3 & a 4 &", ""),
        ("4/4", "1 2 3 4 |1 2 3", "bar-short 2:21 3"),
        ("4/4", "1 2 3 4 |1 2 3 &", "bar-short 2:23 &"),
        ("4/4", "1 2 3 |1 2 3", ""),
        ("4/4", "1 2 3 4 |(1)", ""),
        ("4/4", "1 2 3", ""),
    ] {
        let text = line(count, "--");
        let expected: &[&str] = if expected.is_empty() { &[] } else { &[expected] };
        assert_eq!(Reading::of(&text).meter(meter).found(), expected, "{meter}: {count}");
    }
}

#[test]
fn an_upbeat_has_the_last_counts_of_the_meter() {
    for (meter, count, string, expected) in [
        ("4/4", "4 &|1 2 3 4", "5-7|----5--", ["960:0 480", "3840:1920"]),
        ("4/4", "&  |1 2 3 4", "5--|----5--", ["480:0", "3840:1920"]),
        ("6/8", "4 5 6|1 4 6", "5----|--5--", ["1440:0", "2880:1440"]),
    ] {
        let text = format!("~~~ riff pickup\ncount  {count}\nG      {string}\n");
        let riff = Reading::of(&text).meter(meter).clean();
        assert_eq!(riff.bars[0].number, 0);
        assert_eq!(riff.bars[1].number, 1);
        assert_eq!(riff.bars[1].start, riff.bars[0].length);
        let found: Vec<String> = riff
            .bars
            .iter()
            .map(|bar| {
                let events = bar.events.iter().map(|event| event.at.0.to_string());
                format!("{}:{}", bar.length.0, events.collect::<Vec<_>>().join(" "))
            })
            .collect();
        assert_eq!(found, expected, "{meter}: {count}");
    }
    let text = "~~~ riff pickup\ncount  &  |1 2 3 4\nG      5--|----5--\n";
    let riff = Reading::of(text).clean();
    assert_eq!(riff.place(0, Ticks(0), None), "bar 0, the & of 4");
}

#[test]
fn notes_last_to_the_next_note_or_rest() {
    let text = "\
~~~ riff
count  1   2  (4) |1   2   |(1)    |
G      5---7------|--------|-------|
";
    let riff = Reading::of(text);
    assert_eq!(riff.read().0.map(|riff| events(&riff)).unwrap(), ["1 0+960 3:5", "1 960+1920 3:7"]);
    let tied = line("1   4|1   4|(1)", "5----|-----|");
    assert_eq!(events(&Reading::of(&tied).clean()), ["1 0+7680 3:5"]);
    check(&line("1 (3) 4", "5--7---"), &["count-order 3:11 7"]);
}

#[test]
fn every_sign_of_a_string_row_is_read() {
    for (string, expected) in [
        ("x", "3:x"),
        ("(7)", "3:(7)"),
        ("<12>", "3:<12>"),
        ("10", "3:10"),
        ("5h7", "3:5>7"),
        ("7p5", "3:7>5"),
        ("5/7", "3:5>7"),
        ("7\\5", "3:7>5"),
        ("5t12", "3:5>12"),
        ("7b9", "3:7>9"),
        ("7b9r7", "3:7>9>7"),
        ("(7)b9", "3:7>9"),
        ("7~~", "3:7"),
        ("7b+", "3:7"),
        ("7\\.", "3:7"),
        ("7/.", "3:7"),
        ("7~~h9", "3:7>9"),
        ("7b9b10", "3:7>9>10"),
        ("7b9r8r7", "3:7>9>8>7"),
        ("7b+r7", "3:7>7"),
        ("5t12p5", "3:5>12>5"),
    ] {
        let text = line("1               4", &format!("{string}--"));
        let riff = Reading::of(&text).clean();
        assert_eq!(events(&riff), [format!("1 0+3840 {expected}")], "{string}");
    }
    let signs = |string: &str| {
        let text = line("1  &            4", string);
        only(&Reading::of(&text).clean()).clone()
    };
    assert!(signs("7~").vibrato);
    assert!(signs("7b+").quarter_bend);
    assert_eq!(signs("7/.").slide_out, Some(Slide::Up));
    assert_eq!(signs("7\\.").slide_out, Some(Slide::Down));
    assert_eq!(signs("7b9").joined, Some(Joint::Bend));
    assert_eq!(signs("7b9r7").joined, Some(Joint::Release));
    assert_eq!(signs("5/7").joined, Some(Joint::Slide));
    assert_eq!(signs("5t12").joined, Some(Joint::Tap));
    assert_eq!(signs("<7>").sound, Sound::Harmonic(7));
    assert!(signs("(7)b9").graces[0].ghost);
    assert_eq!(signs("-./7").slide_in, Some(Slide::Up));
    assert_eq!(signs(".\\-7").slide_in, Some(Slide::Down));
    let tapped = line("1   2   3   4", "---t12");
    assert!(only(&Reading::of(&tapped).clean()).tapped);
    let tapped = Reading::of(&line("1   2   3   4", "5--t12p5")).clean();
    assert_eq!(events(&tapped), ["1 0+960 3:5", "1 960+2880 3:12>5"]);
    assert!(only(&tapped).tapped);
}

#[test]
fn signs_that_join_nothing_are_faults() {
    for (string, expected) in [
        ("h7--", "block-syntax 3:8 h"),
        ("7h--", "block-syntax 3:9 h"),
        ("7hp5", "block-syntax 3:10 p"),
        ("7b--", "block-syntax 3:9 b"),
        ("7r5-", "block-syntax 3:9 r"),
        ("~---", "block-syntax 3:8 ~"),
        (".7--", "block-syntax 3:8 ."),
        ("7s5-", "block-syntax 3:9 s"),
        ("(7--", "block-syntax 3:8 ("),
        ("7)--", "block-syntax 3:9 )"),
        ("b+--", "block-syntax 3:8 b+"),
        ("x/7-", "block-syntax 3:9 /"),
    ] {
        let text = line("1   2   3   4", string);
        let found = Reading::of(&text).found();
        assert_eq!(found.first().map(String::as_str), Some(expected), "{string}: {found:?}");
    }
}

#[test]
fn the_digit_stands_under_the_count_and_not_the_sign_before_it() {
    for (string, advised) in [
        ("5   ./7     ", true),
        ("5   t12     ", true),
        ("7b9 r7      ", true),
        ("5   h7      ", true),
        ("5 ./7       ", false),
        ("5  -7       ", false),
        ("5      9    ", false),
    ] {
        let text = line("1   2   3   4", string);
        let (_, findings) = Reading::of(&text).read();
        let notes = || findings.iter().flat_map(|finding| &finding.notes);
        let advice = "the digit stands under the count, not the sign before it";
        assert_eq!(notes().any(|note| note == advice), advised, "{string}: {findings:?}");
        assert!(!advised || findings.iter().any(|finding| finding.rule.name == "column-adrift"));
    }
}

#[test]
fn other_words_of_the_trade_for_a_row_say_which_is_meant() {
    for (label, meant) in [
        ("fingers", &["left"] as &[&str]),
        ("lyrics", &["sung", "words"]),
        ("strum", &["pick"]),
        ("Counts", &["count"]),
        ("chords", &["chord"]),
        ("picking", &["pick"]),
    ] {
        let text = format!("~~~ riff\ncount   1   2   3   4\nG       5\n{label}   1\n");
        let (_, findings) = Reading::of(&text).read();
        let found = &findings[0];
        assert_eq!(found.message, format!("a riff has no row `{label}`"));
        for (note, word) in found.notes.iter().zip(meant) {
            assert_eq!(*note, format!("did you mean `{word}`?"));
        }
        assert!(found.notes.len() > meant.len());
        assert!(found.fixes.iter().all(|fix| fix.ground == Ground::Choice), "{found:?}");
    }
}

#[test]
fn a_bend_without_a_goal_offers_two() {
    let text = line("1   2   3   4", "7b------");
    let (_, findings) = Reading::of(&text).read();
    assert_eq!(fixed(&text, &findings[0], 0), line("1   2   3   4", "7b8-----"));
    assert_eq!(fixed(&text, &findings[0], 1), line("1   2   3   4", "7b9-----"));
    let next = line("1   2   3   4", "7b----5-");
    check(&next, &["block-syntax 3:9 b", "column-adrift 3:14 5"]);
}

#[test]
fn joints_reach_over_bar_lines_and_systems() {
    let text = line("1   4  |1   4", "5---7h-|--9--");
    check(&text, &["column-adrift 3:18 9"]);
    let text = line("1   4  |1   4", "5---7h-|9----");
    let riff = Reading::of(&text).clean();
    assert_eq!(events(&riff), ["1 0+2880 3:5", "1 2880+960 3:7", "2 0+3840 3:9"]);
    assert_eq!(only(&riff).joined, Some(Joint::HammerOn));
    let systems = "\
~~~ riff
count  1   4  |
G      5---7p-|

count  |1   4
G      |5----
";
    let riff = Reading::of(systems).clean();
    assert_eq!(events(&riff), ["1 0+2880 3:5", "1 2880+960 3:7", "2 0+3840 3:5"]);
    assert_eq!(only(&riff).joined, Some(Joint::PullOff));
}

#[test]
fn graces_stand_before_their_chain() {
    let text = line("1   2   3   4", "--5h7---");
    assert_eq!(events(&Reading::of(&text).clean()), ["1 960+2880 3:5>7"]);
    let text = line("1       3   4", "5h7p5---9");
    assert_eq!(events(&Reading::of(&text).clean()), ["1 0+1920 3:5>7>5", "1 1920+1920 3:9"]);
}

#[test]
fn a_note_under_no_count_is_written_tight_against_its_join() {
    for (string, expected) in [
        ("2h4", ""),
        ("2h----4", "column-adrift 3:14 4"),
        ("2-h4", "column-adrift 3:11 4"),
        ("2h-4", "column-adrift 3:11 4"),
        ("2/-----4", "column-adrift 3:15 4"),
        ("4p-----2", "column-adrift 3:15 2"),
        ("7b--9--r7", ""),
        ("7b9--r7", "column-adrift 3:14 7"),
        ("7b--9", ""),
        ("7b--9---r7", "column-adrift 3:17 7"),
        ("7b--9--r-7", "column-adrift 3:17 7"),
        ("7~~h9", ""),
        ("7~-h-9", "column-adrift 3:13 9"),
        ("(7)b9", ""),
        ("(7)-b9", "column-adrift 3:13 9"),
        ("--5h7", ""),
        ("-5h-7", "column-adrift 3:9 5"),
        ("2h4p2---9", ""),
    ] {
        let text = line("1   2   3   4", string);
        let expected: &[&str] = if expected.is_empty() { &[] } else { &[expected] };
        let found = Reading::of(&text).found();
        assert_eq!(found, expected, "{string}");
    }
    let text = line("1   2   3   4", "2h-3----");
    let (_, findings) = Reading::of(&text).read();
    assert!(findings[0].notes[0].contains("widen the counts for a grace note"), "{findings:?}");
    assert_eq!(fixed(&text, &findings[0], 0), line("1   2   3   4", "2h--3---"));
    // As near to one count as to the other: neither is chosen in silence.
    let text = line("1   2   3   4", "2h----4---");
    let (_, findings) = Reading::of(&text).read();
    assert_eq!(fixed(&text, &findings[0], 0), line("1   2   3   4", "2h--4-----"));
    assert_eq!(fixed(&text, &findings[0], 1), line("1   2   3   4", "2h------4-"));
    let counted = line("1   2   3   4", "2h--4---");
    assert_eq!(events(&Reading::of(&counted).clean()), ["1 0+960 3:2", "1 960+2880 3:4"]);
}

#[test]
fn joints_that_no_hand_can_play_are_doubted() {
    for (string, expected) in [
        ("5h7", ""),
        ("7h5", "technique 3:9 h5"),
        ("5h5", "technique 3:9 h5"),
        ("0h2", ""),
        ("7p5", ""),
        ("5p7", "technique 3:9 p7"),
        ("2p0", ""),
        ("7t5", "technique 3:9 t5"),
        ("5t12p5", ""),
        ("12-t5", ""),
        ("7b9p8", "technique 3:11 p8"),
        ("7b9p5", ""),
        ("7b9h8", ""),
        ("7b9h7", "technique 3:11 h7"),
        ("5/7", ""),
        ("7/5", "technique 3:9 /5"),
        ("7\\5", ""),
        ("5\\7", "technique 3:9 \\7"),
        ("7/7", "technique 3:9 /7"),
        ("7b11", ""),
        ("7b12", "technique 3:9 b12"),
        ("7b9b10", ""),
        ("7b9b12", "technique 3:11 b12"),
        ("5h7b9", ""),
        ("0b2", "technique 3:9 b2"),
        ("0b+", "technique 3:8 0"),
        ("7b9r8", ""),
        ("7b9r7", ""),
        ("7b9r9", "technique 3:11 r9"),
        ("8b9r7", "technique 3:11 r7"),
        ("8b10r5", "technique 3:12 r5"),
        ("7b+r7", ""),
        ("(7)b9r7", ""),
        ("---t12", ""),
    ] {
        let text = line("1   2   3   4", string);
        let found = Reading::of(&text).found();
        let expected: &[&str] = if expected.is_empty() { &[] } else { &[expected] };
        assert_eq!(found, expected, "{string}");
    }
    for (string, fix, mended) in
        [("5p7-", 0, "5h7-"), ("7h5-", 0, "7p5-"), ("7/5-", 0, "7\\5-"), ("8b9r6", 0, "8b9r8")]
    {
        let text = line("1   2   3   4", string);
        let (_, findings) = Reading::of(&text).read();
        assert_eq!(fixed(&text, &findings[0], fix), line("1   2   3   4", mended), "{string}");
    }
    let meant = format!("{}meant  *\n", line("1   2   3   4", "7h5-"));
    check(&meant, &[]);
    check(&line("1   2   3   4", "7b9b8"), &["block-syntax 3:11 b"]);
    check(&line("1   2   3   4", "7/.h9"), &["block-syntax 3:11 h"]);
}

#[test]
fn pitches_are_joined_by_the_same_rules() {
    let text = |notes: &str| format!("~~~ riff\ncount  1       2       3\nnotes  {notes}\n");
    for (notes, expected) in [
        ("A4hB4", ""),
        ("B4hA4", "technique 3:10 hA4"),
        ("A4pB4", "technique 3:10 pB4"),
        ("A4bC#5", ""),
        ("A4bD5", "technique 3:10 bD5"),
        ("A4h--B4", "column-adrift 3:13 B4"),
    ] {
        let expected: &[&str] = if expected.is_empty() { &[] } else { &[expected] };
        assert_eq!(Reading::of(&text(notes)).found(), expected, "{notes}");
    }
}

#[test]
fn a_bracket_may_stand_under_the_count() {
    for (string, expected) in
        [("----(7)", "3:(7)"), ("---(7)-", "3:(7)"), ("----<12>", "3:<12>"), ("---<12>", "3:<12>")]
    {
        let text = line("1   2   3   4", string);
        assert_eq!(events(&Reading::of(&text).clean()), [format!("1 960+2880 {expected}")]);
    }
    let counted = line("1  (2)  3   4", "--------5");
    assert_eq!(events(&Reading::of(&counted).clean()), ["1 1920+1920 3:5"]);
}

#[test]
fn notes_adrift_name_the_nearest_counts_and_are_moved() {
    let text = line("1   2   3   4  |1   2   3   4", "5----7--9------|-5---7---9---10-");
    let (_, findings) = Reading::of(&text).read();
    let places: Vec<String> = findings.iter().map(|finding| located(&text, finding)).collect();
    assert_eq!(
        places,
        [
            "column-adrift 3:13 7",
            "column-adrift 3:25 5",
            "column-adrift 3:29 7",
            "column-adrift 3:33 9",
            "column-adrift 3:37 10",
        ]
    );
    assert_eq!(
        findings[0].message,
        "bar 1, third string: fret 7 stands under no count; the nearest are beat 2 and beat 3"
    );
    let says = |index: usize| findings[index].fixes[0].says.as_str();
    assert_eq!(says(0), "the notes of this bar under its counts: fret 7 under beat 2");
    assert_eq!(says(1), "the notes of this bar under its counts: fret 5 under beat 1, and so on");
    let once = fixed(&text, &findings[0], 0);
    assert_eq!(once, line("1   2   3   4  |1   2   3   4", "5---7---9------|-5---7---9---10-"));
    let twice = fixed(&text, &findings[1], 0);
    assert_eq!(twice, line("1   2   3   4  |1   2   3   4", "5----7--9------|5---7---9---10--"));
}

#[test]
fn rows_that_begin_in_different_columns_are_told_so() {
    let rows = "\
count   1   &   2   &   |1   &   2   &   |
B|5---7---8---9---|5---7---8---9---|
G|5---7---8---9---|5---7---8---9---|";
    let (_, findings) = Reading::of(&format!("~~~ riff\n{rows}\n")).read();
    let note = "begin all rows of a system in the same column";
    let first = findings.iter().find(|finding| finding.rule.name == "bar-adrift").unwrap();
    assert!(first.notes.iter().any(|line| line == note), "{findings:?}");
}

#[test]
fn a_note_too_far_from_any_count_has_no_fix() {
    let text = line("1           3 4", "------5--------");
    let (_, findings) = Reading::of(&text).read();
    assert_eq!(findings.len(), 1);
    assert!(findings[0].fixes.is_empty());
}

#[test]
fn frets_are_on_the_neck() {
    check(&line("1   2   3   4", "23--22--"), &["fret-range 3:8 23"]);
    check(&line("1   2   3   4", "1234567890123"), &["fret-range 3:8 1234567890123"]);
    let text = line("1   &   3   4", "----27--");
    let (_, findings) = Reading::of(&text).read();
    assert_eq!(
        findings[0].message,
        "bar 1, the & of 1, third string: fret 27 is off the neck, which ends at fret 22"
    );
    let mut capo = Reading::of(HOOK).over("verse", "A | F#m7");
    capo.setting.instrument.capo = 17;
    assert_eq!(capo.found(), ["fret-range 6:29 6"]);
}

#[test]
fn bar_lines_repeat_and_double() {
    let text = "\
~~~ riff
count  |:1   4  :|x3 1 4||1 4   :|
B      |---------|------||-------|
G      |-5------:|---5--|-5------|
";
    let riff = Reading::of(text).clean();
    let shape: Vec<_> =
        riff.bars.iter().map(|bar| (bar.repeat_start, bar.repeat_end, bar.double_end)).collect();
    assert_eq!(shape, [(true, Some(3), false), (false, None, true), (false, Some(2), false)]);
    check("~~~ riff\ncount |:1 4 :|x3\nB     --5---\nG     |-5---\n", &[]);
    check("~~~ riff\ncount 1 4:|x1\nG     5---|\n", &["block-syntax 2:12 x1"]);
}

#[test]
fn bar_lines_stand_under_each_other() {
    let text = "\
~~~ riff
count  1   4  |1   4  |1   4  |
B      5------|7------|5------|
G      5------|-7----|-5------|
";
    let found = Reading::of(text).found();
    assert_eq!(found, ["column-adrift 4:17 7", "bar-adrift 4:22 |"]);
    let text = text.replace("-7----|-5", "7-----|-5");
    let (_, findings) = Reading::of(&text).read();
    assert_eq!(located(&text, &findings[0]), "bar-adrift 4:22 |");
    assert_eq!(findings.len(), 1);
    check(&fixed(&text, &findings[0], 0), &[]);
    check("~~~ riff\ncount  1 4|1 4|1 4\nG      5--|-------\n", &["bar-adrift 3:15 -"]);
}

#[test]
fn the_first_and_the_last_bar_line_may_be_left_out() {
    for text in [
        "~~~ riff\ncount |1 4|1 4|\nB     |---|---|\nG     |5--|5--|\n",
        "~~~ riff\ncount  1 4|1 4\nG      5--|5--\n",
        "~~~ riff\ncount  1 4|1 4\nB     |---|---|\nG     |5--|5--|\n",
        "~~~ riff\ncount  1 4|1 4\nB      ---|---\nG     |5--|5--|\n",
        "~~~ riff\ncount|1 4|1 4\nG    |5--|5--\n",
        "~~~ riff\ncount  1 4|1 4\nG      5---5--\n",
    ] {
        let riff = Reading::of(text).clean();
        assert_eq!(events(&riff), ["1 0+3840 3:5", "2 0+3840 3:5"], "{text}");
    }
}

#[test]
fn rows_that_are_none_are_told() {
    check("~~~ riff\ncuont 1 4\nG     5--\n", &["row-label 2:1 cuont"]);
    check("~~~ riff\ncount 1 4\ncount 1 4\nG     5--\n", &["block-syntax 3:1 count"]);
    check("~~~ riff\ncount 1 4\nG---5--\nB     5\n", &["row-label 3:1 G---5--"]);
    check("~~~ riff\ncount 1 4\n | 4\nB     5\n", &["block-syntax 3:2 |"]);
    check("~~~ riff\n", &["block-syntax 1:1 ~~~ riff"]);
    check("~~~ riff\ncount 1\t4\nG     5--\n", &["tab-character 2:8 \t"]);
}

#[test]
fn unknown_rows_are_told_with_the_rows_that_there_are() {
    let text = "~~~ riff\ncount 1   2   3   4\ne     ------------5\nH     5---7--------\n";
    let (_, findings) = Reading::of(text).read();
    assert_eq!(findings.len(), 1, "{findings:#?}");
    assert_eq!(located(text, &findings[0]), "row-label 4:1 H");
    assert_eq!(findings[0].message, "a riff has no row `H`");
    assert_eq!(findings[0].notes[0], "did you mean `B`?");
    let rows = &findings[0].notes[1];
    assert!(
        rows.starts_with("its rows are the strings E4 B3 G3 D3 A2 E2, and `count`, "),
        "{rows}"
    );
    check(&fixed(text, &findings[0], 0), &[]);
    for (row, near) in [("cuont  1", &["count"][..]), ("lefft  1", &["left"]), ("blub   1", &[])] {
        let text = format!("{}{row}\n", line("1   2   3   4", "5-------7"));
        let (_, findings) = Reading::of(&text).read();
        let fixes: Vec<&str> = findings[0].fixes.iter().map(|fix| fix.replace.trim_end()).collect();
        assert_eq!((findings[0].rule.name, fixes.as_slice()), ("row-label", near), "{row}");
    }
    let shorter = format!("{}lefft  1\n", line("1   2   3   4", "5-------7"));
    let (_, findings) = Reading::of(&shorter).read();
    assert_eq!(fixed(&shorter, &findings[0], 0), shorter.replace("lefft", "left "));
}

#[test]
fn an_effects_row_is_no_string() {
    let text = "~~~ riff\ncount 1   2\nfx    5---\nB     7---\ne     5---\n";
    assert_eq!(Reading::of(text).found().first().map(String::as_str), Some("row-label 3:1 fx"));
    let text = "~~~ riff\ncount 1   2\nfx    5---\ne     5---\nB     7---\n";
    assert_eq!(Reading::of(text).found(), ["row-label 3:1 fx"]);
}

#[test]
fn a_first_bar_that_begins_late_may_be_a_pickup() {
    use crate::findings::Weight;
    let two = "  |1   2   3   4 |1   2   3   4 ";
    for (first, rest, over, weight) in [
        ("            4 ", two, "", Some(Weight::Hint)),
        ("            4 ", two, "A|D", Some(Weight::Doubt)),
        ("            4 ", two, "A|D|E", Some(Weight::Hint)),
        ("            4 ", "  |1   2   3   4 |1   2   3", "", Some(Weight::Doubt)),
        ("    2   3   4 ", "  |1", "", Some(Weight::Doubt)),
        ("        3   4 ", "  |1   2   3   4", "", Some(Weight::Hint)),
        ("(1)         4 ", two, "A|D", None),
        ("1           4 ", two, "", None),
        ("            4 ", "", "", None),
    ] {
        let head = if over.is_empty() { "" } else { " over verse" };
        let counts = format!("{first}{rest}");
        let string: String = counts.chars().map(|c| if c == '|' { '|' } else { '-' }).collect();
        let text = format!("~~~ riff{head}\ncount  {counts}\nG      {string}\n");
        let mut reading = Reading::of(&text);
        if !over.is_empty() {
            reading = reading.over("verse", over);
        }
        let (_, findings) = reading.read();
        let found: Vec<Weight> = findings
            .iter()
            .inspect(|found| assert_eq!(found.rule.name, "no-pickup", "{text}{findings:#?}"))
            .map(|found| found.weight)
            .collect();
        assert_eq!(found, weight.into_iter().collect::<Vec<_>>(), "{text}");
    }
}

#[test]
fn a_pickup_is_called_so_or_begun_with_a_rest() {
    let text =
        "~~~ riff\ncount              4 |1   2   3   4\nG      ------------5-|7-----------\n";
    let (_, findings) = Reading::of(text).read();
    assert_eq!(findings[0].message, "bar 1 begins at beat 4 and isn't called a pickup");
    let called = fixed(text, &findings[0], 0);
    assert!(called.starts_with("~~~ riff, pickup\n"), "{called}");
    assert!(Reading::of(&called).clean().pickup);
    let rested = fixed(text, &findings[0], 1);
    assert!(rested.contains("count  (1)         4 |"), "{rested}");
    assert!(!Reading::of(&rested).clean().pickup);
    let narrow = "~~~ riff\ncount  4 |1   2   3   4\nG      5-|7-----------\n";
    assert_eq!(Reading::of(narrow).read().1[0].fixes.len(), 1);
    // The last bar of a pickup may lack its beats without a word.
    let completed =
        "~~~ riff pickup\ncount  4 |1   2   3   4   |1   2   3\nG      5-|7---------------|5--\n";
    Reading::of(completed).clean();
}

#[test]
fn tabs_are_taken_for_the_width_that_lines_the_bars_up() {
    let text = "~~~ riff\ncount\t1   4   |1   4\nB       5---7---|5---7\nG\t--------|-----\n";
    let (_, findings) = Reading::of(text).read();
    let places: Vec<String> = findings.iter().map(|finding| located(text, finding)).collect();
    assert_eq!(places, ["tab-character 2:6 \t", "tab-character 4:2 \t"]);
    let fixed_once = fixed(text, &findings[1], 0);
    check(&fixed(&fixed_once, &findings[0], 0), &[]);
}

#[test]
fn a_row_that_slips_is_told_once_and_read_on() {
    for (slipped, place, whole) in [
        (
            "5------|7-------|5------|3------",
            "bar-adrift 4:24 |",
            "5------|7------|5------|3------",
        ),
        ("5------|7-----|5------|3------", "bar-adrift 4:22 |", "5------|7------|5------|3------"),
        ("5------|7------|5-------|3---5", "bar-adrift 4:32 |", "5------|7------|5------|3---5"),
        ("5------|7------|5-----|3---5--", "bar-adrift 4:30 |", "5------|7------|5------|3---5--"),
    ] {
        let text = |row: &str| {
            let count = "1   4  |1   4  |1   4  |1   4";
            let other = "-------|-------|-------|-------";
            format!("~~~ riff\ncount  {count}\nB      {other}\nG      {row}\n")
        };
        let text_slipped = text(slipped);
        let (riff, findings) = Reading::of(&text_slipped).read();
        let places: Vec<String> =
            findings.iter().map(|finding| located(&text_slipped, finding)).collect();
        assert_eq!(places, [place]);
        assert_eq!(fixed(&text_slipped, &findings[0], 0), text(whole));
        assert_eq!(events(&riff.unwrap()), events(&Reading::of(&text(whole)).clean()));
    }
}

#[test]
fn string_rows_find_their_strings() {
    check("~~~ riff\ncount 1 4\nC     5--\nB     ---\n", &["row-label 3:1 C"]);
    check("~~~ riff\ncount 1 4\nB     5--\nG     ---\nB     ---\nG     --2\n", &[]);
    check(
        "~~~ riff\ncount 1 4\nE     5--\nA     ---\nD     3--\nG     --\n",
        &["upside-down 3:1 E"],
    );
    let text = "~~~ riff\ncount 1 4\nD     5--\nA     ---\n";
    let open = Reading::of(text).tuning("D2 A2 D3 G3 A3 D4");
    assert_eq!(open.found(), ["row-label 3:1 D", "row-label 4:1 A"]);
    let (_, findings) = open.read();
    assert_eq!(fixed(text, &findings[0], 0), text.replace("D ", "D4"));
    let riff = Reading::of("~~~ riff\ncount 1 4\nCb    5--\n").clean();
    assert_eq!(only(&riff).string, 4);
}

#[test]
fn a_last_bar_line_slips_by_a_filler_too_many_or_too_few() {
    for (row, fixed_row) in [
        ("0-------|5--------|", "0-------|5-------|"),
        ("0-------|5------|", "0-------|5-------|"),
        ("0--------|5-------|", "0-------|5-------|"),
        ("0------|5-------|", "0-------|5-------|"),
        ("0-------|5----------|", "0-------|5-------|"),
    ] {
        let text = |row: &str| format!("~~~ riff\ncount  1   4   |1   4   |\nG      {row}\n");
        let slipped = text(row);
        let (riff, findings) = Reading::of(&slipped).read();
        let names: Vec<&str> = findings.iter().map(|finding| finding.rule.name).collect();
        assert_eq!(names, ["bar-adrift"], "{row}");
        assert_eq!(fixed(&slipped, &findings[0], 0), text(fixed_row), "{row}");
        assert_eq!(riff.unwrap().bars.len(), 2, "{row}");
    }
}

#[test]
fn rows_for_one_string_clash_where_both_have_a_note() {
    let rows = |first: &str, second: &str, third: &str| {
        format!("~~~ riff\ncount  1   2   3   4\n{first}\n{second}\n{third}\n")
    };
    for (text, found) in [
        (rows("e      0---2---3---5", "E4     3-----------7", ""), vec!["4:8 3", "4:20 7"]),
        (
            rows("e      0---2---3---5", "e      3-------0----", "B      1------------"),
            vec!["4:8 3", "4:16 0"],
        ),
        (
            rows("B3     0---2--------", "G      1-------0----", "B3     5---3--------"),
            vec!["5:8 5", "5:12 3"],
        ),
        (rows("e      0---2---3---5", "e      3-------0----", ""), vec![]),
        (rows("e      0-------3----", "E4     ----2-------5", ""), vec![]),
    ] {
        let found: Vec<String> =
            found.into_iter().map(|place| format!("same-string {place}")).collect();
        assert_eq!(Reading::of(&text).found(), found, "{text}");
    }
    let text = rows("e      0---2---3---5", "E4     3-----------7", "");
    let (riff, findings) = Reading::of(&text).read();
    let labels: Vec<&str> =
        findings[1].labels.iter().map(|label| &text[label.span.start..label.span.end]).collect();
    assert_eq!(labels, ["5"]);
    assert_eq!(
        findings[1].message,
        "bar 1, beat 4, first string: two notes on one string at the same time"
    );
    assert_eq!(events(&riff.unwrap()).len(), 4);
}

#[test]
fn systems_have_rows_of_their_own() {
    let text = "\
~~~ riff
count  1   4  |
G      5------|

count  |1   4
E      |3----
D      |----5
";
    let riff = Reading::of(text).clean();
    assert_eq!(events(&riff), ["1 0+3840 3:5", "2 0+2880 1:3", "2 2880+960 4:5"]);
    check(
        "~~~ riff\ncount  1   4\nG      5---\n\nG      5---\n",
        &["block-syntax 5:1 G", "column-adrift 5:8 5"],
    );
}

#[test]
fn fingers_strokes_and_accents_belong_to_the_notes_at_their_count() {
    let text = "\
~~~ riff
count  1   2   3   4
B      3---3-----7-------
G      2---0---5h--7b9---
D      0---2---5---------
left   .13 2   1   3
right  pim p   im  a
pick   d   u   x
accent     >
meant              *
";
    let riff = Reading::of(text);
    let found = riff.found();
    assert_eq!(found, ["column-adrift 3:18 7"]);
    let text = text.replace("-----7--", "--------");
    let riff = Reading::of(&text).clean();
    let bar = &riff.bars[0];
    let fingers = |event: usize| -> Vec<Option<char>> {
        bar.events[event].notes.iter().map(|note| note.finger.map(Finger::sign)).collect()
    };
    assert_eq!(fingers(0), [None, Some('1'), Some('3')]);
    assert_eq!(fingers(1), [Some('2'), None, Some('2')]);
    assert_eq!(fingers(2), [Some('1'), Some('1')]);
    assert_eq!(fingers(3), [Some('3')]);
    assert_eq!(bar.events[0].right, "pim");
    assert_eq!(bar.events[3].right, "a");
    assert_eq!(bar.events[2].pick, Some(Pick::Choked));
    assert!(
        bar.events[1].signs.contains_key("accent") && !bar.events[0].signs.contains_key("accent")
    );
    assert!(bar.events[3].meant && !bar.events[0].meant);
    assert_eq!(bar.events[3].notes[0].graces[0].finger, Some(Finger::Ring));
}

#[test]
fn signs_of_the_other_rows_are_checked() {
    for (row, expected) in [
        ("left   12", "block-syntax 4:8 12"),
        ("left   7", "block-syntax 4:8 7"),
        ("left     1", "column-adrift 4:10 1"),
        ("left       1", "column-adrift 4:12 1"),
        ("right  q", "block-syntax 4:8 q"),
        ("right  pi", "block-syntax 4:8 pi"),
        ("pick   k", "block-syntax 4:8 k"),
        ("pick       d", ""),
        ("accent ^", "block-syntax 4:8 ^"),
        ("meant  x", "block-syntax 4:8 x"),
        ("mute   #", "block-syntax 4:8 #"),
        ("mute    ==", "column-adrift 4:9 =="),
        ("ending 3.", "block-syntax 4:8 3."),
        ("ending   1.", "column-adrift 4:10 1."),
        ("meter  4/5", "block-syntax 4:8 4/5"),
        ("meter    3/4", "column-adrift 4:10 3/4"),
        ("sung   la", ""),
        ("sung     la", "column-adrift 4:10 la"),
        ("words    anywhere at all", ""),
        ("chord    A", "column-adrift 4:10 A"),
        ("chord  H7", "unknown-chord 4:8 H7"),
        ("chord  N.C.", ""),
        ("rigth  p", "row-label 4:1 rigth"),
    ] {
        let text = format!("{}{row}\n", line("1   2   3   4", "5-------7"));
        let found = Reading::of(&text).found();
        let expected: &[&str] = if expected.is_empty() { &[] } else { &[expected] };
        assert_eq!(found, expected, "{row}");
    }
}

#[test]
fn words_are_read_where_they_stand() {
    let text = "\
~~~ riff
count  1   2   3   4   |1   2   3   4
G      5---7---5---7---|5---7---------
sung   Slow-   ly  goes|the     fer-ry
words  let it ring     |  softly   louder
tone   clean
";
    let found = Reading::of(text).found();
    assert_eq!(found, Vec::<String>::new());
    let riff = Reading::of(text).clean();
    let said = |remarks: &[super::model::Remark]| -> Vec<String> {
        remarks.iter().map(|remark| format!("{} {}", remark.at.0, remark.text)).collect()
    };
    assert_eq!(said(riff.bars[0].remarks("sung")), ["0 Slow-", "1920 ly", "2880 goes"]);
    assert_eq!(said(riff.bars[0].remarks("words")), ["0 let it ring"]);
    assert_eq!(said(riff.bars[1].remarks("words")), ["0 softly", "1920 louder"]);
    assert_eq!(said(riff.bars[0].remarks("tone")), ["0 clean"]);
}

#[test]
fn runs_span_columns_over_bar_lines() {
    let text = "\
~~~ riff
count  1   2   3   4  |1   2   3   4
G      5---7---5---7--|5---7---------
mute   ====  xxxxxxxxx|xxx
ring       .....
";
    let riff = Reading::of(text).clean();
    let run = |from, to| (Ticks(from), Ticks(to));
    assert_eq!(riff.runs("mute"), [run(0, 960), run(1920, 4800)]);
    assert_eq!(riff.runs("ring"), [run(960, 2880)]);
}

#[test]
fn endings_and_meters_hold_on() {
    let text = "\
~~~ riff
ending |        |1.      |2.      |
meter  |        |3/4     |        |
count  |:1   4  |1   3  :|1   3   |
G      |-5------|--------|5-------|
";
    let riff = Reading::of(text).clean();
    let endings: Vec<_> = riff.bars.iter().map(|bar| (bar.ending, bar.within_ending)).collect();
    assert_eq!(endings, [(None, None), (Some(1), Some(1)), (Some(2), Some(2))]);
    let meters: Vec<_> =
        riff.bars.iter().map(|bar| (bar.meter.beats(), bar.meter_changes)).collect();
    assert_eq!(meters, [(4, false), (3, true), (3, false)]);
    assert_eq!(riff.bars[2].start, Ticks(3840 + 2880));
}

fn heard(harmony: &BarHarmony) -> Vec<String> {
    harmony
        .passes
        .iter()
        .map(|pass| {
            let said = |(at, chord): &(Ticks, Option<Chord>)| {
                let chord = chord.as_ref().map_or("NC".to_string(), Chord::to_string);
                format!("{}{chord}", if at.0 == 0 { String::new() } else { format!("{}:", at.0) })
            };
            pass.chords.iter().map(said).collect::<Vec<_>>().join(" ")
        })
        .collect()
}

#[test]
fn changes_run_along_with_the_bars() {
    for (head, bars, changes, expected) in [
        ("over verse", 2, "A|D", "A | D"),
        ("over verse", 3, "A|D", "A | D | A"),
        ("over VERSE", 1, "A D|D", "A 1920:D"),
        ("over the verse", 1, "A", "A"),
        ("over verse bars 2 to 3", 3, "A|D|E", "D | E | D"),
        ("over verse bars 2-3", 2, "A|D|E", "D | E"),
        ("over verse bar 3", 2, "A|D|E", "E | E"),
        ("over verse", 3, "NC|D|", "NC | D | D"),
    ] {
        let count = vec!["1 4"; bars].join("|");
        let text = format!("~~~ riff {head}\ncount {count}\nG     ---\n");
        let riff = Reading::of(&text).over("verse", changes).clean();
        let found: Vec<String> = riff.harmony.iter().map(|bar| heard(bar).join("/")).collect();
        assert_eq!(found.join(" | "), expected, "{head}: {bars} bars over {changes}");
    }
}

#[test]
fn repeats_are_played_out_over_the_changes() {
    let text = "\
~~~ riff over verse
ending |     |1.   |2.   |
count  |:1 4 |1 4 :|1 4  |
G      |-5---|-----|-----|
";
    let riff = Reading::of(text).over("verse", "A|D|E|F").clean();
    let found: Vec<String> = riff.harmony.iter().map(|bar| heard(bar).join("/")).collect();
    assert_eq!(found, ["A/E", "D", "F"]);
}

#[test]
fn a_bar_takes_the_meter_that_the_changes_give_it_alone() {
    let text = "~~~ riff over verse\ncount 1 4|1 2\nG     5--|---\n";
    let riff = Reading::of(text).over("verse", "A|(2/4) D").clean();
    assert_eq!(riff.bars[1].length, Ticks(1920));
    assert!(riff.bars[1].meter_changes);
    let own = text.replace("count", "meter 4/4\ncount");
    let riff = Reading::of(&own).over("verse", "A|(2/4) D").read().0.unwrap();
    assert_eq!(riff.bars[1].length, Ticks(3840));
}

#[test]
fn an_upbeat_has_the_changes_own_or_no_chord() {
    let text = "~~~ riff over verse, pickup\ncount 4|1 4\nG     5|---\n";
    let mut reading = Reading::of(text).over("verse", "A|D");
    let found = |reading: &Reading| -> Vec<String> {
        reading.clean().harmony.iter().map(|bar| heard(bar).join("/")).collect()
    };
    assert_eq!(found(&reading), ["", "A"]);
    reading.book.0[0].1.pickup = Some(super::testing::harmony_bar("E B7"));
    assert_eq!(found(&reading), ["B7", "A"]);
}

#[test]
fn the_chord_row_holds_against_the_changes() {
    let text = "\
~~~ riff over verse
chord  A         |D    E
count  1   3   4 |1   3   4
G      5-------- |---------
";
    let reading = Reading::of(text).over("verse", "A|D E|A");
    assert_eq!(reading.found(), ["column-adrift 2:24 E"]);
    let text = text.replace("D    E", "D   F");
    let reading = Reading::of(&text).over("verse", "A|D E");
    assert_eq!(reading.found(), ["chords-differ 2:23 F"]);
    let (riff, findings) = reading.read();
    assert_eq!(findings[0].message, "bar 2, beat 3: the chord row has `F`, but `verse` has `E`");
    let found: Vec<String> = riff.unwrap().harmony.iter().map(|bar| heard(bar).join("/")).collect();
    assert_eq!(found, ["A", "D 1920:F"]);
    let meant = format!("{}meant                 *\n", text.replace("|---------", "|----5----"));
    let found = Reading::of(&meant).over("verse", "A|D E").found();
    assert_eq!(found, Vec::<String>::new());
}

#[test]
fn names_of_changes_are_known() {
    let text = "~~~ riff over vers\ncount 1 4\nG     5--\n";
    let reading = Reading::of(text).over("verse", "A");
    assert_eq!(reading.found(), ["unknown-name 1:15 vers"]);
    assert_eq!(fixed(text, &reading.read().1[0], 0), text.replace("vers", "verse"));
    let text = text.replace("vers", "verse bars 2 to 3");
    let reading = Reading::of(&text).over("verse", "A|D");
    assert_eq!(reading.found(), ["unknown-name 1:10 over verse bars 2 to 3"]);
    check("~~~ riff sideways\ncount 1 4\nG     5--\n", &["block-syntax 1:10 sideways"]);
    check("~~~ riff near fret 7\ncount 1 4\nG     5--\n", &["block-syntax 1:10 near fret 7"]);
}

#[test]
fn chords_outside_the_key_are_hinted_at_once() {
    let text = "\
~~~ riff
chord  D   E7  |A   E7
count  1   3  4|1   3  4
G      5-------|--------
";
    let reading = Reading::of(text).key("D major");
    assert_eq!(reading.found(), ["outside-key 2:12 E7"]);
    assert!(reading.read().1[0].notes[0].contains("dominant"));
}

#[test]
fn an_unknown_chord_offers_the_nearest() {
    let text = "\
~~~ riff
chord  A4      |A
count  1   3  4|1   3  4
G      5-------|--------
";
    let reading = Reading::of(text);
    assert_eq!(reading.found(), ["unknown-chord 2:8 A4"]);
    assert_eq!(fixed(text, &reading.read().1[0], 0), text.replace("A4    ", "Aadd11"));
    assert_eq!(fixed(text, &reading.read().1[0], 1), text.replace("A4   ", "Asus4"));
}

#[test]
fn a_riff_without_a_count_has_columns_for_moments() {
    let text = "~~~ riff over verse\ne  ----5h7--|---\nB  -5--6----|-8-\n";
    let reading = Reading::of(text).over("verse", "A|D");
    assert_eq!(reading.found(), ["no-count 1:1 ~~~ riff over verse"]);
    let riff = reading.read().0.unwrap();
    assert!(!riff.timed);
    assert_eq!(events(&riff), ["1 1+3 2:5", "1 4+2 2:6 1:5", "1 6+4 1:7", "2 1+2 2:8"]);
    assert_eq!(riff.place(0, Ticks(4), Some(5)), "bar 1, first string");
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
                .all(|note| { (note.sound == Sound::Fret(0)) == note.finger.is_none() })
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
        pitches.iter().map(|pitch| Sounding::Pitch(*pitch)).collect()
    };
    assert_eq!(pitches[0], sounds(&[69, 73]));
    let fingers: Vec<char> =
        riff.bars[0].events[0].notes.iter().map(|note| note.finger.unwrap().sign()).collect();
    assert_eq!(fingers, ['1', '2']);
    assert!(riff.bars[0].events[1].notes[0].ghost);
    assert_eq!(pitches[2..], [[73], [69], [74], [78], [68]].map(|pitches| sounds(&pitches)));
    let notes: Vec<&super::model::Note> =
        riff.bars.iter().flat_map(|bar| &bar.events).skip(2).map(|event| &event.notes[0]).collect();
    let joints =
        |note: &super::model::Note| (note.graces.first().map(|grace| grace.joined), note.joined);
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
    assert_eq!(only(&Reading::of(bend).clean()).sound, Sound::Fret(25));
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
        frets: vec![None, Some(0), Some(2), Some(2), Some(2), None],
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
