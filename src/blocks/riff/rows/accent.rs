//! The `accent` row: notes that stand out.

use super::super::lines::Row;
use super::super::model::Event;
use super::Kind;
use super::reading::{Marks, Reading, only};

/// Accents.
#[derive(Debug)]
pub(super) struct Accent;

const LABEL: &str = "accent";

impl Kind for Accent {
    fn label(&self) -> &'static str {
        LABEL
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        let set = |event: &mut Event, sign| {
            event.signs.insert(LABEL, sign);
        };
        reading.mark(rows, &Marks { read: |here| only(">", here), needs_note: |_| true, set });
    }
}
