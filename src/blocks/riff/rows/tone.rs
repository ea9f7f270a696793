//! The `tone` row: what amplifier and pedals do.

use super::super::figure::{Canvas, Sheet, Teller, Told, frames};
use super::super::lines::Row;
use super::reading::Reading;
use super::{Kind, RowPlace};
use crate::music::tab::TONE;

/// What amplifier and pedals do from here.
#[derive(Debug)]
pub(super) struct Tone;

impl Kind for Tone {
    fn label(&self) -> &'static str {
        TONE
    }

    fn says(&self) -> &'static str {
        "what amplifier and pedals do from here; before a colon its name"
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.remarks(self.label(), rows);
    }

    fn place(&self) -> RowPlace {
        RowPlace::OnTop
    }

    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        frames::draw(canvas, self.label(), sheet);
    }

    fn tell(&self, teller: &Teller) -> Vec<Told> {
        teller.tell_remarks(self.label(), "tone")
    }
}
