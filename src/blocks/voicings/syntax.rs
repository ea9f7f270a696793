//! Reading the lines of a `voicings` block: chords, a colon, a style and phrases.

use crate::blocks::effort::Effort;
use crate::findings::Findings;
use crate::findings::rules::{block_syntax, unknown_chord};
use crate::findings::source::{Line, Span, Spanned};
use crate::lesson::fence::Fence;
use crate::neck::Tuning;
use crate::neck::voicing::{Family, Inversion};
use crate::theory::Chord;
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
    pub strings: Option<Vec<usize>>,
    /// The fret that the first shape shall be near to.
    pub near: Option<u8>,
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
    for phrase in &fence.phrases {
        reader.phrase(&phrase.value, phrase.span, &mut common);
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
    last: u8,
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
        let mut pieces = pieces(rest.split_at(1).1);
        if pieces.is_empty() {
            self.fault(line.whole(), "no style behind the colon", STYLES);
            return None;
        }
        let style = pieces.remove(0);
        let family = self.family(style);
        let mut phrases = Phrases::default();
        for piece in pieces {
            self.phrase(piece.text, piece.whole(), &mut phrases);
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
        let words: Vec<Line<'_>> = symbols(line);
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
        match Chord::parse(&word.text.replace(" over ", "/")) {
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
            self.fault(style.whole(), format!("`{}` is no style of voicing", style.text), STYLES);
        }
        family
    }

    fn phrase(&mut self, text: &str, span: Span, phrases: &mut Phrases) {
        let lower = text.to_lowercase();
        let words: Vec<&str> = lower.split_whitespace().collect();
        match words.as_slice() {
            ["on", "strings" | "string", rest @ ..] | ["strings" | "string", rest @ ..] => {
                phrases.strings = self.strings(rest, span);
            }
            ["near", "fret", fret] => phrases.near = self.near(fret, span),
            ["starting", "in", rest @ ..] => phrases.starting = self.starting(rest, span),
            ["keep", number] | ["keep", number, "shapes" | "shape"] => {
                phrases.keep = self.keep(number, span);
            }
            ["under", "the", _] | ["under", _] => {
                let name = text.split_whitespace().next_back().unwrap_or_default().to_owned();
                phrases.under = Some(Spanned { value: name, span });
            }
            _ => self.fault(span, format!("`{text}` is no phrase of a `voicings` line"), PHRASES),
        }
    }

    fn strings(&mut self, words: &[&str], span: Span) -> Option<Vec<usize>> {
        let joined =
            words.join(" ").replace(" to ", "-").replace(['–', '—'], "-").replace(" - ", "-");
        let numbers: Option<Vec<usize>> = joined
            .split_whitespace()
            .map(|word| self.string_range(word))
            .collect::<Option<Vec<_>>>()
            .map(|all| all.concat());
        let strings = numbers.filter(|strings| !strings.is_empty()).map(|mut strings| {
            strings.sort_unstable();
            strings.dedup();
            strings
        });
        if strings.is_none() {
            let message = "the strings can't be read";
            let advice = format!(
                "write their numbers, `strings 3 2 1`; this tuning has 1, the highest, to {}",
                self.tuning.len()
            );
            self.fault(span, message, &advice);
        }
        strings
    }

    /// `3` as itself, `1-3` as all from the one to the other.
    fn string_range(&self, word: &str) -> Option<Vec<usize>> {
        let number = |text: &str| text.parse().ok().and_then(|number| self.tuning.index(number));
        match word.split_once('-') {
            None => Some(vec![number(word)?]),
            Some((one, other)) => {
                let (one, other) = (number(one)?, number(other)?);
                Some((one.min(other)..=one.max(other)).collect())
            }
        }
    }

    fn near(&mut self, fret: &str, span: Span) -> Option<u8> {
        let read = fret.parse().ok().filter(|fret| *fret <= self.last);
        if read.is_none() {
            let advice = format!("the neck ends at fret {}", self.last);
            self.fault(span, format!("`{fret}` is no fret of this neck"), &advice);
        }
        read
    }

    fn starting(&mut self, words: &[&str], span: Span) -> Option<Inversion> {
        let name = words.join(" ");
        let all = [Inversion::Root, Inversion::First, Inversion::Second, Inversion::Third];
        let found = all.into_iter().find(|inversion| terms::inversion(*inversion) == name);
        if found.is_none() {
            let advice = "write `starting in root position`, `first inversion`, `second inversion` or `third inversion`";
            self.fault(span, format!("`{name}` is no inversion"), advice);
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

const STYLES: &str =
    "the styles are `triads`, `spread triads`, `shells`, `drop 2`, `drop 3` and `any`";
const PHRASES: &str = "a line may say `on strings 3 2 1`, `near fret 5`, `starting in first inversion`, `keep 3 shapes`, `under RIFF`";

/// The symbols of a line; `A over C#` is one.
fn symbols(line: Line<'_>) -> Vec<Line<'_>> {
    let words: Vec<Line> =
        line.parts(' ').flat_map(|word| word.parts(',').collect::<Vec<_>>()).collect();
    let words: Vec<Line> = words.into_iter().filter(|word| !word.text.is_empty()).collect();
    let mut symbols: Vec<Line> = Vec::new();
    let mut joins = false;
    for word in words {
        match symbols.last_mut() {
            Some(last) if joins || word.text.eq_ignore_ascii_case("over") => {
                joins = !joins;
                let (from, to) =
                    (last.start - line.start, word.start - line.start + word.text.len());
                *last = line.split_at(to).0.split_at(from).1;
            }
            _ => symbols.push(word),
        }
    }
    symbols
}

/// The style and the phrases behind the colon, parted by commas; the comma before the first phrase
/// may be left out.
fn pieces(line: Line<'_>) -> Vec<Line<'_>> {
    const FIRST_WORDS: [&str; 6] =
        [" on ", " strings ", " near ", " starting ", " keep ", " under "];
    let mut pieces: Vec<Line> = line.parts(',').filter(|piece| !piece.text.is_empty()).collect();
    if let Some(first) = pieces.first().copied() {
        let lower = first.text.to_ascii_lowercase();
        if let Some(cut) = FIRST_WORDS.iter().filter_map(|word| lower.find(word)).min() {
            let (style, phrase) = first.split_at(cut);
            pieces.splice(0..1, [style.trimmed(), phrase.trimmed()]);
        }
    }
    pieces
}
