//! A fenced block of music: its kind, name, phrases and lines.

use super::Setting;
use super::entry::{self, NOW_KEYS, Place, Scope};
use super::exercise::{self, Exercise};
use super::guess::Guess;
use super::kind::{Kind, Kinds, Medium};
use crate::findings::rules::{block_syntax, header_value, unread_block};
use crate::findings::source::{Line, Span, Spanned};
use crate::findings::{Finding, Findings};
use std::collections::BTreeMap;
use std::ops::Range;

/// A fenced block of music as the lesson's reader hands it to its kind.
#[derive(Debug, Clone)]
pub struct Fence<'a> {
    /// The text of the whole lesson, which all places are places in.
    pub text: &'a str,
    /// Its kind; never `now`, which the lesson's reader itself obeys.
    pub kind: Kind,
    /// Its name, if it has one.
    pub name: Option<Spanned<String>>,
    /// The phrases of its fence line that its kind reads (without name, caption, `not printed` and
    /// the keys of `now`, which the lesson's reader has taken off), each as written.
    pub phrases: Vec<Line<'a>>,
    /// The caption behind `--`, `caption` or `title`.
    pub caption: Option<String>,
    /// The lines between the fences, comment lines and a leading `meant … :` line taken off.
    pub lines: Vec<Line<'a>>,
    /// The whole block, fences included.
    pub span: Span,
    /// The fence line.
    pub head: Span,
    /// Where a further phrase, a comma before it, can be put into the fence line: behind the others.
    pub phrases_end: usize,
    /// The keys that the fence line itself sets (`meter 3/4` is `meter`), for this block alone.
    pub own_keys: Vec<String>,
    /// The values in force.
    pub setting: Setting,
    /// Whether it is printed where it stands: `not printed` keeps it for references, and scripts
    /// never are.
    pub printed: bool,
    /// Whether it is an exercise, or the answer to one; an answer isn't printed where it stands.
    pub exercise: Exercise,
    /// What `now` blocks before it changed since the last block of music, in words for the page:
    /// "Key: E major". Blocks that print nothing leave it for the next.
    pub announced: Vec<String>,
    /// The rules that its `meant … :` line silences, with the line's place.
    pub meant: Option<Spanned<Vec<String>>>,
    /// What an import guessed in it.
    pub guesses: Vec<Guess>,
}

impl<'a> Fence<'a> {
    /// Its lines with something in them.
    pub fn written(&self) -> impl Iterator<Item = &'a str> {
        let lines = self.lines.iter().map(|line| line.text);
        lines.filter(|line| !line.trim().is_empty())
    }
}

/// The words that begin a caption, behind the name or a comma.
const CAPTION_WORDS: [&str; 2] = ["caption", "title"];

/// The quotes that may stand around a caption.
const QUOTES: [(char, char); 6] =
    [('"', '"'), ('“', '”'), ('„', '“'), ('‘', '’'), ('«', '»'), ('\'', '\'')];

/// A fence line: what stands behind the fence's own signs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Head<'a> {
    /// The whole line, from the fence's first sign on.
    line: Line<'a>,
    /// Its first word; empty where there is none.
    word: Line<'a>,
    /// What follows the first word.
    rest: Line<'a>,
}

impl<'a> Head<'a> {
    /// Takes a fence line apart.
    pub fn new(line: Line<'a>) -> Head<'a> {
        let line = line.trimmed();
        let signs = line.text.len() - line.text.trim_start_matches(['`', '~']).len();
        let info = line.split_at(signs).1.trimmed();
        let (word, rest) = info.split_at(word_end(info.text));
        Head { line, word, rest: rest.trimmed() }
    }

    /// The kind of music that the fence line asks for.
    pub fn kind(&self, kinds: Kinds<'_>) -> Option<Kind> {
        kinds.named(self.word.text)
    }

    /// The finding about a fence that is printed as it stands but looks as if music was meant:
    /// `text` is what stands in it.
    pub fn unread(&self, text: &str, kinds: Kinds<'_>) -> Option<Finding> {
        let (kind, finding) = match kinds.near(self.word.text) {
            Some(kind) => (kind, unread_block::no_kind(self.place(), self.word.text)),
            None if text.lines().any(is_count_row) => {
                (COUNTED, unread_block::with_count(self.place()))
            }
            None => return None,
        };
        Some(unread_block::or_kind(finding, kind, self.word))
    }

    /// The whole line, from the fence's own signs on.
    pub fn line(&self) -> Line<'a> {
        self.line
    }

