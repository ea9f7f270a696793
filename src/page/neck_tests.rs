//! Necks in the looks and the columns of the built-in templates: nothing touches, and nothing leaves the
//! column.

use super::{Job, Template};
use crate::blocks::figure::{Desk, Figure, Look};
use crate::blocks::neck::Diagrams;
use crate::blocks::neck_board::testing::Measured;
use crate::blocks::{self, Music};
use crate::findings::{Findings, Source};
use crate::ink::{Fonts, Item, Point, Pt, Text, pt};
use crate::lesson::world::MemoryWorld;
use crate::lesson::{self, Setting};
use crate::words::Lang;

/// Reads a lesson and hands over what its last block says, which nothing but a chord outside the key may
/// be said of.
fn read_with(header: &str, body: &str, check: impl FnOnce(&dyn Music, &Setting)) {
    let mut findings = Findings::default();
    let text = format!("---\ntitle: Necks\nkey: A minor\n{header}---\n\n{body}");
    let source = Source::new("necks.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let blocks = blocks::read(&lesson).finish(&lesson, &mut findings);
    assert!(findings.list().iter().all(|found| found.rule.name == "outside-key"), "{findings:?}");
    let music = blocks.last().and_then(|block| block.music.as_deref());
    check(music.unwrap(), &lesson.fences.last().unwrap().setting);
}

/// The width of a template's column on its own paper.
fn column(template: &Template, fonts: &Fonts) -> Pt {
    Job { template, paper: template.paper, fonts, draft: false }.column().0
}

/// The signs of a key: of a root and of the other notes.
const KEY: usize = 2;

/// Measures each row of necks with this many dots in all, beside those of the key.
fn measure(figure: &Figure, dots: usize, what: &str) {
    let rows: Vec<Measured> = figure.strips.iter().map(Measured::of).collect();
    for (row, strip) in rows.iter().zip(&figure.strips) {
        row.assert_nothing_touches(strip.width, what);
        let numbers = row.words.iter().filter(|(words, _)| words.parse::<u8>().is_ok());
        assert!(numbers.count() > 0, "{what}: no numbers");
    }
    assert_eq!(rows.iter().map(|row| row.dots.len()).sum::<usize>(), dots + KEY, "{what}");
}

#[test]
fn numbers_and_dots_never_touch() {
    let fonts = Fonts::new();
    for name in ["handout", "large-print", "chart"] {
        let template = Template::load(name, |_| None).unwrap();
        let width = column(&template, &fonts);
        for tuning in ["bass", "ukulele", "standard", "seven strings", "eight strings"] {
            for (last, handed) in
                [12, 15, 22, 24].into_iter().flat_map(|last| [(last, "right"), (last, "left")])
            {
                let header = format!("tuning: {tuning}\nfrets: 24\nhanded: {handed}\n");
                let line = format!("~~~ neck\nEb chromatic, frets 0 to {last}, label notes\n~~~\n");
                read_with(&header, &line, |music, setting| {
                    let diagrams = music.as_a::<Diagrams>().unwrap();
                    let dots = diagrams.list.first().unwrap().dots.len();
                    let what = format!("{name}, {tuning}, frets 0 to {last}, {handed}");
                    for times in [1.0, 2.5] {
                        let small_size = template.figure.small_size * times;
                        let box_gap = template.figure.box_gap * times;
                        let look = Look { small_size, box_gap, ..template.figure.clone() };
                        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width };
                        measure(&music.figure(&desk, setting), dots, &format!("{what}, {times}"));
                    }
                });
            }
        }
    }
}

#[test]
fn a_neck_stays_in_one_row_where_it_can() {
    let fonts = Fonts::new();
    for (name, last, rows) in
        [("handout", 17, 1), ("handout", 22, 2), ("large-print", 12, 1), ("large-print", 22, 3)]
    {
        let template = Template::load(name, |_| None).unwrap();
        let width = column(&template, &fonts);
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &template.figure, width };
        let line = format!("~~~ neck\nA minor, frets 0 to {last}\n~~~\n");
        read_with("", &line, |music, setting| {
            let figure = music.figure(&desk, setting);
            assert_eq!(figure.strips.len(), rows, "{name}, frets 0 to {last}");
            assert!(figure.words.contains(&format!("frets 0 to {last}")), "{}", figure.words);
        });
    }
}

#[test]
fn scales_stay_within_the_column_whatever_its_width() {
    let fonts = Fonts::new();
    let template = Template::load("handout", |_| None).unwrap();
    for changes in
        ["| Am7 | Em |", "| A7 | D7 | Bb7 | E7#9 |", "| Cmaj7 | Am7 Dm7 | G7 / F#m7b5 B7 | Em |"]
    {
        let body = format!(
            "~~~ changes verse\n{changes}\n~~~\n\n~~~ neck\nscales for verse, frets 0 to 5\n~~~\n"
        );
        read_with("", &body, |music, setting| {
            for width in [120.0, 200.0, 480.0] {
                let desk = Desk {
                    lang: Lang::English,
                    fonts: &fonts,
                    look: &template.figure,
                    width: pt(width),
                };
                let figure = music.figure(&desk, setting);
                assert!(figure.strips.len() > 1);
                assert!(!figure.notes.is_empty());
                for strip in figure.strips.iter().skip(1) {
                    assert_eq!(strip.width, pt(width));
                    each_text(&strip.items, Point::default(), &mut |at, text| {
                        let right = at.x + text.width;
                        let words = text.characters();
                        assert!(
                            right <= strip.width + pt(0.1),
                            "{words} ends at {right:?} of {width}"
                        );
                        assert!(at.y <= strip.height, "{words} stands at {:?}", at.y);
                    });
                }
            }
        });
    }
}

fn each_text(items: &[Item], offset: Point, call: &mut impl FnMut(Point, &Text)) {
    for item in items {
        match item {
            Item::Text(at, text) => call(*at + offset, text),
            Item::Group(group) => each_text(&group.items, offset + group.offset, call),
            _ => {}
        }
    }
}

#[test]
fn the_lanes_of_a_long_way_stay_within_the_column() {
    let fonts = Fonts::new();
    let line = "A D E F#m Bm G C Em Am Dm F Bb : triads on strings 1-6, near fret 7";
    read_with("", &format!("~~~ voicings\n{line}\n~~~\n"), |music, setting| {
        for name in ["handout", "large-print", "chart"] {
            let template = Template::load(name, |_| None).unwrap();
            let width = column(&template, &fonts);
            for times in [1.0, 2.5] {
                let box_gap = template.figure.box_gap * times;
                let look = Look { box_gap, ..template.figure.clone() };
                let figure = music.figure(
                    &Desk { lang: Lang::English, fonts: &fonts, look: &look, width },
                    setting,
                );
                assert!(figure.strips.len() > 1, "{name}, {times}");
                for strip in &figure.strips {
                    assert!(strip.width <= width + pt(0.1), "{name}, {times}");
                    each_text(&strip.items, Point::default(), &mut |at, text| {
                        let inside = at.x >= pt(-0.1) && at.x + text.width <= strip.width + pt(0.1);
                        assert!(inside, "{name}, {times}: {} at {at:?}", text.characters());
                    });
                }
            }
        }
    });
}
