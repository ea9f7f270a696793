//! The `ring` row: what rings on.

use super::super::lines::Row;
use super::super::model::RING;
use super::Kind;
use super::reading::Reading;

/// Runs in which notes ring on.
#[derive(Debug)]
pub(super) struct Ring;

impl Kind for Ring {
    fn label(&self) -> &'static str {
        RING
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.runs(self, rows);
    }
}
