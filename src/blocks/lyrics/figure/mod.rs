//! The figure of a song: its lines, each a strip with its chord names over the words, and the boxes above.

mod boxes;
mod columns;
mod line;

use super::{Line, Song, words};
use crate::blocks::figure::{Desk, Element, Figure, Joint};
use crate::ink::{Drawing, Face, Point, Pt, Style, Text, pt};
use crate::lesson::Setting;
use crate::words::capital;
use line::Set;

/// The measures of a song, all in proportion to the size of what is sung (chosen by eye).
#[derive(Debug, Clone, Copy)]
struct Measures {
    /// The size of what is sung.
    size: Pt,
    /// The size of chord names.
    symbol: Pt,
    /// From a name's baseline down to that of its words.
    rise: Pt,
    /// The air between two lines: names stand nearer to their words than to the line above.
    between: Pt,
    /// The air between two stanzas.
    stanza: Pt,
    /// How far what is left of a broken line is moved in.
    indent: Pt,
    /// The air between two columns.
    gutter: Pt,
}

impl Measures {
    fn of(desk: &Desk<'_>) -> Measures {
        let (size, symbol) = (desk.look.sung_size, desk.look.symbol_size);
        Measures {
            size,
            symbol,
            rise: size * 1.2,
            between: size * 0.95,
            stanza: size * 1.9,
            indent: size * 2.0,
            gutter: size * 2.6,
        }
    }

    /// The style of what is sung.
    fn sung(&self) -> Style {
        Style::new(Face::Serif, self.size)
    }

    /// The style of chord names.
    fn name(&self) -> Style {
        Style::new(Face::SerifSemibold, self.symbol)
    }

    /// The style of the title of a part that is sung again: it is looked for from far.
    fn again(&self) -> Style {
        Style::new(Face::SerifBold, self.size)
    }

    /// The style of remarks.
    fn remark(&self) -> Style {
        Style::new(Face::SerifItalic, self.size)
    }
}

/// Draws a song.
pub(super) fn draw(song: &Song, desk: &Desk<'_>, setting: &Setting) -> Figure {
    let measures = Measures::of(desk);
    let drawn_boxes = boxes::Boxes::of(song, desk, setting);
    let mut figure =
        Figure { words: words::describe(song, &drawn_boxes.words()), ..Figure::default() };
    if let Some(sounding) = &song.sounding {
        if let Some(remark) = words::remark(sounding, false) {
            let lines = desk.lines(&desk.lang.told(&remark), measures.remark(), desk.width);
            add(&mut figure, remarks(lines, &measures), Joint::Apart);
        }
        figure.notes.extend(words::why(sounding).map(|why| desk.note(&capital(&why))));
    }
    drawn_boxes.draw(&mut figure, &measures, desk);
    let from = figure.strips.len();
    figure.head = if song.boxes.is_empty() { 0 } else { from };
    match columns::columns(song, &measures, desk) {
        Some(columns) => columns.draw(&mut figure, &measures),
        None => one_column(song, &measures, desk, &mut figure),
    }
    // The words stand clear of the boxes above them.
    if let Some(joint) = figure.joints.get_mut(from).filter(|_| !song.boxes.is_empty()) {
        *joint = Joint::Held(measures.stanza);
    }
    figure
}

/// How wide the widest of a song's lines is where none is broken.
pub(super) fn longest_line(song: &Song, desk: &Desk<'_>) -> Pt {
    let measures = Measures::of(desk);
    let lines = song.stanzas.iter().flat_map(|stanza| &stanza.lines);
    lines.map(|line| set(line, &measures, desk, UNBROKEN).width).fold(Pt::ZERO, Pt::max)
}

/// Wider than any line that a song may hold.
const UNBROKEN: Pt = pt(1e6);

/// Puts a strip beneath the others.
fn add(figure: &mut Figure, strip: Drawing, joint: Joint) {
    figure.strips.push(strip);
    figure.joints.push(joint);
}

/// A stanza of at most so many lines stays on one page: more take much of a page in large print (chosen by eye).
const WHOLE: usize = 8;

fn one_column(song: &Song, measures: &Measures, desk: &Desk<'_>, figure: &mut Figure) {
    for (index, stanza) in song.stanzas.iter().enumerate() {
        let last = stanza.lines.len().saturating_sub(1);
        for (number, line) in stanza.lines.iter().enumerate() {
            let begins = number == 0;
            let joint = match begins {
                true if index == 0 => Joint::Held(measures.between),
                true => Joint::Stanza(measures.stanza),
                // A stanza stays whole; of a long one neither the first nor the last line stands alone.
                false if last < WHOLE || number == 1 || number == last => {
                    Joint::Held(measures.between)
                }
                false => Joint::Line(measures.between),
            };
            let set = set(line, measures, desk, desk.width);
            let strip = figure.strips.len();
            elements(figure, line, &set, strip, Pt::ZERO);
            let mut drawing = Drawing::new(set.width, set.height);
            set.draw(&mut drawing, Point::default());
            add(figure, drawing, joint);
        }
    }
}

fn set(line: &Line, measures: &Measures, desk: &Desk<'_>, width: Pt) -> Set {
    match line {
        Line::Sung(sung) => line::set(sung, measures, desk, width),
        Line::Again { title, .. } => {
            let lines = desk.lines(&capital(title), measures.again(), width);
            line::remark(lines, measures)
        }
    }
}

/// Notes where a line and its chords are drawn.
fn elements(figure: &mut Figure, line: &Line, set: &Set, strip: usize, left: Pt) {
    let span = match line {
        Line::Sung(sung) => sung.span,
        Line::Again { span, .. } => *span,
    };
    figure.elements.push(Element { span, strip, left, right: left + set.width });
    let places = set.places.iter().map(|(span, from, to)| Element {
        span: *span,
        strip,
        left: left + *from,
        right: left + *to,
    });
    figure.elements.extend(places);
}

fn remarks(lines: Vec<Text>, measures: &Measures) -> Drawing {
    let set = line::remark(lines, measures);
    let mut drawing = Drawing::new(set.width, set.height);
    set.draw(&mut drawing, Point::default());
    drawing
}
