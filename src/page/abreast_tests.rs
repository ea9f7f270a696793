//! Parts of a song side by side, and what stands whole on a page.

use super::aside_tests::{place, pressed, words};
use crate::ink::{Point, Pt};
use std::fmt::Write;

const HEAD: &str = "---\ntitle: T\nkey: A major\nteacher: Ines Marlow\n---\n\n";
/// A line of prose.
const PROSE: &str = "The whole of it grows from one small idea: a picked chord.\n\n";

/// A part of a song whose lines are these words, numbered.
fn part(name: &str, line: &str, lines: usize) -> String {
    let rows = (1..=lines).fold(String::new(), |mut rows, number| {
        let _ = writeln!(rows, "chord A\nsung  {line}{number}");
        rows
    });
    format!("~~~ lyrics {name}\n{rows}~~~\n\n")
}

fn song() -> String {
    let part = |name, line| part(name, line, 4);
    [part("verse", "over"), part("chorus", "under"), part("second", "after"), part("bridge", "by")]
        .concat()
}

fn are_level(one: Point, other: Point) -> bool {
    (one.y - other.y).0.abs() < 0.1
}

#[test]
fn short_parts_of_a_song_stand_two_and_two() {
    let document = pressed(&format!("{HEAD}{}", song()), "handout");
    let at = |words: &str| place(&document, words).1;
    let [verse, chorus, second, bridge] = ["over1", "under1", "after1", "by1"].map(at);
    assert!(are_level(verse, chorus) && are_level(second, bridge), "{verse:?} {chorus:?}");
    assert!(chorus.x > verse.x + Pt(200.0) && (bridge.x, second.x) == (chorus.x, verse.x));
    assert!(second.y > at("under4").y);
    // The boxes of all its chords stand over both columns, above the first caption.
    let (boxes, caption) = (at("the song’s chords"), at("verse"));
    assert!(boxes.y < caption.y && are_level(caption, at("chorus")), "{boxes:?} {caption:?}");
}

#[test]
fn parts_stand_one_under_the_other_where_their_lines_are_long_or_something_is_between() {
    let long = "a line that is much too long to stand in the half of a page beside another one";
    let long = part("verse", long, 4) + &part("chorus", "under", 4);
    let between = part("verse", "over", 4) + PROSE + &part("chorus", "under", 4);
    let large =
        part("verse", "down past the mill where the water is", 4) + &part("chorus", "by", 4);
    for (text, template) in [(long, "handout"), (between, "handout"), (large, "large-print")] {
        let document = pressed(&format!("{HEAD}{text}"), template);
        let left = |words: &str| place(&document, words).1.x;
        assert_eq!(left("verse"), left("chorus"), "{template}");
    }
}

#[test]
fn a_verse_and_a_short_figure_stand_whole_wherever_a_page_ends() {
    let verse = part("verse", "over", 4);
    let boxes = "~~~ shape grips -- grips\nA x02220\nD xx0232\nE 022100\nF#m 244222\n~~~\n\n";
    for lines in (4..=24).step_by(2) {
        for (figure, shown) in [(verse.as_str(), ["over1", "over4"]), (boxes, ["A", "F♯m"])] {
            let text = format!("{HEAD}{}{figure}{PROSE}", PROSE.repeat(lines));
            let document = pressed(&text, "large-print");
            let page = |word: &str| {
                let all = words(&document).into_iter();
                all.filter(|(.., own)| own == word).map(|(page, ..)| page).collect::<Vec<_>>()
            };
            let [first, last] = shown.map(page);
            assert!(
                !first.is_empty() && first.last() == last.first(),
                "{lines}: {first:?} {last:?}"
            );
        }
    }
}

#[test]
fn the_caution_stays_with_the_words_that_call_for_it() {
    for lines in (4..=24).step_by(2) {
        let called = "Stretch the hand and hold it.\n\n";
        let text = format!("{HEAD}{}{called}## On\n\n{PROSE}", PROSE.repeat(lines));
        let document = pressed(&text, "large-print");
        let (called, caution) = (place(&document, "Stretch"), place(&document, "Look after"));
        assert_eq!(called.0, caution.0, "{lines}");
    }
}
