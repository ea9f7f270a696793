//! How a line of changes is written: bar lines with their signs, and between them bars of words.

use crate::findings::Findings;
use crate::findings::Span;
use crate::findings::rules::block_syntax;
use crate::findings::source::Line;
use crate::words::help::{Sign, sign};

/// What stands in a line, as the help page has it.
pub(super) const SIGNS: [Sign; 14] = [
    sign("| C |", "a bar; one chord holds for all of it"),
    sign("| Am7 / / / |", "an entry a beat; `/` holds the chord on"),
    sign("| G F |", "entries part the bar evenly"),
    sign("%", "the bar before once more"),
    sign("N.C.", "no chord"),
    sign("V7", "a numeral, read in the key in force"),
    sign("(2/4)", "at a bar's start: its meter alone"),
    sign("(relative minor)", "a second name of the chord before it"),
    sign("||", "a double bar"),
    sign("|:", "a repeat begins"),
    sign(":|", "it ends; played twice"),
    sign(":|x3", "played three times in all"),
    sign("|1.", "an ending for every time but the last"),
    sign("|2.", "the ending for the last time"),
];

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
    let mut reader = LineReader { rest: line.trimmed() };
    let mut pieces = Vec::new();
    if !line.text.contains('|') {
        findings.add(
            block_syntax::at(reader.rest.whole(), "a line without bar lines")
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

struct LineReader<'a> {
    /// What is still to be read; no space stands at its end.
    rest: Line<'a>,
}

impl<'a> LineReader<'a> {
    /// Moves on over a text if it stands here.
    fn takes(&mut self, text: &str) -> bool {
        let stands = self.rest.text.starts_with(text);
        if stands {
            self.rest = self.rest.split_at(text.len()).1;
        }
        stands
    }

    /// Reads on to the next bar line, pushing the bar before it; the bar line so far, whose stroke
    /// comes next, or `None` at the line's end.
    fn next_bar(&mut self, pieces: &mut Vec<Piece<'a>>) -> Option<BarLine> {
        let stroke = self.rest.text.find('|');
        let (before, rest) = self.rest.split_at(stroke.unwrap_or(self.rest.text.len()));
        let ends_repeat = stroke.is_some() && before.text.ends_with(':');
        let (content, signs) = before.split_at(before.text.len() - usize::from(ends_repeat));
        let is_edge = pieces.is_empty() || stroke.is_none();
        let says = if is_edge { content.trimmed() } else { content };
        if !says.text.is_empty() {
            pieces.push(Piece::Bar(bar_text(content)));
        }
        stroke?;
        self.rest = rest;
        Some(BarLine { ends_repeat, span: signs.whole(), ..BarLine::default() })
    }

    /// Reads a bar line's strokes and the signs behind them.
    fn bar_line(&mut self, mut bar_line: BarLine, findings: &mut Findings) -> BarLine {
        self.strokes(&mut bar_line);
        if bar_line.ends_repeat {
            bar_line.times = self.times(findings);
        }
        // `:|x3 |`: the stroke that closes the count belongs to the same bar line.
        if bar_line.times.is_some() && self.rest.trimmed().text.starts_with('|') {
            self.rest = self.rest.trimmed();
            self.strokes(&mut bar_line);
        }
        bar_line.ending = self.ending(findings);
        bar_line.span.end = self.rest.start;
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
        let here = self.rest.trimmed();
        let sign = here.characters().next().filter(|sign| matches!(sign.text, "x" | "×"))?;
        let (number, behind) = leading_number(here.split_at(sign.text.len()).1)?;
        self.rest = behind;
        if number < 2 {
            let span = Span::new(here.start, behind.start);
            let message = "a repeat is played twice or more";
            findings.add(block_syntax::at(span, message));
        }
        Some(number.max(2))
    }

    /// Reads `1.` or `2.`.
    fn ending(&mut self, findings: &mut Findings) -> Option<u8> {
        let here = self.rest.trimmed();
        let (number, behind) = leading_number(here)?;
        let (dot, behind) = behind.split_at(1);
        if dot.text != "." {
            return None;
        }
        self.rest = behind;
        match number {
            1 => Some(1),
            2 => Some(2),
            _ => {
                let written = here.at(Span::new(here.start, behind.start));
                findings.add(block_syntax::no_ending(written.whole(), written.text));
                None
            }
        }
    }
}

/// The number whose digits stand at the front of a line, the largest there is if it is larger still, and
/// what follows.
fn leading_number(line: Line<'_>) -> Option<(u32, Line<'_>)> {
    let length = line.text.bytes().take_while(u8::is_ascii_digit).count();
    let (digits, behind) = line.split_at(length);
    (length > 0).then(|| (digits.text.parse().unwrap_or(u32::MAX), behind))
}

/// The words of a bar.
fn bar_text(content: Line<'_>) -> BarText<'_> {
    let mut words: Vec<Word<'_>> = Vec::new();
    let mut rest = content;
    while let Some(first) = rest.text.chars().next() {
        let (kind, length) = match first {
            '/' => (Some(WordKind::Hold), 1),
            '(' => {
                let close = rest.text.find(')');
                (Some(WordKind::Brackets), close.map_or(rest.text.len(), |close| close + 1))
            }
            _ if first.is_whitespace() => (None, first.len_utf8()),
            _ => (Some(WordKind::Symbol), symbol_length(rest.text).max(first.len_utf8())),
        };
        let (word, behind) = rest.split_at(length);
        words.extend(kind.map(|kind| Word::new(kind, word)));
        rest = behind;
    }
    let span = match (words.first(), words.last()) {
        (Some(first), Some(last)) => first.span.to(last.span),
        _ => content.whole(),
    };
    BarText { words, span }
}

impl<'a> Word<'a> {
    fn new(kind: WordKind, written: Line<'a>) -> Word<'a> {
        let inside = || {
            let opened = written.text.strip_prefix('(').unwrap_or(written.text);
            opened.strip_suffix(')').unwrap_or(opened).trim()
        };
        let text = if kind == WordKind::Brackets { inside() } else { written.text };
        Word { kind, text, span: written.whole() }
    }
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
