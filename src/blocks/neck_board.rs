//! The board of a neck diagram: strings across, the highest on top as a player reads a tab, frets
//! from the nut, inlays beneath their numbers, and labelled marks. Any kind of block that shows places
//! on the neck draws them with it.
//!
//! A root is a square and heavy, another tone round; what is filled and what is open is the caller's
//! to say. So nothing depends on colour.
//!
//! Marks and numbers never touch: where they would, marks shrink towards their labels, then only
//! numbers of frets with an inlay are written, then the neck is parted over [rows](NeckBoard::rows), as a
//! long one always is.
//! All lines and airs are shares (`measures`) of the distance between strings or of the labels' size.

mod frets;
mod measures;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
pub mod testing;
#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests;

pub use measures::sign;

use super::figure::Desk;
use crate::ink::{Drawing, Face, Path, Point, Pt, Style, Text};
use crate::neck::{Fret, Instrument, StringIndex};
use frets::{
    fret_edges, has_inlay, has_two_inlays, least_rows, narrowest, parted, scale_of, width_of,
};
use measures::Measures;
use std::ops::RangeInclusive;

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

/// The face of labels, heavy: a light digit in a dot, and any that is white on black, closes up in a copy of a copy.
const LABELS: Face = Face::SansSemibold;

/// A mark with the width of its label.
#[derive(Debug, Clone, Copy)]
struct Sized<'m> {
    mark: &'m Mark,
    label: Pt,
}

