//! The `mute` row: palm muting.

use super::super::lines::Row;
use super::Kind;
use super::reading::Reading;

/// Runs of palm muting.
#[derive(Debug)]
pub(super) struct Mute;

impl Kind for Mute {
    fn label(&self) -> &'static str {
        "mute"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["muting"]
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.runs(self, rows);
    }
}
