//! The figure of changes: each line of bars stands on a rule with a tick at each beat, names above it, numerals
//! and functions beneath.
//!
//! Bars are set in type (`cells`) and put on rows of one grid (`grid`, on `blocks::beats`); there names find their
//! places (`places`); each row is drawn (`strip`, with `signs`), and functions stand under their numerals where
//! they fit, else in the figure's notes (`functions`).
//!
//! Lengths are given in millimetres for names of 13 pt, and scale with the names (looks, "Everything scales").

mod cells;
mod functions;
mod grid;
mod places;
mod signs;
mod strip;

use super::Changes;
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{Face, Pt, Style, Text, pt};
use crate::lesson::Setting;
use crate::theory::Printed;

/// The face of names and meters.
const NAMES: Face = Face::SerifSemibold;
/// The face of the numbers of endings and times.
const NUMBERS: Face = Face::SansSemibold;

impl Changes {
    /// The chart. Numerals and functions are those in the setting's key.
    pub fn figure(&self, desk: &Desk<'_>, setting: &Setting) -> Figure {
        let lines = cells::lines(self, desk, setting);
        let mut strips = grid::strips(lines, self.pickup, desk);
        strips.iter_mut().for_each(|strip| strip.by_hand = self.frame);
        let notes = functions::set(&mut strips, desk);
        let drawings = strips.iter().map(|strip| strip.drawing(desk));
        let placed = || strips.iter().enumerate();
        Figure {
            words: super::words::describe(self, setting),
            strips: drawings.collect(),
            elements: placed().flat_map(|(index, strip)| strip.elements(index)).collect(),
            bars: placed().flat_map(|(index, strip)| strip.drawn_bars(index)).collect(),
            notes,
            ..Figure::default()
        }
    }
}

/// A length that scales with the names: so many millimetres where they are 13 pt high.
fn mm(desk: &Desk<'_>, millimetres: f32) -> Pt {
    Pt::mm(millimetres) * (desk.look.symbol_size / pt(13.0))
}

/// The width of a line, in the same way, but none is under 0.4 pt (design section 4).
fn line_width(desk: &Desk<'_>, millimetres: f32) -> Pt {
    mm(desk, millimetres).max(pt(0.4))
}

/// A numeral in type (looks, "Changes": 10.5 pt under names of 13).
fn numeral_text(numeral: &Printed, desk: &Desk<'_>) -> Text {
    let size = (desk.look.symbol_size * 0.81).max(desk.look.small_size);
    desk.symbol(numeral, Style::new(Face::Serif, size))
}

/// The style of functions and of second names (9.5 pt under names of 13: finer italics break in a copy).
fn function_style(desk: &Desk<'_>) -> Style {
    let size = (desk.look.symbol_size * 0.73).max(desk.look.small_size).max(pt(8.0));
    Style::new(Face::SerifItalic, size)
}
