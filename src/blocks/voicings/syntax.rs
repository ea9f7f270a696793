//! Reading the lines of a `voicings` block: chords, a colon, a style and phrases.

use super::kind::WRITTEN;
use crate::blocks::effort::Effort;
use crate::blocks::pieces::pieces;
use crate::findings::Findings;
use crate::findings::rules::{block_syntax, unknown_chord};
use crate::findings::source::{Line, Span, Spanned};
use crate::lesson::fence::Fence;
use crate::lesson::numbers;
use crate::lesson::symbols::{slashed, symbols};
use crate::neck::Tuning;
use crate::neck::voicing::{Family, Inversion};
use crate::neck::{Fret, StringIndex};
use crate::theory::Chord;
use crate::words::help::{quoted, see};
use crate::words::terms;

/// More chords in a line, or shapes for a chord, are not worked out: assumed to be more than a
/// printed page can show.
const MOST_CHORDS: usize = 64;
const MOST_SHAPES: usize = 24;

/// What a line asks for.
#[derive(Debug)]
pub(super) struct Request {
    /// The chords, at least one.
    pub chords: Vec<Spanned<Chord>>,
    /// The family of the shapes.
    pub family: Family,
    /// The phrases.
    pub phrases: Phrases,
    /// The line.
    pub span: Span,
}

impl Request {
    /// How much it asks for.
    pub fn effort(&self) -> u64 {
        let each = if self.family == Family::Any { Effort::ANY_CHORD } else { Effort::CHORD };
        self.chords.len() as u64 * each
    }
}

/// What the phrases of a line say.
#[derive(Debug, Clone, Default)]
pub(super) struct Phrases {
    /// The strings, by index, rising.
    pub strings: Option<Vec<StringIndex>>,
    /// The fret that the first shape shall be near to.
    pub near: Option<Fret>,
    /// The inversion of the first shape.
    pub starting: Option<Inversion>,
    /// How many shapes of each chord are kept.
    pub keep: Option<usize>,
    /// The riff that the chords are put under.
    pub under: Option<Spanned<String>>,
}

impl Phrases {
    /// These phrases, and the others where these say nothing.
    fn or(self, others: &Phrases) -> Phrases {
        Phrases {
            strings: self.strings.or_else(|| others.strings.clone()),
            near: self.near.or(others.near),
            starting: self.starting.or(others.starting),
            keep: self.keep.or(others.keep),
            under: self.under.or_else(|| others.under.clone()),
        }
    }
}

/// Reads the lines; one that can't be read is told and left out. Phrases of the fence line hold for
/// every line that doesn't say otherwise.
pub(super) fn read(fence: &Fence<'_>, findings: &mut Findings) -> Vec<Request> {
    let instrument = &fence.setting.instrument;
    let mut reader =
        VoicingsReader { tuning: &instrument.tuning, last: instrument.last_fret(), findings };
    let mut common = Phrases::default();
    for &phrase in &fence.phrases {
        reader.phrase(phrase, &mut common);
    }
    let lines = fence.lines.iter().filter(|line| !line.text.trim().is_empty());
    let requests: Vec<Request> =
        lines.clone().filter_map(|line| reader.line(*line, &common)).collect();
    if lines.count() == 0 {
        let finding = block_syntax::at(fence.head, "the block has no chords");
        findings.add(finding.note(FORM));
    }
    requests
}

const FORM: &str =
    "write chords, a colon and a style, such as `A F#m D E : triads on strings 3 2 1`";

struct VoicingsReader<'a> {
    tuning: &'a Tuning,
    last: Fret,
    findings: &'a mut Findings,
}

