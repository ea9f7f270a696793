//! Notes as they are written along a string, before the clock places them.

use crate::findings::Span;
use crate::music::tab::{Joint, Slide, Sound};
use crate::neck::{Fret, StringIndex};
use crate::theory::{Midi, Pitch};
use std::fmt;

/// A note as it is written on a string.
#[derive(Debug, Clone)]
pub(super) struct Written {
    /// Its row, by the system and its place in it.
    pub row: (usize, usize),
    /// The column of its first digit or letter.
    pub column: usize,
    /// The column of the bracket around it.
    pub bracket: Option<usize>,
    /// One past its last column, the signs that belong to it (`~`, `b+`) included.
    pub end: usize,
    /// Its fret as written, where that is more than any neck has.
    pub too_high: Option<u32>,
    /// What it sounds.
    pub heard: Heard,
    /// Whether it stands in round brackets.
    pub ghost: bool,
    /// How it is reached from the note before it on the string.
    pub joined: Option<Join>,
    /// Slides in from nowhere.
    pub slide_in: Option<Slide>,
    /// Slides out to nowhere.
    pub slide_out: Option<Slide>,
    /// Vibrato.
    pub vibrato: bool,
    /// Bent by a quarter tone.
    pub quarter_bend: bool,
    /// Tapped, with no note before it.
    pub tapped: bool,
    /// Where it stands, brackets included.
    pub span: Span,
}

impl Written {
    /// Its first column, a bracket included.
    pub fn start(&self) -> usize {
        self.bracket.unwrap_or(self.column)
    }

    /// How it is reached from the note before it on the string.
    pub fn joint(&self) -> Option<Joint> {
        self.joined.map(|join| join.joint)
    }

    /// Whether it is joined to the note before it with nothing between them but the sign.
    pub fn is_tight(&self) -> bool {
        self.joined.is_some_and(|join| join.tight)
    }
}

/// What a note sounds, as it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Heard {
    /// What a string row says.
    Sound(Sound),
    /// The pitches of a `notes` row that sound together, one at least, each with its place. In a
    /// [`Strand`] there is one.
    Pitches(Vec<(Pitch, Span)>),
}

impl Heard {
    /// The pitches of a `notes` row; none in a string row.
    pub fn pitches(&self) -> &[(Pitch, Span)] {
        match self {
            Heard::Sound(_) => &[],
            Heard::Pitches(pitches) => pitches,
        }
    }

    /// The fret of a string row, not that of a harmonic.
    pub fn fret(&self) -> Option<Fret> {
        match self {
            Heard::Sound(Sound::Fret(fret)) => Some(*fret),
            _ => None,
        }
    }

    /// The pitch of a `notes` row, the first of several.
    pub fn pitch(&self) -> Option<Midi> {
        self.pitches().first().map(|(pitch, _)| pitch.midi())
    }

    /// How high it is, in half steps, beside others of its string or its voice: above the open
    /// string, or as MIDI counts. `None` for harmonics and muted strokes, which nothing joins.
    pub fn height(&self) -> Option<i32> {
        self.fret().map(i32::from).or(self.pitch().map(Midi::number))
    }

    /// Whether it is an open string.
    pub fn is_open(&self) -> bool {
        self.fret().is_some_and(Fret::is_open)
    }
}

/// As it is written, without the brackets of an optional note.
impl fmt::Display for Heard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Heard::Sound(Sound::Fret(fret)) => write!(f, "{fret}"),
            Heard::Sound(Sound::Harmonic(fret)) => write!(f, "<{fret}>"),
            Heard::Sound(Sound::Muted) => f.write_str("x"),
            Heard::Pitches(pitches) => {
                let pitches: Vec<String> =
                    pitches.iter().map(|(pitch, _)| pitch.to_string()).collect();
                f.write_str(&pitches.join("+"))
            }
        }
    }
}

/// How a note is reached from the one before it on the string, as it is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Join {
    /// The joint.
    pub joint: Joint,
    /// Which way the sign of a slide runs.
    pub way: Option<Slide>,
    /// Where the sign stands.
    pub span: Span,
    /// Whether the sign touches the notes on both sides of it.
    pub tight: bool,
    /// Whether there is one sign; several that touch have been reported.
    pub clear: bool,
}

/// What notes stand on, one after the other.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Course {
    /// A string.
    String(StringIndex),
    /// The notes of a `notes` row that have so many others written before them at their moment:
    /// their strings are not known yet.
    Voice(usize),
}

impl Course {
    /// The string; for a voice one of its own, since its notes follow each other as on a string.
    pub fn string(self) -> StringIndex {
        match self {
            Course::String(string) => string,
            Course::Voice(voice) => StringIndex::new(voice),
        }
    }
}

/// A string of a riff, or a voice, with its notes in the order they are written.
#[derive(Debug, Clone)]
pub(super) struct Strand {
    /// What they stand on.
    pub course: Course,
    /// Its notes.
    pub notes: Vec<Written>,
}
