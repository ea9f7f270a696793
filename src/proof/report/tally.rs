//! What was checked, counted: so that silence means something.

use super::counted;
use crate::blocks::changes::Says;
use crate::blocks::{Elaborated, Music};

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
    /// Counts what a lesson has.
    pub fn of(lesson: &Elaborated<'_>) -> Tally {
        let phrases = Tally { phrases: lesson.phrases.len(), ..Tally::default() };
        let blocks = lesson.blocks.iter().filter_map(|block| block.music.as_ref());
        blocks.map(of_music).fold(phrases, Tally::and)
    }

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
        format!(
            "{}, {}, {} and {} checked",
            counted(self.bars, "bar"),
            counted(self.notes, "note"),
            counted(self.chords, "chord"),
            counted(self.phrases, "phrase")
        )
    }
}

fn of_music(music: &Music) -> Tally {
    match music {
        Music::Shape(shapes) => Tally { chords: shapes.shapes.len(), ..Tally::default() },
        Music::Voicings(voicings) => {
            let chords = voicings.lines.iter().map(|line| line.shapes.len()).sum();
            Tally { chords, ..Tally::default() }
        }
        Music::Changes(changes) => {
            let entries = changes.bars.iter().flat_map(|bar| &bar.entries);
            let names_chord = |says: &Says| matches!(says, Says::Chord(_) | Says::Numeral(_));
            let chords = entries.filter(|entry| names_chord(&entry.says)).count();
            Tally { bars: changes.bars.len(), chords, ..Tally::default() }
        }
        Music::Riff(riff) => {
            let notes = riff.bars.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes);
            Tally {
                bars: riff.bars.len(),
                notes: notes.map(|note| 1 + note.graces.len()).sum(),
                chords: riff.bars.iter().map(|bar| bar.chords.len()).sum(),
                phrases: 0,
            }
        }
        Music::Neck(_) | Music::Say(_) => Tally::default(),
    }
}
