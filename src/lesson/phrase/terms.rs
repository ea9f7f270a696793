//! The musical names in a phrase, in the order of its words.

use super::{Frets, NoteName, Numerals, Part, Phrase, Subject};
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Key, Numeral, Scale};

/// A name in a phrase.
#[derive(Debug, Clone, PartialEq)]
#[allow(missing_docs)]
pub enum Term<'p> {
    Chord(&'p Chord),
    Note(NoteName),
    Scale(&'p Scale),
    Subject(&'p Subject),
    Key(&'p Key),
    Fingering(&'p Frets),
    Interval(IntervalName),
    Numeral(&'p Numeral),
    /// A block's name.
    Block(&'p str),
}

impl Phrase {
    /// Its musical names, in the order in which they stand; none of what can't be read.
    pub fn terms(&self) -> Vec<Part<Term<'_>>> {
        let mut terms = match self {
            Phrase::Chords(chords) => chords.iter().map(chord).collect(),
            Phrase::Notes(notes) => notes.iter().map(note).collect(),
            Phrase::Scale(scale) => vec![scale.as_term(Term::Scale)],
            Phrase::Fingering(frets) => vec![frets.as_term(Term::Fingering)],
            Phrase::Interval(name) => vec![interval(name)],
            Phrase::Numerals(numerals) => numerals.terms().collect(),
            Phrase::Tones { subject, notes, .. } | Phrase::Within { subject, notes } => {
                notes.iter().map(note).chain([subject.as_term(Term::Subject)]).collect()
            }
            Phrase::SameNote(one, other) => vec![note(one), note(other)],
            Phrase::Function { chords, numerals } => {
                chords.iter().map(chord).chain(numerals.terms()).collect()
            }
            Phrase::Distance { from, to, name, .. } => vec![note(from), note(to), interval(name)],
            Phrase::Degree { note: tone, name, subject } => {
                vec![note(tone), interval(name), subject.as_term(Term::Subject)]
            }
            Phrase::Sounds { fingering, chord: named } => {
                vec![fingering.as_term(Term::Fingering), chord(named)]
            }
            Phrase::Reference { name, .. } => vec![block(name)],
            Phrase::SameChord(one, other) => vec![chord(one), chord(other)],
            Phrase::Holds { name, chords, .. } => {
                chords.iter().map(chord).chain([block(name)]).collect()
            }
            Phrase::Begins { name, note: tone } => vec![block(name), note(tone)],
            Phrase::NotAChord(_) => Vec::new(),
        };
        terms.sort_by_key(|term| term.place.start);
        terms
    }
}

impl<T> Part<T> {
    fn as_term<'p>(&'p self, term: impl Fn(&'p T) -> Term<'p>) -> Part<Term<'p>> {
        Part { value: term(&self.value), place: self.place.clone() }
    }
}

impl Numerals {
    fn terms(&self) -> impl Iterator<Item = Part<Term<'_>>> {
        let key = self.key.iter().map(|key| key.as_term(Term::Key));
        self.list.iter().map(|numeral| numeral.as_term(Term::Numeral)).chain(key)
    }
}

fn chord(part: &Part<Chord>) -> Part<Term<'_>> {
    part.as_term(Term::Chord)
}

fn note(part: &Part<NoteName>) -> Part<Term<'_>> {
    part.as_term(|note| Term::Note(*note))
}

fn interval(part: &Part<IntervalName>) -> Part<Term<'_>> {
    part.as_term(|name| Term::Interval(*name))
}

fn block(part: &Part<String>) -> Part<Term<'_>> {
    part.as_term(|name| Term::Block(name))
}
