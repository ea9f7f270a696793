//! One strip of a chart: a row of bars on its rule, drawn.

use super::cells::{Cell, Slot};
use super::places::{Grid, Place};
use super::signs::{self, Band, Boundary};
use super::{NAMES, NUMBERS, functions, line_width, mm};
use crate::blocks::figure::{Desk, DrawnBar, Element};
use crate::ink::{Drawing, Path, Point, Pt, Style};
use crate::theory::Ticks;

/// A row of bars, a line of the chart or a part of one.
pub(super) struct Strip<'a> {
    /// Its bars with their places.
    pub bars: Vec<Placed<'a>>,
    /// The grid of the whole chart.
    pub grid: Grid,
    /// Whether its names are to be written by hand, which takes more room than print.
    pub by_hand: bool,
}

/// A bar at its place.
pub(super) struct Placed<'a> {
    /// The bar.
    pub cell: Cell<'a>,
    /// The axis of the bar line before it.
    pub x: Pt,
    /// To the next one.
    pub width: Pt,
    /// Where its names stand.
    pub places: Vec<Place>,
}

/// The heights of a strip's rows.
struct Rows {
    /// Where the brackets of endings run.
    bracket: Pt,
    /// The baseline of what stands in the zone of endings.
    zone: Pt,
    /// The bar lines.
    band: Band,
    /// The baseline of the lowest names.
    names: Pt,
    /// From level to level of names.
    level: Pt,
    /// The baseline of the uppermost numerals.
    numerals: Pt,
    /// The baseline of the first functions.
    functions: Pt,
    /// The lower edge.
    bottom: Pt,
}

/// The room for names above the rule, printed, and written with a pencil: in millimetres, the latter as high as the
/// lines of a school book (assumed).
const PRINTED: f32 = 6.1;
const BY_HAND: f32 = 10.0;

impl<'a> Strip<'a> {
    /// Its slots with their places in the strip.
    pub fn slots(&self) -> impl DoubleEndedIterator<Item = (Pt, &Slot)> {
        self.bars.iter().flat_map(|bar| {
            bar.places.iter().zip(&bar.cell.slots).map(|(place, slot)| (bar.x + place.x, slot))
        })
    }

    /// The same, to be changed.
    pub fn slots_mut(&mut self) -> impl DoubleEndedIterator<Item = (Pt, &mut Slot)> {
        self.bars.iter_mut().flat_map(|bar| {
            let x = bar.x;
            let places = bar.places.iter();
            places.zip(&mut bar.cell.slots).map(move |(place, slot)| (x + place.x, slot))
        })
    }

    /// The strip drawn.
    pub fn drawing(&self, desk: &Desk<'_>) -> Drawing {
        let rows = self.rows(desk);
        let mut drawing = Drawing::new(desk.width, rows.bottom);
        self.rule(&mut drawing, &rows, desk);
        self.bar_lines(&mut drawing, &rows, desk);
        for (index, bar) in self.bars.iter().enumerate() {
            self.above(&mut drawing, index, bar, &rows, desk);
            self.bar(&mut drawing, index, bar, &rows, desk);
        }
        drawing
    }

    /// Where its bars and their entries are drawn, its index given.
    pub fn elements(&self, strip: usize) -> Vec<Element> {
        let mut elements = Vec::new();
        for Placed { cell, x, width, .. } in &self.bars {
            let right = *x + *width;
            elements.push(Element { span: cell.bar.span, strip, left: *x, right });
            let at = |at: Ticks| *x + self.grid.tick(at.since(cell.from)) - self.grid.overhang;
            let begins = cell.bar.entries.iter().map(|entry| at(entry.at));
            let ends = begins.clone().skip(1).chain([right]);
            for (entry, (left, right)) in cell.bar.entries.iter().zip(begins.zip(ends)) {
                elements.push(Element { span: entry.span, strip, left, right });
            }
        }
        elements
    }

    /// Where its bars are drawn, its index given.
    pub fn drawn_bars(&self, strip: usize) -> impl Iterator<Item = DrawnBar> {
        self.bars.iter().map(move |Placed { cell, x, width, .. }| {
            let start = cell.start;
            DrawnBar { start, strip, left: *x, right: *x + *width }
        })
    }

