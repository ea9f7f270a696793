#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::super::tests::{read_in, setting};
use super::*;
use crate::blocks::figure::{DotLabel, Look, RestingParts};
use crate::ink::{Fonts, Item, Segment, pt};
use crate::theory::Key;
use crate::words::Lang;

fn look(label: DotLabel) -> Look {
    Look {
        string_gap: pt(6.8),
        fret_size: pt(8.5),
        symbol_size: pt(10.5),
        small_size: pt(7.5),
        sung_size: pt(11.0),
        box_gap: pt(9.0),
        label,
        resting_parts: RestingParts::Shown,
    }
}

fn drawn(text: &str, setting: &Setting, label: DotLabel) -> Figure {
    let (shapes, _) = read_in(text, setting.clone());
    let fonts = Fonts::new();
    let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look(label), width: pt(440.0) };
    shapes.unwrap().figure(&desk, setting, Among::Words)
}

/// The corners of what a drawing's items cover, about.
fn corners(items: &[Item], offset: Point) -> Vec<Point> {
    let of_item = |item: &Item| match item {
        Item::Group(group) => corners(&group.items, offset + group.offset),
        Item::Text(at, text) => {
            vec![offset + *at, offset + *at + Point::new(text.width, pt(0.0))]
        }
        Item::Path(path) => path
            .segments
            .iter()
            .flat_map(|segment| match segment {
                Segment::Move(point) | Segment::Line(point) => vec![*point],
                Segment::Curve(_, _, end) => vec![*end],
                Segment::Close => vec![],
            })
            .map(|point| offset + point)
            .collect(),
        Item::Picture(..) => vec![],
    };
    items.iter().flat_map(of_item).collect()
}

/// The items of a figure's first row, out of their groups, each with how far these are moved.
fn flat(figure: &Figure) -> Vec<(Point, &Item)> {
    fn walk<'i>(items: &'i [Item], by: Point, found: &mut Vec<(Point, &'i Item)>) {
        for item in items {
            match item {
                Item::Group(group) => walk(&group.items, by + group.offset, found),
                item => found.push((by, item)),
            }
        }
    }
    let mut found = Vec::new();
    walk(&figure.strips[0].items, Point::default(), &mut found);
    found
}

/// The texts of a drawing, from the top down and from the left.
fn texts(items: &[Item]) -> Vec<String> {
    let mut found = Vec::new();
    for item in items {
        match item {
            Item::Text(_, text) => found.push(text.characters()),
            Item::Group(group) => found.extend(texts(&group.items)),
            _ => {}
        }
    }
    found
}

const MANY: &str = "\
Aadd9 x02420
F#m7 2x222x -- leave the fifth string silent
Gm (high) x 10 12 12 11 10
E/G# 4x2400
Bb x13331
G 320003
E7#9 x7678x
C x32010
F 133211
Dm xx0231
D5 x 5 7 7 x x";

#[test]
fn boxes_stand_in_even_rows_within_the_column() {
    let figure = drawn(MANY, &setting("EADGBE"), DotLabel::Degrees);
    let rows: Vec<usize> = figure.strips.iter().map(|strip| strip.items.len()).collect();
    assert_eq!(rows, [4, 4, 3]);
    for strip in &figure.strips {
        assert!(strip.width <= pt(440.01));
        for corner in corners(&strip.items, Point::default()) {
            assert!(corner.x >= Pt::ZERO && corner.x <= strip.width, "{corner:?}");
            assert!(corner.y >= Pt::ZERO && corner.y <= strip.height, "{corner:?}");
        }
    }
}

#[test]
fn neighbouring_boxes_keep_apart() {
    let figure = drawn(MANY, &setting("EADGBE"), DotLabel::Notes);
    for strip in &figure.strips {
        let ends: Vec<(f32, f32)> = strip
            .items
            .iter()
            .map(|item| {
                let corners = corners(std::slice::from_ref(item), Point::default());
                let xs = || corners.iter().map(|corner| corner.x.0);
                (xs().fold(f32::MAX, f32::min), xs().fold(f32::MIN, f32::max))
            })
            .collect();
        assert!(ends.windows(2).all(|pair| pair[0].1 + 6.0 < pair[1].0), "{ends:?}");
    }
}

