//! What a riff's figure must keep, checked on riffs as they are written.
#![allow(clippy::unwrap_used)]

use super::super::testing::{Reading, hook};
use super::rhythm::{Kind, Rhythm, Sign};
use super::*;
use crate::blocks::figure::{DotLabel, Look, RestingParts};
use crate::blocks::tab::places::Places;
use crate::ink::{Fonts, Item, Path, Point, Pt, Segment, pt};
use crate::lesson::Setting;
use crate::theory::{Meter, Ticks};
use crate::words::Lang;

const LEAD: &str = "~~~ riff
ending                                  |1.                              |2.                              |
chord   Bm7                             |E7#9            A6/9            |Amaj7/C#                        |
count  |:1 e & a 2   &   3   &   4   &   |1   &   2   & a 3 e & a 4      :|x31       2       3       4       |
e      |:----------------5h-7p-5---------|-------------------------------:|--------------------------------|
B      |:7b9-r7--5---7b-9--------5-------|8b--9---8~~~----5--------------:|<12>----------5/7---------------|
G      |:------------------------7-------|----------------5-4---5-7-b-8-r:|7-------7b+-----7\\.----.\\/9-----|
accent  >                               |                >               |                                |";

const STRUM: &str = "~~~ riff
chord   A               D       E       |F#m             N.C.            |
count   1   &   2   &   3   &   4   &   |1   &   2   &   3   &  (4)      |
pick    d   d   u   x   u   d   d   u   |d       d   u                   |
accent  >                       >       |>                               |
sung    oh  my  my                      |ne-     ver                     |";

/// Riffs of all sorts: techniques, thirds, ties over bars, many and few strings, no count.
fn riffs() -> Vec<Riff> {
    let read = |reading: Reading| reading.read().0.unwrap();
    vec![
        read(Reading::of(&hook("~~~ riff"))),
        read(Reading::of(LEAD)),
        read(Reading::of(STRUM)),
        read(Reading::of(
            "~~~ riff\nchord A   D   |E\ncount 1 2 3 4 |1 2 3 4\nsung  oh  my  |no\n",
        )),
        read(
            Reading::of(
                "~~~ riff
count   1   la  li  2   ta la ta li ta 3   &   4 ' e ' & |1       2    (3)      4    |
C5      0---2---3---5---3--2--0--2--3--5h--7---5-3-2-3-0-|---------------------------|
C4      x-----------------------------------<12>---------|-----------------------4~--|
sung    ev- er  on  and                                  |                           |
words   as soft as you can, and then a good deal softer still  now wait              |
ring    =================================                |                           |",
            )
            .tuning("C4 G4 C5"),
        ),
        read(
            Reading::of(
                "~~~ riff, pickup
chord               |A                                               |
count   4   la  li  |1   la  li  2   la  li  3   la  li  4   la  li  |
G       --------2---|2-------2---4-------4---2-------2---------------|
D       ----2-------|2-------2---2-------2---2-------2---2---4---5---|
A       0-----------|0-------0---0-------0---0-------0---0---4---5---|
mute                |================================================|
right   p   i   m   |pim     pim                                     |",
            )
            .meter("12/8"),
        ),
        read(Reading::of(
            "~~~ riff\ne ---5h7---./9~~--|---x---\nB ---5-----------|-------\nE -10------------|---3---",
        )),
        read(Reading::of("~~~ riff\ncount 1 |(1) |1 \ne 3 | |3 \n").tuning("E2 A2 D3 G3")),
    ]
}

/// The looks of a tab whose lines stand so far apart.
pub(super) fn look(gap: f32) -> Look {
    Look {
        string_gap: pt(gap),
        fret_size: pt(gap * 1.2),
        symbol_size: pt((gap * 1.5).max(11.0)),
        small_size: pt(gap.max(7.5)),
        sung_size: pt(11.0),
        box_gap: pt(10.0),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    }
}

pub(super) fn desk_of<'d>(fonts: &'d Fonts, look: &'d Look, width: f32) -> Desk<'d> {
    Desk { lang: Lang::English, fonts, look, width: pt(width) }
}

pub(super) fn figure(riff: &Riff, gap: f32, width: f32) -> Figure {
    figure_of(&Tab { riff: riff.clone(), places: Places::default() }, gap, width)
}

fn figure_of(tab: &Tab, gap: f32, width: f32) -> Figure {
    figure_in(&super::super::testing::setting("4/4"), tab, gap, width)
}

