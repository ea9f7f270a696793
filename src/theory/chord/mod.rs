//! Chord symbols: read in every form that the trade writes, printed in one, and judged against
//! the notes that sound.

mod judge;
mod nearest;
mod read;
mod recipe;
mod two_ways;

pub use judge::{Demand, Verdict};

use super::note_names::with_printed_signs;
use super::{Degree, Names, Note, Printed};
use recipe::Recipe;
use std::fmt;

/// A chord as a symbol states it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Chord {
    /// The root.
    pub root: Note,
    /// The tones above the root in rising order, the root first. A `7alt` chord has all the
    /// alterations that it allows, each omissible; [`Chord::demand`] knows that one must sound.
    pub tones: Vec<Tone>,
    /// The bass that a slash names; `None` where the root is the bass.
    pub bass: Option<Note>,
    /// What stands between root and slash in the house form, as typed: `m7b5`, `add9`. An
    /// alteration right behind the root is in brackets, `(b5)`, so that the suffix reads the same
    /// after any root.
    pub suffix: String,
}

/// One tone of a chord's formula.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Tone {
    /// Its degree above the root.
    pub degree: Degree,
    /// Whether a fingering may leave it out (language section 5).
    pub omissible: bool,
}

impl Chord {
    /// The symbols of a root that are written most often, in that order, each once.
    pub fn usual(root: Note) -> Vec<Chord> {
        let chords = nearest::USUAL.iter().filter_map(|suffix| Chord::of(root, suffix, None).ok());
        chords.fold(Vec::new(), |mut usual, chord| {
            if !usual.contains(&chord) {
                usual.push(chord);
            }
            usual
        })
    }

