//! The figure of changes: lines of bars, with numerals and functions beneath the chords.

mod cells;
mod grid;
mod legend;
mod signs;
mod strip;

use super::Changes;
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{Face, Pt, Style, Text, pt};
use crate::lesson::Setting;
use crate::theory::Printed;
use strip::Strip;

/// No type is smaller (design section 4).
const LEAST_TYPE: Pt = pt(7.5);

impl Changes {
    /// The chart. Numerals and functions are those in the setting's key.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        let lines = cells::lines(self, desk, setting.key.as_ref());
        let mut strips: Vec<Strip<'_>> = grid::strips(lines, self.pickup, desk.width);
        let needs_legend = !strips.iter().all(Strip::has_room_for_functions);
        let legend = if needs_legend { legend::drawing(&strips, desk) } else { None };
        if needs_legend {
            strips.iter_mut().for_each(Strip::leave_out_functions);
        }
        let mut drawings: Vec<_> = strips.iter().map(|strip| strip.drawing(desk)).collect();
        drawings.extend(legend);
        Figure { words: super::words::describe(self, setting.key.as_ref()), strips: drawings }
    }
}

/// A numeral in type. What is raised in it would be too small to read below this page's least size,
/// and stays on the line there.
fn numeral_text(numeral: &Printed, size: Pt, desk: &Desk<'_>) -> Text {
    let style = Style::new(Face::Sans, size);
    if size * 0.7 < LEAST_TYPE {
        return desk.words(&numeral.text(), style);
    }
    desk.symbol(numeral, style)
}

/// The size of the numerals: a little smaller than the symbols, but readable.
fn numeral_size(desk: &Desk<'_>) -> Pt {
    (desk.look.symbol_size * 0.75).max(desk.look.small_size)
}
