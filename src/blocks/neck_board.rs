//! The board of a neck diagram: strings across, the highest on top as a player reads a tab, frets
//! from the nut, inlays beneath their numbers, and labelled marks. Any kind of block that shows places
//! on the neck draws them with it.
//!
//! A root is a square and heavy, another tone round; what is filled and what is open is the caller's
//! to say. So nothing depends on colour.
//!
//! Marks and numbers never touch: where they would, marks shrink towards their labels, then only
//! numbers of frets with an inlay are written, then the neck is parted over [rows](NeckBoard::rows).

use crate::neck::{Fret, StringIndex};
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
pub mod testing;

use super::figure::Desk;
use crate::ink::{Drawing, Face, Path, Point, Pt, Stroke, Style, Text, pt};
use crate::neck::Instrument;
use std::ops::RangeInclusive;

/// A fret is never drawn wider than this where labels have the size [`LABEL`], and in proportion: four
/// frets should not fill a page (looks, "Necks": 16 mm in a handout).
const WIDEST_FRET: Pt = pt(46.0);
/// The size of labels for which the widths are given.
const LABEL: Pt = pt(7.5);
/// The width of the column of open strings, left of the nut.
const OPEN_COLUMN: Pt = pt(22.0);
/// The width of the strings' letters.
const LETTERS: Pt = pt(15.0);
/// Half the width of a mark, its outline included, is at most this share of the narrowest fret (looks,
/// "Necks").
const WIDEST_HALF: f32 = 0.85 / 2.0;
/// The width of the outline of a mark that is no root.
const OUTLINE: Pt = pt(0.8);
/// The air beside a mark's label.
const AIR: Pt = pt(2.0);
/// The least air beside a mark's label, and between two numbers, and the least radius of a mark, as
/// shares of the label's size.
const LEAST_AIR: f32 = 0.12;
const BETWEEN_NUMBERS: f32 = 0.3;
const LEAST_RADIUS: f32 = 0.6;
/// The radius of an inlay, as a share of the labels' size.
const INLAY: f32 = 0.2;
/// The frets that have an inlay; 12 and 24 have two.
const INLAYS: [u8; 10] = [3, 5, 7, 9, 12, 15, 17, 19, 21, 24];

/// A mark on the board.
#[derive(Debug, Clone)]
pub struct Mark {
    /// The string's index, 0 the lowest-placed.
    pub string: StringIndex,
    /// The fret; 0 is open.
    pub fret: Fret,
    /// What stands in it.
    pub label: String,
    /// Whether it is a root.
    pub root: bool,
    /// Whether it is filled.
    pub filled: bool,
}

/// A board's measures.
#[derive(Debug)]
pub struct NeckBoard<'a> {
    instrument: &'a Instrument,
    left_handed: bool,
    /// The size of the labels.
    size: Pt,
    radius: Pt,
    /// The air beside a label.
    air: Pt,
    gap: Pt,
    /// Where the first string's line lies.
    top: Pt,
    /// Where each drawn fret ends, from the left edge for a right-handed player; the first entry
    /// is where the first fret begins.
    edges: Vec<Pt>,
    /// The frets that are asked for.
    frets: RangeInclusive<Fret>,
    /// The first fret that is drawn as a column.
    first: Fret,
    /// The width of the strings' letters.
    letters: Pt,
    /// The width of the column of open strings.
    open: Pt,
    width: Pt,
    /// The frets whose numbers are written.
    numbered: Vec<Fret>,
    /// Whether neither marks nor numbers touch.
    fits: bool,
}

/// What a board shows.
#[derive(Debug)]
pub struct View<'a> {
    /// The frets, 0 standing for the open strings.
    pub frets: RangeInclusive<Fret>,
    /// The height that is left for a title.
    pub title: Pt,
    /// The marks that will be put on it: an open string's may need a wider column.
    pub marks: &'a [Mark],
}

