//! How a line of changes is written: bar lines with their signs, and between them bars of words.

use crate::findings::Findings;
use crate::findings::Span;
use crate::findings::rules::block_syntax;
use crate::findings::source::Line;

/// A piece of a written line, in order.
#[derive(Debug)]
pub(super) enum Piece<'a> {
    /// A bar line with the signs that belong to it.
    Line(BarLine),
    /// What stands between two bar lines.
    Bar(BarText<'a>),
}

/// A bar line with the signs that belong to it.
#[derive(Debug, Default, Clone, Copy)]
pub(super) struct BarLine {
    /// A colon before it: a repeat ends.
    pub ends_repeat: bool,
    /// Two strokes.
    pub is_double: bool,
    /// A colon behind it: a repeat begins.
    pub begins_repeat: bool,
    /// How many times in all the repeat is played, where `x3` says so.
    pub times: Option<u32>,
    /// The ending that begins behind it.
    pub ending: Option<u8>,
    /// Where it stands, signs included.
    pub span: Span,
}

/// The words of one bar.
#[derive(Debug)]
pub(super) struct BarText<'a> {
    /// The words.
    pub words: Vec<Word<'a>>,
    /// Where they stand; in an empty bar the whole space.
    pub span: Span,
}

/// A word of a bar.
#[derive(Debug, Clone, Copy)]
pub(super) struct Word<'a> {
    /// What it is.
    pub kind: WordKind,
    /// Its text; of a name in brackets what is inside them.
    pub text: &'a str,
    /// Where it stands.
    pub span: Span,
}

/// What a word of a bar is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum WordKind {
    /// A chord, a numeral, `N.C.`, `%`.
    Symbol,
    /// `/`: the chord holds for one more entry.
    Hold,
    /// A name in brackets, or a meter.
    Brackets,
}

/// Parts a line into bar lines and bars.
pub(super) fn pieces<'a>(line: &Line<'a>, findings: &mut Findings) -> Vec<Piece<'a>> {
    let mut reader = LineReader { line: *line, at: 0 };
    let mut pieces = Vec::new();
    if !line.text.contains('|') {
        findings.add(
            block_syntax::at(trimmed(line), "a line without bar lines")
                .note("bars stand between bar lines: `| A | D / E / |`"),
        );
        return pieces;
    }
    while let Some(bar_line) = reader.next_bar(&mut pieces) {
        let bar_line = reader.bar_line(bar_line, findings);
        pieces.push(Piece::Line(bar_line));
    }
    pieces
}

/// The place of a line without the spaces round it.
fn trimmed(line: &Line<'_>) -> Span {
    let start = line.text.len() - line.text.trim_start().len();
    line.span(start, line.text.trim_end().len().max(start))
}

struct LineReader<'a> {
    line: Line<'a>,
    at: usize,
}

