//! The phrases of `neck` lines: frets, strings, labels, a chord that is marked.

use super::syntax::NeckReader;
use crate::blocks::figure::DotLabel;
use crate::findings::Span;
use crate::findings::rules::{block_syntax, fret_range, unknown_chord};
use crate::findings::source::Line;
use crate::theory::Chord;
use std::ops::RangeInclusive;

/// What the phrases of a diagram say, or of all rows of a block.
#[derive(Debug, Clone, Default)]
pub struct Phrases {
    /// The frets that are drawn.
    pub frets: Option<RangeInclusive<u8>>,
    /// The strings, by index.
    pub strings: Option<Vec<usize>>,
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
    pub(super) fn phrases<'t>(&mut self, pieces: impl Iterator<Item = (&'t str, Span)>) -> Phrases {
        let mut phrases = Phrases::default();
        for (text, span) in pieces {
            self.phrase(text, span, &mut phrases);
        }
        phrases
    }

    fn phrase(&mut self, text: &str, span: Span, phrases: &mut Phrases) {
        let words: Vec<&str> = text.split_whitespace().collect();
        match words.as_slice() {
            ["all", "frets"] => phrases.frets = Some(0..=self.setting.instrument.last_fret()),
            ["frets", rest @ ..] => phrases.frets = self.fret_range(rest, span),
            ["on", "strings", rest @ ..] | ["strings", rest @ ..] => {
                phrases.strings = self.strings(rest, span);
            }
            ["label", label] => phrases.label = self.label(label, span),
            ["marking", chord] => phrases.marking = self.marking(chord, span),
            _ => self.not_read(text, span),
        }
    }

    fn not_read(&mut self, text: &str, span: Span) {
        self.findings.add(
            block_syntax::no_phrase(span, text, "a neck diagram")
                .note("a line may say `frets 5 to 8`, `all frets`, `strings 3 2 1`, `label degrees` · `notes` · `fingers` · `none`, `marking E7`"),
        );
    }

    /// Reads `5 to 8`, `5-8`, `5 – 8`.
    fn fret_range(&mut self, words: &[&str], span: Span) -> Option<RangeInclusive<u8>> {
        let joined = words.join(" ").replace(" to ", "-").replace(['–', '—'], "-");
        let ends = joined.split_once('-').and_then(|(low, high)| {
            Some((low.trim().parse::<u8>().ok()?, high.trim().parse::<u8>().ok()?))
        });
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

    fn strings(&mut self, words: &[&str], span: Span) -> Option<Vec<usize>> {
        let joined = words.join(" ").replace(" to ", "-").replace(['–', '—'], "-");
        let numbers = joined.split_whitespace().flat_map(|word| number_range(word).into_iter());
        let tuning = &self.setting.instrument.tuning;
        let mut strings: Vec<Option<usize>> =
            numbers.map(|number| number.and_then(|number| tuning.index(number))).collect();
        strings.sort_unstable();
        strings.dedup();
        let strings: Option<Vec<usize>> = strings.into_iter().collect();
        let strings = strings.filter(|strings| !strings.is_empty());
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
        match word {
            "degrees" => Some(DotLabel::Degrees),
            "notes" => Some(DotLabel::Notes),
            "fingers" => Some(DotLabel::Fingers),
            "none" => Some(DotLabel::None),
            _ => {
                let message = format!("dots can't be labelled `{word}`");
                let advice =
                    "write `label degrees`, `label notes`, `label fingers` or `label none`";
                self.findings.add(block_syntax::at(span, message).note(advice));
                None
            }
        }
    }

    fn marking(&mut self, symbol: &str, span: Span) -> Option<Chord> {
        match Chord::parse(symbol) {
            Ok(chord) => Some(chord),
            Err(error) => {
                let marking = |meant: &str| format!("marking {meant}");
                self.findings.add(unknown_chord::unread(span, symbol, &error, marking));
                None
            }
        }
    }
}

/// The pieces of a line between commas; the comma before the first phrase may be left out.
pub(super) fn pieces<'t>(line: &Line<'t>) -> Vec<(&'t str, Span)> {
    const PHRASE_WORDS: [&str; 6] =
        [" frets ", " all frets", " strings ", " on strings ", " label ", " marking "];
    let mut pieces = Vec::new();
    let mut start = 0;
    for part in line.text.split(',') {
        let cut = PHRASE_WORDS
            .iter()
            .filter_map(|word| part.find(word))
            .min()
            .filter(|_| pieces.is_empty());
        let (first, second) = cut.and_then(|at| part.split_at_checked(at)).unwrap_or((part, ""));
        for (text, from) in [(first, start), (second, start + first.len())] {
            let trimmed = text.trim();
            if !trimmed.is_empty() {
                let from = from + (text.len() - text.trim_start().len());
                pieces.push((trimmed, line.span(from, from + trimmed.len())));
            }
        }
        start += part.len() + 1;
    }
    pieces
}

/// `3` as itself, `1-3` as all from the one to the other; `None` where it is no number.
fn number_range(word: &str) -> Vec<Option<usize>> {
    let number = |text: &str| text.parse::<usize>().ok().filter(|number| *number <= 12);
    match word.split_once('-') {
        None => vec![number(word)],
        Some((low, high)) => match (number(low), number(high)) {
            (Some(low), Some(high)) => (low.min(high)..=low.max(high)).map(Some).collect(),
            _ => vec![None],
        },
    }
}