    fn place(&self) -> Span {
        if self.word.text.is_empty() { self.line.whole() } else { self.word.whole() }
    }
}

/// Where the first word of a fence line ends: a comma parts it from a phrase.
fn word_end(text: &str) -> usize {
    text.find(|c: char| c.is_whitespace() || c == ',').unwrap_or(text.len())
}

/// The kind of block that has a `count` row.
const COUNTED: &str = "riff";

/// Whether a line is a row labelled `count`: the label, spaces or a bar line, then a count.
fn is_count_row(line: &str) -> bool {
    let line = line.trim_start();
    let Some((label, content)) = line.split_at_checked("count".len()) else { return false };
    let labelled = label.eq_ignore_ascii_case("count") && content.starts_with([' ', '\t', '|']);
    let counts = content.trim_start_matches([' ', '\t', '|', ':', '(']);
    labelled && counts.starts_with(|c: char| c.is_ascii_digit() || c == '&' || c == '+')
}

/// A fenced block of music as it stands in the text.
pub(super) struct Written<'a> {
    /// The text of the whole lesson.
    pub text: &'a str,
    /// Its kind.
    pub kind: Kind,
    /// Its fence line.
    pub head: Head<'a>,
    /// All lines between the fences.
    pub lines: Vec<Line<'a>>,
    /// The whole block.
    pub span: Span,
}

/// Reads a block where `setting` holds.
pub(super) fn read<'a>(
    written: Written<'a>,
    kinds: Kinds<'_>,
    setting: &Setting,
    findings: &mut Findings,
) -> Fence<'a> {
    let Written { text, kind, head, lines, span } = written;
    let (lines, meant) = body(lines);
    let mut fence = Fence {
        text,
        kind,
        name: None,
        phrases: Vec::new(),
        caption: None,
        lines,
        span,
        head: head.line.whole(),
        phrases_end: head.word.whole().end,
        own_keys: Vec::new(),
        setting: setting.clone(),
        printed: kind.medium == Medium::Handout,
        exercise: Exercise::None,
        announced: Vec::new(),
        meant,
        guesses: Vec::new(),
    };
    let (name, rest) = split_name(head.rest, kind, kinds, findings);
    let Parts { phrases, captions, end } = split_parts(rest);
    fence.phrases_end = [name.map(|name| name.whole().end), end]
        .into_iter()
        .flatten()
        .max()
        .unwrap_or(fence.phrases_end);
    fence.name = name.map(Line::spanned);
    fence.caption = only_caption(&captions, findings);
    read_phrases(&mut fence, phrases, findings);
    if let Some(name) = name.filter(|_| !fence.exercise.is_blank()) {
        exercise::hint_at_name(head.word, name, rest, findings);
    }
    fence
}

/// What follows the name in a fence line.
#[derive(Default)]
struct Parts<'a> {
    phrases: Vec<Line<'a>>,
    captions: Vec<Line<'a>>,
    /// One past the last phrase, or past the last caption that may have phrases behind it.
    end: Option<usize>,
}

