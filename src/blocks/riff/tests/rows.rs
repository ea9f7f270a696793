//! The rows that say more about what is played, and those that shape bars.

use super::super::testing::Reading;
use super::line;
use crate::music::tab::Pick;
use crate::neck::Finger;
use crate::theory::Ticks;

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
        ("mute   ---", "block-syntax 4:8 ---"),
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
        ("chord  N.C", ""),
        ("chord  nc", ""),
        ("chord  Nc.", ""),
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
    let said = |remarks: &[crate::music::tab::Remark]| -> Vec<String> {
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

#[test]
fn strokes_that_strike_nothing_are_kept() {
    let text = "\
~~~ riff
count  1   &   2   &   |(1) 2
B      3-------5-------|----7
pick   d   u   d   x   | u  d
";
    let riff = Reading::of(text).clean();
    let air = |bar: usize| -> Vec<(Ticks, Pick)> {
        riff.bars[bar].air.iter().map(|one| (one.at, one.pick)).collect()
    };
    assert_eq!(air(0), [(Ticks(480), Pick::Up), (Ticks(1440), Pick::Choked)]);
    assert_eq!(air(1), [(Ticks(0), Pick::Up)]);
}
