//! The figure of a `voicings` block: for each line its chord boxes in rows, with what each leaves
//! out and what the voices do from one to the next, and the whole way on one neck.

use super::{Line, Voiced, Voicings, words};
use crate::blocks::chord_box::{self, ChordBox, Measures, Sound};
use crate::blocks::figure::{Desk, Element, Figure};
use crate::blocks::neck_board::{self, Mark, NeckBoard, View};
use crate::ink::{Drawing, Face, Label, Path, Point, Pt, Style, Text, pt};
use crate::lesson::Setting;
use crate::neck::leading::Voice;
use crate::neck::voicing::Family;
use crate::neck::{Fret, StringIndex};
use crate::theory::Note;
use crate::words::{paper, terms};
use std::collections::BTreeMap;
use std::ops::RangeInclusive;

/// The air between neighbouring columns, at least.
const AIR: Pt = pt(12.0);
/// How far columns may move apart to fill the width (looks, "Boxes": rows are filled to the measure; the
/// bound, so that a few boxes still read as a row, is assumed).
const LOOSEST: f32 = 1.4;
/// The air above every line of the block but the first, and above its neck.
const ABOVE: Pt = pt(10.0);

impl Voicings {
    /// The block's figure: a strip a row of boxes, and one for each neck.
    pub fn figure(&self, desk: &Desk, setting: &Setting) -> Figure {
        let mut strips: Vec<Drawing> = Vec::new();
        let mut words = Vec::new();
        let mut elements = Vec::new();
        for line in &self.lines {
            let figure = LineFigure::new(line, desk, setting);
            let air = if strips.is_empty() { Pt::ZERO } else { ABOVE };
            let first = strips.len();
            strips.extend(figure.rows(air));
            words.push(figure.words());
            if line.leads {
                strips.extend(figure.way());
                words.push(figure.way_in_words());
            }
            let of_line = strips.iter().enumerate().skip(first).map(|(strip, drawing)| Element {
                span: line.span,
                strip,
                left: Pt::ZERO,
                right: drawing.width,
            });
            elements.extend(of_line);
        }
        Figure { words: words.join(" "), strips, elements, ..Figure::default() }
    }
}

/// One line of the block with everything set.
struct LineFigure<'a> {
    line: &'a Line,
    desk: &'a Desk<'a>,
    setting: &'a Setting,
    boxes: Vec<ChordBox<'a>>,
    measures: Measures,
    cells: Vec<Cell>,
}

/// The words around a box.
struct Cell {
    symbol: Text,
    /// The lines beneath, from the top down.
    below: Vec<Text>,
}

