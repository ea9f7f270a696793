//! How near the marks of a figure come to one another, measured on its picture: outlines of letters and lines
//! as they are drawn, not the boxes around them.

#![allow(clippy::unwrap_used)]

mod beats;
mod picture;

use super::figures::{each_figure, each_item};
use fretleaf::ink::{Drawing, Fonts, Item, svg};
use picture::{Mark, Shape};
use std::collections::BTreeSet;

/// What a photocopy closes: marks that shouldn't touch stay so far apart, in points (0.25 mm).
const APART: f64 = 0.25 * 72.0 / 25.4;

/// A fret keeps so far from the dots of a repeat, lest it be read with a point, in points (1.5 mm).
const FROM_DOTS: f64 = 1.5 * 72.0 / 25.4;

/// Lines that meet do so within a rounding of the picture, in points.
const JOINED: f64 = 0.06;

#[test]
fn marks_keep_apart_and_beats_are_equal() {
    let fonts = Fonts::new();
    let mut near = BTreeSet::new();
    each_figure(|figure, name| {
        for (index, strip) in figure.strips.iter().enumerate() {
            let is_tab = figure.words.starts_with("Tab");
            for fault in
                faults(strip, is_tab, &fonts).into_iter().chain(beats::faults(figure, strip))
            {
                near.insert(format!("{name}, {:.40}, strip {index}: {fault}", figure.words));
            }
        }
    });
    let told: Vec<&str> = near.iter().map(String::as_str).take(200).collect();
    assert!(near.is_empty(), "{} faults:\n{}", near.len(), told.join("\n"));
}

/// The pairs of marks in a drawing that come too near to one another.
fn faults(strip: &Drawing, is_tab: bool, fonts: &Fonts) -> Vec<String> {
    let mut words = Vec::new();
    each_item(&strip.items, Default::default(), &mut |item, _| {
        if let Item::Text(_, text) = item
            && text.runs.iter().any(|run| !run.word.pieces.is_empty())
        {
            words.push(text.characters());
        }
    });
    let mut marks = picture::marks(&svg::figure(strip, "", "", fonts), &words);
    let grounds: Vec<usize> = marks.iter().map(|mark| mark.ground_among(&marks)).collect();
    for (mark, ground) in marks.iter_mut().zip(grounds) {
        mark.ground = ground;
    }
    marks.sort_by(|a, b| a.left().total_cmp(&b.left()));
    let mut found = Vec::new();
    for (at, one) in marks.iter().enumerate() {
        let beside =
            marks.iter().skip(at + 1).take_while(|other| other.left() < one.right() + APART);
        found.extend(beside.filter_map(|other| too_near(one, other)));
    }
    if is_tab {
        found.extend(frets_at_dots(&marks));
    }
    found
}

/// The frets in a tab that stand too near to the dots of a repeat.
fn frets_at_dots(marks: &[Mark]) -> Vec<String> {
    let is_dot = |one: &&Mark| marks.iter().any(|other| one.repeats_with(other));
    let is_fret = |mark: &&Mark| matches!(&mark.shape, Shape::Words(words) if words.trim_matches(['(', ')', '<', '>']).parse::<u8>().is_ok());
    let mut found = Vec::new();
    for dot in marks.iter().filter(is_dot) {
        let near = marks
            .iter()
            .filter(is_fret)
            .filter(|fret| !dot.away(fret, FROM_DOTS) && dot.distance(fret) < FROM_DOTS - 0.05);
        found.extend(near.map(|fret| format!("{fret} stands at the dot of a repeat, {dot}")));
    }
    found
}

/// What is wrong between two marks, if anything is.
///
/// Letters keep off letters and lines, unless they stand in a dot, square or frame. Lines may meet, but not
/// almost; and of two dots, squares or wedges none may lie over a part of the other.
fn too_near(one: &Mark, other: &Mark) -> Option<String> {
    if one.away(other, APART)
        || one.is_paper()
        || other.is_paper()
        || one.hides(other)
        || other.hides(one)
    {
        return None;
    }
    let apart = one.distance(other);
    let wrong = match (&one.shape, &other.shape) {
        (Shape::Words(_), Shape::Words(_)) => apart < APART,
        (Shape::Words(_), Shape::Drawn { .. }) => apart < APART && !other.is_around(one),
        (Shape::Drawn { .. }, Shape::Words(_)) => apart < APART && !one.is_around(other),
        (Shape::Drawn { .. }, Shape::Drawn { .. }) => {
            let almost = apart > JOINED && apart < APART - 0.01;
            almost || (apart <= 0.0 && one.covers_a_part_of(other))
        }
    };
    wrong.then(|| format!("{one} and {other}: {:.2} mm", apart * 25.4 / 72.0))
}
