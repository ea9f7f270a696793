//! String rows: signs, joints, and notes under no count.

use super::super::testing::{Reading, events, fixed, located};
use super::{check, hook_over_verse, line, only};
use crate::findings::Ground;
use crate::music::tab::{Joint, Slide, Sound};
use crate::neck::Fret;

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
    assert_eq!(signs("<7>").sound, Sound::Harmonic(Fret::new(7)));
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
    assert_eq!(says(0), "fret 7 under beat 2");
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
    let text = hook_over_verse();
    let mut capo = Reading::of(&text).over("verse", "A | F#m7");
    capo.setting.instrument.capo = 17;
    assert_eq!(capo.found(), ["fret-range 6:29 6"]);
}
