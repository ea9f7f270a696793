//! Keys: a tonic and a scale, most often that of a mode.

use super::scale::{SCALES, ScaleKind};
use super::{Chord, Degree, Letter, Note, Scale};
use std::fmt;

/// A key in one of the modes, or in any other scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Key {
    /// The tonic.
    pub tonic: Note,
    /// The scale; a minor key's is natural minor.
    pub scale: &'static ScaleKind,
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

    /// Its seven degrees, rising from the tonic.
    pub fn degrees(self) -> [Degree; 7] {
        let mut number = 0;
        self.alterations().map(|alter| {
            number += 1;
            Degree::new(number, alter)
        })
    }
}

impl Key {
    /// The key of a tonic and a mode.
    pub fn new(tonic: Note, mode: Mode) -> Key {
        Key { tonic, scale: ScaleKind::of_mode(mode) }
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
            .map(|tonic| Key { tonic: tonic.called(self.tonic.names), ..self })
            .min_by_key(|key| (key.signature().abs(), (key.signature() < 0) != flats))
            .unwrap_or(self)
    }

    /// Reads a tonic with the name of a mode or of any other scale (`A major`, `F# minor`, `E phrygian
    /// dominant`), or a major or minor triad's symbol: `A`, `F#m`.
    ///
    /// ```
    /// use fretleaf::theory::Key;
    ///
    /// let key = Key::parse("E phrygian dominant").unwrap();
    /// let notes: Vec<String> = key.notes().map(|note| note.to_string()).collect();
    /// assert_eq!(notes, ["E", "F", "G#", "A", "B", "C", "D"]);
    /// ```
    pub fn parse(text: &str) -> Option<Key> {
        let text = text.trim();
        if let Some(Scale { tonic, kind }) = Scale::parse(text) {
            return Some(Key { tonic, scale: kind });
        }
        let chord = Chord::read(text).filter(|chord| chord.bass.is_none())?;
        match chord.suffix.as_str() {
            "" => Some(Key::new(chord.root, Mode::Major)),
            "m" => Some(Key::new(chord.root, Mode::Minor)),
            _ => None,
        }
    }

    /// The mode whose numerals it has: its own, or major or minor as the third of its scale tells.
    pub const fn mode(&self) -> Mode {
        self.scale.mode
    }

    /// Whether it is a major key, or a minor one with the natural, harmonic or melodic scale: one whose
    /// chords have the functions of tonal harmony.
    pub fn is_tonal(&self) -> bool {
        let has = |number| self.scale.degree(number) == Some(Degree::new(number, 0));
        let whole = self.scale.degrees.len() == 7 && [2, 4, 5].into_iter().all(has);
        whole && matches!(self.mode(), Mode::Major | Mode::Minor)
    }

    /// Whether it is a minor key with the natural, harmonic or melodic scale.
    pub fn is_minor(&self) -> bool {
        self.is_tonal() && self.mode() == Mode::Minor
    }

    /// Whether its scale is a blues scale.
    pub fn is_blues(&self) -> bool {
        is_blues(self.scale)
    }

    /// The key that its chords come from. A pentatonic or blues scale tells how melodies go, and its
    /// chords are those of the major or minor key on its tonic; any other key is its own.
    pub fn harmony(&self) -> Key {
        if self.scale.leaves_gaps() { Key::new(self.tonic, self.mode()) } else { *self }
    }

    /// Its notes, rising from the tonic; a minor key's are those of natural minor.
    pub fn notes(&self) -> impl Iterator<Item = Note> + use<> {
        let tonic = self.tonic;
        self.scale.degrees.iter().map(move |degree| degree.above(tonic))
    }

    /// Whether a note, as it is spelled, is one of its scale's.
    pub fn holds(&self, note: Note) -> bool {
        Scale::of(self).holds(note)
    }

