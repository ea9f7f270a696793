//! What was checked, counted: so that silence means something.

use crate::words::{counted, listed};

/// How many things of each kind a lesson has that were checked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Tally {
    /// Bars of tabs and progressions, as they are written.
    pub bars: usize,
    /// Notes of tabs, grace notes among them.
    pub notes: usize,
    /// Chords: shapes, symbols of progressions and over tabs, voicings.
    pub chords: usize,
    /// Checked phrases.
    pub phrases: usize,
}

impl Tally {
    /// The counts of two lessons together.
    #[must_use]
    pub fn and(self, other: Tally) -> Tally {
        Tally {
            bars: self.bars + other.bars,
            notes: self.notes + other.notes,
            chords: self.chords + other.chords,
            phrases: self.phrases + other.phrases,
        }
    }

    /// The counts in words: "12 bars, 80 notes, 9 chords and 14 phrases checked".
    pub fn in_words(self) -> String {
        let all = [
            counted(self.bars, "bar"),
            counted(self.notes, "note"),
            counted(self.chords, "chord"),
            counted(self.phrases, "phrase"),
        ];
        format!("{} checked", listed(&all))
    }
}