impl<'a> NeckBoard<'a> {
    /// The boards of a neck, to be set one below the other: one, or as many as it takes for neither
    /// marks nor numbers to touch, each with about as many frets as the others. The title is above the
    /// first.
    pub fn rows(
        instrument: &'a Instrument,
        left_handed: bool,
        view: &View<'_>,
        desk: &Desk<'_>,
    ) -> Vec<NeckBoard<'a>> {
        let board = |frets: RangeInclusive<Fret>| {
            let here = view.marks.iter().filter(|mark| frets.contains(&mark.fret));
            let marks: Vec<Mark> = here.cloned().collect();
            let title = if frets.start() == view.frets.start() { view.title } else { Pt::ZERO };
            NeckBoard::new(instrument, left_handed, &View { frets, title, marks: &marks }, desk)
        };
        let boards = |count: u8| -> Vec<NeckBoard<'a>> {
            parted(&view.frets, count).into_iter().map(board).collect()
        };
        let most = view.frets.end().above((*view.frets.start()).max(Fret::FIRST)).saturating_add(1);
        let mut ways = (1..=most).map(boards);
        let mut rows =
            ways.find(|rows| rows.iter().all(|board| board.fits)).unwrap_or_else(|| boards(most));
        let radius = rows.iter().map(|board| board.radius).reduce(Pt::min);
        let air = rows.iter().map(|board| board.air).reduce(Pt::min);
        for board in &mut rows {
            board.resize(radius.unwrap_or_default(), air.unwrap_or_default(), desk);
        }
        rows
    }

    /// A board as wide as the column allows.
    pub fn new(
        instrument: &'a Instrument,
        left_handed: bool,
        view: &View<'_>,
        desk: &Desk<'_>,
    ) -> NeckBoard<'a> {
        let View { frets, title, marks } = view;
        let size = desk.look.small_size;
        let natural = (size * 0.82).max(desk.look.box_gap * 0.42);
        let opens = frets.start().is_open();
        let first = (*frets.start()).max(Fret::FIRST);
        let last = (*frets.end()).max(first);
        let letters = widest_letter(instrument, desk);
        let open_marks = marks.iter().filter(|mark| mark.fret.is_open());
        let widest_open = open_marks.map(|mark| half_width(mark, natural, AIR, desk) * 2.0);
        let open = widest_open.map(|width| width + pt(6.0)).fold(OPEN_COLUMN, Pt::max);
        let left = letters + if opens { open } else { pt(4.0) };
        let edges = fret_edges((left, desk.width - pt(2.0)), (first, last), size);
        let width = edges.last().copied().unwrap_or(left) + pt(2.0);
        let room = room(narrowest(&edges));
        let pressed = marks.iter().filter(|mark| mark.fret.is_pressed());
        let label = pressed.map(|mark| label_width(mark, desk)).fold(Pt::ZERO, Pt::max) / 2.0;
        let air = (room - label).max(size * LEAST_AIR).min(AIR);
        let radius = natural.min(room);
        let marks_fit = label + air <= room + pt(0.01) && radius >= size * LEAST_RADIUS;
        let mut board = NeckBoard {
            instrument,
            left_handed,
            size,
            radius: Pt::ZERO,
            air,
            gap: Pt::ZERO,
            top: pt(2.0) + *title,
            frets: frets.clone(),
            edges,
            first,
            letters,
            open,
            width,
            numbered: Vec::new(),
            fits: false,
        };
        board.resize(radius, air, desk);
        board.numbered = board.numbers_that_fit(desk);
        board.fits = marks_fit && !board.numbers_touch(&board.numbered, desk);
        board
    }

    /// Gives the marks another size, and the strings the room that they need.
    fn resize(&mut self, radius: Pt, air: Pt, desk: &Desk<'_>) {
        self.top += radius - self.radius;
        self.gap = (radius * 2.0 + pt(1.6)).max(desk.look.box_gap);
        (self.radius, self.air) = (radius, air);
    }

    /// The frets that it shows, 0 standing for the open strings.
    pub fn frets(&self) -> &RangeInclusive<Fret> {
        &self.frets
    }

    /// An empty board as a drawing of its own.
    pub fn draw(&self, desk: &Desk<'_>) -> Drawing {
        let below = self.radius + pt(4.0) + self.size * 1.65;
        let height = self.y(StringIndex::LOWEST) + below + pt(4.0);
        let mut drawing = Drawing::new(self.width, height);
        self.wires(&mut drawing);
        self.strings(&mut drawing, desk);
        self.numbers(&mut drawing, desk);
        self.inlays(&mut drawing);
        drawing
    }

    /// Draws a mark: as wide as its label needs.
    pub fn mark(&self, mark: &Mark, drawing: &mut Drawing, desk: &Desk<'_>) {
        let centre = self.place(mark.string, mark.fret);
        let shade = if mark.filled { 0.0 } else { 1.0 };
        let line = Stroke::black(if mark.root { pt(1.4) } else { OUTLINE });
        let face = if mark.root { Face::SansSemibold } else { Face::Sans };
        let style = Style { shade: 1.0 - shade, ..Style::new(face, self.size) };
        let label = desk.words(&mark.label, style);
        let half = half_width(mark, self.radius, self.air, desk);
        drawing.path(match mark.root {
            true => oblong(centre, half * 0.92, self.radius * 0.92, shade, line),
            false => round(centre, half, self.radius, shade, line),
        });
        drawing.text_centred(centre.x, centre.y + self.size * 0.36, label);
    }

    /// The centre of a place.
    pub fn place(&self, string: StringIndex, fret: Fret) -> Point {
        Point::new(self.column(fret), self.y(string))
    }

    /// A place across, mirrored for a left-handed player.
    fn x(&self, x: Pt) -> Pt {
        if self.left_handed { self.width - x } else { x }
    }

    /// The line of a string, the lowest-placed one at the bottom.
    fn y(&self, string: StringIndex) -> Pt {
        let down = self.instrument.tuning.len().saturating_sub(1 + string.index());
        self.top + self.gap * down as f32
    }

    fn edge(&self, index: usize) -> Pt {
        self.edges.get(index).copied().unwrap_or(self.width)
    }

    /// Where a fret's marks stand: in the middle of its column, open strings left of the nut.
    fn column(&self, fret: Fret) -> Pt {
        if fret.is_open() {
            return self.x(self.edge(0) - self.open / 2.0);
        }
        let index = usize::from(fret.above(self.first));
        self.x((self.edge(index) + self.edge(index + 1)) / 2.0)
    }

    fn last(&self) -> Fret {
        self.first.up(self.edges.len().saturating_sub(2) as u8)
    }

    /// The inlays, beneath the numbers of their frets, where no mark hides them.
    fn inlays(&self, drawing: &mut Drawing) {
        let y = self.number_line() + self.size * 0.55;
        for fret in self.first.to(self.last()).filter(|fret| self.has_inlay(*fret)) {
            let two = matches!(fret.number() + self.instrument.capo, 12 | 24);
            let beside: &[f32] = if two { &[-0.3, 0.3] } else { &[0.0] };
            for share in beside {
                let place = Point::new(self.column(fret) + self.size * *share, y);
                drawing.path(Path::circle(place, self.size * INLAY, Some(0.35), None));
            }
        }
    }

    /// The baseline of the numbers.
    fn number_line(&self) -> Pt {
        self.y(StringIndex::LOWEST) + self.radius + pt(4.0) + self.size * 0.8
    }

    fn wires(&self, drawing: &mut Drawing) {
        let (top, bottom) = (self.top, self.y(StringIndex::LOWEST));
        for (index, edge) in self.edges.iter().enumerate() {
            let nut = index == 0 && self.first == Fret::FIRST;
            let x = self.x(*edge);
            let width = if nut { pt(3.2) } else { pt(0.7) };
            let over = width / 2.0;
            let (from, to) = (Point::new(x, top - over), Point::new(x, bottom + over));
            drawing.path(Path::line(from, to, width));
        }
    }

    fn strings(&self, drawing: &mut Drawing, desk: &Desk<'_>) {
        let strings = self.instrument.tuning.len();
        let (left, right) = (self.edge(0), self.edge(self.edges.len().saturating_sub(1)));
        for string in StringIndex::first(strings) {
            let y = self.y(string);
            // Thicker towards the lowest, as strings are.
            let down = (strings - 1 - string.index()) as f32 / (strings.max(2) - 1) as f32;
            let width = pt(0.5 + 0.7 * down);
            drawing.path(Path::line(
                Point::new(self.x(left), y),
                Point::new(self.x(right), y),
                width,
            ));
            if let Some(open) = self.instrument.open_note(string) {
                let letter = desk.words(&open.printed(), Style::new(Face::Sans, self.size));
                drawing.text_centred(self.x(self.letters / 2.0), y + self.size * 0.36, letter);
            }
        }
    }

    fn numbers(&self, drawing: &mut Drawing, desk: &Desk<'_>) {
        let y = self.number_line();
        for fret in &self.numbered {
            drawing.text_centred(self.column(*fret), y, self.number(*fret, desk));
        }
    }

    fn number(&self, fret: Fret, desk: &Desk<'_>) -> Text {
        let face = if self.has_inlay(fret) { Face::SansSemibold } else { Face::Sans };
        desk.words(&fret.to_string(), Style::new(face, self.size))
    }

    fn has_inlay(&self, fret: Fret) -> bool {
        INLAYS.contains(&(fret.number() + self.instrument.capo))
    }

    /// The frets whose numbers are written: all, or where they would touch those with an inlay, which
    /// is about every other one.
    fn numbers_that_fit(&self, desk: &Desk<'_>) -> Vec<Fret> {
        let all: Vec<Fret> = self.first.to(self.last()).collect();
        if !self.numbers_touch(&all, desk) {
            return all;
        }
        all.into_iter().filter(|fret| self.has_inlay(*fret)).collect()
    }

    fn numbers_touch(&self, frets: &[Fret], desk: &Desk<'_>) -> bool {
        let half = |fret: Fret| self.number(fret, desk).width / 2.0;
        let touch = |one: Fret, other: Fret| {
            let apart = (self.column(one) - self.column(other)).abs();
            apart < half(one) + half(other) + self.size * BETWEEN_NUMBERS
        };
        frets.iter().zip(frets.iter().skip(1)).any(|(one, other)| touch(*one, *other))
    }
}