impl<'a> LineFigure<'a> {
    fn new(line: &'a Line, desk: &'a Desk, setting: &'a Setting) -> LineFigure<'a> {
        let boxes: Vec<ChordBox> =
            line.shapes.iter().map(|voiced| box_of(voiced, setting)).collect();
        let measures = Measures::for_all(boxes.iter(), desk);
        let cells = line.shapes.iter().map(|voiced| Cell::new(voiced, desk)).collect();
        LineFigure { line, desk, setting, boxes, measures, cells }
    }

    /// How far the widest cell reaches out from the middle of its box, to the left and to the right.
    fn reach(&self) -> (Pt, Pt) {
        let (mut left, mut right) = (Pt::ZERO, Pt::ZERO);
        for (cell, drawn) in self.cells.iter().zip(&self.boxes) {
            let half = self.measures.width(drawn.fingering.frets.len()) / 2.0;
            let (before, behind) = drawn.reach(&self.measures, self.desk);
            let words = cell.widest() / 2.0;
            left = left.max(half + before).max(words);
            right = right.max(half + behind).max(words);
        }
        let most = self.desk.width / 2.0;
        (left.min(most), right.min(most))
    }

    /// The boxes in rows of equal columns, the rows filled evenly.
    fn rows(&self, above: Pt) -> Vec<Drawing> {
        let (left, right) = self.reach();
        let natural = left + right + AIR;
        let fitting = (((self.desk.width + AIR) / natural) as usize).max(1);
        let count = self.cells.len();
        let columns = count.div_ceil(count.div_ceil(fitting).max(1)).max(1);
        let gaps = columns.saturating_sub(1).max(1) as f32;
        let spread = (self.desk.width - left - right) / gaps;
        let pitch = spread.min(natural * LOOSEST).max(natural.min(spread));
        let places: Vec<usize> = (0..count).collect();
        let row = |(number, places): (usize, &[usize])| {
            let title = (number == 0).then(|| self.title());
            self.row(
                places,
                title,
                if number == 0 { above } else { Pt::ZERO },
                (left, pitch, right),
            )
        };
        places.chunks(columns).enumerate().map(row).collect()
    }

    /// The line's style above its first row.
    fn title(&self) -> Text {
        let words = match self.line.family {
            Family::Any => String::new(),
            family => family.name().to_owned(),
        };
        self.desk.words(&words, Style::new(Face::Sans, self.desk.look.small_size))
    }

    fn row(
        &self,
        places: &[usize],
        title: Option<Text>,
        above: Pt,
        (left, pitch, right): (Pt, Pt, Pt),
    ) -> Drawing {
        let here: Vec<(&Cell, &ChordBox, &Voiced)> = places
            .iter()
            .filter_map(|at| {
                Some((self.cells.get(*at)?, self.boxes.get(*at)?, self.line.shapes.get(*at)?))
            })
            .collect();
        let small = self.desk.look.small_size;
        let line = small * 1.3;
        let title = title.filter(|title| title.width > Pt::ZERO);
        let start = above + if title.is_some() { line * 1.3 } else { Pt::ZERO };
        let baseline = start + self.desk.look.symbol_size * 0.9;
        let nut = baseline + pt(4.0) + self.measures.head();
        let rows = here.iter().map(|(_, drawn, _)| drawn.rows()).max().unwrap_or_default();
        let bottom = nut + self.measures.row * f32::from(rows) + self.measures.foot();
        let most = here.iter().map(|(cell, ..)| cell.below.len()).max().unwrap_or_default();
        let height = bottom + pt(4.0) + line * most as f32 + pt(2.0);
        let gaps = here.len().saturating_sub(1) as f32;
        let mut strip = Drawing::new((left + right + pitch * gaps).min(self.desk.width), height);
        if let Some(title) = title {
            strip.text(Point::new(Pt::ZERO, above + small), title);
        }
        for (at, (cell, drawn, voiced)) in here.into_iter().enumerate() {
            let mut drawing = Drawing::new(left + right, height);
            drawing.text_centred(left, baseline, cell.symbol.clone());
            let nut_left = left - self.measures.width(drawn.fingering.frets.len()) / 2.0;
            drawn.draw(&mut drawing, Point::new(nut_left, nut), rows, &self.measures, self.desk);
            for (number, text) in cell.below.iter().enumerate() {
                let y = bottom + pt(2.0) + line * number as f32 + small;
                drawing.text_centred(left, y, text.clone());
            }
            let title = voiced.chord.spoken().trim().to_owned();
            let label = Label::Words { title, words: self.box_in_words(drawn, voiced) };
            strip.place(Point::new(pitch * at as f32, Pt::ZERO), drawing, label);
        }
        strip
    }

    fn box_in_words(&self, drawn: &ChordBox, voiced: &Voiced) -> String {
        let about = words::about(voiced);
        let about = if about.is_empty() { about } else { format!(" ({about})") };
        format!("{}{about}: {}", voiced.chord.spoken().trim(), chord_box::describe(drawn))
    }

    fn words(&self) -> String {
        let kind = match self.line.family {
            Family::Any => "Chords".to_owned(),
            family => format!("Chords as {}", family.name()),
        };
        let each = self.boxes.iter().zip(&self.line.shapes);
        let each: Vec<String> =
            each.map(|(drawn, voiced)| self.box_in_words(drawn, voiced)).collect();
        let mut start = kind;
        if self.setting.instrument.capo > 0 {
            start +=
                &format!(", frets counted from the capo at fret {}", self.setting.instrument.capo);
        }
        format!("{start}: {}.", each.join(". "))
    }

    /// The places of all shapes on one neck, each with the numbers of the shapes that use it; a thin
    /// line runs through the places of a shape. A neck with too much on it is parted over several rows.
    fn way(&self) -> Vec<Drawing> {
        let (marks, key) = (self.marks(), self.key());
        let title = ABOVE + self.desk.look.small_size * (1.3 * key.len() as f32 + 0.4);
        let view = View { frets: self.frets(), title, marks: &marks };
        let Setting { instrument, left_handed, .. } = self.setting;
        let boards = NeckBoard::rows(instrument, *left_handed, &view, self.desk);
        let strip = |(number, board): (usize, &NeckBoard<'_>)| {
            let frets = board.frets();
            let words = match number {
                0 => self.way_in_words(),
                _ => format!("The same neck, frets {} to {}.", frets.start(), frets.end()),
            };
            let key = if number == 0 { key.as_slice() } else { &[] };
            let drawing = self.way_on(board, &marks, key);
            let mut strip = Drawing::new(drawing.width, drawing.height);
            let label = Label::Words { title: paper::voicings::WHOLE_WAY.to_owned(), words };
            strip.place(Point::default(), drawing, label);
            strip
        };
        boards.iter().enumerate().map(strip).collect()
    }

    /// What lies on the frets of a board, with the key above it.
    fn way_on(&self, board: &NeckBoard<'_>, marks: &[Mark], key: &[Text]) -> Drawing {
        let mut drawing = board.draw(self.desk);
        for (number, line) in key.iter().enumerate() {
            drawing.width = drawing.width.max(line.width);
            let down = self.desk.look.small_size * (1.0 + 1.3 * number as f32);
            drawing.text(Point::new(Pt::ZERO, ABOVE + down), line.clone());
        }
        let is_here = |fret: Fret| board.frets().contains(&fret);
        for voiced in &self.line.shapes {
            let here = voiced.shape.sounding().filter(|(_, fret)| is_here(*fret));
            let places: Vec<Point> = here.map(|(string, fret)| board.place(string, fret)).collect();
            for pair in places.windows(2) {
                if let [from, to] = pair {
                    drawing.path(Path::line(*from, *to, pt(0.6)));
                }
            }
        }
        for mark in marks.iter().filter(|mark| is_here(mark.fret)) {
            board.mark(mark, &mut drawing, self.desk);
        }
        drawing
    }

    /// Which number stands for which chord, "1 A  2 F♯m", in lines as wide as the column.
    fn key(&self) -> Vec<Text> {
        let small = self.desk.look.small_size;
        let (bold, plain) = (Style::new(Face::SerifSemibold, small), Style::new(Face::Sans, small));
        let mut lines: Vec<Text> = Vec::new();
        for (at, voiced) in self.line.shapes.iter().enumerate() {
            let entry = self
                .desk
                .words(&format!("{} ", at + 1), plain)
                .then(self.desk.symbol(&voiced.chord.printed(), bold));
            let space = self.desk.words("     ", plain);
            match lines.last_mut() {
                Some(line) if line.width + space.width + entry.width <= self.desk.width => {
                    *line = std::mem::take(line).then(space).then(entry);
                }
                _ => lines.push(entry),
            }
        }
        lines
    }

    /// A mark for each place that a shape uses.
    fn marks(&self) -> Vec<Mark> {
        let mut places: BTreeMap<(StringIndex, Fret), Vec<usize>> = BTreeMap::new();
        for (at, voiced) in self.line.shapes.iter().enumerate() {
            for place in voiced.shape.sounding() {
                places.entry(place).or_default().push(at + 1);
            }
        }
        let mark = |((string, fret), numbers): ((StringIndex, Fret), Vec<usize>)| Mark {
            string,
            fret,
            label: self.label(&numbers),
            root: false,
            filled: false,
        };
        places.into_iter().map(mark).collect()
    }

    /// Numbers as a mark has room for them; what is left out stands in the boxes above.
    fn label(&self, numbers: &[usize]) -> String {
        let plain = Style::new(Face::Sans, self.desk.look.small_size);
        let longest = neck_board::longest_label(self.desk);
        let first = |count: usize| {
            let some = numbers.get(..count).unwrap_or_default();
            let more = if count < numbers.len() { "…" } else { "" };
            format!("{}{more}", in_short(some))
        };
        let mut labels = (1..=numbers.len()).rev().map(first);
        let fits = |label: &String| self.desk.words(label, plain).width <= longest;
        labels.find(fits).unwrap_or_default()
    }

    /// The frets that the way needs, four at least.
    fn frets(&self) -> RangeInclusive<Fret> {
        let frets = || {
            self.line.shapes.iter().flat_map(|voiced| voiced.shape.sounding().map(|(_, fret)| fret))
        };
        let (low, high) = (frets().min().unwrap_or_default(), frets().max().unwrap_or_default());
        let low = if low <= Fret::new(2) { Fret::OPEN } else { low.down(1) };
        low..=high.max(low.up(4))
    }

    fn way_in_words(&self) -> String {
        let shapes = self.line.shapes.iter().enumerate().map(|(at, voiced)| {
            let places: Vec<String> = voiced
                .shape
                .sounding()
                .rev()
                .map(|(string, fret)| {
                    let number = self.setting.instrument.tuning.number(string);
                    if fret.is_open() {
                        format!("string {number} open")
                    } else {
                        format!("string {number} fret {fret}")
                    }
                })
                .collect();
            format!("{}, {}: {}", at + 1, voiced.chord.spoken().trim(), places.join(", "))
        });
        format!("The whole way on the neck: {}.", shapes.collect::<Vec<_>>().join("; "))
    }
}

/// Rising numbers, three and more in a row as `1–3`.
fn in_short(numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for number in numbers.iter().copied() {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == number => *last = number,
            _ => runs.push((number, number)),
        }
    }
    let run = |(first, last): &(usize, usize)| match last - first {
        0 => first.to_string(),
        1 => format!("{first} {last}"),
        _ => format!("{first}–{last}"),
    };
    runs.iter().map(run).collect::<Vec<_>>().join(" ")
}

