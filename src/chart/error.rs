//! Why there is no chart.

use crate::neck::Fret;
use crate::theory::{Chord, ChordError, Note};
use std::fmt;
use std::ops::RangeInclusive;

/// Why there is no chart.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ChartError {
    /// Nothing is named that could be charted; what could be, in words.
    Nothing(&'static str),
    /// A word stands beside a sheet that takes none.
    Alone(String),
    /// A symbol is no chord's.
    NoChord(String, ChordError),
    /// A name is no scale's.
    NoScale(Unknown),
    /// A name is no key's.
    NoKey(Unknown),
    /// The name is nothing that can be left blank.
    NoBlank(String),
    /// What is no strings of a tuning that has so many.
    NoStrings(String, usize),
    /// What is no frets of a neck, and its last fret.
    NoFrets(String, Fret),
    /// A fingering can't be read.
    NoFingering(Unread),
    /// A chord has no place.
    NoPlace(Nowhere),
}

/// A name that is unknown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// The name.
    pub name: String,
    /// The note that it begins with, if it does.
    pub tonic: Option<Note>,
    /// The known name that is nearest to what stands behind the note, where one is near.
    pub near: Option<&'static str>,
}

/// A fingering that can't be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// The fingering.
    pub asked: String,
    /// What is wrong, in words.
    pub trouble: String,
    /// How it is written, or how another is.
    pub written: String,
}

/// Where a chord has no place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Nowhere {
    /// The chord.
    pub chord: Chord,
    /// What it has none of.
    pub what: Lacking,
    /// The strings by their numbers, the lowest-placed first.
    pub strings: Vec<usize>,
    /// The frets.
    pub frets: RangeInclusive<Fret>,
}

/// What a chord has none of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lacking {
    /// A close triad.
    Triad,
    /// A close triad that the hand can hold.
    HeldTriad,
    /// Any shape that the hand can hold.
    HeldShape,
}

impl fmt::Display for ChartError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ChartError::Nothing(what) => write!(f, "say what to chart, {what}"),
            ChartError::Alone(word) => {
                write!(
                    f,
                    "the sheet of all signs takes no `{word}`; `fretleaf chart reference` prints it"
                )
            }
            ChartError::NoChord(name, error) => {
                write!(f, "`{name}` is no chord: {}", error.message)?;
                match error.meant.as_slice() {
                    [near] => write!(f, "; did you mean `{near}`?"),
                    _ => Ok(()),
                }
            }
            ChartError::NoScale(unknown) => unknown.tell("scale", f),
            ChartError::NoKey(unknown) => unknown.tell("key", f),
            ChartError::NoBlank(name) => {
                write!(f, "`{name}` can't be left blank: `boxes`, `tab` or `neck` can")
            }
            ChartError::NoStrings(text, count) => {
                write!(f, "`{text}` names no strings: this tuning has 1 to {count}, as in `1-3`")
            }
            ChartError::NoFrets(text, last) => {
                write!(f, "`{text}` names no frets: 0 to {last} are there, as in `0-12`")
            }
            ChartError::NoFingering(Unread { asked, trouble, written }) => write!(
                f,
                "in the fingering `{asked}` {trouble}; write its frets with spaces between them: \"{written}\""
            ),
            ChartError::NoPlace(nowhere) => nowhere.fmt(f),
        }
    }
}

impl std::error::Error for ChartError {}

impl Unknown {
    /// That a name is no scale or key, with the nearest one on the same note.
    fn tell(&self, what: &str, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = &self.name;
        match (self.tonic, self.near) {
            (None, _) => write!(f, "`{name}` is no {what}: it begins with no note"),
            (Some(_), None) => write!(f, "`{name}` is no {what}"),
            (Some(tonic), Some(near)) => {
                write!(f, "`{name}` is no {what}; did you mean `{tonic} {near}`?")
            }
        }
    }
}

impl fmt::Display for Nowhere {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self.what {
            Lacking::Triad => "no triad",
            Lacking::HeldTriad => "no triad that the hand can hold",
            Lacking::HeldShape => "no shape that the hand can hold",
        };
        let strings: Vec<String> = self.strings.iter().map(usize::to_string).collect();
        let (strings, from, to) = (strings.join(" "), self.frets.start(), self.frets.end());
        write!(f, "`{}` has {what} on strings {strings} between frets {from} and {to}", self.chord)
    }
}
