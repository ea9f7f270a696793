//! The `count` row, the clock: it is read in [`count`](super::super::count).

use super::{Kind, Part};

/// What a teacher says aloud.
#[derive(Debug)]
pub(in super::super) struct Count;

impl Kind for Count {
    fn label(&self) -> &'static str {
        "count"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["counts", "counting", "beat", "beats", "rhythm"]
    }

    fn part(&self) -> Part {
        Part::Music
    }
}
