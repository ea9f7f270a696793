//! What every figure of every demo lesson must keep, in every template, on every paper and for both
//! hands: nothing leaves its strip, no words collide, no type is too small and no line too fine.

#![allow(clippy::unwrap_used)]

use fretleaf::Wishes;
use fretleaf::blocks::figure::{Desk, Figure};
use fretleaf::checks::Elaborated;
use fretleaf::findings::{Source, Span};
use fretleaf::ink::{self, Fonts, Item, Point, Pt, Segment, Text, pt};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::page::{Job, Template};
use std::fs;
use std::path::{Path, PathBuf};

/// Lines have a width, round letters reach a hair over their size.
const HAIR: f32 = 1.0;

#[test]
fn figures_stay_within_their_strips() {
    each_figure(|figure, name| {
        for strip in &figure.strips {
            let inside = |at: Point| {
                let across = at.x.0 > -HAIR && at.x.0 < strip.width.0 + HAIR;
                across && at.y.0 > -HAIR && at.y.0 < strip.height.0 + HAIR
            };
            each_item(&strip.items, Point::default(), &mut |item, offset| match item {
                Item::Text(at, text) => {
                    let (left, top, right, bottom) = frame(*at + offset, text);
                    let words = text.characters();
                    assert!(inside(Point::new(left, top)), "{name}: {words} at {left:?} {top:?}");
                    assert!(inside(Point::new(right, bottom)), "{name}: {words} to {right:?}");
                }
                Item::Path(path) => {
                    for point in points(path) {
                        assert!(
                            inside(point + offset),
                            "{name}: {:?} in {:?} by {:?}",
                            point + offset,
                            strip.width,
                            strip.height
                        );
                    }
                }
                _ => {}
            });
        }
    });
}

#[test]
fn type_is_large_and_lines_are_heavy_enough() {
    each_figure(|figure, name| {
        for strip in &figure.strips {
            each_item(&strip.items, Point::default(), &mut |item, _| match item {
                Item::Text(_, text) => {
                    for run in &text.runs {
                        let least = least_size(name, &text.characters(), run.style.rise);
                        let size = run.style.size;
                        assert!(size >= least, "{name}: {} at {size:?}", text.characters());
                    }
                }
                Item::Path(ink::Path { stroke: Some(stroke), .. }) => {
                    assert!(stroke.width >= pt(0.4), "{name}: {stroke:?}");
                }
                _ => {}
            });
        }
    });
}

/// The least size of what is printed: of words that stand on the line more than of digits, raised letters and the letters of
/// strings.
fn least_size(name: &str, words: &str, rise: Pt) -> Pt {
    let is_word = words.chars().filter(|c| c.is_alphabetic()).count() > 1 && rise == Pt::ZERO;
    match name {
        _ if !is_word => pt(7.5),
        _ if name.contains("large-print") => pt(15.0),
        _ if name.contains("chart,") => pt(7.5),
        _ => pt(8.0),
    }
}

#[test]
fn every_element_lies_in_its_strip_and_can_be_marked() {
    each_figure(|figure, name| {
        // A frame that a student fills in has nothing yet that could be at fault.
        let is_frame = figure.words.contains("to be filled in");
        assert!(is_frame || !figure.elements.is_empty(), "{name}: {}", figure.words);
        for element in &figure.elements {
            let strip = &figure.strips[element.strip];
            let within = element.left.0 > -HAIR && element.right.0 < strip.width.0 + HAIR;
            assert!(within && element.left < element.right, "{name}: {element:?}");
        }
    });
}

/// Calls back with each figure as it is, and with a mark on each of its first elements: of every demo in all
/// templates, on all papers, for both hands, and of the crowded lessons in each template once.
pub(super) fn each_figure(mut check: impl FnMut(&Figure, &str)) {
    let fonts = Fonts::new();
    let papers = [Paper::A4, Paper::Letter];
    let templates = ["handout", "booklet", "large-print", "chart"];
    for path in lessons("lessons") {
        each_figure_of(&path, false, &templates, &papers, &fonts, &mut check);
        each_figure_of(&path, true, &templates, &papers, &fonts, &mut check);
    }
    for path in lessons("tests/marks") {
        each_figure_of(&path, false, &templates, &papers[..1], &fonts, &mut check);
        each_figure_of(&path, true, &templates[..1], &papers[1..], &fonts, &mut check);
    }
}