pub(super) fn figure_in(setting: &Setting, tab: &Tab, gap: f32, width: f32) -> Figure {
    let fonts = Fonts::new();
    let look = look(gap);
    let desk = desk_of(&fonts, &look, width);
    tab.figure(&desk, setting)
}

/// Calls back with every item and its offset.
pub(super) fn each_item(items: &[Item], offset: Point, call: &mut impl FnMut(&Item, Point)) {
    for item in items {
        call(item, offset);
        if let Item::Group(group) = item {
            each_item(&group.items, offset + group.offset, call);
        }
    }
}

pub(super) fn points(path: &Path) -> Vec<Point> {
    let of = |segment: &Segment| match *segment {
        Segment::Move(a) | Segment::Line(a) => vec![a],
        Segment::Curve(a, b, c) => vec![a, b, c],
        Segment::Close => vec![],
    };
    path.segments.iter().flat_map(of).collect()
}

#[test]
fn everything_lies_within_its_strip() {
    for (gap, width) in [(7.0, 487.0), (7.6, 300.0), (11.0, 487.0)] {
        for riff in riffs() {
            for strip in figure(&riff, gap, width).strips {
                let slack = pt(1.0);
                let inside = |x: Pt, y: Pt| {
                    let across = x >= -slack && x <= strip.width + slack;
                    across && y >= -slack && y <= strip.height + slack
                };
                each_item(&strip.items, Point::default(), &mut |item, offset| match item {
                    Item::Text(at, text) => {
                        let at = *at + offset;
                        let words = text.characters();
                        assert!(inside(at.x, at.y) && inside(at.x + text.width, at.y), "{words}");
                    }
                    Item::Path(path) => {
                        for point in points(path) {
                            let point = point + offset;
                            assert!(inside(point.x, point.y), "{point:?} in {:?}", strip.height);
                        }
                    }
                    _ => {}
                });
            }
        }
    }
}

#[test]
fn no_line_is_too_fine_and_no_type_too_small() {
    for riff in riffs() {
        for strip in figure(&riff, 6.5, 487.0).strips {
            each_item(&strip.items, Point::default(), &mut |item, _| match item {
                Item::Text(_, text) => {
                    assert!(text.runs.iter().all(|run| run.style.size >= pt(7.5)));
                }
                Item::Path(Path { stroke: Some(stroke), .. }) => {
                    assert!(stroke.width >= pt(0.4) && stroke.shade == 0.0);
                }
                _ => {}
            });
        }
    }
}

/// The words of a strip as boxes: left, right, top, bottom.
pub(super) fn boxes(strip: &Drawing) -> Vec<(f32, f32, f32, f32, String)> {
    let mut boxes = Vec::new();
    each_item(&strip.items, Point::default(), &mut |item, offset| {
        if let Item::Text(at, text) = item {
            let at = *at + offset;
            let size = text.runs.first().map_or(0.0, |run| run.style.size.0);
            let (left, right) = (at.x.0, at.x.0 + text.width.0);
            boxes.push((left, right, at.y.0 - size * 0.72, at.y.0, text.characters()));
        }
    });
    boxes
}

#[test]
fn no_words_collide() {
    for riff in riffs() {
        for strip in figure(&riff, 7.6, 487.0).strips {
            let boxes = boxes(&strip);
            for (index, a) in boxes.iter().enumerate() {
                for b in &boxes[index + 1..] {
                    let across = a.0.max(b.0) + 0.3 < a.1.min(b.1);
                    let down = a.2.max(b.2) + 0.3 < a.3.min(b.3);
                    assert!(!(across && down), "{a:?} and {b:?}");
                }
            }
        }
    }
}

/// Slides in and out beside joined ones, each note on its count.
const SLIDES: &str = r"~~~ riff
count   1     &     2     &     3     &     4     &     |
e       ------------------------------------------------|
B       7\.---5-----5/.---7-----5/7---7\5-./5-----7-----|";

/// Bends on several strings at once, and one from an inner string that is bent before it is picked.
const BENDS: &str = "~~~ riff
count   1       &       2       &       3       &       4       &       |
e       7b8-------------12b14-----------10--------------0---------------|
B       8b9-----(5)-----------------------------10------<12>------------|
G       7b9-----(7)b9---9b11----9b11----(7)b9r7-9b11r9--9b11------------|";