/// Half the width that a mark may have on a fret, without its outline.
fn room(fret: Pt) -> Pt {
    fret * WIDEST_HALF - OUTLINE / 2.0
}

/// The widest label that a mark has room for on a neck of few frets.
pub fn longest_label(desk: &Desk<'_>) -> Pt {
    let size = desk.look.small_size;
    (room(widest_fret(size)) - size * LEAST_AIR) * 2.0
}

/// Frets in so many parts; the open strings stand before the first fret.
fn parted(frets: &RangeInclusive<Fret>, count: u8) -> Vec<RangeInclusive<Fret>> {
    let before = u16::from(*frets.start()).max(1) - 1;
    let all = u16::from(*frets.end()).saturating_sub(before);
    let end =
        |part: u8| Fret::new((before + all * u16::from(part) / u16::from(count.max(1))) as u8);
    let part = |number: u8| match number {
        1 => *frets.start()..=if count <= 1 { *frets.end() } else { end(1) },
        _ => end(number - 1).up(1)..=end(number),
    };
    (1..=count.max(1)).map(part).collect()
}

/// Half the width of a mark: its label needs air beside it.
fn half_width(mark: &Mark, radius: Pt, air: Pt, desk: &Desk<'_>) -> Pt {
    (label_width(mark, desk) / 2.0 + air).max(radius)
}