fn each_figure_of(
    path: &Path,
    left_handed: bool,
    templates: &[&str],
    papers: &[Paper],
    fonts: &Fonts,
    check: &mut impl FnMut(&Figure, &str),
) {
    let name = path.file_name().unwrap().to_string_lossy().into_owned();
    let source = Source::new(&name, &fs::read(path).unwrap());
    let world = FolderWorld::new(path.parent().unwrap()).with_lesson(source);
    let wishes = Wishes { left_handed, ..Wishes::default() };
    let lesson = wishes.compile(&world, &name).unwrap().lesson;
    for template in templates {
        for paper in papers {
            let name = format!("{name}, {template}, {paper:?}, left {left_handed}");
            figures(&lesson, template, *paper, fonts, |figure| check(figure, &name));
        }
    }
}

fn figures(
    lesson: &Elaborated<'_>,
    template: &str,
    paper: Paper,
    fonts: &Fonts,
    mut check: impl FnMut(&Figure),
) {
    let template = Template::load(template, |_| None).unwrap();
    let job = Job { template: &template, paper, fonts, draft: false };
    let desk = Desk {
        lang: fretleaf::words::Lang::English,
        fonts,
        look: &template.figure,
        width: job.column().0,
    };
    let blocks = lesson.blocks.iter().zip(&lesson.lesson.fences);
    for (block, fence) in blocks.filter(|(block, _)| block.printed) {
        let Some(figure) = block.printed_figure(&desk, &fence.setting, false) else { continue };
        check(&figure);
        let spans: Vec<Span> = figure.elements.iter().map(|one| one.span).take(5).collect();
        check(&figure.marked(&spans, &desk));
    }
}

/// The lessons of a folder, in their order.
fn lessons(folder: &str) -> Vec<PathBuf> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(folder);
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut lessons: Vec<PathBuf> =
        entries.filter(|path| path.extension().is_some_and(|ending| ending == "md")).collect();
    lessons.sort();
    assert!(lessons.len() >= 2);
    lessons
}

pub(super) fn each_item(items: &[Item], offset: Point, call: &mut impl FnMut(&Item, Point)) {
    for item in items {
        call(item, offset);
        if let Item::Group(group) = item {
            each_item(&group.items, offset + group.offset, call);
        }
    }
}

/// The left, upper, right and lower edge of words: capitals and figures are 0.66 of the size high.
fn frame(at: Point, text: &Text) -> (Pt, Pt, Pt, Pt) {
    let tops = text.runs.iter().map(|run| run.style.rise + run.style.size * 0.66);
    let top = tops.fold(Pt::ZERO, Pt::max);
    (at.x, at.y - top, at.x + text.width, at.y)
}

/// Points along a path's line; those that only bend it may lie outside.
fn points(path: &ink::Path) -> Vec<Point> {
    let mut points: Vec<Point> = Vec::new();
    for segment in &path.segments {
        match *segment {
            Segment::Move(to) | Segment::Line(to) => points.push(to),
            Segment::Curve(a, b, to) => {
                let from = *points.last().unwrap();
                points.extend((1..=8_u8).map(|step| bent([from, a, b, to], f32::from(step) / 8.0)));
            }
            Segment::Close => {}
        }
    }
    points
}

/// The point of a cubic at a part of its course.
fn bent([from, a, b, to]: [Point; 4], part: f32) -> Point {
    let rest = 1.0 - part;
    let weights = [rest.powi(3), 3.0 * rest * rest * part, 3.0 * rest * part * part, part.powi(3)];
    let at = |of: fn(Point) -> Pt| {
        [from, a, b, to].into_iter().zip(weights).map(|(point, weight)| of(point) * weight).sum()
    };
    Point::new(at(|point| point.x), at(|point| point.y))
}
