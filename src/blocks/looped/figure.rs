//! The practice line: what is practised, how often, and a box to tick for each tempo.

use super::Loop;
use crate::blocks::figure::{Desk, Element, Figure, layer};
use crate::ink::{Drawing, Face, Label, Path, Point, Pt, Stroke, Style, Text, group_from};
use crate::words::paper::practice as words;
use crate::words::{authored, listed};

/// The side of a box, in sizes of its type (chosen by eye: a pencil finds it, 3.3 mm wide in a booklet).
const BOX: f32 = 1.0;
/// How far a box reaches below the baseline, in sizes of type: its middle is level with that of a digit.
const BOX_BELOW: f32 = 0.17;
/// The room between a box and its tempo, in sizes of type; chosen by eye.
const BESIDE_BOX: f32 = 0.4;
/// The room between one tempo and the next box, in sizes of type; chosen by eye.
const BETWEEN: f32 = 1.8;
/// How wide a line is at most, in sizes of type: as a line of prose.
const MEASURE: f32 = 30.0;
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
    let said: Vec<String> = told(practised, &practised.title)
        .iter()
        .map(|phrase| desk.lang.said(phrase).into_owned())
        .collect();
    for line in lines(&said, desk, style) {
        next_line(&mut drawing, style.size);
        drawing.width = drawing.width.max(line.width);
        drawing.text(Point::new(Pt::ZERO, drawing.height), line);
    }
    let from = drawing.items.len();
    rungs(&mut drawing, practised, desk, style);
    group_from(&mut drawing.items, from, Label::Layer(layer::TICKS));
    drawing.height += style.size * BELOW;
    let tempos: Vec<String> = practised.rounds.iter().map(|round| round.tempo.printed()).collect();
    let told = told(practised, &authored(&practised.title));
    let words = format!("{}. {}", told.join(", "), words::boxes(&listed(&tempos)));
    // What is wrong with it is wrong with all of it: nothing is drawn of a click alone, or of a name.
    let whole = Element { span: practised.said, strip: 0, left: Pt::ZERO, right: drawing.width };
    Figure { words, strips: vec![drawing], elements: vec![whole], ..Figure::default() }
}

/// What is told in lines that end behind a phrase; one that is wider than a line goes on in the next.
fn lines(told: &[String], desk: &Desk<'_>, style: Style) -> Vec<Text> {
    let measure = measure(desk, style);
    let mut lines: Vec<String> = Vec::new();
    for phrase in told {
        let longer = lines.last().map(|line| format!("{line}, {phrase}"));
        let fitting = longer.filter(|longer| desk.words(longer, style).width <= measure);
        match (fitting, lines.last_mut()) {
            (Some(longer), Some(line)) => *line = longer,
            (_, line) => {
                line.into_iter().for_each(|line| line.push(','));
                lines.push(phrase.clone());
            }
        }
    }
    lines.iter().flat_map(|line| desk.lines(line, style, measure)).collect()
}

/// The boxes, one beneath the other where they take more than a row, as many in each row as may be.
fn rungs(drawing: &mut Drawing, practised: &Loop, desk: &Desk<'_>, style: Style) {
    let tempos = practised.rounds.iter().map(|round| desk.words(&round.tempo.printed(), style));
    let tempos: Vec<Text> = tempos.collect();
    let widest = tempos.iter().fold(Pt::ZERO, |widest, tempo| widest.max(tempo.width));
    let (wide, between) = (style.size * (BOX + BESIDE_BOX) + widest, style.size * BETWEEN);
    let most = ((measure(desk, style) + between) / (wide + between)).max(1.0) as usize;
    let rows = tempos.len().div_ceil(most).max(1);
    for row in tempos.chunks(tempos.len().div_ceil(rows).max(1)) {
        next_line(drawing, style.size);
        for (column, tempo) in row.iter().enumerate() {
            let x = (wide + between) * column as f32;
            rung(drawing, x, tempo.clone(), style.size);
            drawing.width = drawing.width.max(x + wide);
        }
    }
}

/// How wide a line is at most.
fn measure(desk: &Desk<'_>, style: Style) -> Pt {
    desk.width.min(style.size * MEASURE)
}

/// Goes on to the baseline of a further line.
fn next_line(drawing: &mut Drawing, size: Pt) {
    let first = drawing.height == Pt::ZERO;
    drawing.height += size * if first { 1.0 } else { LEADING };
}

/// A box with its tempo behind it.
fn rung(drawing: &mut Drawing, x: Pt, tempo: Text, size: Pt) {
    let (side, line) = (size * BOX, size * OUTLINE);
    let top = drawing.height + size * BOX_BELOW - side;
    let corner = Point::new(x + line / 2.0, top + line / 2.0);
    let square = Path::rectangle(corner, side - line, side - line, 1.0);
    drawing.path(Path { stroke: Some(Stroke::black(line)), ..square });
    drawing.text(Point::new(x + size * (BOX + BESIDE_BOX), drawing.height), tempo);
}

/// What is practised, under a title, and how, phrase by phrase: "the hook", "8 times at each tempo", "with a bass".
fn told(practised: &Loop, title: &str) -> Vec<String> {
    let times = practised.rounds.first().map_or(1, |round| round.times);
    let mut told = vec![words::practise(title), words::often(times, practised.rounds.len() > 1)];
    if practised.is_strummed() {
        told.push(words::STRUMMED.to_owned());
    }
    if practised.bass {
        told.push(words::BASS.to_owned());
    }
    if !practised.without.is_empty() {
        told.push(words::without(&practised.without));
    }
    told
}