impl<'a> LineReader<'a> {
    fn rest(&self) -> &'a str {
        self.line.text.get(self.at..).unwrap_or_default()
    }

    /// Moves on over a text if it stands here.
    fn takes(&mut self, text: &str) -> bool {
        let stands = self.rest().starts_with(text);
        self.at += if stands { text.len() } else { 0 };
        stands
    }

    fn skip_spaces(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    /// Reads on to the next bar line, pushing the bar before it; the bar line so far, whose stroke
    /// comes next, or `None` at the line's end.
    fn next_bar(&mut self, pieces: &mut Vec<Piece<'a>>) -> Option<BarLine> {
        let start = self.at;
        let stroke = self.rest().find('|').map(|offset| start + offset);
        let before = self.line.text.get(start..stroke.unwrap_or(self.line.text.len()))?;
        let ends_repeat = stroke.is_some() && before.ends_with(':');
        let content = if ends_repeat { before.strip_suffix(':')? } else { before };
        let is_edge = pieces.is_empty() || stroke.is_none();
        let stands_for_nothing = if is_edge { content.trim() } else { content }.is_empty();
        if !stands_for_nothing {
            pieces.push(Piece::Bar(bar_text(&self.line, start, content)));
        }
        self.at = stroke?;
        let span = self.line.span(start + content.len(), self.at);
        Some(BarLine { ends_repeat, span, ..BarLine::default() })
    }

    /// Reads a bar line's strokes and the signs behind them.
    fn bar_line(&mut self, mut bar_line: BarLine, findings: &mut Findings) -> BarLine {
        self.strokes(&mut bar_line);
        if bar_line.ends_repeat {
            bar_line.times = self.times(findings);
        }
        // `:|x3 |`: the stroke that closes the count belongs to the same bar line.
        if bar_line.times.is_some() && self.rest().trim_start().starts_with('|') {
            self.skip_spaces();
            self.strokes(&mut bar_line);
        }
        bar_line.ending = self.ending(findings);
        bar_line.span.end = self.line.start + self.at;
        bar_line
    }

    fn strokes(&mut self, bar_line: &mut BarLine) {
        self.takes("|");
        while self.takes("|") {
            bar_line.is_double = true;
        }
        bar_line.begins_repeat |= self.takes(":");
    }

    /// Reads `x3`.
    fn times(&mut self, findings: &mut Findings) -> Option<u32> {
        let rest = self.rest().trim_start();
        let start = self.line.text.len() - rest.len();
        let digits = leading_digits(rest.strip_prefix(['x', '×'])?)?;
        self.at = self.line.text.len() - digits.behind.len();
        if digits.number < 2 {
            let span = self.line.span(start, self.at);
            let message = "a repeat is played twice or more";
            findings.add(block_syntax::at(span, message));
        }
        Some(digits.number.max(2))
    }

    /// Reads `1.` or `2.`.
    fn ending(&mut self, findings: &mut Findings) -> Option<u8> {
        let rest = self.rest().trim_start();
        let start = self.line.text.len() - rest.len();
        let digits = leading_digits(rest)?;
        let behind = digits.behind.strip_prefix('.')?;
        self.at = self.line.text.len() - behind.len();
        match digits.number {
            1 => Some(1),
            2 => Some(2),
            _ => {
                let span = self.line.span(start, self.at);
                let written = self.line.text.get(start..self.at).unwrap_or_default();
                findings.add(block_syntax::no_ending(span, written));
                None
            }
        }
    }
}

/// The digits at the front of a text: their number, the largest there is if it is larger still, and
/// what follows.
struct Digits<'a> {
    number: u32,
    behind: &'a str,
}

fn leading_digits(text: &str) -> Option<Digits<'_>> {
    let length = text.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, behind) =
        text.split_at_checked(length).filter(|(digits, _)| !digits.is_empty())?;
    Some(Digits { number: digits.parse().unwrap_or(u32::MAX), behind })
}

/// The words of a bar whose text begins at an offset of the line.
fn bar_text<'a>(line: &Line<'a>, start: usize, content: &'a str) -> BarText<'a> {
    let mut words = Vec::new();
    let mut at = start;
    let end = start + content.len();
    while let Some(text) = line.text.get(at..end).filter(|text| !text.is_empty()) {
        let length = match text.chars().next() {
            Some(c) if c.is_whitespace() => c.len_utf8(),
            Some('/') => push(&mut words, WordKind::Hold, line, at, text.get(..1)),
            Some('(') => push_brackets(&mut words, line, at, text),
            _ => push(&mut words, WordKind::Symbol, line, at, text.get(..symbol_length(text))),
        };
        at += length.max(1);
    }
    let span = match (words.first(), words.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => line.span(start, end),
    };
    BarText { words, span }
}

fn push<'a>(
    words: &mut Vec<Word<'a>>,
    kind: WordKind,
    line: &Line<'a>,
    at: usize,
    text: Option<&'a str>,
) -> usize {
    let text = text.unwrap_or_default();
    words.push(Word { kind, text, span: line.span(at, at + text.len()) });
    text.len()
}

fn push_brackets<'a>(
    words: &mut Vec<Word<'a>>,
    line: &Line<'a>,
    at: usize,
    text: &'a str,
) -> usize {
    let length = text.find(')').map_or(text.len(), |close| close + 1);
    let inside = text.get(1..length).unwrap_or_default();
    let inside = inside.strip_suffix(')').unwrap_or(inside).trim();
    let span = line.span(at, at + length);
    words.push(Word { kind: WordKind::Brackets, text: inside, span });
    length
}

/// How far a symbol reaches: to the next space outside brackets, less the strokes at its end; two
/// strokes are never within a symbol.
fn symbol_length(text: &str) -> usize {
    let (mut depth, mut before) = (0, ' ');
    let end = text.find(|c: char| {
        let is_second_stroke = c == '/' && before == '/';
        depth += i32::from(c == '(') - i32::from(c == ')');
        before = c;
        is_second_stroke || (c.is_whitespace() && depth <= 0)
    });
    let word = text.get(..end.unwrap_or(text.len())).unwrap_or_default();
    word.trim_end_matches('/').len()
}
