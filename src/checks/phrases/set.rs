//! Phrases as they are set on paper: words as typed, music with its proper signs.

use super::Names;
use crate::lesson::Setting;
use crate::lesson::phrase::{NoteName, Numerals, Part, Phrase, Subject, Term};
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Note, Numeral, Printed};
use std::ops::Range;

/// A phrase ready for paper. Numerals that stand alone have the chords behind them that they are
/// in the key.
pub(super) fn phrase(
    text: &str,
    read: Option<&Phrase>,
    setting: &Setting,
    names: &Names<'_>,
) -> Printed {
    let mut set = Setter { text, at: 0, printed: Printed::default() };
    if let Some(read) = read {
        set.phrase(read, setting, names);
    }
    set.finish()
}

/// Sets a text from its beginning to its end, the music in it part by part.
struct Setter<'t> {
    text: &'t str,
    at: usize,
    printed: Printed,
}

impl Setter<'_> {
    fn phrase(&mut self, phrase: &Phrase, setting: &Setting, names: &Names<'_>) {
        let terms = phrase.terms();
        // Chords stand behind the last numeral that they are meant by, before a key.
        let last = terms.iter().rposition(|term| matches!(term.value, Term::Numeral(_)));
        for (at, term) in terms.iter().enumerate() {
            let (place, printed) = self.term(term, setting, names);
            self.put(&place, printed);
            if let (Phrase::Numerals(numerals), true) = (phrase, last == Some(at)) {
                let end = term.place.end;
                self.put(&(end..end), stand_for(numerals, setting).unwrap_or_default());
            }
        }
    }

    /// A name as it is printed, and the place that it takes.
    fn term(
        &self,
        term: &Part<Term<'_>>,
        setting: &Setting,
        names: &Names<'_>,
    ) -> (Range<usize>, Printed) {
        let place = &term.place;
        let printed = match term.value {
            Term::Chord(chord) => return self.chord(place, chord),
            Term::Subject(Subject::Chord(chord)) => chord.printed(),
            Term::Scale(scale)
            | Term::Subject(Subject::Scale(scale) | Subject::Either(_, scale)) => {
                return self.words(place, scale.tonic);
            }
            Term::Key(key) => return self.words(place, key.tonic),
            Term::Note(note) => self::note(note),
            Term::Interval(name) => self.interval(place, name),
            Term::Numeral(numeral) => self::numeral(numeral, setting),
            Term::Fingering(_) => Printed::plain(self.typed_at(place)),
            Term::Block(name) => reference(name, names),
        };
        (place.clone(), printed)
    }

    /// Sets what stands before a place as typed, and music in the place itself.
    fn put(&mut self, place: &Range<usize>, music: Printed) {
        self.typed(place.start);
        self.printed.runs.extend(music.runs);
        self.at = place.end;
    }

    fn typed(&mut self, end: usize) {
        let text = self.text.get(self.at..end).unwrap_or_default();
        self.printed = std::mem::take(&mut self.printed).then(text, false);
    }

    fn finish(mut self) -> Printed {
        self.typed(self.text.len());
        self.printed
    }

    fn typed_at(&self, place: &Range<usize>) -> &str {
        self.text.get(place.clone()).unwrap_or_default()
    }

    fn chord(&self, place: &Range<usize>, chord: &Chord) -> (Range<usize>, Printed) {
        let text = self.typed_at(place);
        if text.ends_with("major") || text.ends_with("minor") {
            return self.words(place, chord.root);
        }
        (place.clone(), chord.printed())
    }

    /// Words that begin with a note, which alone has signs.
    fn words(&self, place: &Range<usize>, tonic: Note) -> (Range<usize>, Printed) {
        let length = tonic.names.read(self.typed_at(place)).map_or(0, |(_, read)| read);
        (place.start..place.start + length, Printed::plain(tonic.printed()))
    }

    /// An interval as typed, with a proper sign where it is written with one.
    fn interval(&self, place: &Range<usize>, name: IntervalName) -> Printed {
        let text = self.typed_at(place);
        Printed::plain(match name {
            IntervalName::Exact(interval) if text.ends_with(|c: char| c.is_ascii_digit()) => {
                interval.degree().printed()
            }
            _ => text.to_owned(),
        })
    }
}

fn numeral(numeral: &Numeral, setting: &Setting) -> Printed {
    match setting.figured_bass {
        true => numeral.clone().beside_figures().printed(),
        false => numeral.printed(),
    }
}

/// The chords that numerals stand for in the key that is named or in force: " (Bm7 E7 A)".
fn stand_for(numerals: &Numerals, setting: &Setting) -> Option<Printed> {
    let key = numerals.key.as_ref().map(|key| &key.value).or(setting.key.as_ref())?;
    let mut printed = Printed::plain(" (");
    for (at, numeral) in numerals.list.iter().enumerate() {
        if at > 0 {
            printed = printed.then(" ", false);
        }
        printed.runs.extend(setting.chord_of(&numeral.value, key).printed().runs);
    }
    Some(printed.then(")", false))
}

fn note(name: NoteName) -> Printed {
    let octave = name.octave.map(|octave| octave.to_string()).unwrap_or_default();
    Printed::plain(name.note.printed() + &octave)
}

/// A block's name, its hyphens as spaces, with the number of its figure.
fn reference(name: &str, names: &Names<'_>) -> Printed {
    let number = figure_number(name, names).unwrap_or_default();
    Printed::plain(name.replace('-', " ") + &number)
}

/// What stands behind a block's name: the number of its figure.
fn figure_number(name: &str, names: &Names<'_>) -> Option<String> {
    let figure = names.find(name)?.figure?;
    Some(format!(" (figure\u{a0}{figure})"))
}

/// The numbers of figures in a phrase, as they stand in its words.
pub(super) fn figure_numbers(read: &Phrase, names: &Names<'_>) -> Vec<String> {
    let number = |term: &Part<Term<'_>>| match term.value {
        Term::Block(name) => figure_number(name, names),
        _ => None,
    };
    read.terms().iter().filter_map(number).collect()
}
