//! The phrases of `neck` lines: frets, strings, labels, a chord that is marked.

use super::kind::WRITTEN;
use super::syntax::NeckReader;
use crate::blocks::figure::DotLabel;
use crate::findings::Span;
use crate::findings::rules::{block_syntax, fret_range, unknown_chord};
use crate::findings::source::Line;
use crate::lesson::numbers;
use crate::neck::{Fret, StringIndex};
use crate::theory::Chord;
use crate::words::help::{Sign, named, sign};
use std::ops::RangeInclusive;

/// What stands behind `label`.
pub(super) const LABELS: [(Sign, DotLabel); 4] = [
    (sign("degrees", "degrees above the root"), DotLabel::Degrees),
    (sign("notes", "the names of the notes"), DotLabel::Notes),
    (sign("fingers", "fretting fingers"), DotLabel::Fingers),
    (sign("none", "nothing"), DotLabel::None),
];

/// What the phrases of a diagram say, or of all rows of a block.
#[derive(Debug, Clone, Default)]
pub struct Phrases {
    /// The frets that are drawn.
    pub frets: Option<RangeInclusive<Fret>>,
    /// The strings, by index.
    pub strings: Option<Vec<StringIndex>>,
    /// What its dots are labelled with.
    pub label: Option<DotLabel>,
    /// The chord whose tones stand out.
    pub marking: Option<Chord>,
}

impl Phrases {
    /// These phrases, and the others where these say nothing.
    pub(super) fn or(self, others: &Phrases) -> Phrases {
        Phrases {
            frets: self.frets.or_else(|| others.frets.clone()),
            strings: self.strings.or_else(|| others.strings.clone()),
            label: self.label.or(others.label),
            marking: self.marking.or_else(|| others.marking.clone()),
        }
    }
}

impl NeckReader<'_> {
    /// Reads phrases; what can't be read is told and left out.
    pub(super) fn phrases<'t>(&mut self, pieces: impl Iterator<Item = Line<'t>>) -> Phrases {
        let mut phrases = Phrases::default();
        for piece in pieces {
            self.phrase(piece, &mut phrases);
        }
        phrases
    }

    fn phrase(&mut self, phrase: Line<'_>, phrases: &mut Phrases) {
        if let Some(named) = numbers::on_strings(phrase) {
            phrases.strings = self.strings(named.text, phrase.whole());
        } else if let Some(named) = phrase.after("frets") {
            phrases.frets = self.fret_range(named.text, phrase.whole());
        } else if phrase.after("all").is_some_and(|rest| rest.is("frets")) {
            phrases.frets = Some(Fret::OPEN..=self.setting.instrument.last_fret());
        } else if let Some(label) = phrase.after("label").filter(is_word) {
            phrases.label = self.label(label.text, phrase.whole());
        } else if let Some(symbol) = phrase.after("marking").filter(is_word) {
            phrases.marking = self.marking(symbol.text, phrase.whole());
        } else {
            self.findings
                .add(block_syntax::no_phrase(phrase, "a neck diagram").note(WRITTEN.knows()));
        }
    }

    /// Reads `5 to 8`, `5-8`, `5 – 8`.
    fn fret_range(&mut self, named: &str, span: Span) -> Option<RangeInclusive<Fret>> {
        let ends = numbers::range::<Fret>(named);
        let Some((low, high)) = ends.filter(|(low, high)| low <= high) else {
            let message = "the frets of a diagram are written `frets 5 to 8`, the lower one first";
            self.findings.add(block_syntax::at(span, message));
            return None;
        };
        let last = self.setting.instrument.last_fret();
        if high > last {
            let instrument = &self.setting.instrument;
            self.findings.add(fret_range::off_the_neck(span, high.into(), instrument));
            return None;
        }
        Some(low..=high)
    }

    fn strings(&mut self, named: &str, span: Span) -> Option<Vec<StringIndex>> {
        let tuning = &self.setting.instrument.tuning;
        let strings = numbers::strings(named, tuning);
        if strings.is_none() {
            let message = format!(
                "strings are written by their numbers, `strings 3 2 1`; this tuning has 1, the highest, to {}",
                tuning.len()
            );
            self.findings.add(block_syntax::at(span, message));
        }
        strings
    }

    fn label(&mut self, word: &str, span: Span) -> Option<DotLabel> {
        let label = LABELS.iter().find(|(sign, _)| sign.is(word)).map(|(_, label)| *label);
        if label.is_none() {
            let message = format!("dots can't be labelled `{word}`");
            let advice = format!("labels are {}", named(LABELS.iter().map(|(sign, _)| sign)));
            self.findings.add(block_syntax::at(span, message).note(advice));
        }
        label
    }

    fn marking(&mut self, symbol: &str, span: Span) -> Option<Chord> {
        match self.setting.names.chord(symbol) {
            Ok(chord) => Some(chord),
            Err(error) => {
                let marking = |meant: &str| format!("marking {meant}");
                self.findings.add(unknown_chord::unread(span, symbol, &error, marking));
                None
            }
        }
    }
}

fn is_word(text: &Line<'_>) -> bool {
    text.words().count() == 1
}

/// The pieces of a line: its subject and its phrases.
pub(super) fn pieces<'a>(line: &Line<'a>) -> Vec<Line<'a>> {
    crate::blocks::pieces::pieces(*line, &WRITTEN)
}
