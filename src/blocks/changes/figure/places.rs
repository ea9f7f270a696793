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
    /// How far a name begins before its tick: the tick stands under the middle of its first letter.
    pub overhang: Pt,
    /// The least distance between names.
    air: Pt,
    /// The least distance between a name and a bar line.
    clear: Pt,
    /// What the sign of a repeat takes more.
    repeat: Pt,
    /// What a double bar takes more.
    double: Pt,
}

/// Where something stands: how far behind the bar line, and on which level of names above the rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Place {
    pub x: Pt,
    pub level: usize,
}

impl Grid {
    /// The grid of beats of which the shortest that has a tick is given.
    pub fn of(beats: Beats, shortest: Ticks, desk: &Desk<'_>) -> Grid {
        let lead = mm(desk, 4.1).min(beats.width(shortest) * 0.45);
        Grid {
            beats,
            lead,
            overhang: mm(desk, 1.4).min(lead * 0.4),
            air: mm(desk, 1.4),
            clear: mm(desk, 0.8),
            repeat: mm(desk, 1.3),
            double: mm(desk, 0.7),
        }
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
        let first = self.clear + room(cell.bar.repeat_start.is_some(), self.repeat);
        let end = room(cell.bar.repeat_end.is_some(), self.repeat);
        let end = end.max(room(cell.bar.double_end, self.double));
        let mut limit = self.beats.width(cell.length) - self.clear - end;
        let mut places = Vec::with_capacity(cell.slots.len());
        for slot in cell.slots.iter().rev() {
            let (natural, width) = (self.natural(slot), slot.width());
            let x = natural.min(limit - width);
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
