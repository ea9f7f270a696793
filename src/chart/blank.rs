//! Empty boxes, tab and necks for a student to write on.

use crate::blocks::figure::{Desk, Figure};
use crate::blocks::neck_board::{NeckBoard, View};
use crate::ink::{Drawing, Face, Path, Point, Pt, Style, pt};
use crate::lesson::Setting;
use crate::neck::Fret;

/// What is left empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Blank {
    /// Chord boxes.
    Boxes,
    /// Lines for a tab.
    Tab,
    /// Necks.
    Neck,
}

/// How many rows fill a page, in A4 as in Letter.
const ROWS_OF_BOXES: usize = 5;
const SYSTEMS: usize = 8;
const NECKS: usize = 4;
/// How many boxes stand in a row, and how many frets each has.
const BOXES: usize = 5;
const FRETS: u8 = 5;
/// The last fret of an empty neck.
const LAST_FRET: Fret = Fret::new(12);
/// The room above a box or a neck for its name.
const NAME: Pt = pt(24.0);
const LINE: Pt = pt(0.6);
const NUT: Pt = pt(2.0);

impl Blank {
    /// Reads `boxes`, `tab` or `neck`, in any case.
    pub fn parse(name: &str) -> Option<Blank> {
        let all = [("boxes", Blank::Boxes), ("tab", Blank::Tab), ("neck", Blank::Neck)];
        all.into_iter().find(|(own, _)| name.eq_ignore_ascii_case(own)).map(|(_, blank)| blank)
    }

    /// The chart's title.
    pub fn title(self) -> &'static str {
        match self {
            Blank::Boxes => "Chord boxes",
            Blank::Tab => "Tab",
            Blank::Neck => "Necks",
        }
    }

    /// The name of its files.
    pub fn stem(self) -> &'static str {
        match self {
            Blank::Boxes => "blank-boxes",
            Blank::Tab => "blank-tab",
            Blank::Neck => "blank-neck",
        }
    }

    /// A page of them.
    pub fn figure(self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        let strings = setting.instrument.tuning.len();
        let (count, strip, what) = match self {
            Blank::Boxes => (ROWS_OF_BOXES, boxes(desk, strings), "rows of empty chord boxes"),
            Blank::Tab => (SYSTEMS, tab(desk, setting), "empty systems of tab"),
            Blank::Neck => (NECKS, neck(desk, setting), "empty necks"),
        };
        let words = format!("{count} {what} for {strings} strings.");
        Figure { words, strips: vec![strip; count], ..Figure::default() }
    }
}

/// A row of boxes: the nut, frets and strings, and a short line for the name.
fn boxes(desk: &Desk<'_>, strings: usize) -> Drawing {
    let gaps = strings.saturating_sub(1).max(1) as f32;
    let pitch = desk.width / BOXES as f32;
    let gap = (desk.look.box_gap * 1.05).min(pitch * 0.8 / gaps);
    let (width, row) = (gap * gaps, gap * 1.25);
    let height = NAME + row * f32::from(FRETS) + pt(10.0);
    let mut drawing = Drawing::new(desk.width, height);
    for at in 0..BOXES {
        let left = pitch * (at as f32 + 0.5) - width / 2.0;
        let bottom = NAME + row * f32::from(FRETS);
        for fret in 0..=FRETS {
            let y = NAME + row * f32::from(fret);
            let line = if fret == 0 { NUT } else { LINE };
            drawing.path(Path::line(Point::new(left, y), Point::new(left + width, y), line));
        }
        for string in 0..strings {
            let x = left + gap * string as f32;
            drawing.path(Path::line(Point::new(x, NAME), Point::new(x, bottom), LINE));
        }
    }
    drawing
}

/// A system: a line a string, its letter in front, and lines at both ends.
fn tab(desk: &Desk<'_>, setting: &Setting) -> Drawing {
    let strings = setting.instrument.tuning.strings();
    let gap = desk.look.string_gap * 1.15;
    let top = desk.look.small_size;
    let bottom = top + gap * strings.len().saturating_sub(1) as f32;
    let left = pt(16.0);
    let mut drawing = Drawing::new(desk.width, bottom + pt(10.0));
    let style = Style::new(Face::Sans, desk.look.small_size);
    for (row, string) in strings.iter().rev().enumerate() {
        let y = top + gap * row as f32;
        let letter = desk.words(&string.note.printed(), style);
        drawing.text_centred(left / 2.0, y + desk.look.small_size * 0.36, letter);
        drawing.path(Path::line(Point::new(left, y), Point::new(desk.width, y), LINE));
    }
    for x in [left, desk.width] {
        drawing.path(Path::line(Point::new(x, top), Point::new(x, bottom), LINE));
    }
    drawing
}

fn neck(desk: &Desk<'_>, setting: &Setting) -> Drawing {
    let last = setting.instrument.last_fret().min(LAST_FRET);
    let view = View { frets: Fret::OPEN..=last, title: NAME, marks: &[] };
    NeckBoard::new(&setting.instrument, setting.left_handed, &view, desk).draw(desk)
}
