//! Empty boxes, tab and necks for a student to write on.

use crate::blocks::figure::{Desk, Figure};
use crate::blocks::neck_board::{NeckBoard, View};
use crate::ink::measure::LineWidth;
use crate::ink::{Drawing, Face, Path, Point, Pt, Style, Text, pt};
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

/// How many frets an empty box has.
const FRETS: u8 = 5;
/// The last fret of an empty neck.
const LAST_FRET: Fret = Fret::new(12);
/// Boxes and systems to write in are so much larger than those that are read; chosen by eye.
const ROOMY: f32 = 1.2;
/// In parts of the distance between strings: the room above a box or a neck for its name, the air between two boxes
/// at least, and the distance between frets, lines and the nut as a chord box has them (looks, "Boxes").
const NAME: f32 = 2.0;
const APART: f32 = 2.0;
const FRET: f32 = 4.9 / 3.9;
const LINE: f32 = 0.25 / 3.9;
const NUT: f32 = 1.0 / 3.9;
/// The lines of a tab, in parts of their distance (looks, "Tab": 0.16 mm at 3.0 mm); its ends as a bar line.
const TAB_LINE: f32 = 0.16 / 3.0;
const TAB_END: f32 = 0.3 / 3.0;
/// The room for counts beneath a system, in parts of the distance between its lines; chosen by eye.
const COUNTS: f32 = 1.5;

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

    /// So many rows of them.
    pub fn figure(self, count: usize, desk: &Desk<'_>, setting: &Setting) -> Figure {
        let strings = setting.instrument.tuning.len();
        let (strip, what) = match self {
            Blank::Boxes => (boxes(desk, strings), "rows of empty chord boxes"),
            Blank::Tab => (tab(desk, setting), "empty systems of tab"),
            Blank::Neck => (neck(desk, setting), "empty necks"),
        };
        let words = format!("{count} {what} for {strings} strings.");
        Figure { words, strips: vec![strip; count], ..Figure::default() }
    }
}

/// A row of boxes over the whole width: the nut, frets and strings, and room for a name.
fn boxes(desk: &Desk<'_>, strings: usize) -> Drawing {
    let gaps = strings.saturating_sub(1).max(1) as f32;
    let gap = (desk.look.box_gap * ROOMY).min(desk.width / gaps);
    let (width, row, air) = (gap * gaps, gap * FRET, gap * APART);
    let columns = (((desk.width + air + pt(0.1)) / (width + air)) as usize).max(1);
    let pitch = (desk.width - width) / columns.saturating_sub(1).max(1) as f32;
    let (top, bottom) = (gap * NAME, gap * NAME + row * f32::from(FRETS));
    let (line, nut) = (stroke(gap, LINE), stroke(gap, NUT));
    let mut drawing = Drawing::new(desk.width, bottom + gap * 0.5);
    for at in 0..columns {
        let (left, right) = (pitch * at as f32, pitch * at as f32 + width);
        for fret in 0..=FRETS {
            let y = top + row * f32::from(fret);
            drawing.path(Path::line(Point::new(left, y), Point::new(right, y), line));
        }
        for string in 0..strings {
            let x = left + gap * string as f32;
            let (top, bottom) = (Point::new(x, top - nut), Point::new(x, bottom + line / 2.0));
            drawing.path(Path::line(top, bottom, line));
        }
        let corner = Point::new(left - line / 2.0, top - nut);
        drawing.path(Path::rectangle(corner, width + line, nut, 0.0));
    }
    drawing
}

/// A system: a line a string, its letter in front, and bar lines at both ends.
fn tab(desk: &Desk<'_>, setting: &Setting) -> Drawing {
    let strings = setting.instrument.tuning.strings();
    let gap = desk.look.string_gap * ROOMY;
    let size = desk.look.small_size;
    let bottom = size + gap * strings.len().saturating_sub(1) as f32;
    let style = Style::new(Face::Sans, size);
    let letters: Vec<Text> =
        strings.iter().rev().map(|string| desk.words(&string.note.printed(), style)).collect();
    let widest = letters.iter().map(|letter| letter.width).fold(Pt::ZERO, Pt::max);
    let left = widest + size * 0.7;
    let mut drawing = Drawing::new(desk.width, bottom + gap * COUNTS);
    for (row, letter) in letters.into_iter().enumerate() {
        let y = size + gap * row as f32;
        drawing.text_centred(widest / 2.0, y + size * 0.33, letter);
        let (from, to) = (Point::new(left, y), Point::new(desk.width, y));
        drawing.path(Path::line(from, to, stroke(gap, TAB_LINE)));
    }
    for x in [left, desk.width] {
        let (from, to) = (Point::new(x, size), Point::new(x, bottom));
        drawing.path(Path::line(from, to, stroke(gap, TAB_END)));
    }
    drawing
}

fn neck(desk: &Desk<'_>, setting: &Setting) -> Drawing {
    let last = setting.instrument.last_fret().min(LAST_FRET);
    let view = View {
        frets: Fret::OPEN..=last,
        title: desk.look.box_gap * NAME,
        marks: &[],
        fills: false,
    };
    NeckBoard::new(&setting.instrument, setting.left_handed, &view, desk).draw(desk)
}

fn stroke(gap: Pt, share: f32) -> Pt {
    (gap * share).max(LineWidth::THINNEST)
}