    fn rows(&self, desk: &Desk<'_>) -> Rows {
        let mm = |millimetres| mm(desk, millimetres);
        let has_zone = self.bars.iter().any(|bar| {
            let repeats_more = bar.cell.bar.repeat_end.is_some_and(|repeat| repeat.times > 2);
            bar.cell.bar.within_ending.is_some() || repeats_more || bar.cell.meter.is_some()
        });
        let levels = self.bars.iter().flat_map(|bar| &bar.places).map(|place| place.level).max();
        let levels = levels.unwrap_or(0) as f32;
        let level = mm(5.2);
        let zone = if has_zone { mm(1.2) + cap_height(desk) } else { Pt::ZERO };
        let top = if has_zone { zone + mm(1.2) } else { Pt::ZERO };
        let names = if self.by_hand { BY_HAND } else { PRINTED };
        let rule = top + mm(names) + level * levels;
        let band = Band { top, rule, bottom: rule + mm(1.9) };
        let numerals = rule + mm(5.0);
        let functions = numerals + mm(4.1) + level * levels;
        let has_numerals = self.slots().any(|(_, slot)| slot.numeral.is_some());
        let lines = functions::most_lines(self);
        let bottom = match lines {
            0 if has_numerals => numerals + level * levels + mm(0.9),
            0 => band.bottom,
            _ => functions + functions::leading(desk) * (lines - 1) as f32 + mm(0.9),
        };
        Rows {
            bracket: line_width(desk, 0.25),
            zone,
            band,
            names: rule - mm(2.2),
            level,
            numerals,
            functions,
            bottom,
        }
    }

    /// The rule with its ticks; in meters of big beats the eighths have smaller ones.
    fn rule(&self, drawing: &mut Drawing, rows: &Rows, desk: &Desk<'_>) {
        let (Some(first), Some(last)) = (self.bars.first(), self.bars.last()) else { return };
        let (y, thin) = (rows.band.rule, line_width(desk, 0.34));
        let at = |x: Pt| Point::new(x, y);
        drawing.path(Path::line(at(first.x), at(last.x + last.width), thin));
        for bar in &self.bars {
            let meter = bar.cell.bar.meter;
            let (beat, felt) = (meter.beat(), meter.felt_beat());
            let count = bar.cell.length.0 / beat.0.max(1);
            for index in 0..count {
                let moment = beat * index;
                let is_felt = (bar.cell.from + moment) % felt == Ticks::ZERO;
                let height = if is_felt { mm(desk, 1.25) } else { mm(desk, 0.75) };
                let x = bar.x + self.grid.tick(moment);
                let top = Point::new(x, y - height);
                drawing.path(Path::line(at(x), top, line_width(desk, 0.3)));
            }
        }
    }

    fn bar_lines(&self, drawing: &mut Drawing, rows: &Rows, desk: &Desk<'_>) {
        let begins = |index: usize| {
            self.bars.get(index).is_some_and(|bar| bar.cell.bar.repeat_start.is_some())
        };
        let left = self.bars.first().map_or(Pt::ZERO, |bar| bar.x);
        let first = Boundary { begins_repeat: begins(0), ..Boundary::default() };
        signs::bar_line(drawing, left, rows.band, first, desk);
        for (index, placed) in self.bars.iter().enumerate() {
            let bar = placed.cell.bar;
            let boundary = Boundary {
                ends_repeat: bar.repeat_end.is_some(),
                begins_repeat: begins(index + 1),
                is_double: bar.double_end,
            };
            signs::bar_line(drawing, placed.x + placed.width, rows.band, boundary, desk);
        }
    }

    /// What stands on a bar's rule and beneath it.
    fn bar(
        &self,
        drawing: &mut Drawing,
        index: usize,
        bar: &Placed<'_>,
        rows: &Rows,
        desk: &Desk<'_>,
    ) {
        let Placed { cell, x, width, places } = bar;
        if cell.bar.again {
            signs::again(drawing, Point::new(*x + *width / 2.0, rows.names), desk);
        } else if cell.held {
            self.tie(drawing, index, bar, rows, desk);
        }
        for (place, slot) in places.iter().zip(&cell.slots) {
            let level = rows.level * place.level as f32;
            let at = |y: Pt| Point::new(*x + place.x, y);
            drawing.text(at(rows.names - level), slot.name.clone());
            if let Some(numeral) = &slot.numeral {
                drawing.text(at(rows.numerals + level), numeral.clone());
            }
            let Some(function) = &slot.function else { continue };
            let leading = functions::leading(desk);
            let lowered = if function.lowered { leading } else { Pt::ZERO };
            let mut baseline = rows.functions + lowered;
            for line in &function.lines {
                drawing.text(at(baseline), line.clone());
                baseline += leading;
            }
        }
    }