/// Parts phrases at commas, and the captions off.
fn split_parts(line: Line<'_>) -> Parts<'_> {
    let mut parts = Parts::default();
    let mut rest = line.trimmed();
    while !rest.text.is_empty() {
        let dash = dash_length(rest.text);
        if dash > 0 {
            let caption = rest.split_at(dash).1.trimmed();
            parts.captions.extend(Some(caption).filter(|caption| !caption.text.is_empty()));
            break;
        }
        let (part, behind) = match worded_caption(rest) {
            Some((caption, behind)) => {
                parts.captions.extend(caption);
                (rest.around(behind).0, behind)
            }
            None => {
                let (phrase, behind) = rest.split_at(part_end(rest.text));
                let phrase = phrase.trimmed();
                parts.phrases.extend(Some(phrase).filter(|phrase| !phrase.text.is_empty()));
                (phrase, behind)
            }
        };
        if !part.text.is_empty() {
            parts.end = Some(part.whole().end);
        }
        let behind = behind.trimmed();
        rest = if behind.text.starts_with(',') { behind.split_at(1).1.trimmed() } else { behind };
    }
    parts
}

/// The caption behind the words `caption` or `title`, quoted or up to the next comma, and what
/// follows it. Quotes with nothing between them mean none, as a dash with nothing behind it does.
fn worded_caption(line: Line<'_>) -> Option<(Option<Line<'_>>, Line<'_>)> {
    let end = line.text.find(|c: char| c.is_whitespace() || matches!(c, ':' | ','));
    let (word, rest) = line.split_at(end.unwrap_or(line.text.len()));
    if !CAPTION_WORDS.iter().any(|known| known.eq_ignore_ascii_case(word.text)) {
        return None;
    }
    let rest = rest.trimmed();
    let rest = if rest.text.starts_with(':') { rest.split_at(1).1.trimmed() } else { rest };
    if let Some((open, close)) = quoted(rest.text) {
        let (quoted, behind) = rest.split_at(close.end);
        let words = quoted.split_at(close.start).0.split_at(open).1.trimmed();
        return Some((Some(words).filter(|words| !words.text.is_empty()), behind));
    }
    let (words, behind) = rest.split_at(part_end(rest.text));
    Some((Some(words.trimmed()), behind))
}

/// The length of the quote that opens a text, and where the one stands that closes it: before a comma,
/// a caption's dash or the end.
fn quoted(text: &str) -> Option<(usize, Range<usize>)> {
    let first = text.chars().next()?;
    let (_, close) = QUOTES.iter().find(|(open, _)| *open == first)?;
    let open = first.len_utf8();
    let ends = |behind: &str| {
        let behind = behind.trim_start();
        behind.is_empty() || behind.starts_with(',') || dash_length(behind) > 0
    };
    let escaped = |at: usize| text.get(..at).is_some_and(|before| before.ends_with('\\'));
    let closing = text.match_indices(*close).filter(|(at, _)| *at >= open && !escaped(*at));
    let mut closing = closing.map(|(at, quote)| at..at + quote.len());
    let close = closing.find(|close| text.get(close.end..).is_some_and(ends))?;
    Some((open, close))
}

/// The one caption of a block; more than one, and words for one that are none, are reported.
fn only_caption(captions: &[Line<'_>], findings: &mut Findings) -> Option<String> {
    let (first, more) = captions.split_first()?;
    for second in more {
        let finding = block_syntax::at(second.whole(), "a second caption");
        findings.add(finding.label(first.whole(), "the first").note("a block has one caption"));
    }
    if first.text.is_empty() {
        let message = "this caption has no words";
        let finding = block_syntax::at(first.whole(), message);
        findings.add(finding.note("write `-- The hook` at the end of the line"));
        return None;
    }
    // A backslash before a quote says that the caption goes on.
    Some(first.text.replace("\\\"", "\"").replace("\\'", "'"))
}

/// Where a phrase ends: at a comma or a caption's dash. A dash begins a caption where a space stands
/// before it; but an en dash between two numbers joins them.
fn part_end(text: &str) -> usize {
    let mut before = ' ';
    let mut last_word = ' ';
    for (at, c) in text.char_indices() {
        let rest = text.get(at..).unwrap_or_default();
        let length = dash_length(rest);
        let dash = length > 0 && before.is_whitespace() && !joins_numbers(last_word, rest, length);
        if dash || c == ',' {
            return at;
        }
        before = c;
        last_word = if c.is_whitespace() { last_word } else { c };
    }
    text.len()
}

/// The bytes of a caption's dash at the front of a text, 0 where there is none.
fn dash_length(text: &str) -> usize {
    ["--", "–", "—"].into_iter().find(|dash| text.starts_with(dash)).map_or(0, str::len)
}

fn joins_numbers(before: char, dashed: &str, length: usize) -> bool {
    let after = dashed.get(length..).unwrap_or_default().trim_start();
    dashed.starts_with('–')
        && before.is_ascii_digit()
        && after.starts_with(|c: char| c.is_ascii_digit())
}

/// Parts the name off, which is the first word unless that begins a phrase.
fn split_name<'a>(
    line: Line<'a>,
    kind: Kind,
    kinds: Kinds<'_>,
    findings: &mut Findings,
) -> (Option<Line<'a>>, Line<'a>) {
    let (word, rest) = line.split_at(word_end(line.text));
    let bare = word.text.trim_end_matches(':');
    let is_none = word.text.is_empty() || dash_length(word.text) > 0;
    if is_none || kinds.begin_phrases_with(bare) || exercise::begins_answer(line) {
        return (None, line);
    }
    if !is_name(word.text) {
        let message = format!("`{}` can't be the block's name", word.text);
        let advice = format!(
            "a name begins with a letter and has letters, digits, `-` and `_`; a `{}` without a name begins with its phrases",
            kind.name
        );
        findings.add(block_syntax::at(word.whole(), message).note(advice));
        return (None, rest);
    }
    (Some(word), rest)
}

/// Whether a word can be a block's name.
fn is_name(word: &str) -> bool {
    word.starts_with(char::is_alphabetic)
        && word.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
}

/// Takes the phrases that every kind has off; the others are left for the kind.
fn read_phrases<'a>(fence: &mut Fence<'a>, mut phrases: Vec<Line<'a>>, findings: &mut Findings) {
    let kept = phrases.iter().find(|phrase| is_not_printed(phrase.text));
    let kept = kept.map(|phrase| phrase.whole());
    fence.exercise = Exercise::take(&mut phrases, kept, findings);
    fence.printed &= !fence.exercise.is_answer();
    let mut seen = BTreeMap::new();
    let kind = fence.kind;
    let own_key = |phrase| own_key(phrase).filter(|(key, _)| !kind.begins_phrase(key.text));
    let own_keys = phrases.iter().filter_map(|phrase| own_key(*phrase));
    let given = entry::Given::of(own_keys.map(|(key, _)| key), Place::now(fence.setting.names));
    for phrase in phrases {
        if is_not_printed(phrase.text) {
            fence.printed = false;
        } else if let Some((key, value)) = own_key(phrase) {
            let Some(read) = entry::read(key, value, Scope::Now, (&given, &mut seen), findings)
            else {
                continue;
            };
            match fence.setting.set(read.entry) {
                Ok(()) => fence.own_keys.push(read.key),
                Err(words) => findings.add(header_value::wrong(read.value, &words)),
            }
        } else {
            fence.phrases.push(phrase);
        }
    }
}

