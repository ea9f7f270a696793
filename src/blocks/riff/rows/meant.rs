//! The `meant` row: no doubt is raised about what it marks.

use super::super::lines::Row;
use super::Kind;
use super::reading::{Here, Marks, Reading, Sounded, only};
use crate::words::help::{Sign, sign};

/// The sign of the row.
const SIGN: Sign = sign("*", "this is deliberate");

/// Marks of what is deliberate.
#[derive(Debug)]
pub(in super::super) struct Meant;

impl Kind for Meant {
    fn label(&self) -> &'static str {
        "meant"
    }

    fn says(&self) -> &'static str {
        "no doubt is raised about the notes that it marks"
    }

    fn signs(&self) -> Vec<Sign> {
        vec![SIGN]
    }

    fn goes_with_notes(&self) -> bool {
        true
    }

    fn read(&self, rows: &[&Row], reading: &mut Reading) {
        let set = |at: Sounded, _| at.event.meant = true;
        let read = |here: &Here| only(SIGN, here);
        reading.mark(rows, &Marks { read, needs_note: |_| false, set, keep: |_, _, _| {} });
    }
}
