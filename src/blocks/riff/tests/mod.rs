//! The riff section of the language page, sentence by sentence.
#![allow(clippy::unwrap_used)]

mod bars;
mod chords;
mod counts;
mod forms;
mod laid;
mod performance;
mod rows;
mod strings;

use super::testing::{Reading, events, hook};
use crate::music::tab::{Joint, Pick, Riff};
use crate::neck::{Finger, StringIndex};
use crate::theory::{Chord, Ticks};

/// The hook over the changes `verse`.
fn hook_over_verse() -> String {
    hook("~~~ riff over verse")
}

fn only(riff: &Riff) -> &crate::music::tab::Note {
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
    let riff = Reading::of(&hook_over_verse()).over("verse", "A | F#m7").clean();
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
    assert_eq!(
        riff.place(1, Ticks(1440), Some(StringIndex::new(3))),
        "bar 2, the & of 2, third string"
    );
    assert_eq!(riff.chord_at(1, Ticks(0)).map(Chord::to_string), Some("F#m7".to_string()));
}