/// The lines of a strip that are made of one straight or one curved piece, by their ends.
fn strokes_of(strip: &Drawing, curved: bool) -> Vec<(Point, Point)> {
    let mut strokes = Vec::new();
    each_item(&strip.items, Point::default(), &mut |item, offset| {
        let Item::Path(path) = item else { return };
        let (from, to) = match (path.segments.as_slice(), curved) {
            ([Segment::Move(from), Segment::Line(to)], false) => (*from, *to),
            ([Segment::Move(from), Segment::Curve(.., to)], true) => (*from, *to),
            _ => return,
        };
        strokes.push((from + offset, to + offset));
    });
    strokes
}

#[test]
fn a_slide_to_nowhere_ends_before_the_next_note() {
    let gap = 7.6;
    let figure = figure(&Reading::of(SLIDES).clean(), gap, 487.0);
    let strip = figure.strips.first().unwrap();
    let slant = |(from, to): &(Point, Point)| ((from.y - to.y).0.abs() - 0.66 * gap).abs() < 0.06;
    let mut slides: Vec<(Point, Point)> =
        strokes_of(strip, false).into_iter().filter(slant).collect();
    slides.sort_by(|a, b| a.0.x.0.total_cmp(&b.0.x.0));
    assert_eq!(slides.len(), 5);
    let shares = slides.iter().map(|(from, to)| {
        let middle = (from.y.0 + to.y.0) / 2.0;
        let numbers = boxes(strip);
        let numbers = || numbers.iter().filter(|number| number.2 < middle && middle < number.3);
        let left = numbers().map(|number| number.1).filter(|right| *right < from.x.0);
        let right = numbers().map(|number| number.0).filter(|left| *left > to.x.0);
        let left = left.fold(f32::NEG_INFINITY, f32::max);
        let right = right.fold(f32::INFINITY, f32::min);
        ((from.x.0 - left) / (right - left), (to.x.0 - left) / (right - left))
    });
    let shares: Vec<(f32, f32)> = shares.collect();
    for out in &shares[..2] {
        assert!(out.1 <= 0.5, "{shares:?}");
    }
    for joined in &shares[2..4] {
        assert!(joined.0 < 0.2 && joined.1 > 0.8, "{shares:?}");
    }
    assert!(shares[4].0 >= 0.5, "{shares:?}");
}

#[test]
fn the_arrow_of_a_bend_passes_beside_other_numbers() {
    let figure = figure(&Reading::of(BENDS).clean(), 7.6, 900.0);
    let strip = figure.strips.first().unwrap();
    let arrows = strokes_of(strip, true);
    assert!(arrows.len() > 9, "{arrows:?}");
    for (from, to) in arrows {
        let (top, bottom) = (from.y.min(to.y).0, from.y.max(to.y).0);
        for number in boxes(strip) {
            let beside = to.x.0 < number.0 || number.1 < to.x.0;
            let digits = number.4.chars().any(|sign| sign.is_ascii_digit());
            let over = number.2 >= bottom || number.3 <= top;
            // A release ends over the number that it comes down to.
            let own = from.y < to.y && (number.2 - to.y.0).abs() < 3.0;
            assert!(!digits || beside || over || own, "{from:?} {to:?} {number:?}");
        }
    }
}

#[test]
fn bends_on_several_strings_have_each_its_arrow_and_its_size() {
    let figure = figure(&Reading::of(BENDS).clean(), 7.6, 900.0);
    let strip = figure.strips.first().unwrap();
    let sizes: Vec<(f32, f32, String)> = boxes(strip)
        .into_iter()
        .filter(|text| matches!(text.4.as_str(), "up ½" | "up 1"))
        .map(|text| ((text.0 + text.1) / 2.0, text.3, text.4))
        .collect();
    let mut first: Vec<(f32, f32, String)> = sizes.clone();
    first.sort_by(|a, b| a.0.total_cmp(&b.0));
    let said: Vec<&str> = first.iter().take(3).map(|size| size.2.as_str()).collect();
    assert_eq!(said, ["up ½", "up ½", "up 1"], "the highest string's first");
    assert!(first.windows(2).all(|pair| pair[1].0 - pair[0].0 > 7.0), "{first:?}");
    for (x, baseline, _) in &sizes {
        let own = |(_, to): &&(Point, Point)| (to.x.0 - x).abs() < 0.1;
        assert!(strokes_of(strip, true).iter().find(own).is_some(), "no arrow under {x}");
        assert!((baseline - first[0].1).abs() < 0.1, "{sizes:?}");
    }
}

#[test]
fn a_last_system_is_not_stretched() {
    let riff = Reading::of(&hook("~~~ riff")).clean();
    let figure = figure(&riff, 7.6, 487.0);
    assert_eq!(figure.strips.len(), 1);
    let right = boxes(&figure.strips[0]).iter().map(|text| text.1).fold(0.0, f32::max);
    assert!(right < 400.0, "{right}");
}

