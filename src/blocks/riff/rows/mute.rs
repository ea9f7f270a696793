//! The `mute` row: palm muting.

use super::super::figure::{Canvas, Sheet, Teller, Told, spans};
use super::super::lines::Row;
use super::reading::{RUN, Reading};
use super::{Kind, RowPlace};
use crate::music::tab::MUTE;
use crate::words::help::Sign;
use crate::words::paper::tab;

/// Runs of palm muting.
#[derive(Debug)]
pub(super) struct Mute;

impl Kind for Mute {
    fn label(&self) -> &'static str {
        MUTE
    }

    fn says(&self) -> &'static str {
        "the notes in these columns are muted with the palm"
    }

    fn signs(&self) -> Vec<Sign> {
        RUN.to_vec()
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["muting"]
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
        spans::draw(canvas, self.label(), tab::PALM_MUTED, sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        teller.tell_runs(self.label(), "palm muting begins", "palm muting ends")
    }
}