fn is_not_printed(phrase: &str) -> bool {
    phrase.to_lowercase().split_whitespace().eq(["not", "printed"])
}

/// The key and the value of a phrase such as `meter 3/4`; a colon may part them.
fn own_key(phrase: Line<'_>) -> Option<(Line<'_>, Line<'_>)> {
    let end =
        phrase.text.find(|c: char| c.is_whitespace() || c == ':').unwrap_or(phrase.text.len());
    let (key, rest) = phrase.split_at(end);
    let rest = rest.trimmed();
    let value = if rest.text.starts_with(':') { rest.split_at(1).1.trimmed() } else { rest };
    let known = NOW_KEYS.iter().any(|known| known.eq_ignore_ascii_case(key.text));
    known.then_some((key, value))
}

/// The lines of a block without its comments and the `meant` line that may lead them.
fn body(lines: Vec<Line<'_>>) -> (Vec<Line<'_>>, Option<Spanned<Vec<String>>>) {
    let mut lines: Vec<Line> =
        lines.into_iter().filter(|line| !entry::is_comment(line.text)).collect();
    let first = lines.iter().position(|line| !line.text.trim().is_empty());
    let meant = first.and_then(|first| lines.get(first)).and_then(|line| meant_line(*line));
    if let (Some(first), Some(_)) = (first, &meant) {
        lines.remove(first);
    }
    (lines, meant)
}

/// The rules that a line `meant RULE, RULE: reason` names. A riff's row of the same label has no
/// rules' names before a colon.
fn meant_line(line: Line) -> Option<Spanned<Vec<String>>> {
    let (word, rest) = line.first_word();
    let (names, _) =
        rest.text.split_once(':').filter(|_| word.text.eq_ignore_ascii_case("meant"))?;
    let names: Vec<String> = names.split(',').map(|name| name.trim().to_lowercase()).collect();
    let letters = |name: &String| {
        name.starts_with(char::is_alphabetic) && name.chars().all(|c| c.is_alphabetic() || c == '-')
    };
    names.iter().all(letters).then(|| Spanned { value: names, span: line.trimmed().whole() })
}
