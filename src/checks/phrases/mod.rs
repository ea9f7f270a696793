//! Checked phrases: whether what a span says about music is true, and how it is set on paper.

mod degree;
mod distance;
mod fingering;
mod function;
mod holds;
mod names;
mod set;
mod subject;
mod tones;

#[cfg(test)]
mod tests;

pub use names::{Name, Names};

use crate::findings::rules::{unknown_chord, unread_phrase};
use crate::findings::{Finding, Findings, Ground, Span, Weight};
use crate::lesson::PhraseAt;
use crate::lesson::phrase::{self, Part, Phrase};
use crate::theory::chord::ChordError;
use crate::theory::{self, Key, Printed};
use crate::words::Lang;
use std::ops::Range;

/// A phrase ready for paper.
#[derive(Debug, Clone)]
pub struct SetPhrase {
    /// What is printed.
    pub printed: Printed,
    /// The numbers of figures that are in that, each as it stands there.
    pub figures: Vec<String>,
    /// The block that it refers to, by its index.
    pub refers_to: Option<usize>,
    /// Whether a fault lies on it, for a draft.
    pub faulty: bool,
}

/// Checks one phrase and sets it for paper, its words in a language. What is false in it, or can't be read, goes into the
/// findings, each with what is true instead.
pub fn check(
    phrase: &PhraseAt,
    names: &Names<'_>,
    lang: Lang,
    findings: &mut Findings,
) -> SetPhrase {
    let mut check = Check { phrase, findings, faulty: false };
    let read = phrase::read(&phrase.text.value, phrase.setting.names);
    let printed = set::phrase(&phrase.text.value, read.as_ref(), &phrase.setting, names);
    // What can't be read is the author's own.
    let printed = printed.phrase_in(if read.is_some() { lang } else { Lang::English });
    let numbers = read.as_ref().map(|read| set::figure_numbers(read, names)).unwrap_or_default();
    let figures = numbers.iter().map(|number| lang.phrase(number).into_owned()).collect();
    let refers_to = read.as_ref().and_then(|read| match read {
        Phrase::Reference { name, .. }
        | Phrase::Holds { name, .. }
        | Phrase::Begins { name, .. } => names.find(&name.value).map(|name| name.index),
        _ => None,
    });
    match &read {
        Some(read) => check.phrase(read, names),
        None => check.unread(),
    }
    SetPhrase { printed, figures, refers_to, faulty: check.faulty }
}

/// A phrase that is being checked.
struct Check<'a> {
    phrase: &'a PhraseAt,
    findings: &'a mut Findings,
    /// Whether a fault was found.
    faulty: bool,
}

impl<'a> Check<'a> {
    fn raise(&mut self, finding: Finding) {
        self.faulty |= finding.weight == Weight::Fault;
        self.findings.add(finding);
    }

    fn phrase(&mut self, phrase: &Phrase, names: &Names<'_>) {
        match phrase {
            Phrase::Chords(_) | Phrase::Notes(_) | Phrase::Scale(_) | Phrase::Interval(_) => {}
            Phrase::Fingering(fingering) => self.fingering(fingering),
            Phrase::Numerals(numerals) => self.lone_numerals(numerals),
            Phrase::Tones { subject, notes, sign } => self.tones(subject, notes, *sign),
            Phrase::SameNote(one, other) => self.same_note(one, other),
            Phrase::Within { notes, subject } => self.within(notes, subject),
            Phrase::Function { chords, numerals } => self.function(chords, numerals),
            Phrase::Distance { from, to, name, way } => self.distance(from, to, name, *way),
            Phrase::Degree { note, name, subject } => self.degree(note, name, subject),
            Phrase::Sounds { fingering, chord } => self.sounds(fingering, chord),
            Phrase::Reference { name, bars } => self.reference(name, *bars, names),
            Phrase::SameChord(one, other) => self.same_chord(one, other),
            Phrase::Holds { name, bars, chords } => self.holds(name, *bars, chords, names),
            Phrase::Begins { name, note } => self.begins(name, note, names),
            Phrase::NotAChord(part) => self.not_a_chord(part),
        }
    }

    /// The phrase's text.
    fn text(&self) -> &'a str {
        &self.phrase.text.value
    }

    /// The key in force.
    fn key(&self) -> Option<&'a Key> {
        self.phrase.setting.key.as_ref()
    }

    /// Whether the phrase stands in the lesson byte for byte; not so where a line of a quotation
    /// ends in it.
    fn stands_as_typed(&self) -> bool {
        let span = self.phrase.text.span;
        span.end.saturating_sub(span.start) == self.text().len()
    }

    /// The place in the lesson of a part of the phrase; the whole phrase where that is not known.
    fn span(&self, place: &Range<usize>) -> Span {
        let whole = self.phrase.text.span;
        if !self.stands_as_typed() {
            return whole;
        }
        Span::new(whole.start + place.start, whole.start + place.end)
    }

    /// The finding with a change of a part of the phrase, where its place is known. The author chooses: what
    /// a sentence says and what it says it of may each be the slip.
    fn fix(&self, finding: Finding, place: &Range<usize>, replace: impl Into<String>) -> Finding {
        if !self.stands_as_typed() {
            return finding;
        }
        let replace = replace.into();
        finding.fix(format!("`{replace}`"), self.span(place), replace, Ground::Choice)
    }

    fn unread(&mut self) {
        let names = self.phrase.setting.names;
        let finding = unread_phrase::unread(self.phrase.text.span, &shortened(self.text()));
        let finding = match names.read(self.text()).is_some() {
            true => self
                .findings
                .helped(finding, |finding| with_near_symbol(finding, self.text(), names)),
            false => finding,
        };
        self.raise(unread_phrase::or_as_typed(finding));
    }

    fn not_a_chord(&mut self, part: &Part<ChordError>) {
        let span = self.span(&part.place);
        let symbol = self.text().get(part.place.clone()).unwrap_or_default();
        self.raise(match self.stands_as_typed() {
            true => unknown_chord::unread(span, symbol, &part.value, str::to_owned),
            false => unknown_chord::without_repairs(span, symbol, &part.value),
        });
    }
}

/// The finding with the chord symbol that is nearest to a text.
fn with_near_symbol(finding: Finding, text: &str, names: theory::Names) -> Finding {
    match names.chord(text).err().as_ref().map(|error| error.meant.as_slice()) {
        Some([near]) => finding.note(format!("the nearest chord symbol is `{near}`")),
        _ => finding,
    }
}

/// A text that a message can quote: its first words where it is long.
fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    match text.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
        None => text.to_owned(),
    }
}
