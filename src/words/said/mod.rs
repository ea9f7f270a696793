//! How musical names are said aloud, by one table a language: `C♯7` as "C sharp seven", `x02420` as
//! "x, open, two, four, two, open". What a name means is worked out by theory, and notes are named by
//! `theory::note_names`; here are the words for all else. Another language is one more [`Tongue`] beside
//! [`ENGLISH`].

mod english;
mod german;
#[cfg(test)]
mod tests;

pub use english::ENGLISH;
pub use german::GERMAN;

use super::Lang;
use crate::neck::Fret;
use crate::theory::numeral::{Named, Step};
use crate::theory::{Chord, Degree, Names, Note, Numeral};

/// The words of a language for what musical names are made of.
#[derive(Debug)]
pub struct Tongue {
    /// The numbers from 0; a larger one is said by its figures.
    numbers: &'static [&'static str],
    /// What a chord's suffix in the house form is made of, but for its figures; a longer piece stands
    /// before one that begins it.
    pieces: &'static [(&'static str, &'static str)],
    /// The chords that have a name beside their degree.
    named: fn(Named) -> &'static str,
    /// A numeral's chord with a flat five and a minor seventh.
    half_diminished: &'static str,
    /// Before a number, a half step up.
    sharp: &'static str,
    /// The same, a half step down.
    flat: &'static str,
    /// Before a bass.
    over: &'static str,
    /// Before the degree that a chord leads to.
    of: &'static str,
    /// A note.
    note: fn(Note) -> String,
    /// For `=`.
    is: &'static str,
    /// Where no chord sounds.
    no_chord: &'static str,
    /// A string that no finger presses.
    open: &'static str,
    /// A string that isn't played.
    silent: &'static str,
}

/// The signs by which notes are known among plain words.
const SIGNS: [char; 2] = ['♯', '♭'];
/// The suffix of a half-diminished chord in the house form.
const HALF_DIMINISHED: &str = "m7b5";

