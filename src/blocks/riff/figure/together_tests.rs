//! What the figure of parts that sound together must keep.
#![allow(clippy::unwrap_used)]

use super::super::testing::{Reading, setting};
use super::tests::{desk_of, each_item, look};
use crate::blocks::figure::{Figure, Look, RestingParts};
use crate::blocks::tab::Tab;
use crate::blocks::tab::parts::{Part, Parts};
use crate::ink::{Fonts, Group, Item, Label, Point, Pt, pt};
use crate::lesson::Sound;

const TUNE: &str = "~~~ riff over bridge
count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &   4   &   |
e       ----------------2-------5-------|2---------------0---------------|
B       2-----------5---------------5---|----------------------------3---|
left    1           4   1       4   4   |1               .           2   |

count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &   (4)     |
e       4---------------1-------4---1---|2-------------------------------|
B       ------------2-------------------|----------------2---------------|
left    4           2   1       4   1   |2               3               |
";

const ANSWER: &str = "~~~ riff over bridge
count   1   e   2   &   3   &   4   &   |1   &   2   &   3   &   4   &   |
D       4---------------4---------------|------------4---2---------------|
A       ----4-------4---------------4---|2---4---5-----------4---2-------|
mute    ================================|                                |

count   1   &   2   &   3   &   4   &   |(1)                             |
D       ----3-------6---3---------------|--------------------------------|
A       4---------------------------4---|--------------------------------|
mute    ================================|                                |
";

const RHYTHM: &str = "~~~ riff over bridge
count   1   &   2   &   3   &   4   &   |
pick    d       d   u       u   d       |
";

const BASS: &str = "~~~ riff over bridge
count   1   2   3   4   |1   2   3   4   |(1)             |(1)             |
E       2---------------|2-------2-------|----------------|----------------|
A       ----------------|----------------|----------------|----------------|
";

fn parts(named: &[(&str, &str)]) -> Parts {
    let part = |(name, text): &(&str, &str)| Part {
        name: (*name).to_owned(),
        tab: tab(text),
        sound: Sound::Steel,
    };
    Parts { parts: named.iter().map(part).collect() }
}

fn tab(text: &str) -> Tab {
    let reading = Reading::of(text).over("bridge", "F#m | Bm7 | C#7 | F#m");
    reading.tab().0.unwrap()
}

fn bridge() -> Parts {
    parts(&[("upper", TUNE), ("lower", ANSWER), ("rhythm", RHYTHM)])
}

fn figure(parts: &Parts, gap: f32, width: f32, resting_parts: RestingParts) -> Figure {
    let fonts = Fonts::new();
    let look = Look { resting_parts, ..look(gap) };
    parts.figure(&desk_of(&fonts, &look, width), &setting("4/4"))
}

/// The words on a strip with their places.
fn words(figure: &Figure, strip: usize) -> Vec<(String, Point)> {
    let mut words = Vec::new();
    each_item(&figure.strips[strip].items, Point::default(), &mut |item, offset| {
        if let Item::Text(at, text) = item {
            let middle = Point::new(at.x + text.width / 2.0, at.y);
            words.push((text.characters(), middle + offset));
        }
    });
    words
}

fn places(figure: &Figure, strip: usize, word: &str) -> Vec<Point> {
    let words = words(figure, strip).into_iter();
    words.filter(|(other, _)| other == word).map(|(_, at)| at).collect()
}

fn label(figure: &Figure, strip: usize) -> &str {
    match &figure.strips[strip].items[0] {
        Item::Group(Group { label: Label::Words { words, .. }, .. }) => words,
        item => panic!("{item:?}"),
    }
}

#[test]
fn parts_stand_on_one_axis_and_what_they_share_stands_once() {
    let figure = figure(&bridge(), 8.5, 440.0, RestingParts::Shown);
    assert_eq!(figure.strips.len(), 2);
    for (word, times) in [("upper", 1), ("lower", 1), ("rhythm", 1), ("count", 1), ("e", 1)] {
        assert_eq!(places(&figure, 0, word).len(), times, "{word}");
    }
    // Both of them pluck in the middle of the first bar, the upper on 3, the lower on 3 too.
    let threes = places(&figure, 0, "3");
    let lowest = threes.iter().fold(Pt::ZERO, |lowest, at| lowest.max(at.y));
    let counted = threes.iter().filter(|at| at.y == lowest);
    let three = counted.fold(pt(1e6), |first, at| first.min(at.x));
    let on_three = words(&figure, 0).into_iter().filter(|(_, at)| (at.x - three).abs() < pt(0.1));
    let frets: Vec<String> = on_three.map(|(word, _)| word).collect();
    assert_eq!(
        frets,
        ["2", "1", "4", "3"],
        "the upper part's fret and finger, the lower's fret, the count"
    );
    for symbol in ["F♯m", "Bm7"] {
        assert_eq!(places(&figure, 0, symbol).len(), 1, "{:?}", words(&figure, 0));
    }
}