/// A board's measures.
#[derive(Debug)]
pub struct NeckBoard<'a> {
    instrument: &'a Instrument,
    left_handed: bool,
    measures: Measures,
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
    /// Whether few frets are as wide together as the column, as those of positions are that stand under each other.
    pub fills: bool,
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
        let marks = sized(view.marks, desk);
        let start = NeckBoard::plain(instrument, left_handed, view.fills, desk);
        let board = |frets: RangeInclusive<Fret>, scale: Option<Pt>| {
            let here = marks.iter().filter(|sized| frets.contains(&sized.mark.fret));
            let here: Vec<Sized<'_>> = here.copied().collect();
            let title = if frets.start() == view.frets.start() { view.title } else { Pt::ZERO };
            start.scaled(scale, &frets).showing(frets, title, &here, desk)
        };
        // Rows of one neck are drawn to one scale, the smallest of theirs.
        let boards = |count: u8| -> Vec<NeckBoard<'a>> {
            let parts = parted(&view.frets, count);
            let alone = parts.iter().map(|frets| board(frets.clone(), None));
            let scale = alone.filter_map(|board| scale_of(&board.edges, board.first));
            let scale = scale.reduce(Pt::min).filter(|_| count > 1);
            parts.into_iter().map(|frets| board(frets, scale)).collect()
        };
        let most = view.frets.end().above((*view.frets.start()).max(Fret::FIRST)).saturating_add(1);
        let mut ways = (least_rows(most)..=most).map(boards);
        let mut rows =
            ways.find(|rows| rows.iter().all(|board| board.fits)).unwrap_or_else(|| boards(most));
        let radius = rows.iter().map(|board| board.measures.radius).reduce(Pt::min);
        let air = rows.iter().map(|board| board.measures.air).reduce(Pt::min);
        for board in &mut rows {
            board.resize(radius.unwrap_or_default(), air.unwrap_or_default());
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
        let marks = sized(view.marks, desk);
        let start = NeckBoard::plain(instrument, left_handed, view.fills, desk);
        start.showing(view.frets.clone(), view.title, &marks, desk)
    }

    /// A board without a fret.
    fn plain(
        instrument: &'a Instrument,
        left_handed: bool,
        fills: bool,
        desk: &Desk<'_>,
    ) -> NeckBoard<'a> {
        let natural = Measures::natural(desk.look);
        let widest_fret = if fills { desk.width } else { natural.widest_fret };
        NeckBoard {
            instrument,
            left_handed,
            measures: Measures { widest_fret, ..natural },
            top: Pt::ZERO,
            edges: Vec::new(),
            frets: Fret::OPEN..=Fret::OPEN,
            first: Fret::FIRST,
            letters: widest_letter(instrument, desk),
            open: Pt::ZERO,
            width: Pt::ZERO,
            numbered: Vec::new(),
            fits: false,
        }
    }

    /// The board for some frets that are no wider than in a scale.
    fn scaled(&self, scale: Option<Pt>, frets: &RangeInclusive<Fret>) -> NeckBoard<'a> {
        let own = self.measures.widest_fret;
        let first = (*frets.start()).max(Fret::FIRST);
        let widest_fret = scale.map_or(own, |scale| own.min(scale * width_of(first)));
        NeckBoard {
            measures: Measures { widest_fret, ..self.measures },
            edges: Vec::new(),
            frets: frets.clone(),
            numbered: Vec::new(),
            ..*self
        }
    }

    /// The board with some frets and marks.
    fn showing(
        &self,
        frets: RangeInclusive<Fret>,
        title: Pt,
        marks: &[Sized<'_>],
        desk: &Desk<'_>,
    ) -> NeckBoard<'a> {
        let natural = self.measures;
        let first = (*frets.start()).max(Fret::FIRST);
        let last = (*frets.end()).max(first);
        let open_marks = marks.iter().filter(|sized| sized.mark.fret.is_open());
        let widest_open = open_marks.map(|sized| natural.half_width(sized.label) * 2.0);
        let open =
            widest_open.fold(natural.least_open(), |all, own| all.max(own + natural.apart()));
        let opens = frets.start().is_open();
        let left = self.letters + if opens { open } else { natural.overhang() + natural.apart() };
        let right = desk.width - natural.overhang();
        let edges = fret_edges((left, right), (first, last), natural.widest_fret);
        let width = edges.last().copied().unwrap_or(left) + natural.overhang();
        let room = natural.room(narrowest(&edges));
        let pressed = marks.iter().filter(|sized| sized.mark.fret.is_pressed());
        let label = pressed.map(|sized| sized.label).fold(Pt::ZERO, Pt::max) / 2.0;
        let radius = natural.radius.min(room);
        let air = natural.air.min(room - label).max(natural.least_air());
        let marks_fit = label + air <= room + Pt(0.01) && radius >= natural.least_radius();
        let (instrument, left_handed) = (self.instrument, self.left_handed);
        let mut board = NeckBoard {
            instrument,
            left_handed,
            measures: natural,
            top: title,
            edges,
            frets,
            first,
            letters: self.letters,
            open,
            width,
            numbered: Vec::new(),
            fits: false,
        };
        board.resize(radius, air);
        board.numbered = board.numbers_that_fit(desk);
        board.fits = marks_fit && !board.numbers_touch(&board.numbered, desk);
        board
    }

    /// Gives the marks another size.
    fn resize(&mut self, radius: Pt, air: Pt) {
        (self.measures.radius, self.measures.air) = (radius, air);
    }

    /// The frets that it shows, 0 standing for the open strings.
    pub fn frets(&self) -> &RangeInclusive<Fret> {
        &self.frets
    }

    /// An empty board as a drawing of its own.
    pub fn draw(&self, desk: &Desk<'_>) -> Drawing {
        let height = self.number_line() + self.measures.below_numbers();
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
        let shade = if mark.filled { 1.0 } else { 0.0 };
        let size = self.measures.size * size_of(mark);
        let style = Style { shade, ..Style::new(LABELS, size) };
        let label = desk.words(&mark.label, style);
        let half = self.measures.half_width(label.width);
        drawing.path(self.measures.shape(centre, half, mark.root, mark.filled));
        drawing.text_centred(centre.x, centre.y + self.measures.cap() * size_of(mark) / 2.0, label);
    }

    /// The centre of a place.
    pub fn place(&self, string: StringIndex, fret: Fret) -> Point {
        Point::new(self.column(fret), self.y(string))
    }

    /// Where the nut or the first fret begins, from the drawing's left edge; mirrored for a left-handed
    /// player, where the last fret ends.
    pub fn begins(&self) -> Pt {
        let last = self.edge(self.edges.len().saturating_sub(1));
        self.x(self.edge(0)).min(self.x(last))
    }

    /// A place across, mirrored for a left-handed player.
    fn x(&self, x: Pt) -> Pt {
        if self.left_handed { self.width - x } else { x }
    }

    /// The line of a string, the lowest-placed one at the bottom.
    fn y(&self, string: StringIndex) -> Pt {
        let down = self.instrument.tuning.len().saturating_sub(1 + string.index());
        self.top + self.measures.gap * (down as f32 + 0.5)
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

    fn begins_at_nut(&self) -> bool {
        self.first == Fret::FIRST
    }

    /// The inlays, beneath the numbers of their frets, where no mark hides them.
    fn inlays(&self, drawing: &mut Drawing) {
        let capo = self.instrument.capo;
        let (y, radius) = (self.number_line() + self.measures.to_inlay(), self.measures.inlay());
        for fret in self.first.to(self.last()).filter(|fret| has_inlay(*fret, capo)) {
            let beside: &[f32] = if has_two_inlays(fret, capo) { &[-1.9, 1.9] } else { &[0.0] };
            for share in beside {
                let place = Point::new(self.column(fret) + radius * *share, y);
                drawing.path(Path::circle(place, radius, Some(0.0), None));
            }
        }
    }

    /// The baseline of the numbers.
    fn number_line(&self) -> Pt {
        self.y(StringIndex::LOWEST) + self.measures.to_numbers()
    }

    fn wires(&self, drawing: &mut Drawing) {
        let top = self.top + self.measures.gap * 0.5;
        let bottom = self.y(StringIndex::LOWEST);
        for (index, edge) in self.edges.iter().enumerate() {
            let nut = index == 0 && self.begins_at_nut();
            let width = if nut { self.measures.nut() } else { self.measures.wire() };
            // As far over the outer strings as these are thick, so that no corner is open.
            let over = self.measures.string(1.0) / 2.0;
            // The nut stands before the first fret, not in it.
            let x = self.x(if nut { *edge - width / 2.0 } else { *edge });
            let (from, to) = (Point::new(x, top - over), Point::new(x, bottom + over));
            drawing.path(Path::line(from, to, width));
        }
    }

    /// The strings, which go on a little where the neck does.
    fn strings(&self, drawing: &mut Drawing, desk: &Desk<'_>) {
        let strings = self.instrument.tuning.len();
        let over = self.measures.overhang();
        let left = if self.begins_at_nut() { self.edge(0) } else { self.edge(0) - over };
        let right = self.edge(self.edges.len().saturating_sub(1)) + over;
        for string in StringIndex::first(strings) {
            let y = self.y(string);
            // Thicker towards the lowest, as strings are.
            let down = (strings - 1 - string.index()) as f32 / (strings.max(2) - 1) as f32;
            let (from, to) = (Point::new(self.x(left), y), Point::new(self.x(right), y));
            drawing.path(Path::line(from, to, self.measures.string(down)));
            if let Some(open) = self.instrument.open_note(string) {
                let letter = Style::new(Face::Sans, self.measures.size);
                let letter = desk.words(&open.printed(), letter);
                let x = self.x(self.letters / 2.0);
                drawing.text_centred(x, y + self.measures.cap() / 2.0, letter);
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
        let inlay = has_inlay(fret, self.instrument.capo);
        let face = if inlay { Face::SansSemibold } else { Face::Sans };
        desk.words(&fret.to_string(), Style::new(face, self.measures.size))
    }

    /// The frets whose numbers are written: all, or where they would touch those with an inlay, which
    /// is about every other one.
    fn numbers_that_fit(&self, desk: &Desk<'_>) -> Vec<Fret> {
        let all: Vec<Fret> = self.first.to(self.last()).collect();
        if !self.numbers_touch(&all, desk) {
            return all;
        }
        all.into_iter().filter(|fret| has_inlay(*fret, self.instrument.capo)).collect()
    }

    fn numbers_touch(&self, frets: &[Fret], desk: &Desk<'_>) -> bool {
        let half = |fret: Fret| self.number(fret, desk).width / 2.0;
        let touch = |one: Fret, other: Fret| {
            let apart = (self.column(one) - self.column(other)).abs();
            apart < half(one) + half(other) + self.measures.between_numbers()
        };
        frets.iter().zip(frets.iter().skip(1)).any(|(one, other)| touch(*one, *other))
    }
}

/// The widest label that a mark has room for on a neck of few frets.
pub fn longest_label(desk: &Desk<'_>) -> Pt {
    let measures = Measures::natural(desk.look);
    (measures.room(measures.widest_fret) - measures.least_air()) * 2.0
}

/// How large a mark's label is, in sizes of the labels: what stands white on black shrinks in a copy of a copy; by eye.
fn size_of(mark: &Mark) -> f32 {
    if mark.filled { 1.22 } else { 1.0 }
}

/// Marks with their labels' widths, each label measured once.
fn sized<'m>(marks: &'m [Mark], desk: &Desk<'_>) -> Vec<Sized<'m>> {
    let mut known: Vec<(&str, bool, Pt)> = Vec::new();
    let sized = marks.iter().map(|mark| {
        let words = mark.label.as_str();
        let found = known.iter().find(|(own, filled, _)| *own == words && *filled == mark.filled);
        if let Some((.., label)) = found {
            return Sized { mark, label: *label };
        }
        let style = Style::new(LABELS, desk.look.small_size * size_of(mark));
        let label = desk.words(words, style).width;
        known.push((words, mark.filled, label));
        Sized { mark, label }
    });
    sized.collect()
}

/// The width of the widest string's letter.
fn widest_letter(instrument: &Instrument, desk: &Desk<'_>) -> Pt {
    let style = Style::new(Face::Sans, desk.look.small_size);
    let strings = instrument.tuning.strings().iter();
    let letters = strings.map(|open| desk.words(&open.note.printed(), style).width);
    letters.fold(Pt::ZERO, Pt::max)
}
