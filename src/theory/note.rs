//! Spelled notes: a letter with its accidental, and the same with an octave.

use super::Midi;
use super::note_names::Names;
use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};

/// One of the seven letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Letter {
    C,
    D,
    E,
    F,
    G,
    A,
    B,
}

impl Letter {
    /// The letters from C upwards.
    pub const ALL: [Letter; 7] =
        [Letter::C, Letter::D, Letter::E, Letter::F, Letter::G, Letter::A, Letter::B];

    /// Half steps above C of the letter without an accidental, 0 to 11.
    pub const fn semitones(self) -> i32 {
        match self {
            Letter::C => 0,
            Letter::D => 2,
            Letter::E => 4,
            Letter::F => 5,
            Letter::G => 7,
            Letter::A => 9,
            Letter::B => 11,
        }
    }

    /// The letter's place from C, 0 to 6.
    pub const fn index(self) -> i32 {
        self as i32
    }

    /// The letter at a place counted from C; any whole number is taken round the octave.
    pub const fn at(index: i32) -> Letter {
        Letter::ALL[index.rem_euclid(7) as usize]
    }
}

/// A note as it is spelled, without an octave: `C#` and `Db` differ. It knows the names that it goes by where it was
/// read, and what is worked out from it goes by them too; two notes are equal whatever they are called.
#[derive(Debug, Clone, Copy)]
pub struct Note {
    /// The letter.
    pub letter: Letter,
    /// Half steps up (sharps) or down (flats). Notes read from a lesson have −2 to 2; notes worked
    /// out from far keys may have more.
    pub accidental: i8,
    /// The names that it goes by.
    pub names: Names,
}

impl Note {
    /// The note of a letter and an accidental in half steps, by its English name.
    pub const fn new(letter: Letter, accidental: i8) -> Note {
        Note { letter, accidental, names: Names::English }
    }

    /// The same note by other names.
    #[must_use]
    pub const fn called(self, names: Names) -> Note {
        Note { names, ..self }
    }

    /// The pitch class, 0 (C) to 11 (B).
    pub const fn class(self) -> u8 {
        (self.letter.semitones() + self.accidental as i32).rem_euclid(12) as u8
    }
}

impl PartialEq for Note {
    fn eq(&self, other: &Note) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Note {}

impl Hash for Note {
    fn hash<H: Hasher>(&self, state: &mut H) {
        (self.letter, self.accidental).hash(state);
    }
}

impl PartialOrd for Note {
    fn partial_cmp(&self, other: &Note) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Note {
    fn cmp(&self, other: &Note) -> Ordering {
        (self.letter, self.accidental).cmp(&(other.letter, other.accidental))
    }
}

/// A spelled note in an octave, in scientific pitch notation: middle C is `C4`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Pitch {
    /// The spelled note.
    pub note: Note,
    /// The octave of the letter (`B#3` sounds as C4).
    pub octave: i8,
}

impl Pitch {
    /// The pitch of a note in an octave.
    pub const fn new(note: Note, octave: i8) -> Pitch {
        Pitch { note, octave }
    }

    /// The pitch as it sounds, whatever its letter.
    pub const fn midi(self) -> Midi {
        let octave = (self.octave as i32 + 1) * 12;
        Midi::new(octave + self.note.letter.semitones() + self.note.accidental as i32)
    }

    /// The same pitch by other names.
    #[must_use]
    pub const fn called(self, names: Names) -> Pitch {
        Pitch { note: self.note.called(names), ..self }
    }

    /// Reads a text that is one note with its octave, `E2`, `F#1`, `Bb-1`.
    pub fn parse(text: &str) -> Option<Pitch> {
        Pitch::parse_as(text, Names::English)
    }

    /// The same by other names.
    pub fn parse_as(text: &str, names: Names) -> Option<Pitch> {
        let (note, length) = names.read(text)?;
        let octave: i8 = text[length..].parse().ok().filter(|octave| (-1..=9).contains(octave))?;
        Some(Pitch::new(note, octave))
    }
}

impl fmt::Display for Pitch {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.note, self.octave)
    }
}
