//! The `notes` row, pitches instead of strings: it is read in [`string_rows`](super::super::string_rows).

use super::super::pitches;
use super::{Kind, Part};
use crate::words::help::Sign;

/// Pitches that are laid on strings.
#[derive(Debug)]
pub(in super::super) struct Notes;

impl Kind for Notes {
    fn label(&self) -> &'static str {
        "notes"
    }

    fn says(&self) -> &'static str {
        "notes instead of strings; their places are found"
    }

    fn signs(&self) -> Vec<Sign> {
        pitches::SIGNS.to_vec()
    }

    fn part(&self) -> Part {
        Part::Music
    }
}
