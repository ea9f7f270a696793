//! Empty boxes, tab and necks for a student to write on.

use crate::blocks::chord_box::share;
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
/// In parts of the distance between strings: the room above a box or a neck for its name, and the air between two boxes
/// at least. All else is as in a chord box that is drawn.
const NAME: f32 = 2.0;
const APART: f32 = 2.0;
/// The height of the line for a box's name, and the room beside a box for the number of its first fret; chosen by eye.
const NAME_LINE: f32 = 0.7;
const BESIDE: f32 = 1.6;
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
        // Half of the rows of boxes are for shapes further up the neck.
        let (strips, what) = match self {
            Blank::Boxes => {
                let at_nut = count.div_ceil(2);
                let mut strips = vec![boxes(desk, strings, true); at_nut];
                strips.resize(count, boxes(desk, strings, false));
                (strips, "rows of empty chord boxes")
            }
            Blank::Tab => (vec![tab(desk, setting); count], "empty systems of tab"),
            Blank::Neck => (vec![neck(desk, setting); count], "empty necks"),
        };
        let words = format!("{count} {what} for {strings} strings.");
        Figure { words, strips, ..Figure::default() }
    }
}

/// A row of boxes over the whole width: frets and strings, a line for a name, and the nut, or a line for the number of
/// the first fret.
fn boxes(desk: &Desk<'_>, strings: usize, at_nut: bool) -> Drawing {
    let gaps = strings.saturating_sub(1).max(1) as f32;
    let gap = (desk.look.box_gap * ROOMY).min(desk.width / gaps);
    let (width, row, air) = (gap * gaps, gap * share::ROW, gap * APART);
    // Room for the number of a fret beside the first box, where there is some.
    let beside = (gap * BESIDE).min((desk.width - width).max(Pt::ZERO));
    let columns = (((desk.width - beside + air + pt(0.1)) / (width + air)) as usize).max(1);
    let pitch = (desk.width - beside - width) / columns.saturating_sub(1).max(1) as f32;
    let top = gap * (NAME + NAME_LINE);
    let bottom = top + row * f32::from(FRETS);
    let (line, nut) = (stroke(gap, share::LINE), stroke(gap, share::NUT));
    let mut drawing = Drawing::new(desk.width, bottom + gap * 0.5);
    for at in 0..columns {
        let left = beside + pitch * at as f32;
        let right = left + width;
        let mut rule = |from: Pt, to: Pt, y: Pt| {
            drawing.path(Path::line(Point::new(from, y), Point::new(to, y), line));
        };
        rule(left + gap, right - gap, gap * NAME_LINE);
        if !at_nut {
            rule(left - beside, left - gap * 0.5, top + row * 0.75);
        }
        for fret in 0..=FRETS {
            let y = top + row * f32::from(fret);
            drawing.path(Path::line(Point::new(left, y), Point::new(right, y), line));
        }
        for string in 0..strings {
            let x = left + gap * string as f32;
            let top = if at_nut { top - nut } else { top - line / 2.0 };
            let (top, bottom) = (Point::new(x, top), Point::new(x, bottom + line / 2.0));
            drawing.path(Path::line(top, bottom, line));
        }
        if at_nut {
            let corner = Point::new(left - line / 2.0, top - nut);
            drawing.path(Path::rectangle(corner, width + line, nut, 0.0));
        }
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

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ink::{Fonts, Item};
    use crate::page::Template;
    use crate::words::Lang;

    #[test]
    fn half_of_the_rows_of_blank_boxes_have_a_nut_and_the_others_a_line_for_a_fret() {
        let (fonts, setting) = (Fonts::new(), Setting::default());
        let template = Template::load("chart", |_| None).unwrap();
        let desk =
            Desk { lang: Lang::English, fonts: &fonts, look: &template.figure, width: pt(482.0) };
        let figure = Blank::Boxes.figure(5, &desk, &setting);
        let is_nut = |item: &Item| matches!(item, Item::Path(path) if path.fill.is_some());
        let nuts = |strip: &Drawing| strip.items.iter().filter(|item| is_nut(item)).count();
        let found: Vec<bool> = figure.strips.iter().map(|strip| nuts(strip) > 0).collect();
        assert_eq!(found, [true, true, true, false, false]);
        // As many lines for names, and one beside each box in the place of the nut.
        let [first, .., last] = figure.strips.as_slice() else { panic!("no rows") };
        assert_eq!(first.items.len(), last.items.len());
    }
}
