//! Checked phrases: what a code span in prose says about music, as syntax. Whether it is true is
//! not looked at here.

mod read;
mod terms;
#[cfg(test)]
mod tests;

pub use read::{read, signs};
pub use terms::Term;

use crate::neck::Fret;
use crate::theory::chord::ChordError;
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Key, Note, Numeral, Scale};
use std::ops::Range;

/// A part of a phrase and the bytes of the phrase that it is read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part<T> {
    /// What is said.
    pub value: T,
    /// Where it stands, counted from the phrase's first byte.
    pub place: Range<usize>,
}

/// What a phrase says.
#[derive(Debug, Clone, PartialEq)]
pub enum Phrase {
    /// Chords: `F#m7`, `A F#m7 D`, `A over C#`.
    Chords(Vec<Part<Chord>>),
    /// Notes: `A C# E`, `E2 A2`.
    Notes(Vec<Part<NoteName>>),
    /// A scale or a key: `A minor pentatonic`.
    Scale(Part<Scale>),
    /// A fret for each string, the lowest first: `x02420`.
    Fingering(Part<Frets>),
    /// An interval or a degree: `minor third`, `b3`.
    Interval(Part<IntervalName>),
    /// Numerals: `ii7 V7 I`, with the key where one is named.
    Numerals(Numerals),
    /// A chord or a scale has these tones: `A = A C# E`, `A C# E is A`.
    Tones {
        /// The chord or scale.
        subject: Part<Subject>,
        /// The notes.
        notes: Vec<Part<NoteName>>,
        /// How the two are joined.
        sign: Sign,
    },
    /// Two names of one note: `C# is Db`.
    SameNote(Part<NoteName>, Part<NoteName>),
    /// Notes are tones of something: `C# E in F#m7`.
    Within {
        /// The notes.
        notes: Vec<Part<NoteName>>,
        /// The chord or scale.
        subject: Part<Subject>,
    },
    /// Chords are these numerals: `F#m7 is vi7`, `A D E is I IV V`; as many of the one as of the
    /// other.
    Function {
        /// The chords.
        chords: Vec<Part<Chord>>,
        /// The numerals.
        numerals: Numerals,
    },
    /// A note lies so far from another: `C# to E is a minor third`.
    Distance {
        /// The note that it is counted from.
        from: Part<NoteName>,
        /// The note that it leads to.
        to: Part<NoteName>,
        /// The interval.
        name: Part<IntervalName>,
        /// Which way.
        way: Way,
    },
    /// A note is a degree of something: `C# is the third of A`.
    Degree {
        /// The note.
        note: Part<NoteName>,
        /// The degree.
        name: Part<IntervalName>,
        /// The chord, scale or key whose root it is counted from.
        subject: Part<Subject>,
    },
    /// A fingering sounds a chord: `x02420 is Aadd9`.
    Sounds {
        /// The fingering.
        fingering: Part<Frets>,
        /// The chord.
        chord: Part<Chord>,
    },
    /// A block, or bars of it: `the hook`, `bars 1 to 2 of the hook`.
    Reference {
        /// The block's name, in small letters.
        name: Part<String>,
        /// The first and the last bar, where bars are named.
        bars: Option<(u32, u32)>,
    },
    /// Two chords sound the same: `C6 is Am7/C`.
    SameChord(Part<Chord>, Part<Chord>),
    /// A block, or bars of it, holds these chords: `bar 2 of verse is F#m7`, `verse = A F#m7 D`.
    Holds {
        /// The block's name, in small letters.
        name: Part<String>,
        /// The first and the last bar, where bars are named.
        bars: Option<(u32, u32)>,
        /// The chords in their order.
        chords: Vec<Part<Chord>>,
    },
    /// A block begins on a note: `the hook begins on A`.
    Begins {
        /// The block's name, in small letters.
        name: Part<String>,
        /// The note.
        note: Part<NoteName>,
    },
    /// A statement in which a chord must stand and something else does.
    NotAChord(Part<ChordError>),
}

/// A note, perhaps in an octave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoteName {
    /// The note.
    pub note: Note,
    /// The octave, in scientific pitch notation.
    pub octave: Option<i8>,
}

/// A fret for each string, the lowest-placed first; `None` is silent.
pub type Frets = Vec<Option<Fret>>;

/// Numerals and the key that is named with them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numerals {
    /// The numerals.
    pub list: Vec<Part<Numeral>>,
    /// The key behind `in`.
    pub key: Option<Part<Key>>,
}

/// What has tones: a chord, a scale, or words that name both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// A chord, by its symbol.
    Chord(Chord),
    /// A scale or key.
    Scale(Scale),
    /// `A major` or `A minor`: the triad or the scale, whichever makes the phrase true.
    Either(Chord, Scale),
}

/// How the two sides of a statement are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// `=`: the root comes first.
    Equals,
    /// `is`.
    Is,
}

/// Which way an interval is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Way {
    Up,
    Down,
}
