//! The `ring` row: what rings on.

use super::super::figure::{Canvas, Sheet, Teller, Told, spans};
use super::super::lines::Row;
use super::reading::{RUN, Reading};
use super::{Kind, RowPlace};
use crate::music::tab::RING;
use crate::words::help::Sign;
use crate::words::paper::tab;

/// Runs in which notes ring on.
#[derive(Debug)]
pub(super) struct Ring;

impl Kind for Ring {
    fn label(&self) -> &'static str {
        RING
    }

    fn says(&self) -> &'static str {
        "the notes in these columns ring on"
    }

    fn signs(&self) -> Vec<Sign> {
        RUN.to_vec()
    }

    fn marks_runs(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.runs(self.label(), rows);
    }

    fn place(&self) -> RowPlace {
        RowPlace::Above
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        spans::draw(canvas, self.label(), tab::LET_RING, sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        teller.tell_runs(self.label(), "let ring from here", "ringing ends")
    }
}
