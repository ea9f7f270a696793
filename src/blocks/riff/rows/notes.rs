//! The `notes` row, pitches instead of strings: it is read in [`string_rows`](super::super::string_rows).

use super::{Kind, Part};

/// Pitches that are laid on strings.
#[derive(Debug)]
pub(in super::super) struct Notes;

impl Kind for Notes {
    fn label(&self) -> &'static str {
        "notes"
    }

    fn part(&self) -> Part {
        Part::Music
    }
}
