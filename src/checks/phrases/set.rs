//! Phrases as they are set on paper: words as typed, music with its proper signs.

use super::Names;
use crate::lesson::Setting;
use crate::lesson::phrase::{NoteName, Numerals, Part, Phrase, Subject};
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
        let mut parts: Vec<(Range<usize>, Printed)> = Vec::new();
        match phrase {
            Phrase::Chords(chords) => parts.extend(chords.iter().map(|part| self.chord(part))),
            Phrase::Notes(notes) => parts.extend(notes.iter().map(note)),
            Phrase::Scale(scale) => parts.push(self.words(&scale.place, scale.value.tonic)),
            Phrase::Fingering(_) | Phrase::NotAChord(_) => {}
            Phrase::Interval(name) => parts.push(self.interval(name)),
            Phrase::Numerals(numerals) => {
                parts.extend(self.numerals(numerals, setting));
                if let Some(chords) = stand_for(numerals, setting) {
                    let end = numerals.list.last().map_or(0, |last| last.place.end);
                    parts.push((end..end, chords));
                }
            }
            Phrase::Tones { subject, notes, .. } | Phrase::Within { subject, notes } => {
                parts.push(self.subject(subject));
                parts.extend(notes.iter().map(note));
            }
            Phrase::SameNote(one, other) => parts.extend([note(one), note(other)]),
            Phrase::Function { chords, numerals } => {
                parts.extend(chords.iter().map(|part| self.chord(part)));
                parts.extend(self.numerals(numerals, setting));
            }
            Phrase::Distance { from, to, name, .. } => {
                parts.extend([note(from), note(to), self.interval(name)]);
            }
            Phrase::Degree { note: tone, name, subject } => {
                parts.extend([note(tone), self.interval(name), self.subject(subject)]);
            }
            Phrase::Sounds { chord, .. } => parts.push(self.chord(chord)),
            Phrase::SameChord(one, other) => parts.extend([self.chord(one), self.chord(other)]),
            Phrase::Holds { name, chords, .. } => {
                parts.push(reference(name, names));
                parts.extend(chords.iter().map(|part| self.chord(part)));
            }
            Phrase::Begins { name, note: tone } => {
                parts.extend([reference(name, names), note(tone)]);
            }
            Phrase::Reference { name, .. } => parts.push(reference(name, names)),
        }
        parts.sort_by_key(|(place, _)| (place.start, place.end));
        for (place, printed) in parts {
            self.put(&place, printed);
        }
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

    fn chord(&self, part: &Part<Chord>) -> (Range<usize>, Printed) {
        let text = self.text.get(part.place.clone()).unwrap_or_default();
        if text.ends_with("major") || text.ends_with("minor") {
            return self.words(&part.place, part.value.root);
        }
        (part.place.clone(), part.value.printed())
    }

    fn subject(&self, part: &Part<Subject>) -> (Range<usize>, Printed) {
        match &part.value {
            Subject::Chord(chord) => (part.place.clone(), chord.printed()),
            Subject::Scale(scale) | Subject::Either(_, scale) => {
                self.words(&part.place, scale.tonic)
            }
        }
    }

    /// Words that begin with a note, which alone has signs.
    fn words(&self, place: &Range<usize>, tonic: Note) -> (Range<usize>, Printed) {
        let length = self.text.get(place.clone()).and_then(Note::read).map_or(0, |(_, read)| read);
        (place.start..place.start + length, Printed::plain(tonic.printed()))
    }

    /// An interval as typed, with a proper sign where it is written with one.
    fn interval(&self, part: &Part<IntervalName>) -> (Range<usize>, Printed) {
        let text = self.text.get(part.place.clone()).unwrap_or_default();
        let printed = match part.value {
            IntervalName::Exact(interval) if text.ends_with(|c: char| c.is_ascii_digit()) => {
                interval.degree().printed()
            }
            _ => text.to_owned(),
        };
        (part.place.clone(), Printed::plain(printed))
    }

    fn numerals(&self, numerals: &Numerals, setting: &Setting) -> Vec<(Range<usize>, Printed)> {
        let set = |numeral: &Numeral| match setting.figured_bass {
            true => numeral.clone().beside_figures().printed(),
            false => numeral.printed(),
        };
        let list = numerals.list.iter();
        let mut parts: Vec<_> = list.map(|part| (part.place.clone(), set(&part.value))).collect();
        parts.extend(numerals.key.iter().map(|key| self.words(&key.place, key.value.tonic)));
        parts
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

fn note(part: &Part<NoteName>) -> (Range<usize>, Printed) {
    let octave = part.value.octave.map(|octave| octave.to_string()).unwrap_or_default();
    (part.place.clone(), Printed::plain(part.value.note.printed() + &octave))
}

/// A block's name, its hyphens as spaces, with the number of its figure.
fn reference(part: &Part<String>, names: &Names<'_>) -> (Range<usize>, Printed) {
    let figure = names.find(&part.value).and_then(|name| name.figure);
    let number = figure.map(|number| format!(" (figure\u{a0}{number})")).unwrap_or_default();
    (part.place.clone(), Printed::plain(part.value.replace('-', " ") + &number))
}
