//! The practice line: what is practised, how often, and a box to tick for each tempo.

use super::Loop;
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{Drawing, Face, Path, Point, Pt, Stroke, Style, Text};
use crate::words::listed;
use crate::words::paper::practice as words;

/// The side of a box, in sizes of its type (chosen by eye: as high as a capital).
const BOX: f32 = 0.8;
/// The room between a box and its tempo, in sizes of type; chosen by eye.
const BESIDE_BOX: f32 = 0.4;
/// The room between one tempo and the next box, in sizes of type; chosen by eye.
const BETWEEN: f32 = 1.8;
/// From line to line, in sizes of type; chosen by eye.
const LEADING: f32 = 1.5;
/// How far the last line reaches below its baseline, in sizes of type; chosen by eye.
const BELOW: f32 = 0.3;
/// The width of a box's outline, in sizes of type (as heavy as that of a task's box).
const OUTLINE: f32 = 0.065;

/// Draws the line, in more where the column is narrow.
pub(super) fn draw(practised: &Loop, desk: &Desk<'_>) -> Figure {
    let style = Style::new(Face::Serif, desk.look.sung_size);
    let mut drawing = Drawing::new(Pt::ZERO, Pt::ZERO);
    for line in desk.lines(&told(practised), style, desk.width) {
        next_line(&mut drawing, style.size);
        drawing.width = drawing.width.max(line.width);
        drawing.text(Point::new(Pt::ZERO, drawing.height), line);
    }
    let mut x = desk.width;
    for (tempo, _) in &practised.rounds {
        let text = desk.words(&tempo.printed(), style);
        let wide = style.size * (BOX + BESIDE_BOX) + text.width;
        if x + wide > desk.width {
            next_line(&mut drawing, style.size);
            x = Pt::ZERO;
        }
        rung(&mut drawing, x, text, style.size);
        drawing.width = drawing.width.max(x + wide);
        x += wide + style.size * BETWEEN;
    }
    drawing.height += style.size * BELOW;
    let tempos: Vec<String> = practised.rounds.iter().map(|(tempo, _)| tempo.printed()).collect();
    let words = format!("{}. {}", told(practised), words::boxes(&listed(&tempos)));
    Figure { words, strips: vec![drawing], ..Figure::default() }
}

/// Goes on to the baseline of a further line.
fn next_line(drawing: &mut Drawing, size: Pt) {
    let first = drawing.height == Pt::ZERO;
    drawing.height += size * if first { 1.0 } else { LEADING };
}

/// A box on the baseline with its tempo behind it.
fn rung(drawing: &mut Drawing, x: Pt, tempo: Text, size: Pt) {
    let (side, line) = (size * BOX, size * OUTLINE);
    let corner = Point::new(x + line / 2.0, drawing.height - side + line / 2.0);
    let square = Path::rectangle(corner, side - line, side - line, 1.0);
    drawing.path(Path { stroke: Some(Stroke::black(line)), ..square });
    drawing.text(Point::new(x + size * (BOX + BESIDE_BOX), drawing.height), tempo);
}

/// What is practised and how: "the hook, 8 times at each tempo, chords strummed, with a bass".
fn told(practised: &Loop) -> String {
    let times = practised.rounds.first().map_or(1, |(_, times)| *times);
    let mut told = words::practise(&practised.title, times, practised.rounds.len() > 1);
    if practised.is_strummed() {
        told += words::STRUMMED;
    }
    if practised.bass {
        told += words::BASS;
    }
    if !practised.without.is_empty() {
        told += &words::without(&listed(&practised.without));
    }
    told
}
