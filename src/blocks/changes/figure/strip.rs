//! One strip of a chart: a line, or a part of one, drawn.

use super::cells::{Cell, Function, Mark, Slot};
use super::signs::{self, Band, Boundary};
use super::{grid, numeral_size};
use crate::blocks::figure::{Desk, Element};
use crate::ink::{Drawing, Face, Path, Point, Pt, Style, pt};

/// The room for half a bar line's width at a strip's ends.
const EDGE: Pt = pt(1.2);

/// A line of bars, or a part of one, each with its width.
pub(super) struct Strip<'a> {
    left: Pt,
    cells: Vec<(Cell<'a>, Pt)>,
}

/// The heights of a strip's rows.
struct Rows {
    /// Where the brackets of endings run.
    bracket: Pt,
    /// The bar lines.
    band: Band,
    /// The baseline of the symbols.
    symbols: Pt,
    /// The baseline of the numerals.
    numerals: Pt,
    /// The baseline of the functions.
    functions: Pt,
    /// The lower edge.
    bottom: Pt,
}

impl<'a> Strip<'a> {
    /// A strip that begins at `left`.
    pub fn new(left: Pt, cells: Vec<(Cell<'a>, Pt)>) -> Strip<'a> {
        Strip { left, cells }
    }

    /// The functions that it prints, in order.
    pub fn functions(&self) -> impl Iterator<Item = &Function> {
        self.slots().filter_map(|slot| slot.function.as_ref())
    }

    /// Whether each function has room between its chord and the next one that has one.
    pub fn has_room_for_functions(&self) -> bool {
        // The next function may not begin before this place.
        let mut taken = Pt::ZERO;
        let mut x = self.left;
        for (cell, width) in &self.cells {
            for (slot, offset) in cell.slots.iter().zip(offsets(cell, *width)) {
                let Some(function) = &slot.function else { continue };
                if x + offset < taken {
                    return false;
                }
                taken = x + offset + function.text.width + pt(6.0);
            }
            x += *width;
        }
        taken <= x + pt(6.0)
    }

    /// Leaves the functions to the legend.
    pub fn leave_out_functions(&mut self) {
        for slot in self.cells.iter_mut().flat_map(|(cell, _)| &mut cell.slots) {
            slot.function = None;
        }
    }

    /// The strip drawn.
    pub fn drawing(&self, desk: &Desk<'_>) -> Drawing {
        let rows = self.rows(desk);
        let mut drawing = Drawing::new(desk.width, rows.bottom);
        self.bar_lines(&mut drawing, &rows);
        let mut x = self.left;
        for (index, (cell, width)) in self.cells.iter().enumerate() {
            self.cell(&mut drawing, cell, x, *width, &rows, desk);
            self.ending(&mut drawing, index, x, *width, &rows, desk);
            times(&mut drawing, cell, x + *width, &rows, desk);
            x += *width;
        }
        drawing
    }

    /// Where its bars and their entries are drawn, its index given.
    pub fn elements(&self, strip: usize) -> Vec<Element> {
        let mut elements = Vec::new();
        let mut x = self.left;
        for (cell, width) in &self.cells {
            elements.push(Element { span: cell.bar.span, strip, left: x, right: x + *width });
            let offsets = offsets(cell, *width);
            let ends = offsets.iter().skip(1).copied().chain([*width - cell.tail]);
            for (entry, (from, to)) in cell.bar.entries.iter().zip(offsets.iter().zip(ends)) {
                let (left, right) = (x + *from, x + to);
                elements.push(Element { span: entry.span, strip, left, right });
            }
            x += *width;
        }
        elements
    }

    fn slots(&self) -> impl Iterator<Item = &Slot> {
        self.cells.iter().flat_map(|(cell, _)| &cell.slots)
    }

    fn rows(&self, desk: &Desk<'_>) -> Rows {
        let look = desk.look;
        let has_signs = self.cells.iter().any(|(cell, _)| {
            let repeats_more = cell.bar.repeat_end.is_some_and(|repeat| repeat.times > 2);
            cell.bar.within_ending.is_some() || repeats_more
        });
        let zone = if has_signs { look.small_size * 1.45 } else { Pt::ZERO };
        let band = Band { top: zone + pt(1.0), bottom: zone + pt(1.0) + look.symbol_size * 1.5 };
        let symbols = band.top + look.symbol_size * 1.1;
        let has_numerals = self.slots().any(|slot| slot.numeral.is_some());
        let has_functions = self.functions().next().is_some();
        let numerals = band.bottom + numeral_size(desk) * 1.2;
        let functions = numerals + look.small_size * 1.35;
        let bottom = match (has_functions, has_numerals) {
            (true, _) => functions + look.small_size * 0.35,
            (false, true) => numerals + numeral_size(desk) * 0.3,
            (false, false) => band.bottom + pt(1.0),
        };
        Rows { bracket: pt(0.6), band, symbols, numerals, functions, bottom }
    }

    fn bar_lines(&self, drawing: &mut Drawing, rows: &Rows) {
        let begins = |index: usize| {
            self.cells.get(index).is_some_and(|(cell, _)| cell.bar.repeat_start.is_some())
        };
        let first = Boundary { begins_repeat: begins(0), ..Boundary::default() };
        signs::bar_line(drawing, self.left + EDGE, rows.band, first);
        let mut x = self.left;
        for (index, (cell, width)) in self.cells.iter().enumerate() {
            x += *width;
            let is_last = index + 1 == self.cells.len();
            let at = if is_last { x - EDGE } else { x };
            let boundary = Boundary {
                ends_repeat: cell.bar.repeat_end.is_some(),
                begins_repeat: begins(index + 1),
                is_double: cell.bar.double_end,
            };
            signs::bar_line(drawing, at, rows.band, boundary);
        }
    }

    fn cell(
        &self,
        drawing: &mut Drawing,
        cell: &Cell<'_>,
        x: Pt,
        width: Pt,
        rows: &Rows,
        desk: &Desk<'_>,
    ) {
        if let Some(meter) = &cell.meter {
            let centre = x + cell.lead - pt(5.0) - meter.width() / 2.0;
            let middle = (rows.band.top + rows.band.bottom) / 2.0;
            let size = signs::meter_size(desk);
            let cap = desk.fonts.measures(Face::SerifSemibold, size).cap_height;
            drawing.text_centred(centre, middle - pt(0.9), meter.beats.clone());
            drawing.text_centred(centre, middle + pt(0.9) + cap, meter.unit.clone());
        }
        for (slot, offset) in cell.slots.iter().zip(offsets(cell, width)) {
            let at = |y: Pt| Point::new(x + offset, y);
            match &slot.mark {
                Mark::Symbol(text) => drawing.text(at(rows.symbols), text.clone()),
                Mark::Hold => signs::slash(drawing, at(rows.symbols), desk),
                Mark::Again => {
                    let middle = x + (cell.lead + width - cell.tail) / 2.0;
                    signs::again(drawing, Point::new(middle, rows.symbols), desk);
                }
            }
            if let Some(numeral) = &slot.numeral {
                drawing.text(at(rows.numerals), numeral.clone());
            }
            if let Some(function) = &slot.function {
                drawing.text(at(rows.functions), function.text.clone());
            }
        }
    }

    /// Draws a bar's part of the bracket over an ending.
    fn ending(
        &self,
        drawing: &mut Drawing,
        index: usize,
        x: Pt,
        width: Pt,
        rows: &Rows,
        desk: &Desk<'_>,
    ) {
        let Some((cell, _)) = self.cells.get(index) else { return };
        let Some(number) = cell.bar.within_ending else { return };
        let goes_on = self.cells.get(index + 1).is_some_and(|(next, _)| {
            next.bar.ending.is_none() && next.bar.within_ending == Some(number)
        });
        let begins = cell.bar.ending.is_some();
        let left = if begins { x + pt(1.6) } else { x };
        let right = if goes_on { x + width } else { x + width - pt(1.6) };
        let corner = |x: Pt| Point::new(x, rows.bracket);
        let foot = |x: Pt| Point::new(x, rows.band.top - pt(2.0));
        drawing.path(Path::line(corner(left), corner(right), pt(0.7)));
        if begins {
            drawing.path(Path::line(corner(left), foot(left), pt(0.7)));
            let style = Style::new(Face::SansSemibold, desk.look.small_size);
            let label = desk.words(&format!("{number}."), style);
            let baseline = rows.bracket + desk.look.small_size * 1.02;
            drawing.text(Point::new(left + pt(3.0), baseline), label);
        }
        if cell.bar.repeat_end.is_some() {
            drawing.path(Path::line(corner(right), foot(right), pt(0.7)));
        }
    }
}

/// Writes how often a repeat is played above its end, where that is more than twice.
fn times(drawing: &mut Drawing, cell: &Cell<'_>, right: Pt, rows: &Rows, desk: &Desk<'_>) {
    let Some(repeat) = cell.bar.repeat_end.filter(|repeat| repeat.times > 2) else { return };
    let style = Style::new(Face::SansSemibold, desk.look.small_size);
    let text = desk.words(&format!("×{}", repeat.times), style);
    let baseline = rows.bracket + desk.look.small_size * 1.02;
    drawing.text(Point::new(right - text.width - pt(4.0), baseline), text);
}

/// Where the slots of a bar begin, from its left end.
fn offsets(cell: &Cell<'_>, width: Pt) -> Vec<Pt> {
    let room = width - cell.lead - cell.tail;
    let widths = grid::shared(&cell.least_slots, room);
    let total: Pt = widths.iter().copied().sum();
    // A bar that is wider than the paper is pressed together.
    let scale = if total > room { room / total } else { 1.0 };
    let mut x = cell.lead;
    let place = |width: Pt| {
        let at = x;
        x += width * scale;
        at
    };
    widths.into_iter().map(place).collect()
}