impl Tongue {
    /// That of a language.
    pub fn of(lang: Lang) -> &'static Tongue {
        match lang {
            Lang::English => &ENGLISH,
            Lang::German => &GERMAN,
        }
    }

    /// A chord by its symbol: "F sharp minor seven", "E over G sharp".
    pub fn chord(&self, chord: &Chord) -> String {
        let mut words = vec![(self.note)(chord.root)];
        words.extend(self.suffix(&chord.suffix));
        words.extend(chord.bass.map(|bass| self.bass(bass)));
        words.join(" ")
    }

    /// A note, with its octave where one is named: "C sharp", "E two".
    pub fn note(&self, note: Note, octave: Option<i8>) -> String {
        let octave = octave.map(|octave| format!(" {}", self.signed(octave)));
        (self.note)(note) + &octave.unwrap_or_default()
    }

    /// A numeral: "six minor seven", "five seven of two".
    pub fn numeral(&self, numeral: &Numeral) -> String {
        let mut words = vec![match numeral.named {
            Some(named) => (self.named)(named).to_owned(),
            None => self.step(numeral.step),
        }];
        // Figures stand in the place of the seventh or the sixth that they are of.
        let written = match numeral.figures {
            Some(_) => numeral.suffix.trim_end_matches(['6', '7']),
            None => &numeral.suffix,
        };
        match written {
            _ if numeral.named.is_some() => {}
            HALF_DIMINISHED => words.push(self.half_diminished.to_owned()),
            suffix => words.extend(self.suffix(suffix)),
        }
        let figures = numeral.figures.map(|figures| figures.written()).unwrap_or_default();
        words.extend(figures.chars().map(|figure| self.figures(&figure.to_string())));
        words.extend(numeral.bass.map(|bass| self.bass(bass)));
        words.extend(numeral.target.map(|target| format!("{} {}", self.of, self.step(target))));
        words.join(" ")
    }

    /// A degree that is written in figures: "flat three", "sharp eleven".
    pub fn degree(&self, degree: Degree) -> String {
        self.altered(degree.alter, degree.number)
    }

    /// The frets of a fingering, the lowest string first: "x, open, two, four, two, open".
    pub fn frets(&self, frets: &[Option<Fret>]) -> String {
        let fret = |fret: &Option<Fret>| match fret {
            None => self.silent.to_owned(),
            Some(fret) if fret.is_open() => self.open.to_owned(),
            Some(fret) => self.number(fret.number()),
        };
        frets.iter().map(fret).collect::<Vec<_>>().join(", ")
    }

    /// What is typed between or around musical names: a sign that joins two sides is a word, one that
    /// parts the names of a row is a comma, and words are as typed.
    pub fn between(&self, typed: &str, names: Names) -> String {
        match typed.trim() {
            "" | "," | "-" | "–" | "—" if !typed.is_empty() => ", ".to_owned(),
            "=" => format!(" {} ", self.is),
            _ => self.prose(typed, names),
        }
    }

    /// Plain words, in which notes and chords are written with ♯ or ♭ behind the names that notes go by, and `N.C.`
    /// alone.
    pub fn prose(&self, words: &str, names: Names) -> String {
        if Chord::is_none(words) {
            return self.no_chord.to_owned();
        }
        words.split_inclusive(char::is_whitespace).map(|word| self.word(word, names)).collect()
    }

    /// A word of plain text.
    fn word(&self, word: &str, names: Names) -> String {
        if !word.contains(SIGNS) {
            return word.to_owned();
        }
        let is_outside = |c: char| !(c.is_alphanumeric() || SIGNS.contains(&c));
        let symbol = word.trim_matches(is_outside);
        if let Some(chord) = names.chord_or_else(symbol) {
            return word.replacen(symbol, &self.chord(&chord), 1);
        }
        self.with_notes_said(word, names)
    }

    /// A suffix in the house form, piece by piece; brackets and strokes are silent.
    fn suffix(&self, suffix: &str) -> Vec<String> {
        let (mut words, mut rest) = (Vec::new(), suffix);
        while let Some(first) = rest.chars().next() {
            let piece = self.pieces.iter().find(|(piece, _)| rest.starts_with(piece));
            let length = match piece {
                Some((piece, said)) => {
                    words.push((*said).to_owned());
                    piece.len()
                }
                None => {
                    let figures = rest.bytes().take_while(u8::is_ascii_digit).count();
                    words.extend(
                        rest.get(..figures).filter(|f| !f.is_empty()).map(|f| self.figures(f)),
                    );
                    figures.max(first.len_utf8())
                }
            };
            rest = rest.get(length..).unwrap_or_default();
        }
        words
    }

    fn bass(&self, bass: Note) -> String {
        format!("{} {}", self.over, (self.note)(bass))
    }

    fn step(&self, step: Step) -> String {
        self.altered(step.sign, step.number)
    }

    /// A number with the signs that stand before it.
    fn altered(&self, half_steps: i8, number: u8) -> String {
        let sign = if half_steps < 0 { self.flat } else { self.sharp };
        format!("{sign} ").repeat(usize::from(half_steps.unsigned_abs())) + &self.number(number)
    }

    fn signed(&self, number: i8) -> String {
        u8::try_from(number).map_or_else(|_| number.to_string(), |number| self.number(number))
    }

    fn figures(&self, figures: &str) -> String {
        figures.parse().map_or_else(|_| figures.to_owned(), |number| self.number(number))
    }

    fn number(&self, number: u8) -> String {
        let word = self.numbers.get(usize::from(number));
        word.map_or_else(|| number.to_string(), |word| (*word).to_owned())
    }

    /// A word that holds notes without being a chord, as `C♯–E♭`.
    fn with_notes_said(&self, word: &str, names: Names) -> String {
        let (mut said, mut rest) = (String::new(), word);
        while let Some(first) = rest.chars().next() {
            let begins = !said.ends_with(char::is_alphanumeric);
            let note = names.read(rest).filter(|_| begins);
            let signed = note.filter(|(_, length)| {
                rest.get(..*length).is_some_and(|typed| typed.contains(SIGNS))
            });
            let length = match signed {
                Some((note, length)) => {
                    said += &(self.note)(note);
                    length
                }
                None => {
                    said.push(first);
                    first.len_utf8()
                }
            };
            rest = rest.get(length..).unwrap_or_default();
        }
        said
    }
}
