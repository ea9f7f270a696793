//! Where the names of a bar stand: at their ticks, or a little before them where the next one, or the bar line,
//! comes too soon. A name never takes a beat's room: where names have no places, fewer bars stand in a row.

use super::cells::{Cell, Slot};
use super::mm;
use crate::blocks::beats::Beats;
use crate::blocks::figure::Desk;
use crate::ink::Pt;
use crate::theory::Ticks;

/// The grid of a chart with what all its bars have in common.
#[derive(Clone, Copy)]
pub(super) struct Grid {
    /// How wide time is.
    pub beats: Beats,
    /// From a bar line to the first tick.
    pub lead: Pt,
    /// How much wider than its time a bar is, so that its last tick stands before the bar line.
    inset: Pt,
    /// How far a name begins before its tick: the tick stands under the middle of its first letter.
    pub overhang: Pt,
    /// The least distance between names.
    air: Pt,
    /// The least distance between a name and the bar line behind it, which is thick where a repeat begins.
    clear: Pt,
    /// The least distance between a bar line, or the dots of a repeat, and a name behind it.
    behind: Pt,
    /// What the sign of a repeat takes more before it, and behind it.
    repeat: Pt,
    dots: Pt,
    /// What a double bar takes more.
    double: Pt,
}

/// Where something stands: how far behind the bar line, and on which level of names above the rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub x: Pt,
    pub level: usize,
}

/// What is counted in a chart.
#[derive(Clone, Copy)]
pub(super) struct Counted {
    /// The shortest felt beat, and the shortest beat that has a tick.
    pub felt: Ticks,
    pub shortest: Ticks,
    /// Whether a repeat begins anywhere, whose dots want room in every bar then, so that rows line up.
    pub repeats: bool,
}

/// How much of the shortest beat is free between the last tick and the bar line at least.
const BEFORE_LINE: f32 = 0.5;
/// How often a grid is made narrower to make room for insets; more doesn't change what can be seen.
const ROUNDS: usize = 6;

impl Grid {
    /// The grid on which so many bars of so much time fill a width.
    pub fn filling(width: Pt, (bars, time): (usize, Ticks), of: Counted, desk: &Desk<'_>) -> Grid {
        let mut grid = Grid::of(Beats::filling(width, time), of, desk);
        if grid.inset > Pt::ZERO {
            let filling = |inset: Pt| Beats::filling(width - inset * bars as f32, time);
            for _ in 0..ROUNDS {
                grid = Grid::of(filling(grid.inset), of, desk);
            }
            grid.beats = filling(grid.inset);
        }
        grid
    }

    fn of(beats: Beats, of: Counted, desk: &Desk<'_>) -> Grid {
        let felt = beats.width(of.felt);
        let lead = mm(desk, 4.1).min(felt * 0.45);
        let dots = if of.repeats { mm(desk, 1.5).min(felt * 0.3) } else { Pt::ZERO };
        let shortest = beats.width(of.shortest);
        // A bar line would swallow a small tick that is nearer.
        let tail = (shortest * BEFORE_LINE).max(mm(desk, 1.3).min(felt * 0.3));
        let inset = lead + dots + tail - shortest;
        Grid {
            beats,
            lead: lead + dots,
            inset: inset.max(Pt::ZERO),
            overhang: mm(desk, 1.4).min(lead * 0.4),
            air: mm(desk, 1.4),
            clear: if of.repeats { mm(desk, 1.6) } else { mm(desk, 0.8) },
            behind: mm(desk, 1.3),
            repeat: mm(desk, 2.9),
            dots: mm(desk, 2.2),
            double: mm(desk, 0.7),
        }
    }

    /// From a bar line to the next one, for a bar so long.
    pub fn bar(&self, length: Ticks) -> Pt {
        self.inset + self.beats.width(length)
    }

    /// Where a moment of a bar has its tick, behind the bar line.
    pub fn tick(&self, at: Ticks) -> Pt {
        self.lead + self.beats.width(at)
    }

    /// Where a name stands that has room.
    fn natural(&self, slot: &Slot) -> Pt {
        self.tick(slot.at) - self.overhang
    }

    /// The places of a bar's names on one line; `None` where they have no room.
    pub fn places(&self, cell: &Cell<'_>) -> Option<Vec<Place>> {
        let room = |has: bool, sign: Pt| if has { sign } else { Pt::ZERO };
        let first = self.behind + room(cell.bar.repeat_start.is_some(), self.dots);
        let end = room(cell.bar.repeat_end.is_some(), self.repeat);
        let end = end.max(room(cell.bar.double_end, self.double));
        let mut limit = self.bar(cell.length) - self.clear - end;
        let mut places = Vec::with_capacity(cell.slots.len());
        for slot in cell.slots.iter().rev() {
            let (natural, width) = (self.natural(slot), slot.width());
            let x = natural.max(first).min(limit - width);
            // Its tick stays under it.
            if natural - x > width * 0.5 || x < first {
                return None;
            }
            places.push(Place { x, level: 0 });
            limit = x - self.air;
        }
        places.reverse();
        Some(places)
    }

    /// The places of names that have no room on one line, on as many levels as they need.
    pub fn levels(&self, cell: &Cell<'_>, room: Pt) -> Vec<Place> {
        let mut ends: Vec<Pt> = Vec::new();
        let place = |slot: &Slot| {
            let x = self.natural(slot).min(room - slot.width()).max(Pt::ZERO);
            let level = ends.iter().position(|end| *end <= x).unwrap_or(ends.len());
            let end = x + slot.width() + self.air;
            match ends.get_mut(level) {
                Some(taken) => *taken = end,
                None => ends.push(end),
            }
            Place { x, level }
        };
        cell.slots.iter().map(place).collect()
    }
}
