//! The legend beneath a chart: what each chord does in the key, where the words don't fit under
//! the chords.

use super::strip::Strip;
use crate::blocks::figure::Desk;
use crate::ink::{Drawing, Face, Point, Pt, Style, Text, pt};
use std::collections::HashSet;

/// The distance between two entries of a line.
const BETWEEN: Pt = pt(14.0);

/// The legend of the chords in some strips; `None` where nothing is to be explained.
pub(super) fn drawing(strips: &[Strip<'_>], desk: &Desk<'_>) -> Option<Drawing> {
    let entries = entries(strips, desk);
    if entries.is_empty() {
        return None;
    }
    let leading = desk.look.small_size * 1.5;
    let mut drawing = Drawing::new(desk.width, leading);
    let (mut x, mut baseline) = (Pt::ZERO, desk.look.small_size);
    for entry in entries {
        if x > Pt::ZERO && x + entry.width > desk.width {
            x = Pt::ZERO;
            baseline += leading;
        }
        let width = entry.width;
        drawing.text(Point::new(x, baseline), entry);
        x += width + BETWEEN;
    }
    drawing.height = baseline + desk.look.small_size * 0.35;
    Some(drawing)
}

/// The functions in the order in which they appear, each behind the numerals that have it.
fn entries(strips: &[Strip<'_>], desk: &Desk<'_>) -> Vec<Text> {
    let mut groups: Vec<(&str, Vec<Text>)> = Vec::new();
    let mut seen = HashSet::new();
    let functions = strips.iter().flat_map(Strip::functions);
    for function in functions {
        if !seen.insert((&function.numeral_words, &function.words)) {
            continue;
        }
        let numeral = function.numeral.clone();
        match groups.iter_mut().find(|(words, _)| *words == function.words) {
            Some((_, numerals)) => numerals.push(numeral),
            None => groups.push((&function.words, vec![numeral])),
        }
    }
    groups.into_iter().map(|(words, numerals)| entry(words, numerals, desk)).collect()
}

fn entry(words: &str, numerals: Vec<Text>, desk: &Desk<'_>) -> Text {
    let italic = Style::new(Face::SerifItalic, desk.look.small_size);
    let mut text = Text::default();
    for (index, numeral) in numerals.into_iter().enumerate() {
        if index > 0 {
            text = text.then(desk.words(", ", italic));
        }
        text = text.then(numeral);
    }
    text.then(Text::gap(pt(1.5))).then(desk.words(&format!(" {words}"), italic))
}
