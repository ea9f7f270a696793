//! The figure of changes: lines of bars, with numerals and functions beneath the chords.

mod cells;
mod grid;
mod legend;
mod signs;
mod strip;

use super::Changes;
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{Face, Pt, Style, Text};
use crate::lesson::Setting;
use crate::theory::Printed;
use strip::Strip;

impl Changes {
    /// The chart. Numerals and functions are those in the setting's key.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        let lines = cells::lines(self, desk, setting);
        let mut strips: Vec<Strip<'_>> = grid::strips(lines, self.pickup, desk.width);
        let needs_legend = !strips.iter().all(Strip::has_room_for_functions);
        let legend = if needs_legend { legend::drawing(&strips, desk) } else { None };
        if needs_legend {
            strips.iter_mut().for_each(Strip::leave_out_functions);
        }
        let mut drawings: Vec<_> = strips.iter().map(|strip| strip.drawing(desk)).collect();
        if let (Some(last), Some(legend)) = (drawings.last_mut(), legend) {
            last.set_below(legend, desk.look.small_size * 0.8);
        }
        let placed = strips.iter().enumerate();
        Figure {
            words: super::words::describe(self, setting),
            strips: drawings,
            elements: placed.flat_map(|(index, strip)| strip.elements(index)).collect(),
            ..Figure::default()
        }
    }
}

/// A numeral in type.
fn numeral_text(numeral: &Printed, size: Pt, desk: &Desk<'_>) -> Text {
    desk.symbol(numeral, Style::new(Face::Serif, size))
}

/// The size of the numerals: a little smaller than the symbols, but readable.
fn numeral_size(desk: &Desk<'_>) -> Pt {
    (desk.look.symbol_size * 0.9).max(desk.look.small_size)
}