fn label_width(mark: &Mark, desk: &Desk<'_>) -> Pt {
    let face = if mark.root { Face::SansSemibold } else { Face::Sans };
    desk.words(&mark.label, Style::new(face, desk.look.small_size)).width
}

/// The width of the strings' letters with some air.
fn widest_letter(instrument: &Instrument, desk: &Desk<'_>) -> Pt {
    let style = Style::new(Face::Sans, desk.look.small_size);
    let strings = instrument.tuning.strings().iter();
    let letters = strings.map(|open| desk.words(&open.note.printed(), style).width + pt(4.0));
    letters.fold(LETTERS, Pt::max)
}

fn widest_fret(size: Pt) -> Pt {
    WIDEST_FRET * (size / LABEL)
}

/// The width of the narrowest fret between edges.
fn narrowest(edges: &[Pt]) -> Pt {
    let widths = edges.iter().zip(edges.iter().skip(1)).map(|(from, to)| *to - *from);
    widths.reduce(Pt::min).unwrap_or_default()
}

/// An oblong about a centre, half its sides given.
fn oblong(centre: Point, half: Pt, rise: Pt, shade: f32, line: Stroke) -> Path {
    let corner = centre + Point::new(-half, -rise);
    Path { stroke: Some(line), ..Path::rectangle(corner, half * 2.0, rise * 2.0, shade) }
}

/// A circle about a centre, drawn out sideways where half its width is more than its radius.
fn round(centre: Point, half: Pt, radius: Pt, shade: f32, line: Stroke) -> Path {
    let out = half - radius;
    if out <= Pt::ZERO {
        return Path::circle(centre, radius, Some(shade), Some(line));
    }
    let beside = |out: Pt| centre + Point::new(out, Pt::ZERO);
    Path::pill(beside(-out), beside(out), radius, shade, line)
}

/// Where the frets from the first to the last begin and end between two edges, for labels of a size. A
/// real neck's frets shrink to half at the twelfth (2^(−n/12), hand note section 1); half of that is kept, so
/// that the high ones stay legible.
fn fret_edges((left, right): (Pt, Pt), (first, last): (Fret, Fret), size: Pt) -> Vec<Pt> {
    let weight = |fret: Fret| 0.5 + 0.5 * (-f32::from(fret) / 12.0).exp2();
    let total: f32 = first.to(last).map(weight).sum();
    let widest = weight(first);
    let unit = ((right - left).max(pt(1.0)) / total).min(widest_fret(size) / widest);
    let mut edges = vec![left];
    let mut x = left;
    for fret in first.to(last) {
        x += unit * weight(fret);
        edges.push(x);
    }
    edges
}