impl Cell {
    fn new(voiced: &Voiced, desk: &Desk) -> Cell {
        let plain = Style::new(Face::Sans, desk.look.small_size);
        let bold = Style::new(Face::SansSemibold, desk.look.small_size);
        let mut below = Vec::new();
        below.extend(
            voiced.inversion.map(|inversion| desk.words(terms::inversion(inversion), plain)),
        );
        below.extend(voiced.left_out.iter().map(|left| desk.words(&words::left_out(left), plain)));
        below.extend(voiced.moves.iter().map(|moved| {
            let style = if matches!(moved, Voice::Stays(_)) { bold } else { plain };
            desk.words(&words::voice(moved, Note::printed), style)
        }));
        let symbol = desk.symbol(
            &voiced.chord.printed(),
            Style::new(Face::SerifSemibold, desk.look.symbol_size),
        );
        Cell { symbol, below }
    }

    fn widest(&self) -> Pt {
        self.below.iter().fold(self.symbol.width, |widest, text| widest.max(text.width))
    }
}

fn box_of<'a>(voiced: &'a Voiced, setting: &Setting) -> ChordBox<'a> {
    let (instrument, key) = (&setting.instrument, setting.key.as_ref());
    ChordBox {
        fingering: &voiced.fingering,
        sounds: Sound::of_strings(&voiced.fingering, instrument, Some(&voiced.chord), key),
        capo: instrument.capo > 0,
        left_handed: setting.left_handed,
    }
}