    /// The tie over the bar line with which a chord goes on, as far as names leave room for it.
    fn tie(
        &self,
        drawing: &mut Drawing,
        index: usize,
        bar: &Placed<'_>,
        rows: &Rows,
        desk: &Desk<'_>,
    ) {
        let air = mm(desk, 1.2);
        let before = index.checked_sub(1).and_then(|before| self.bars.get(before));
        let taken = before.map_or(bar.x, |before| {
            let last = before.places.last().zip(before.cell.slots.last());
            last.map_or(before.x, |(place, slot)| before.x + place.x + slot.name.width)
        });
        let next = bar.places.first().map_or(bar.x + bar.width, |place| bar.x + place.x);
        let reach = mm(desk, 4.5);
        let from = (taken + air).max(bar.x - reach);
        let crosses = from < bar.x - reach * 0.5;
        let (from, to) = match crosses {
            true => (from, bar.x + reach),
            false => (bar.x + mm(desk, 0.7), bar.x + reach * 1.6),
        };
        signs::held(drawing, from, to.min(next - air), rows.names, desk);
    }

    /// What stands above a bar line: a bar's part of the bracket over an ending, the bar's meter, how often a repeat is
    /// played.
    fn above(
        &self,
        drawing: &mut Drawing,
        index: usize,
        bar: &Placed<'_>,
        rows: &Rows,
        desk: &Desk<'_>,
    ) {
        let mut left = bar.x;
        if let Some(number) = bar.cell.bar.within_ending {
            left = self.ending(drawing, index, bar, number, rows, desk);
        }
        if let Some(meter) = bar.cell.meter {
            let style = Style::new(NAMES, zone_size(desk));
            drawing.text(Point::new(left, rows.zone), desk.words(&meter.to_string(), style));
        }
        let repeat = bar.cell.bar.repeat_end.filter(|repeat| repeat.times > 2);
        if let Some(repeat) = repeat {
            let style = Style::new(NUMBERS, zone_size(desk));
            let text = desk.words(&format!("×{}", repeat.times), style);
            let x = bar.x + bar.width - text.width - mm(desk, 1.0);
            drawing.text(Point::new(x, rows.zone), text);
        }
    }

    /// Draws a bar's part of the bracket over an ending. Returns where there is room behind its number.
    fn ending(
        &self,
        drawing: &mut Drawing,
        index: usize,
        bar: &Placed<'_>,
        number: u8,
        rows: &Rows,
        desk: &Desk<'_>,
    ) -> Pt {
        let goes_on = self.bars.get(index + 1).is_some_and(|next| {
            next.cell.bar.ending.is_none() && next.cell.bar.within_ending == Some(number)
        });
        let begins = bar.cell.bar.ending.is_some();
        let (gap, stroke) = (mm(desk, 0.6), line_width(desk, 0.25));
        let left = if begins { bar.x + gap } else { bar.x };
        // Wide enough that the foot of one bracket and that of the next are no double line.
        let right = bar.x + bar.width - if goes_on { Pt::ZERO } else { gap * 3.0 };
        let corner = |x: Pt| Point::new(x, rows.bracket);
        let foot = |x: Pt| Point::new(x, rows.band.top - mm(desk, 0.4));
        drawing.path(Path::line(corner(left), corner(right), stroke));
        if bar.cell.bar.repeat_end.is_some() {
            drawing.path(Path::line(corner(right), foot(right), stroke));
        }
        if !begins {
            return bar.x;
        }
        drawing.path(Path::line(corner(left), foot(left), stroke));
        let label = desk.words(&format!("{number}."), Style::new(NUMBERS, zone_size(desk)));
        let x = left + mm(desk, 1.2);
        let end = x + label.width + mm(desk, 1.6);
        drawing.text(Point::new(x, rows.zone), label);
        end
    }
}

/// The size of what stands above the bar lines.
fn zone_size(desk: &Desk<'_>) -> Pt {
    (desk.look.symbol_size * 0.73).max(desk.look.small_size)
}

fn cap_height(desk: &Desk<'_>) -> Pt {
    desk.fonts.measures(NUMBERS, zone_size(desk)).cap_height
}
