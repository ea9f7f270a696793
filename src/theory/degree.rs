//! Degrees: a tone's number above a root with its alteration, as chord formulas and diagrams name
//! it (`R`, `b3`, `#11`).

use super::interval::number_word;
use super::note_names::{typed_accidental, with_printed_signs};
use super::{Letter, Note};
use std::fmt;

/// A degree counted from a root: 1 to 13, and how far it lies from the major or perfect one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Degree {
    /// 1 to 13 (compound numbers are kept, since 9 and 2 are named differently).
    pub number: u8,
    /// Half steps from the major or perfect interval of that number.
    pub alter: i8,
}

impl Degree {
    /// The root.
    pub const ROOT: Degree = Degree::new(1, 0);

    /// A degree of a number (1 or more) and an alteration in half steps.
    pub const fn new(number: u8, alter: i8) -> Degree {
        Degree { number, alter }
    }

    /// The degree within one octave: 9 becomes 2, 13 becomes 6.
    pub const fn simple(self) -> Degree {
        Degree::new((self.number - 1) % 7 + 1, self.alter)
    }

    /// Half steps above the root; compound degrees count their octave.
    pub const fn semitones(self) -> i32 {
        let steps = self.number as i32 - 1;
        Letter::at(steps).semitones() + 12 * (steps / 7) + self.alter as i32
    }

    /// The note that stands on this degree above a root.
    pub fn above(self, root: Note) -> Note {
        let letter = Letter::at(root.letter.index() + self.number as i32 - 1);
        let wanted = root.class() as i32 + self.semitones();
        let accidental = (wanted - letter.semitones() + 6).rem_euclid(12) - 6;
        Note::new(letter, accidental as i8).called(root.names)
    }

    /// The degree of a note above a root, within one octave (1 to 7).
    pub fn between(root: Note, note: Note) -> Degree {
        let steps = (note.letter.index() - root.letter.index()).rem_euclid(7);
        let natural = Letter::at(steps).semitones();
        let sounding = i32::from(note.class()) - i32::from(root.class());
        let alter = (sounding - natural + 6).rem_euclid(12) - 6;
        Degree::new(steps as u8 + 1, alter as i8)
    }

    /// The degree in words, for whoever listens: "root", "flat third", "sharp eleventh".
    pub fn spoken(self) -> String {
        let number = if self.number == 1 { "root" } else { number_word(self.number) };
        match self.alter {
            0 => number.to_owned(),
            1 => format!("sharp {number}"),
            -1 => format!("flat {number}"),
            2 => format!("double sharp {number}"),
            -2 => format!("double flat {number}"),
            _ => format!("altered {number}"),
        }
    }

    /// The degree with its signs as they are printed in a diagram: `R`, `♭3`, `♯11`.
    pub fn printed(self) -> String {
        with_printed_signs(&self.to_string())
    }
}

impl fmt::Display for Degree {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if *self == Degree::ROOT {
            return f.write_str("R");
        }
        write!(f, "{}{}", typed_accidental(self.alter), self.number)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn degrees_stand_where_the_major_scale_puts_them() {
        let rows = [
            ("C", 1, 0, "C", "R", 0),
            ("A", 3, 0, "C#", "3", 4),
            ("A", 3, -1, "C", "b3", 3),
            ("Bb", 7, -2, "Abb", "bb7", 9),
            ("E", 9, 1, "F##", "#9", 15),
            ("G#", 7, 0, "F##", "7", 11),
            ("F", 11, 1, "B", "#11", 18),
            ("Db", 13, -1, "Bbb", "b13", 20),
        ];
        for (root, number, alter, note, name, semitones) in rows {
            let degree = Degree::new(number, alter);
            let root = Note::parse(root).unwrap();
            assert_eq!(degree.above(root).to_string(), note);
            assert_eq!(degree.to_string(), name);
            assert_eq!(degree.semitones(), semitones, "{name}");
            assert_eq!(Degree::between(root, degree.above(root)), degree.simple(), "{root} {name}");
        }
    }

    #[test]
    fn printed_degrees_have_proper_signs() {
        assert_eq!(Degree::new(7, -2).printed(), "𝄫7");
        assert_eq!(Degree::new(11, 1).printed(), "♯11");
    }
}
