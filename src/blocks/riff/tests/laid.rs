//! Patterns laid over changes.

use super::super::testing::{Reading, events};
use crate::theory::harmony::BarSigns;
use crate::theory::{Harmony, Ticks};

const PATTERN: &str = "~~~ riff over tune\ncount 1 2 3 4\npick  d   u x\nmute  ==\n";

#[test]
fn a_pattern_is_played_under_every_bar_of_the_changes() {
    let riff = Reading::of(PATTERN).over("tune", "Am | C Em").clean();
    assert_eq!(
        events(&riff),
        [
            "1 0+1920 5:0 4:2 3:2 2:1 1:0",
            "1 1920+960 5:0 4:2 3:2 2:1 1:0",
            "1 2880+960 5:x 4:x 3:x 2:x 1:x",
            "2 0+1920 5:3 4:2 3:0 2:1 1:0",
            "2 1920+960 6:0 5:2 4:2 3:0 2:0 1:0",
            "2 2880+960 6:x 5:x 4:x 3:x 2:x 1:x",
        ]
    );
    let runs = riff.runs("mute");
    assert_eq!(runs.len(), 2, "{runs:?}");
    assert_eq!(runs[1].0.since(runs[0].0), Ticks::WHOLE);
}

#[test]
fn a_pattern_rests_without_a_chord_and_is_cut_where_a_bar_is_short() {
    let riff = Reading::of(PATTERN).over("tune", "Am | NC | (2/4) C | Am").clean();
    let strokes: Vec<usize> = riff.bars.iter().map(|bar| bar.events.len()).collect();
    assert_eq!(strokes, [3, 0, 1, 3]);
    let rests: Vec<usize> =
        riff.bars.iter().map(|bar| bar.counts.iter().filter(|count| count.rest).count()).collect();
    assert_eq!(rests, [0, 1, 0, 0]);
    assert_eq!(riff.bars[2].length, Ticks(1920));
    assert_eq!(riff.bars[3].start, Ticks(3840 * 2 + 1920));
}

/// The signs of the bars over which a pattern of so many bars is laid: `|:`, `:|` and the chord's bar.
fn signs(pattern: &str) -> Vec<String> {
    let mut reading = Reading::of(pattern).over("tune", "Am | C | G");
    let Harmony { mut written, .. } = reading.book.0.remove(0).1;
    written[0].signs = BarSigns { repeat_start: true, ..BarSigns::default() };
    written[1].signs = BarSigns { repeat_end: Some(2), ..BarSigns::default() };
    written.truncate(if pattern.contains('|') { 3 } else { 2 });
    // A repeat of one bar meets the second bar of a pattern of two another time.
    let order = match written.len() {
        2 => vec![0, 1, 0, 1],
        _ => vec![0, 1, 2, 0, 1, 2],
    };
    let bars = order.iter().map(|index| written[*index].clone()).collect();
    reading.book.0.push(("tune", Harmony { pickup: None, bars, written, order }));
    let riff = reading.clean();
    let sign = |bar: &crate::music::tab::Bar| {
        let from = if bar.repeat_start { "|: " } else { "" };
        let to = if bar.repeat_end.is_some() { " :|" } else { "" };
        format!("{from}{}{to}", bar.number)
    };
    riff.bars.iter().map(sign).collect()
}

#[test]
fn repeats_stand_as_signs_where_the_pattern_allows_else_they_are_played_out() {
    assert_eq!(signs(PATTERN), ["|: 1", "2 :|"]);
    let two = "~~~ riff over tune\ncount 1 2 3 4 |1 2 3 4 |\npick  d   u x |d d d d |\n";
    assert_eq!(signs(two), ["1", "2", "3", "4", "5", "6"]);
}
