//! Phrases as they are set on paper: words as typed, music with its proper signs.

use super::Names;
use crate::lesson::Setting;
use crate::lesson::phrase::{NoteName, Numerals, Part, Phrase, Subject, Term};
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Note, Numeral, Printed};
use crate::words::lang::Around;
use std::ops::Range;

/// A phrase ready for paper. Numerals that stand alone have the chords behind them that they are
/// in the key.
pub(super) fn phrase(
    text: &str,
    read: Option<&Phrase>,
    setting: &Setting,
    names: &Names<'_>,
) -> Around {
    let mut set = Setter { text, at: 0, set: Around::default() };
    if let Some(read) = read {
        set.phrase(read, setting, names);
    }
    set.finish()
}

/// A name as it is printed.
enum Name {
    /// Music, which is the same in every language.
    Music(Printed),
    /// A block's name, with what stands behind it.
    Block(Printed, String),
    /// Words, or what words behind it belong to: the tonic in "A minor".
    Words(String),
}

/// Sets a text from its beginning to its end, the music in it part by part.
struct Setter<'t> {
    text: &'t str,
    at: usize,
    set: Around,
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
                if let Some(chords) = stand_for(numerals, setting) {
                    self.put(&(end..end), Name::Music(chords));
                }
            }
        }
    }

    /// A name as it is printed, and the place that it takes.
    fn term(
        &self,
        term: &Part<Term<'_>>,
        setting: &Setting,
        names: &Names<'_>,
    ) -> (Range<usize>, Name) {
        let place = &term.place;
        let printed = match term.value {
            Term::Chord(chord) => return self.chord(place, chord),
            Term::Subject(Subject::Chord(chord)) => chord.printed(),
            Term::Scale(scale)
            | Term::Subject(Subject::Scale(scale) | Subject::Either(_, scale)) => {
                return self.words(place, scale.tonic);
            }
            Term::Key(key) => return self.words(place, key.tonic),
            Term::Interval(name) => return (place.clone(), self.interval(place, name)),
            Term::Note(note) => self::note(note),
            Term::Numeral(numeral) => self::numeral(numeral, setting),
            Term::Fingering(_) => Printed::plain(self.typed_at(place)),
            Term::Block(name) => return (place.clone(), reference(name, names)),
        };
        (place.clone(), Name::Music(printed))
    }

    /// Sets what stands before a place as typed, and music in the place itself.
    fn put(&mut self, place: &Range<usize>, name: Name) {
        self.typed(place.start);
        match name {
            Name::Music(music) => self.set.keep(music),
            Name::Block(name, number) => {
                self.set.keep(name);
                self.set.words.push_str(&number);
            }
            Name::Words(words) => self.set.words.push_str(&words),
        }
        self.at = place.end;
    }

    fn typed(&mut self, end: usize) {
        let text = self.text.get(self.at..end).unwrap_or_default();
        self.set.words.push_str(text);
    }

    fn finish(mut self) -> Around {
        self.typed(self.text.len());
        self.set
    }

    fn typed_at(&self, place: &Range<usize>) -> &str {
        self.text.get(place.clone()).unwrap_or_default()
    }

    fn chord(&self, place: &Range<usize>, chord: &Chord) -> (Range<usize>, Name) {
        let text = self.typed_at(place);
        if text.ends_with("major") || text.ends_with("minor") {
            return self.words(place, chord.root);
        }
        (place.clone(), Name::Music(chord.printed()))
    }

    /// Words that begin with a note, which alone has signs.
    fn words(&self, place: &Range<usize>, tonic: Note) -> (Range<usize>, Name) {
        let length = tonic.names.read(self.typed_at(place)).map_or(0, |(_, read)| read);
        (place.start..place.start + length, Name::Words(tonic.printed()))
    }

    /// An interval as typed, with a proper sign where it is written with one.
    fn interval(&self, place: &Range<usize>, name: IntervalName) -> Name {
        let text = self.typed_at(place);
        Name::Words(match name {
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
fn reference(name: &str, names: &Names<'_>) -> Name {
    let number = figure_number(name, names).unwrap_or_default();
    Name::Block(Printed::plain(name.replace('-', " ")), number)
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