    /// The pitch classes that are at home in it, a bit each, C lowest: those of its scale and of the key
    /// that its chords come from, in minor both sixths and both sevenths, in a blues those of the minor
    /// and the major blues scale, which players mix.
    pub fn home(&self) -> u16 {
        let harmony = self.harmony();
        let degrees = |degrees: &[Degree]| {
            let notes = degrees.iter().map(|degree| degree.above(self.tonic));
            notes.fold(0, |classes, note| classes | 1u16 << note.class())
        };
        let mut home = degrees(self.scale.degrees) | degrees(harmony.scale.degrees);
        if harmony.is_minor() {
            home |= degrees(&[6, 7].map(|number| Degree::new(number, 0)));
            home |= degrees(&[6, 7].map(|number| Degree::new(number, -1)));
        }
        if self.is_blues() {
            let both = SCALES.iter().filter(|kind| is_blues(kind));
            home |= both.fold(0, |classes, kind| classes | degrees(kind.degrees));
        }
        home
    }

    /// So many sharps, or, where negative, flats, as its scale has; of a mode the key signature.
    pub fn signature(&self) -> i32 {
        self.notes().map(|note| i32::from(note.accidental)).sum()
    }

    /// The name of its mode or scale: `minor`, `phrygian dominant`.
    pub fn name(&self) -> &'static str {
        let mode = self.mode();
        if *self.scale == *ScaleKind::of_mode(mode) { mode.name() } else { self.scale.name() }
    }

    /// The key with its signs as they are printed: `F♯ minor`.
    pub fn printed(&self) -> String {
        format!("{} {}", self.tonic.printed(), self.name())
    }

    /// The key in words, for whoever listens: "F sharp minor".
    pub fn spoken(&self) -> String {
        format!("{} {}", self.tonic.spoken(), self.name())
    }
}

fn is_blues(scale: &ScaleKind) -> bool {
    scale.name().ends_with("blues")
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.tonic, self.name())
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
            ("A−", "A minor"),
            ("A(m)", "A minor"),
            ("Ama", "A major"),
            ("E phrygian dominant", "E phrygian dominant"),
            ("A harmonic minor", "A harmonic minor"),
            ("F# Melodic Minor", "F# melodic minor"),
            ("A minor pentatonic", "A minor pentatonic"),
            ("A minor blues", "A blues"),
            ("C half-whole diminished", "C half-whole diminished"),
            ("Bb whole tone", "Bb whole tone"),
        ];
        for (text, key) in rows {
            assert_eq!(Key::parse(text).unwrap().to_string(), key, "{text}");
        }
        for text in ["", "a", "H major", "A7", "A/E", "Asus4", "A dominant", "Aminor", "none", "é"]
        {
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
        }
    }

    #[test]
    fn a_key_holds_its_notes_as_they_are_spelled() {
        let key = Key::parse("F# minor").unwrap();
        let notes: Vec<String> = key.notes().map(|note| note.to_string()).collect();
        assert_eq!(notes, ["F#", "G#", "A", "B", "C#", "D", "E"]);
        assert!(key.holds(Note::parse("C#").unwrap()));
        assert!(!key.holds(Note::parse("Db").unwrap()));
        assert_eq!(key.printed(), "F♯ minor");
        assert_eq!(key.spoken(), "F sharp minor");
    }

    #[test]
    fn every_scale_is_a_key_that_reads_back() {
        for kind in SCALES {
            for tonic in ["C", "F#", "Eb"] {
                let key = Key { tonic: Note::parse(tonic).unwrap(), scale: kind };
                assert_eq!(Key::parse(&key.to_string()), Some(key));
                for name in kind.names {
                    assert_eq!(Key::parse(&format!("{tonic} {name}")), Some(key), "{name}");
                }
                assert_eq!(Key::parse(&key.printed()), Some(key));
            }
        }
    }

    #[test]
    fn what_is_at_home_in_a_key() {
        let rows = [
            ("A major", "A B C# D E F# G#"),
            ("A minor", "A B C D E F F# G G#"),
            ("A harmonic minor", "A B C D E F F# G G#"),
            ("D dorian", "D E F G A B C"),
            ("E phrygian dominant", "E F G# A B C D"),
            ("A minor pentatonic", "A B C D E F F# G G#"),
            ("C major pentatonic", "C D E F G A B"),
            ("C major blues", "C D Eb E F F# G A Bb B"),
            ("C whole tone", "C D E F# G# Bb"),
        ];
        for (key, notes) in rows {
            let wanted = notes
                .split(' ')
                .fold(0, |classes, note| classes | 1u16 << Note::parse(note).unwrap().class());
            assert_eq!(Key::parse(key).unwrap().home(), wanted, "{key}");
        }
    }
}
