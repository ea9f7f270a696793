//! The `sung` row: syllables.

use super::super::lines::Row;
use super::Kind;
use super::reading::Reading;

/// Syllables, each under its count.
#[derive(Debug)]
pub(super) struct Sung;

impl Kind for Sung {
    fn label(&self) -> &'static str {
        "sung"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["lyrics", "lyric", "vocal", "vocals"]
    }

    fn perhaps_meant_by(&self) -> &'static [&'static str] {
        &["text"]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        reading.syllables(self, rows);
    }
}
