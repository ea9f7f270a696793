//! Keys: a tonic and a mode.

use super::{Degree, Letter, Note};
use std::fmt;

/// A key in one of the modes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Key {
    /// The tonic.
    pub tonic: Note,
    /// The mode.
    pub mode: Mode,
}

/// The seven modes; major is ionian and minor is aeolian.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Mode {
    Major,
    Dorian,
    Phrygian,
    Lydian,
    Mixolydian,
    Minor,
    Locrian,
}

impl Mode {
    /// The modes in the order in which they stand on the degrees of a major scale.
    pub const ALL: [Mode; 7] = [
        Mode::Major,
        Mode::Dorian,
        Mode::Phrygian,
        Mode::Lydian,
        Mode::Mixolydian,
        Mode::Minor,
        Mode::Locrian,
    ];

    /// Its name, as a key's name has it: `minor`, `dorian`.
    pub const fn name(self) -> &'static str {
        match self {
            Mode::Major => "major",
            Mode::Dorian => "dorian",
            Mode::Phrygian => "phrygian",
            Mode::Lydian => "lydian",
            Mode::Mixolydian => "mixolydian",
            Mode::Minor => "minor",
            Mode::Locrian => "locrian",
        }
    }

    /// Reads a mode's name, in any case: `minor`, `natural minor`, `aeolian`, `dorian`.
    pub fn parse(name: &str) -> Option<Mode> {
        let name = name.trim().to_ascii_lowercase();
        match name.as_str() {
            "ionian" => Some(Mode::Major),
            "aeolian" | "natural minor" => Some(Mode::Minor),
            _ => Mode::ALL.into_iter().find(|mode| mode.name() == name),
        }
    }

    /// How far each of its seven degrees lies from the major scale's, in half steps.
    pub const fn alterations(self) -> [i8; 7] {
        match self {
            Mode::Major => [0, 0, 0, 0, 0, 0, 0],
            Mode::Dorian => [0, 0, -1, 0, 0, 0, -1],
            Mode::Phrygian => [0, -1, -1, 0, 0, -1, -1],
            Mode::Lydian => [0, 0, 0, 1, 0, 0, 0],
            Mode::Mixolydian => [0, 0, 0, 0, 0, 0, -1],
            Mode::Minor => [0, 0, -1, 0, 0, -1, -1],
            Mode::Locrian => [0, -1, -1, 0, -1, -1, -1],
        }
    }

    /// Sharps (positive) or flats (negative) that the mode has on the tonic C.
    const fn signature_on_c(self) -> i32 {
        let alterations = self.alterations();
        let (mut sum, mut step) = (0, 0);
        while step < 7 {
            sum += alterations[step] as i32;
            step += 1;
        }
        sum
    }
}

impl Key {
    /// The key of a tonic and a mode.
    pub const fn new(tonic: Note, mode: Mode) -> Key {
        Key { tonic, mode }
    }

    /// The key so many half steps higher, spelled with the fewest accidentals; of two ways the one on
    /// the same side, sharps or flats, as before.
    pub fn raised(self, half_steps: u8) -> Key {
        let class = (self.tonic.class() + half_steps % 12) % 12;
        let flats = self.signature() < 0;
        Letter::ALL
            .iter()
            .flat_map(|letter| [-1, 0, 1].map(|accidental| Note::new(*letter, accidental)))
            .filter(|tonic| tonic.class() == class)
            .map(|tonic| Key::new(tonic, self.mode))
            .min_by_key(|key| (key.signature().abs(), (key.signature() < 0) != flats))
            .unwrap_or(self)
    }

    /// Reads `A major`, `F# minor`, `D dorian`, or a major or minor triad's symbol: `A`, `F#m`.
    pub fn parse(text: &str) -> Option<Key> {
        let text = text.trim();
        let (tonic, length) = Note::read(text)?;
        let rest = text.get(length..)?;
        let mode = match rest {
            "" | "maj" | "M" => Mode::Major,
            "m" | "mi" | "min" | "-" => Mode::Minor,
            _ => Mode::parse(rest.strip_prefix([' ', '\t'])?)?,
        };
        Some(Key { tonic, mode })
    }