impl VoicingsReader<'_> {
    fn fault(&mut self, span: Span, message: impl Into<String>, advice: &str) {
        self.findings.add(block_syntax::at(span, message).note(advice));
    }

    fn line(&mut self, line: Line<'_>, common: &Phrases) -> Option<Request> {
        let line = line.trimmed();
        let Some(colon) = line.text.find(':') else {
            self.fault(line.whole(), "the line has no colon", FORM);
            return None;
        };
        let (chords, rest) = line.split_at(colon);
        let chords = self.chords(chords.trimmed());
        let mut pieces = pieces(rest.split_at(1).1, &WRITTEN);
        if pieces.is_empty() {
            self.fault(line.whole(), "no style behind the colon", &styles());
            return None;
        }
        let style = pieces.remove(0);
        let family = self.family(style);
        let mut phrases = Phrases::default();
        for piece in pieces {
            self.phrase(piece, &mut phrases);
        }
        let phrases = phrases.or(common);
        let chords = chords.filter(|chords| !chords.is_empty())?;
        Some(Request { chords, family: family?, phrases, span: line.whole() })
    }

    /// The chords before the colon; `None` where one of them can't be read.
    fn chords(&mut self, line: Line<'_>) -> Option<Vec<Spanned<Chord>>> {
        if line.text.is_empty() {
            self.fault(line.whole(), "no chords before the colon", FORM);
            return None;
        }
        let words = symbols(line);
        if words.len() > MOST_CHORDS {
            let message = format!("{} chords in one line; {MOST_CHORDS} are the most", words.len());
            self.fault(line.whole(), message, "part them into several lines");
            return None;
        }
        let chords: Vec<Option<Spanned<Chord>>> =
            words.into_iter().map(|word| self.chord(word)).collect();
        chords.into_iter().collect()
    }

    fn chord(&mut self, word: Line<'_>) -> Option<Spanned<Chord>> {
        let span = word.whole();
        match self.tuning.names_of_notes().chord(&slashed(word.text)) {
            Ok(value) => Some(Spanned { value, span }),
            Err(error) => {
                self.findings.add(unknown_chord::unread(span, word.text, &error, str::to_owned));
                None
            }
        }
    }

    fn family(&mut self, style: Line<'_>) -> Option<Family> {
        let family = Family::parse(style.text);
        if family.is_none() {
            self.fault(
                style.whole(),
                format!("`{}` is no style of voicing", style.text),
                &styles(),
            );
        }
        family
    }

    fn phrase(&mut self, phrase: Line<'_>, phrases: &mut Phrases) {
        let span = phrase.whole();
        if let Some(named) = numbers::on_strings(phrase) {
            phrases.strings = self.strings(named.text, span);
            return;
        }
        if let Some(fret) = numbers::near_fret(phrase) {
            phrases.near = self.near(fret.text, span);
            return;
        }
        let lower = phrase.text.to_lowercase();
        let words: Vec<&str> = lower.split_whitespace().collect();
        match words.as_slice() {
            ["starting", "in", rest @ ..] => phrases.starting = self.starting(rest, span),
            ["keep", number] | ["keep", number, "shapes" | "shape"] => {
                phrases.keep = self.keep(number, span);
            }
            ["under", "the", _] | ["under", _] => {
                let name = phrase.last_word().1.text.to_owned();
                phrases.under = Some(Spanned { value: name, span });
            }
            _ => {
                let message = format!("`{}` is no phrase of a `voicings` line", phrase.text);
                self.fault(span, message, &WRITTEN.knows());
            }
        }
    }

    fn strings(&mut self, named: &str, span: Span) -> Option<Vec<StringIndex>> {
        let strings = numbers::strings(named, self.tuning);
        if strings.is_none() {
            let advice = numbers::strings_form(self.tuning);
            self.fault(span, "the strings can't be read", &advice);
        }
        strings
    }

    fn near(&mut self, fret: &str, span: Span) -> Option<Fret> {
        let read = fret.parse().ok().filter(|fret| *fret <= self.last);
        if read.is_none() {
            let advice = format!("the neck ends at fret {}", self.last);
            self.fault(span, format!("`{fret}` is no fret of this neck"), &advice);
        }
        read
    }

    fn starting(&mut self, words: &[&str], span: Span) -> Option<Inversion> {
        let name = words.join(" ");
        let found = Inversion::ALL.into_iter().find(|one| terms::inversion(*one) == name);
        if found.is_none() {
            let all = quoted(Inversion::ALL.map(terms::inversion));
            let advice = format!("behind `starting in` stands {all}");
            self.fault(span, format!("`{name}` is no inversion"), &advice);
        }
        found
    }

    fn keep(&mut self, number: &str, span: Span) -> Option<usize> {
        let read = number.parse().ok().filter(|number| (1..=MOST_SHAPES).contains(number));
        if read.is_none() {
            let message = format!("`{number}` shapes can't be kept");
            self.fault(span, message, &format!("keep 1 to {MOST_SHAPES} shapes of each chord"));
        }
        read
    }
}

/// The styles as a message names them.
fn styles() -> String {
    format!("the styles are {}; {}", quoted(Family::ALL.map(|(_, name)| name)), see(WRITTEN.name))
}