#[test]
fn a_bar_that_no_system_holds_is_broken_at_a_beat() {
    let riff = Reading::of(&hook("~~~ riff")).clean();
    let strips = figure(&riff, 7.6, 84.0).strips;
    assert!(strips.len() > 2);
    let counts = |strip: &Drawing| {
        let words = boxes(strip).into_iter().map(|text| text.4);
        words.filter(|words| words == "&").count()
    };
    assert_eq!(strips.iter().map(counts).sum::<usize>(), 7);
}

/// Signs as words: `4.` a dotted quarter, `r8` a rest, `~` a tie, `-` a beam, `3:` a triplet's first.
fn spelled(rhythm: &Rhythm) -> String {
    let starts = |sign: &Sign| rhythm.tuplets.iter().find(|tuplet| tuplet.from == sign.at);
    let word = |sign: &Sign| {
        let tuplet = starts(sign).map_or(String::new(), |tuplet| format!("{}:", tuplet.number));
        let value = 1_u32 << sign.value.halvings;
        let dot = if sign.value.dotted { "." } else { "" };
        match sign.kind {
            Kind::WholeBarRest => "R".to_owned(),
            Kind::Rest => format!("{tuplet}r{value}{dot}"),
            Kind::Note { tied } => format!("{tuplet}{value}{dot}{}", if tied { "~" } else { "" }),
        }
    };
    let runs = rhythm.signs.chunk_by(|a, b| a.beam.is_some() && a.beam == b.beam);
    let run = |signs: &[Sign]| signs.iter().map(word).collect::<Vec<String>>().join("-");
    runs.map(run).collect::<Vec<String>>().join(" ")
}

/// Checks the rhythm of bars that are written as a count row and the counts at which notes begin.
fn check(meter: &str, counts: &str, notes: &str, expected: &str) {
    let text = format!("~~~ riff\ncount {counts}\nE     {notes}");
    let riff = Reading::of(&text).meter(meter).read().0.unwrap();
    let mut held = Ticks::ZERO;
    let mut bars = Vec::new();
    for bar in &riff.bars {
        bars.push(spelled(&Rhythm::of(bar, held - bar.start)));
        if let Some(last) = bar.events.last() {
            held = bar.start + last.at + last.duration;
        }
    }
    assert_eq!(bars.join(" | "), expected, "{meter} {counts}");
}

#[test]
fn rhythms_are_written_as_the_trade_writes_them() {
    // Beats in sight: syncopations within half a bar stand, others are tied over its middle.
    check("4/4", "1 & 2 & 3 & 4 & ", "3 3 3 3 3 3 3 3 ", "8-8 8-8 8-8 8-8");
    check("4/4", "1 & 2 & 3 & 4 & ", "3 3   3   3     ", "8 4 8~ 8 4.");
    check("4/4", "1 2 3 4 ", "3 3   3 ", "4 2 4");
    check("4/4", "1 2 3 & 4 ", "3     3   ", "2~ 8 4.");
    check("4/4", "1 2 3 4 |1 2 3 4 ", "3       |  3     ", "1~ | 4 2.");
    check("4/4", "1 e & a 2 (3) ", "3 3   3       ", "16-8-16~ 4 r2");
    check("3/4", "1 2 3 |1 (2) 3 ", "3     |3     3 ", "2. | 4 r4 4");
    // Silence.
    check("4/4", "1 |(1) |1 2 ", "3 |    |  3 ", "1 | R | r4 2.");
    check("4/4", "1 (2) & 3 ", "3     3 3 ", "4 r8 8 2");
    // Thirds.
    check("4/4", "1 la li 2 la li 3 4 ", "3 3  3  3    3  3   ", "3:8-8-8 3:4 8 2");
    check("4/4", "1 ta la ta li ta 2 ", "3 3  3  3  3  3  3 ", "6:16-16-16-16-16-16 2.");
    check("4/4", "1 li 2 la 3 ", "3 3    3  3 ", "3:4 4 4 2");
    // Big beats.
    check("6/8", "1 2 3 4 5 6 ", "3 3 3 3   3 ", "8-8-8 4 8");
    check("6/8", "1 2 3 4 5 6 |1 2 3 4 5 6 ", "3           |3     3     ", "2. | 4. 4.");
    check("6/8", "1 2 3 4 5 6 ", "3       3   ", "4.~ 8 4");
    check("12/8", "1 la li 2 la li 3 4 ", "3    3  3    3  3   ", "4 8 4 8 2.");
    check("7/8", "1 2 3 4 5 6 7 ", "3 3 3 3 3 3 3 ", "8-8 8-8 8-8-8");
}

