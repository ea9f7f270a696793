//! The `tone` row: what amplifier and pedals do.

use super::super::lines::Row;
use super::Kind;
use super::reading::Reading;

/// What amplifier and pedals do from here.
#[derive(Debug)]
pub(super) struct Tone;

impl Kind for Tone {
    fn label(&self) -> &'static str {
        "tone"
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.remarks(self, rows);
    }
}