    /// The qualities that a symbol may have, in words, each with all ways of writing it.
    pub fn qualities() -> impl Iterator<Item = (&'static str, &'static [&'static str])> {
        read::QUALITIES.into_iter()
    }

    /// Whether it has a tone of a number above its root, raised or lowered by so many half steps: 7 and −1 for the minor
    /// seventh.
    pub fn has(&self, number: u8, alter: i8) -> bool {
        self.tones.iter().any(|tone| tone.degree == Degree::new(number, alter))
    }

    /// Whether it is a major or a minor chord and nothing more: three tones over their root.
    pub fn is_plain(&self) -> bool {
        let third = self.has(3, 0) || self.has(3, -1);
        self.tones.len() == 3 && third && self.has(5, 0) && self.bass.is_none()
    }

    /// Whether it has a third and a seventh as a dominant has them.
    pub fn is_dominant_seventh(&self) -> bool {
        self.has(3, 0) && self.has(7, -1)
    }

    /// Whether a word says that no chord holds: `N.C.`, its points and its capitals left to the author.
    pub fn is_none(word: &str) -> bool {
        let letters = word.chars().filter(|c| *c != '.');
        letters.map(|c| c.to_ascii_uppercase()).eq("NC".chars())
    }

    /// Reads a whole text as a chord symbol. The accidental after the letter belongs to the root,
    /// so `Bb5` is a power chord.
    ///
    /// ```
    /// use fretleaf::theory::Chord;
    ///
    /// let chord = Chord::parse("A7#9").unwrap();
    /// let notes: Vec<String> = chord.notes().iter().map(|note| note.to_string()).collect();
    /// assert_eq!(notes, ["A", "C#", "E", "G", "B#"]);
    /// assert!(Chord::parse("D2").is_err(), "which may mean two chords");
    /// ```
    pub fn parse(text: &str) -> Result<Chord, ChordError> {
        read::symbol(text)
    }

    /// Reads a whole text as a chord symbol where it may as well be something else: quicker than
    /// [`Chord::parse`], since no nearest symbol is looked for.
    pub fn read(text: &str) -> Option<Chord> {
        read::without_advice(text).ok()
    }

    /// The same chord by other names.
    #[must_use]
    pub fn called(self, names: Names) -> Chord {
        let bass = self.bass.map(|bass| bass.called(names));
        Chord { root: self.root.called(names), bass, ..self }
    }

    /// The chord of a suffix, in any form that a symbol may have, on a root over a bass.
    pub fn of(root: Note, suffix: &str, bass: Option<Note>) -> Result<Chord, ChordError> {
        let recipe = read::suffix(suffix).map_err(|message| ChordError {
            message,
            meant: nearest::suffix(suffix)
                .map(|near| format!("{root}{near}"))
                .into_iter()
                .collect(),
        })?;
        Ok(Chord::from_recipe(root, &recipe, bass))
    }

    fn from_recipe(root: Note, recipe: &Recipe, bass: Option<Note>) -> Chord {
        Chord {
            root,
            tones: recipe.tones(),
            bass: bass.filter(|bass| *bass != root),
            suffix: recipe.suffix(),
        }
    }

    /// The chord spelled: its tones as notes, in the order of the formula. A slash chord's bass is
    /// among them only where it is a tone of the chord.
    pub fn notes(&self) -> Vec<Note> {
        self.tones.iter().map(|tone| tone.degree.above(self.root)).collect()
    }

    /// The note that belongs at the bottom: the bass that is named, else the root.
    pub fn lowest(&self) -> Note {
        self.bass.unwrap_or(self.root)
    }

    /// The degree of a note that is a tone of the chord, spelled as the chord spells it; the bass
    /// counts as a tone.
    pub fn degree_of(&self, note: Note) -> Option<Degree> {
        let tone = self.tones.iter().find(|tone| tone.degree.above(self.root) == note);
        tone.map(|tone| tone.degree)
            .or_else(|| self.bass_degree().filter(|_| self.bass == Some(note)))
    }

    /// The degree of the tone of a pitch class, 0 to 11; the bass counts as a tone.
    pub fn degree_of_class(&self, class: u8) -> Option<Degree> {
        let tone = self.tones.iter().find(|tone| tone.degree.above(self.root).class() == class);
        let bass = || self.bass_degree().filter(|_| self.lowest().class() == class);
        tone.map(|tone| tone.degree).or_else(bass)
    }

    /// The chord's pitch classes as a bit mask, C in bit 0, the bass included.
    pub fn classes(&self) -> u16 {
        self.notes().iter().chain(&self.bass).fold(0, |mask, note| mask | 1 << note.class())
    }

    /// The symbol in the house form as it is set on paper: `m`, `dim` and `aug` on the line, the
    /// figures and words behind them raised.
    pub fn printed(&self) -> Printed {
        let (quality, rest) = self.split_suffix();
        let bass = |bass: Note| format!("/{}", bass.printed_in_symbol());
        let bass = self.bass.map(bass).unwrap_or_default();
        Printed::plain(self.root.printed_in_symbol() + quality)
            .then(with_printed_signs(rest), true)
            .then(bass, false)
    }

    /// The symbol in words, for whoever listens: "F sharp minor seventh".
    pub fn spoken(&self) -> String {
        let kind = read::suffix(&self.suffix).map(|recipe| recipe.spoken()).unwrap_or_default();
        let bass = self.bass.map(|bass| format!(" over {}", bass.spoken())).unwrap_or_default();
        format!("{} {kind}{bass}", self.root.spoken())
    }

    /// The degree of the bass above the root, where a bass is named.
    fn bass_degree(&self) -> Option<Degree> {
        self.bass.map(|bass| Degree::between(self.root, bass))
    }

    /// The suffix in two: the quality that stays on the line, and what is raised.
    fn split_suffix(&self) -> (&str, &str) {
        let at = ["dim", "aug", "m"]
            .iter()
            .find(|word| self.suffix.starts_with(**word) && !self.suffix.starts_with("maj"))
            .map_or(0, |word| word.len());
        self.suffix.split_at(at)
    }
}

impl fmt::Display for Chord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.root.typed_in_symbol(), self.suffix)?;
        self.bass.map_or(Ok(()), |bass| write!(f, "/{}", bass.typed_in_symbol()))
    }
}

/// Why a text is not a chord symbol.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChordError {
    /// What can't be read, in a teacher's words.
    pub message: String,
    /// The symbols that may be meant, in the house form: the nearest that can be read, or, where
    /// the text means different chords in different places, each of them.
    pub meant: Vec<String>,
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests;