#[test]
fn values_and_silences_fill_the_bar() {
    for riff in riffs().iter().filter(|riff| riff.timed) {
        for bar in &riff.bars {
            let rhythm = Rhythm::of(bar, Ticks::ZERO);
            let mut next = Ticks::ZERO;
            for sign in &rhythm.signs {
                assert_eq!(sign.at, next);
                next += sign.length;
            }
            assert_eq!(next, bar.length);
        }
    }
}

#[test]
fn a_riff_is_told_in_words() {
    let words = figure(&Reading::of(&hook("~~~ riff")).clean(), 7.6, 487.0).words;
    assert!(
        words.starts_with("Tab for 6 strings, in 4/4.\nBar 1, A major. Beat 1: fifth string open")
    );
    for told in [
        "And of 3: third string hammer-on to fret 6, little finger.",
        "Beat 4: second string fret 2, ring finger; first string open, downstroke.",
        "Bar 2, F sharp minor seventh. Beat 1: sixth string fret 2",
        "Beat 4: rest.",
    ] {
        assert!(words.contains(told), "{told} in {words}");
    }
}

/// A riff that no text gives: nothing of it may stop the press.
#[test]
fn a_strumming_pattern_has_boxes_and_strokes_instead_of_strings() {
    let whole = figure_of(&Reading::of(STRUM).tab().0.unwrap(), 7.6, 487.0);
    assert!(
        whole.words.starts_with("A strumming pattern, in 4/4.\nA major: sixth string silent; ")
    );
    for words in [
        "Bar 1, A major. Beat 1: sung “oh”; downstroke, accented. And of 1: ",
        "And of 2: choked stroke. Beat 3: chord D major; ",
        "Beat 3: no chord",
    ] {
        assert!(whole.words.contains(words), "{words}: {}", whole.words);
    }
    let mut said = Vec::new();
    whole.strips.iter().for_each(|strip| {
        each_item(&strip.items, Point::default(), &mut |item, _| {
            if let Item::Text(_, text) = item {
                said.push(text.characters());
            }
        });
    });
    let count = |words: &str| said.iter().filter(|said| *said == words).count();
    // Each chord stands where it begins, with the degrees of its shape.
    assert_eq!([count("A"), count("D"), count("E"), count("N.C.")], [1, 1, 1, 1]);
    assert!(count("R") > 4);
    let spans: Vec<_> = whole.elements.iter().map(|element| element.span).collect();
    let bars = 10;
    let signs = 15 + 11;
    assert_eq!(spans.len(), bars + signs, "each stroke once: {spans:?}");
}

#[test]
fn what_a_row_says_of_a_stroke_is_told_as_of_a_note() {
    let text = "~~~ riff\nchord  A               |\ncount  1   2   3   4   |\n\
        pick   d   d   u   d   |\nright  p               |\naccent >               |\n";
    let words = figure(&Reading::of(text).clean(), 7.6, 487.0).words;
    assert!(
        words.contains("Beat 1: downstroke, accented, plucked by thumb. Beat 2: downstroke."),
        "{words}"
    );
}

#[test]
fn nothing_in_a_model_stops_the_press() {
    for mut riff in riffs() {
        for (index, bar) in riff.bars.iter_mut().enumerate() {
            match index % 3 {
                0 => bar.length = Ticks::ZERO,
                1 => bar.meter = Meter::new(32, 32).unwrap(),
                _ => bar.start = Ticks::ZERO,
            }
            for event in &mut bar.events {
                event.duration = Ticks(u32::MAX);
            }
        }
        riff.runs.insert("mute", vec![(Ticks(9_999), Ticks(3)), (Ticks(0), Ticks(u32::MAX))]);
        for width in [0.0, 5.0, 40.0, 500.0] {
            figure(&riff, 7.6, width);
        }
        riff.bars.clear();
        assert!(figure(&riff, 7.6, 487.0).strips.is_empty());
    }
}

#[test]
fn a_stroke_that_strikes_nothing_is_told() {
    let text = "~~~ riff\ncount  1   &   2   3   4   |\nB      3-------5---7-------|\n\
        pick   d   u   d       x   |\n";
    let words = figure(&Reading::of(text).clean(), 7.6, 487.0).words;
    for told in ["And of 1: upstroke in the air. Beat 2: ", "Beat 4: choked stroke in the air."] {
        assert!(words.contains(told), "{told} in {words}");
    }
}