#[test]
fn names_stand_before_their_staves_where_there_is_room_and_above_them_elsewhere() {
    let before = |name: &str| {
        let set = parts(&[(name, TUNE), ("rhythm", RHYTHM)]);
        let figure = figure(&set, 8.5, 300.0, RestingParts::Shown);
        let letters = places(&figure, 0, "E").into_iter().map(|at| at.x);
        let highest = places(&figure, 0, "E").into_iter().map(|at| at.y).fold(pt(1e6), Pt::min);
        let at = places(&figure, 0, name)[0];
        (at.x < letters.fold(pt(1e6), Pt::min), at.y < highest)
    };
    assert_eq!(before("upper"), (true, false));
    assert_eq!(before("the second guitar"), (false, true));
}

#[test]
fn a_part_that_rests_through_a_system_is_left_out_where_the_template_says_so() {
    let parts = parts(&[("upper", TUNE), ("bass", BASS)]);
    for (resting, times) in [(RestingParts::Shown, [1, 1]), (RestingParts::LeftOut, [1, 0])] {
        let figure = figure(&parts, 8.5, 300.0, resting);
        let last = figure.strips.len() - 1;
        let found = [0, last].map(|strip| places(&figure, strip, "bass").len());
        assert_eq!(found, times, "{resting:?}");
        assert_eq!(
            label(&figure, last).contains("“bass”: Rests."),
            resting == RestingParts::LeftOut
        );
    }
}

#[test]
fn a_rest_is_counted_as_one_where_all_parts_are_silent() {
    let figure =
        figure(&parts(&[("upper", TUNE), ("bass", BASS)]), 7.0, 700.0, RestingParts::Shown);
    let bracketed: Vec<String> = (0..figure.strips.len())
        .flat_map(|strip| words(&figure, strip))
        .map(|(word, _)| word)
        .filter(|word| word.starts_with('('))
        .collect();
    assert_eq!(bracketed, ["(4)"]);
}

#[test]
fn each_part_is_told_by_itself_with_its_name() {
    let figure = figure(&bridge(), 8.5, 440.0, RestingParts::Shown);
    let opening = "3 parts at the same time: “upper”, “lower” and “rhythm”.\n“upper”: Tab for 6 strings, in 4/4.";
    assert!(figure.words.starts_with(opening), "{}", figure.words);
    assert!(figure.words.contains("“rhythm”: A strumming pattern, in 4/4."));
    let told = label(&figure, 1);
    assert!(told.starts_with("“upper”: Bar 3, C sharp dominant seventh."), "{told}");
    assert!(told.contains("“lower”: Bar 3") && told.contains("“rhythm”: Bar 3"), "{told}");
    assert!(!told.contains("Bar 2"));
}

#[test]
fn a_part_that_ends_before_the_others_is_silent_from_there_on() {
    let short = "~~~ riff\ncount 1 2 3 4 |\nE     0-------|\n";
    let figure =
        figure(&parts(&[("upper", TUNE), ("low", short)]), 8.5, 300.0, RestingParts::Shown);
    assert_eq!(figure.strips.len(), 2);
    assert_eq!(places(&figure, 1, "low").len(), 1);
}

#[test]
fn parts_without_a_common_time_stand_one_after_the_other() {
    let free = "~~~ riff\ne ---5---7---|\n";
    let waltz = "~~~ riff\nmeter 3/4\ncount 1 2 3 |\nE     0-----|\n";
    for other in [free, waltz] {
        let figure =
            figure(&parts(&[("upper", TUNE), ("other", other)]), 8.5, 440.0, RestingParts::Shown);
        let alone = figure.strips.len();
        assert!(alone > 1 && places(&figure, alone - 1, "upper").is_empty());
        assert!(figure.words.contains("“other”: Tab for 6 strings"), "{}", figure.words);
    }
}

#[test]
fn everything_lies_within_its_strip() {
    let sets = [bridge(), parts(&[("a part with a long name", ANSWER), ("bass", BASS)])];
    for (gap, width) in [(8.5, 440.0), (8.5, 300.0), (16.0, 480.0), (7.0, 220.0)] {
        for set in &sets {
            let figure = figure(set, gap, width, RestingParts::LeftOut);
            for (index, strip) in figure.strips.iter().enumerate() {
                for (word, at) in words(&figure, index) {
                    let across = at.x >= Pt::ZERO && at.x <= strip.width;
                    assert!(
                        across && at.y >= Pt::ZERO && at.y <= strip.height,
                        "{width} {word} {at:?}"
                    );
                }
            }
        }
    }
}
