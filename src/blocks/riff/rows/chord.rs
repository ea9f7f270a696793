//! The `chord` row, the harmony: it is read in [`chords`](super::super::chords).

use super::{Kind, Part};

/// Chord symbols, each from its moment on.
#[derive(Debug)]
pub(in super::super) struct Chord;

impl Kind for Chord {
    fn label(&self) -> &'static str {
        "chord"
    }

    fn meant_by(&self) -> &'static [&'static str] {
        &["chords", "harmony", "changes"]
    }

    fn part(&self) -> Part {
        Part::Harmony
    }

    fn goes_with_notes(&self) -> bool {
        true
    }
}