#[test]
fn every_box_has_its_own_words() {
    let text = "Aadd9 x02420 by ..132.\n? xx5x5x";
    let figure = drawn(text, &setting("EADGBE"), DotLabel::Degrees);
    let Item::Group(group) = &figure.strips[0].items[0] else { panic!("no group") };
    let Label::Words { title, words } = &group.label else { panic!("no words") };
    assert_eq!(title, "A major added ninth");
    assert_eq!(
        words,
        "A major added ninth: sixth string silent; fifth string open, A, the root; \
             fourth string fret 2, index finger, E, the perfect fifth; \
             third string fret 4, ring finger, B, the major ninth; \
             second string fret 2, middle finger, C sharp, the major third; \
             first string open, E, the perfect fifth"
    );
    assert!(figure.words.starts_with("2 chord shapes.\nA major added ninth: sixth"));
}

#[test]
fn a_box_is_labelled_as_the_template_says() {
    let standard = setting("EADGBE");
    for (label, found) in [
        (DotLabel::Degrees, "Gm 10 1 3 4 2 1 R 5 R ♭3 5"),
        (DotLabel::Notes, "Gm 10 1 3 4 2 1 G D G B♭ D"),
        (DotLabel::Fingers, "Gm 10 1 3 4 2 1"),
        (DotLabel::None, "Gm 10 1 3 4 2 1"),
    ] {
        let figure = drawn("Gm x 10 12 12 11 10", &standard, label);
        assert_eq!(texts(&figure.strips[0].items).join(" "), found, "{label:?}");
    }
}

#[test]
fn what_a_square_means_is_told_where_no_degrees_tell_it() {
    let keys = |label| drawn("C x32010", &setting("EADGBE"), label).keys;
    assert_eq!(keys(DotLabel::Degrees), []);
    assert_eq!(keys(DotLabel::Notes), [Printed::plain("A square is the root.")]);
}

/// Where the sides of a row's squares and bars lie, from the left.
fn filled(figure: &Figure, shade: f32) -> Vec<(f32, f32)> {
    let items = flat(figure).into_iter();
    let paths =
        items.filter(|(_, item)| matches!(item, Item::Path(path) if path.fill == Some(shade)));
    let ends = |(by, item): (Point, &Item)| {
        let xs = corners(std::slice::from_ref(item), by).into_iter().map(|at| at.x.0);
        (xs.clone().fold(f32::MAX, f32::min), xs.fold(f32::MIN, f32::max))
    };
    paths.map(ends).collect()
}

#[test]
fn a_bar_shows_nowhere_beside_a_root_s_square() {
    let figure = drawn("A 577655", &setting("EADGBE"), DotLabel::Degrees);
    // Nut and squares are black, bar and dots white.
    let squares = filled(&figure, 0.0);
    let (from, to) = filled(&figure, 1.0)[0];
    assert!(squares.iter().any(|square| square.0 < from && from < square.1), "{squares:?}");
    assert!(squares.iter().any(|square| square.0 < to && to < square.1), "{squares:?}");
}

#[test]
fn fret_numbers_stand_on_the_outer_side() {
    let mut standard = setting("EADGBE");
    let number = |setting: &Setting| {
        let figure = drawn("Gm x 10 12 12 11 10", setting, DotLabel::None);
        let at = flat(&figure).into_iter().find_map(|(by, item)| match item {
            Item::Text(at, text) if text.characters() == "10" => Some((*at + by).x),
            _ => None,
        });
        (at.unwrap(), figure.strips[0].width)
    };
    let (left, width) = number(&standard);
    assert!(left < width * 0.1);
    standard.left_handed = true;
    let (right, width) = number(&standard);
    assert!(right > width * 0.7);
}