    /// Its seven degrees, rising from the tonic.
    pub fn degrees(&self) -> [Degree; 7] {
        let mut number = 0;
        self.mode.alterations().map(|alter| {
            number += 1;
            Degree::new(number, alter)
        })
    }

    /// Its seven notes, rising from the tonic; a minor key's are those of natural minor.
    pub fn notes(&self) -> [Note; 7] {
        self.degrees().map(|degree| degree.above(self.tonic))
    }

    /// Whether a note, as it is spelled, is one of its seven.
    pub fn holds(&self, note: Note) -> bool {
        let degree = Degree::between(self.tonic, note);
        self.degrees().contains(&degree)
    }

    /// The key signature: so many sharps, or, where negative, flats.
    pub fn signature(&self) -> i32 {
        // Places on the line of fifths: F C G D A E B, sharps seven further up.
        let natural = match self.tonic.letter {
            Letter::F => -1,
            Letter::C => 0,
            Letter::G => 1,
            Letter::D => 2,
            Letter::A => 3,
            Letter::E => 4,
            Letter::B => 5,
        };
        natural + 7 * i32::from(self.tonic.accidental) + self.mode.signature_on_c()
    }

    /// The key with its signs as they are printed: `F♯ minor`.
    pub fn printed(&self) -> String {
        format!("{} {}", self.tonic.printed(), self.mode.name())
    }

    /// The key in words, for whoever listens: "F sharp minor".
    pub fn spoken(&self) -> String {
        format!("{} {}", self.tonic.spoken(), self.mode.name())
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.tonic, self.mode.name())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn reads_every_form_of_a_key() {
        let rows = [
            ("A major", "A major"),
            ("A", "A major"),
            ("F#m", "F# minor"),
            ("F♯ minor", "F# minor"),
            ("Bb", "Bb major"),
            ("D dorian", "D dorian"),
            ("G Mixolydian", "G mixolydian"),
            ("C ionian", "C major"),
            ("C aeolian", "C minor"),
            ("E natural minor", "E minor"),
            ("B locrian", "B locrian"),
            ("F lydian", "F lydian"),
            ("E phrygian", "E phrygian"),
            ("Amin", "A minor"),
            ("A-", "A minor"),
        ];
        for (text, key) in rows {
            assert_eq!(Key::parse(text).unwrap().to_string(), key, "{text}");
        }
        for text in ["", "a", "H major", "A7", "A harmonic minor", "Aminor", "none", "é"] {
            assert_eq!(Key::parse(text), None, "{text}");
        }
    }

    #[test]
    fn signatures_follow_the_circle_of_fifths() {
        let rows = [
            ("Cb", -7),
            ("Gb", -6),
            ("Db", -5),
            ("Ab", -4),
            ("Eb", -3),
            ("Bb", -2),
            ("F", -1),
            ("C", 0),
            ("G", 1),
            ("D", 2),
            ("A", 3),
            ("E", 4),
            ("B", 5),
            ("F#", 6),
            ("C#", 7),
            ("Am", 0),
            ("F#m", 3),
            ("A#m", 7),
            ("Abm", -7),
            ("D dorian", 0),
            ("E phrygian", 0),
            ("F lydian", 0),
            ("G mixolydian", 0),
            ("B locrian", 0),
            ("A mixolydian", 2),
        ];
        for (text, signature) in rows {
            let key = Key::parse(text).unwrap();
            assert_eq!(key.signature(), signature, "{text}");
            let signs: i32 = key.notes().iter().map(|note| i32::from(note.accidental)).sum();
            assert_eq!(signs, signature, "the notes of {text}");
        }
    }

    #[test]
    fn a_key_holds_its_notes_as_they_are_spelled() {
        let key = Key::parse("F# minor").unwrap();
        let notes: Vec<String> = key.notes().iter().map(Note::to_string).collect();
        assert_eq!(notes, ["F#", "G#", "A", "B", "C#", "D", "E"]);
        assert!(key.holds(Note::parse("C#").unwrap()));
        assert!(!key.holds(Note::parse("Db").unwrap()));
        assert_eq!(key.printed(), "F♯ minor");
        assert_eq!(key.spoken(), "F sharp minor");
    }
}
