//! The `meant` row: no doubt is raised about what it marks.

use super::super::lines::Row;
use super::Kind;
use super::reading::{Here, Marks, Reading, Sounded, only};

/// Marks of what is deliberate.
#[derive(Debug)]
pub(in super::super) struct Meant;

impl Kind for Meant {
    fn label(&self) -> &'static str {
        "meant"
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        let set = |at: Sounded, _| at.event.meant = true;
        let read = |here: &Here| only("*", here);
        reading.mark(rows, &Marks { read, needs_note: |_| false, set, keep: |_, _, _| {} });
    }
}
