//! The rows of a riff that are no strings. Each is a [`Kind`] in a file or folder of its own, which says how it is
//! called, how it is read, where and how it is drawn, and how it is told; the list of them is [`ALL`], and
//! whoever needs a row looks there.

mod accent;
pub(super) mod chord;
pub(super) mod count;
mod ending;
mod left;
mod meant;
mod meter;
mod mute;
mod notes;
mod pick;
mod reading;
mod remarks;
mod right;
mod ring;
mod shaping;
mod sung;
mod tone;
mod words;

pub(super) use count::Count;
pub(super) use left::{Left, carry_fingers};
pub(super) use meant::Meant;
pub(super) use meter::Meter;
pub(super) use notes::Notes;
pub(super) use pick::Pick;
pub(super) use reading::Reading;
pub(super) use shaping::Shaping;

use super::figure::{BarAt, Canvas, Label, Sheet, Teller, Told, labels};
use super::lines::Row;
use crate::music::tab::{Event, Riff};
use crate::words::help::Sign;
use std::fmt::Debug;

/// All rows that are no strings, in the order in which they are named, read and told, and stand
/// in the figure.
pub(super) static ALL: &[&dyn Kind] = &[
    &count::Count,
    &chord::Chord,
    &notes::Notes,
    &left::Left,
    &right::Right,
    &pick::Pick,
    &accent::Accent,
    &sung::Sung,
    &words::WORDS,
    &tone::Tone,
    &mute::Mute,
    &ring::Ring,
    &ending::Ending,
    &meter::Meter,
    &meant::Meant,
];

/// The labels of the rows that others write riffs with.
pub mod label {
    pub use super::chord::LABEL as CHORD;
    pub use super::count::LABEL as COUNT;
    pub use super::ending::LABEL as ENDING;
    pub use super::pick::LABEL as PICK;
    pub use super::right::LABEL as RIGHT;
    pub use super::words::LABEL as WORDS;
    pub use crate::music::tab::{ACCENT, MUTE, RING, SUNG};
}

/// What a row is.
pub(super) trait Kind: Debug + Sync {
    /// The label that it is written with.
    fn label(&self) -> &'static str;

    /// What it says, for the help page: a few words.
    fn says(&self) -> &'static str;

    /// The signs that it has of its own.
    fn signs(&self) -> Vec<Sign> {
        Vec::new()
    }

    /// Other words of the trade by which it is meant.
    fn meant_by(&self) -> &'static [&'static str] {
        &[]
    }

    /// Words by which another row is meant sooner, but it may be.
    fn perhaps_meant_by(&self) -> &'static [&'static str] {
        &[]
    }

    /// What part of the riff it is.
    fn part(&self) -> Part {
        Part::Remark
    }

    /// Whether its signs belong to the notes in their columns, and go with them where those are moved.
    fn goes_with_notes(&self) -> bool {
        false
    }

    /// Whether it marks runs, which hold for the notes in all their columns.
    fn marks_runs(&self) -> bool {
        false
    }

    /// Shapes the bars by all such rows of a riff, before anything is counted.
    fn shape(&self, _rows: &[&Row], _shaping: &mut Shaping) {}

    /// Reads all such rows of a riff, once it is known what is played. What the riff is played by is
    /// read in steps of its own before: the count, the notes and the chords.
    fn read(&self, _rows: &[&Row], _reading: &mut Reading) {}

    /// Where it stands in the figure.
    fn place(&self) -> RowPlace {
        RowPlace::Nowhere
    }

    /// What it writes at the moments of a bar.
    fn labels(&self, _at: &BarAt) -> Vec<Label> {
        Vec::new()
    }

    /// What stands before it on paper, where it is written beneath the staves.
    fn heading(&self) -> Option<&'static str> {
        None
    }

    /// The layer that it is drawn in, where readers may hide it.
    fn layer(&self) -> Option<&'static str> {
        None
    }

    /// Draws it in its place: what it writes, in a line of its own beneath all that is there.
    fn draw(&self, canvas: &mut Canvas, sheet: &Sheet) {
        labels::draw(canvas, self.label(), self.heading(), sheet);
    }

    /// Tells what it says at the moments of a bar.
    fn tell(&self, _teller: &Teller) -> Vec<Told> {
        Vec::new()
    }

    /// What is told behind a bar's name: "A major".
    fn tell_name(&self, _teller: &Teller) -> Option<String> {
        None
    }

    /// What is told behind the notes of an event: "accented".
    fn tell_event(&self, _riff: &Riff, _event: &Event) -> Option<String> {
        None
    }
}

impl PartialEq for dyn Kind {
    fn eq(&self, other: &dyn Kind) -> bool {
        self.label() == other.label()
    }
}

/// What part of a riff a row is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// The clock or what is played by it: bars are counted by it, and every bar line stands in it.
    Music,
    /// The chords over it: bars are counted by them too, but they needn't be written to the end.
    Harmony,
    /// Something said about it.
    Remark,
}

/// Where a row stands in the figure. Of those in one place the first in the list is the nearest to the
/// staves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum RowPlace {
    /// Nowhere: it is not printed, or by the staves.
    Nowhere,
    /// Above the staves, as near as what stands there lets it.
    Above,
    /// Above the numbers of repeats.
    OnTop,
    /// Beneath the rhythm.
    Beneath,
}

/// The rows that stand in a place.
pub(super) fn at(place: RowPlace) -> impl Iterator<Item = &'static dyn Kind> {
    ALL.iter().copied().filter(move |kind| kind.place() == place)
}

/// The row of a label, whatever its case.
pub(super) fn labelled(label: &str) -> Option<&'static dyn Kind> {
    ALL.iter().copied().find(|kind| kind.label().eq_ignore_ascii_case(label))
}

/// The labels of all rows.
pub(super) fn all_labels() -> impl Iterator<Item = &'static str> {
    ALL.iter().map(|kind| kind.label())
}

/// The labels that another word of the trade stands for, the likeliest first.
pub(super) fn meant_by(word: &str) -> Vec<&'static str> {
    let among = |words: &[&str]| words.iter().any(|other| other.eq_ignore_ascii_case(word));
    let sure = ALL.iter().filter(|kind| among(kind.meant_by()));
    let perhaps = ALL.iter().filter(|kind| among(kind.perhaps_meant_by()));
    sure.chain(perhaps).map(|kind| kind.label()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_rows_share_a_label_and_no_other_word_is_one() {
        let names: BTreeSet<&str> = all_labels().collect();
        assert_eq!(names.len(), ALL.len());
        for kind in ALL {
            for word in kind.meant_by().iter().chain(kind.perhaps_meant_by()) {
                assert!(labelled(word).is_none(), "{word}");
                assert_eq!(
                    meant_by(word).iter().filter(|label| **label == kind.label()).count(),
                    1
                );
            }
        }
    }
}