#[test]
fn five_boxes_fill_a_row_of_a_lesson_and_six_one_of_a_page_of_chords() {
    let (shapes, _) = read_in(MANY, setting("EADGBE"));
    let fonts = Fonts::new();
    let look = Look { box_gap: pt(11.05), symbol_size: pt(13.0), ..look(DotLabel::Degrees) };
    let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: Pt::mm(166.0) };
    let shapes = shapes.unwrap();
    let shapes = Shapes { shapes: [&shapes.shapes[..]; 3].concat(), ..shapes };
    for (among, row) in [(Among::Words, 5), (Among::Boxes, 6)] {
        let figure = shapes.figure(&desk, &setting("EADGBE"), among);
        assert_eq!(figure.strips[0].items.len(), row, "{among:?}");
        assert!((figure.strips[0].width - desk.width).abs() < pt(0.1), "{among:?}");
        // The last row stands under the columns of the first.
        let lefts = |strip: &Drawing| -> Vec<f32> {
            strip
                .items
                .iter()
                .filter_map(|item| match item {
                    Item::Group(group) => Some(group.offset.x.0),
                    _ => None,
                })
                .collect()
        };
        let (first, last) = (lefts(&figure.strips[0]), lefts(figure.strips.last().unwrap()));
        assert_eq!(first[..last.len()], last, "{among:?}");
    }
}

#[test]
fn a_capo_is_marked_with_what_then_sounds() {
    let mut capo = setting("EADGBE");
    capo.instrument.capo = 3;
    let figure = drawn("G (open) 320003\nD/F# 200232", &capo, DotLabel::None);
    let words = texts(&figure.strips[0].items).join(" ");
    assert!(words.starts_with("G (open) capo 3: B♭ "), "{words}");
    assert!(words.contains("capo 3: F/A "), "{words}");
    assert!(figure.words.contains("from the capo at fret 3"));
    // With a key, what sounds has a letter for each degree of it.
    for (key, fret, line, sounding) in
        [("A minor", 3, "F xx3211", "capo 3: A♭ "), ("A major", 2, "C#m x46654", "capo 2: D♯m ")]
    {
        capo.key = Key::parse(key);
        capo.instrument.capo = fret;
        let figure = drawn(line, &capo, DotLabel::None);
        let words = texts(&figure.strips[0].items).join(" ");
        assert!(words.contains(sounding), "{words}");
    }
}

#[test]
fn a_left_handed_box_is_the_mirror_of_a_right_handed_one() {
    let mut left = setting("EADGBE");
    let right = drawn("C x32010", &left, DotLabel::Degrees);
    left.left_handed = true;
    let left = drawn("C x32010", &left, DotLabel::Degrees);
    // The centres of the finger numbers, which are as wide as one another.
    let centres = |figure: &Figure| -> Vec<f32> {
        let centre = |(by, item): (Point, &Item)| match item {
            Item::Text(at, text) if "1234".contains(&text.characters()) => {
                Some((by.x + at.x + text.width / 2.0).0)
            }
            _ => None,
        };
        let mut found: Vec<f32> = flat(figure).into_iter().filter_map(centre).collect();
        found.sort_by(f32::total_cmp);
        found
    };
    let (right, left) = (centres(&right), centres(&left));
    let sums: Vec<f32> = right.iter().zip(left.iter().rev()).map(|(a, b)| a + b).collect();
    assert_eq!(sums.len(), 5);
    assert!(sums.iter().all(|sum| (sum - sums[0]).abs() < 0.01), "{sums:?}");
    assert_ne!(right, left);
}

#[test]
fn any_number_of_strings_and_wide_spans_are_drawn() {
    for (tuning, text) in [
        ("D3 A3 D4", "D5 000"),
        ("GCEA", "C 0003"),
        ("D2 D2 D2 D2 D2 D2 A2 D3 D3 A3 D4 D4", "D5 0 0 x x x 0 0 0 0 0 0 0"),
        ("EADGBE", "E5 0 2 x x x 22"),
    ] {
        let figure = drawn(text, &setting(tuning), DotLabel::Notes);
        let strip = &figure.strips[0];
        for corner in corners(&strip.items, Point::default()) {
            assert!(corner.x >= Pt::ZERO && corner.x <= strip.width, "{tuning}");
            assert!(corner.y >= Pt::ZERO && corner.y <= strip.height, "{tuning}");
        }
    }
}
