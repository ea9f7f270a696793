//! Where the bars stand: on rows of one grid of beats, so that they stand under each other.

use super::cells::Cell;
use super::mm;
use super::places::{Counted, Grid, Place};
use super::strip::Strip;
use crate::blocks::beats;
use crate::blocks::figure::Desk;
use crate::ink::{Pt, pt};
use crate::theory::Ticks;

/// Bars are no wider than this part of the column, so that a short chart isn't pulled apart: as wide as those
/// of a row of four, since songs go by fours.
const WIDEST: f32 = 0.25;

/// The least distance of ticks in millimetres: what the signs at a bar line take on both sides.
const NARROWEST: f32 = 4.8;

/// The chart before its rows are known.
struct Chart<'c, 'a> {
    /// The upbeat, which stands before the first column.
    upbeat: Option<&'c Cell<'a>>,
    lines: &'c [Vec<Cell<'a>>],
    counted: Counted,
    room: Pt,
    desk: &'c Desk<'c>,
}

/// Lays the lines of a chart out. The rows behind the first are indented by an upbeat's width.
pub(super) fn strips<'a>(
    mut lines: Vec<Vec<Cell<'a>>>,
    pickup: bool,
    desk: &Desk<'_>,
) -> Vec<Strip<'a>> {
    let first = lines.first_mut().filter(|line| pickup && !line.is_empty());
    let mut upbeat = first.map(|line| line.remove(0));
    let edge = edge(desk);
    let chart = Chart {
        upbeat: upbeat.as_ref(),
        counted: counted(upbeat.iter().chain(lines.iter().flatten())),
        lines: &lines,
        room: (desk.width - edge * 2.0).max(pt(1.0)),
        desk,
    };
    let written: Vec<usize> = lines.iter().map(Vec::len).collect();
    let most = beats::bars_a_row(&written, |bars| chart.fits(chart.filled(bars)));
    let is_broken = written.iter().any(|line| *line > most);
    let calm = chart.calm();
    let grid = chart.filled(most);
    let grid = if !is_broken && calm.beats.quarter < grid.beats.quarter && chart.fits(calm) {
        calm
    } else {
        grid
    };
    let indent = chart.upbeat.map_or(Pt::ZERO, |cell| grid.bar(cell.length));
    let mut rows = Vec::new();
    for line in lines {
        let mut bars = line.into_iter().peekable();
        // A line that is nothing but an upbeat is a row as well.
        while rows.is_empty() || bars.peek().is_some() {
            let before = upbeat.take();
            let left = if before.is_some() { Pt::ZERO } else { indent };
            let row: Vec<Cell<'a>> = before.into_iter().chain(bars.by_ref().take(most)).collect();
            rows.push(strip(edge + left, row, grid, desk));
        }
    }
    rows
}

/// What is counted in bars.
fn counted<'c, 'a: 'c>(cells: impl Iterator<Item = &'c Cell<'a>>) -> Counted {
    let none = Counted { felt: Ticks(u32::MAX), shortest: Ticks(u32::MAX), repeats: false };
    cells.fold(none, |all, Cell { bar, .. }| Counted {
        felt: all.felt.min(bar.meter.felt_beat()),
        shortest: all.shortest.min(bar.meter.beat()),
        repeats: all.repeats || bar.repeat_start.is_some(),
    })
}

/// The room for half a bar line's sign at a strip's ends.
fn edge(desk: &Desk<'_>) -> Pt {
    mm(desk, 0.5)
}

fn strip<'a>(left: Pt, mut row: Vec<Cell<'a>>, grid: Grid, desk: &Desk<'_>) -> Strip<'a> {
    // A row's first chord has its numeral, even if it only goes on.
    for slot in row.iter_mut().flat_map(|cell| &mut cell.slots).skip(1) {
        slot.numeral.take_if(|_| slot.repeats);
    }
    let mut x = left;
    let mut bars = Vec::with_capacity(row.len());
    for mut cell in row {
        let room = desk.width - x;
        let places = grid.places(&cell).unwrap_or_else(|| squeezed(&mut cell, grid, room));
        let width = grid.bar(cell.length);
        bars.push(super::strip::Placed { cell, x, width, places });
        x += width;
    }
    Strip { bars, grid, by_hand: false }
}

/// The places of names that don't fit on one line even where their bar stands alone. One that is wider than the
/// paper is made smaller.
fn squeezed(cell: &mut Cell<'_>, grid: Grid, room: Pt) -> Vec<Place> {
    for slot in &mut cell.slots {
        if slot.name.width > room {
            slot.name = slot.name.scaled(room / slot.name.width);
        }
        if let Some(numeral) = slot.numeral.as_mut().filter(|numeral| numeral.width > room) {
            *numeral = numeral.scaled(room / numeral.width);
        }
    }
    grid.levels(cell, room)
}

impl Chart<'_, '_> {
    /// The grid on which the longest row fills the room, so many bars standing in each.
    fn filled(&self, bars: usize) -> Grid {
        let upbeat = self.upbeat.map_or((0, Ticks::ZERO), |cell| (1, cell.length));
        let rows = self.lines.iter().flat_map(|line| line.chunks(bars));
        let rows = rows.map(|row| {
            let time = row.iter().fold(upbeat.1, |time, cell| time + cell.length);
            (upbeat.0 + row.len(), time)
        });
        // Rows of fewer bars have fewer insets.
        let longest = rows.fold(upbeat, |most, row| (most.0.max(row.0), most.1.max(row.1)));
        Grid::filling(self.room, longest, self.counted, self.desk)
    }

    /// The grid on which the longest bar is as wide as those of a row of four.
    fn calm(&self) -> Grid {
        let bars = self.upbeat.into_iter().chain(self.lines.iter().flatten());
        let longest = bars.map(|cell| cell.length).max().unwrap_or(Ticks::WHOLE);
        Grid::filling(self.room * WIDEST, (1, longest), self.counted, self.desk)
    }

    /// Whether each tick and each name has its room.
    fn fits(&self, grid: Grid) -> bool {
        let mut cells = self.upbeat.into_iter().chain(self.lines.iter().flatten());
        grid.beats.width(self.counted.felt) >= mm(self.desk, NARROWEST)
            && cells.all(|cell| grid.places(cell).is_some())
    }
}
