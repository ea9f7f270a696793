//! The lesson's text, and places in it.

pub use super::line::{Line, lines};
use crate::findings::Finding;
use crate::findings::rules::not_text;
use std::borrow::Cow;
use unicode_segmentation::UnicodeSegmentation;

/// A range of bytes in the lesson's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Span {
    /// The first byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// The range from `start` to `end`.
    pub const fn new(start: usize, end: usize) -> Span {
        Span { start, end }
    }

    /// The smallest range that holds both.
    pub fn to(self, other: Span) -> Span {
        Span::new(self.start.min(other.start), self.end.max(other.end))
    }
}

/// A piece of the lesson's text together with where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spanned<T> {
    /// What stands there.
    pub value: T,
    /// Where.
    pub span: Span,
}

/// Several changes of a text, none over another, as one from the first to the last; `None` where there
/// are none.
pub fn combined(text: &str, mut edits: Vec<(Span, String)>) -> Option<(Span, String)> {
    edits.sort_by_key(|(span, _)| *span);
    let start = edits.first()?.0.start;
    let mut new = String::new();
    let mut at = start;
    for (span, replace) in edits {
        new += text.get(at..span.start)?;
        new += &replace;
        at = span.end;
    }
    Some((Span::new(start, at), new))
}

/// A lesson's text under its file's name.
#[derive(Debug, Clone)]
pub struct Source {
    /// The file's name as the user gave it.
    pub name: String,
    /// The text, as UTF-8, without a byte-order mark.
    pub text: String,
    /// What keeps the file from being read as it is (`not-text`).
    pub trouble: Option<Box<Finding>>,
}

impl Source {
    /// The largest lesson that is read, in bytes: 16 MiB. Assumed: a book of 300 pages with a tab
    /// on each has about one.
    pub const LARGEST: usize = 16 << 20;

    /// Takes in a file's bytes: a byte-order mark is skipped, and a carriage return that stands
    /// alone is read as a line end. A file that is not UTF-8 is a finding (`not-text`) and its
    /// unreadable bytes become `U+FFFD`; so is one that is larger than a lesson can be, of which
    /// nothing is read.
    pub fn new(name: impl Into<String>, bytes: &[u8]) -> Source {
        let name = name.into();
        if bytes.len() > Source::LARGEST {
            let trouble = Some(Box::new(not_text::too_large(bytes.len(), Source::LARGEST)));
            return Source { name, text: String::new(), trouble };
        }
        const MARK: &[u8] = b"\xEF\xBB\xBF";
        let content = bytes.strip_prefix(MARK).unwrap_or(bytes);
        let error = std::str::from_utf8(content).err();
        let unread = |error: std::str::Utf8Error| {
            Box::new(not_utf8(content, bytes.len() - content.len(), error.valid_up_to()))
        };
        let text = with_line_feeds(String::from_utf8_lossy(content));
        Source { name, text, trouble: error.map(unread) }
    }

    /// The place finder for the text.
    pub fn places(&self) -> Places<'_> {
        Places::new(&self.text)
    }

    /// The text of a place, empty where it is none.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(span.start..span.end).unwrap_or_default()
    }

    /// The rest of the line from a byte offset on, without the line end.
    pub fn line_from(&self, start: usize) -> Line<'_> {
        let rest = self.text.get(start..).unwrap_or_default();
        lines(rest, start).next().unwrap_or(Line { text: "", start })
    }
}

/// The finding about the first byte that is not UTF-8: `at` counts within the content, behind a
/// byte-order mark of `skipped` bytes.
fn not_utf8(content: &[u8], skipped: usize, at: usize) -> Finding {
    let byte = content.get(at).copied().unwrap_or_default();
    let place = Span::new(at, at + char::REPLACEMENT_CHARACTER.len_utf8());
    not_text::not_utf8(place, skipped + at, byte)
}

/// The text with each carriage return that stands alone made a line feed, so that every later step
/// sees the same lines. Offsets stay.
fn with_line_feeds(text: Cow<'_, str>) -> String {
    if !text.contains('\r') {
        return text.into_owned();
    }
    let mut rest = text.chars().peekable();
    let mut out = String::with_capacity(text.len());
    while let Some(c) = rest.next() {
        let alone = c == '\r' && rest.peek() != Some(&'\n');
        out.push(if alone { '\n' } else { c });
    }
    out
}

/// A line and a column, both from 1; a column is one user-perceived character.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LineColumn {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

/// Finds lines and columns for byte offsets in a text, many of them fast.
#[derive(Debug)]
pub struct Places<'a> {
    text: &'a str,
    /// Places that are known: each line's first, and one every [`STRIDE`] bytes or so in long lines.
    marks: Vec<Mark>,
}

#[derive(Debug)]
struct Mark {
    offset: usize,
    place: LineColumn,
}

/// How many bytes lie between known places in a long line: a lookup counts characters that far.
const STRIDE: usize = 512;

impl<'a> Places<'a> {
    /// Looks through a text once.
    pub fn new(text: &'a str) -> Places<'a> {
        let mut marks = Vec::new();
        let mut offset = 0;
        for (index, line) in text.split_inclusive('\n').enumerate() {
            mark_line(line, offset, index + 1, &mut marks);
            offset += line.len();
        }
        if text.is_empty() || text.ends_with('\n') {
            let line = marks.last().map_or(0, |mark| mark.place.line) + 1;
            marks.push(Mark { offset, place: LineColumn { line, column: 1 } });
        }
        Places { text, marks }
    }

    /// The place of the character that a byte offset lies in; beyond the text it is the text's end.
    pub fn at(&self, offset: usize) -> LineColumn {
        self.find(offset).0
    }

    /// The byte at which the line begins that a byte offset lies in.
    pub fn line_start(&self, offset: usize) -> usize {
        let index = self.marks.partition_point(|mark| mark.offset <= offset);
        let marks = self.marks.get(..index).unwrap_or_default();
        let line = marks.last().map_or(1, |mark| mark.place.line);
        let first = marks.partition_point(|mark| mark.place.line < line);
        marks.get(first).map_or(0, |mark| mark.offset)
    }

    /// Where the line ends that a byte offset lies in, its line end left off.
    pub fn line_end(&self, offset: usize) -> usize {
        let index = self.marks.partition_point(|mark| mark.offset <= offset);
        let known = index.checked_sub(1).and_then(|index| self.marks.get(index));
        let line = known.map_or(1, |mark| mark.place.line);
        let next = self.marks.partition_point(|mark| mark.place.line <= line);
        let end = self.marks.get(next).map_or(self.text.len(), |mark| mark.offset);
        let text = self.text.get(..end).unwrap_or_default();
        let text = text.strip_suffix('\n').unwrap_or(text);
        text.strip_suffix('\r').unwrap_or(text).len()
    }

    /// The place of a range: its first character, and one past its last.
    pub fn of(&self, span: Span) -> (LineColumn, LineColumn) {
        let start = self.at(span.start);
        let (mut end, within) = self.find(span.end);
        if within && span.end > span.start {
            end.column += 1;
        }
        (start, end)
    }

    /// The place of the character that an offset lies in, and whether the offset is not its first
    /// byte.
    fn find(&self, offset: usize) -> (LineColumn, bool) {
        let index = self.marks.partition_point(|mark| mark.offset <= offset);
        let Some(mark) = self.marks.get(index.saturating_sub(1)) else {
            return (LineColumn { line: 1, column: 1 }, false);
        };
        let mut place = mark.place;
        let mut start = mark.offset;
        for character in self.text.get(start..).unwrap_or_default().graphemes(true) {
            let end = start + character.len();
            if offset < end {
                return (place, offset > start);
            }
            place.column += 1;
            start = end;
        }
        (place, false)
    }
}

/// The characters of a text as a reader sees them, with their places. Of plain ASCII each byte is one, but for
/// the two of a line's end.
pub fn characters(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let is_plain = text.is_ascii() && !text.contains('\r');
    let (plain, other) = if is_plain { (text, "") } else { ("", text) };
    let plain = plain.as_bytes().iter().enumerate();
    let plain = plain.filter_map(move |(at, _)| Some((at, text.get(at..=at)?)));
    plain.chain(other.grapheme_indices(true))
}

/// Marks the known places of the line that begins at an offset.
fn mark_line(line: &str, offset: usize, number: usize, marks: &mut Vec<Mark>) {
    marks.push(Mark { offset, place: LineColumn { line: number, column: 1 } });
    if line.len() <= STRIDE {
        return;
    }
    let mut next = STRIDE;
    for (index, (within, _)) in characters(line).enumerate() {
        if within >= next {
            let place = LineColumn { line: number, column: index + 1 };
            marks.push(Mark { offset: offset + within, place });
            next = within + STRIDE;
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn place(line: usize, column: usize) -> LineColumn {
        LineColumn { line, column }
    }

    #[test]
    fn columns_are_characters_as_a_reader_sees_them() {
        let text = "añb\ne\u{301}x\r\n\n👍🏽🇫🇷y";
        let places = Places::new(text);
        for (needle, line, column) in
            [("a", 1, 1), ("b", 1, 3), ("x", 2, 2), ("\r\n", 2, 3), ("👍", 3 + 1, 1), ("y", 4, 3)]
        {
            assert_eq!(places.at(text.find(needle).unwrap()), place(line, column), "{needle:?}");
        }
        assert_eq!(places.at(text.len()), place(4, 4));
        assert_eq!(places.at(text.len() + 99), place(4, 4));
    }

    #[test]
    fn a_range_ends_one_past_its_last_character() {
        let text = "x\ne\u{301}!\n";
        let places = Places::new(text);
        assert_eq!(places.of(Span::new(2, 3)), (place(2, 1), place(2, 2)), "half a letter");
        assert_eq!(places.of(Span::new(2, 6)), (place(2, 1), place(2, 3)));
        assert_eq!(places.of(Span::new(4, 4)), (place(2, 1), place(2, 1)));
        assert_eq!(places.at(text.len()), place(3, 1));
        assert_eq!(Places::new("").at(0), place(1, 1));
    }

    #[test]
    fn byte_order_mark_and_lone_carriage_returns_are_taken_off() {
        let source = Source::new("a.md", b"\xEF\xBB\xBFone\rtwo\r\nthree");
        assert_eq!(source.text, "one\ntwo\r\nthree");
        assert!(source.trouble.is_none());
    }

    #[test]
    fn a_file_that_is_not_utf8_is_told_by_its_byte() {
        for (bytes, offset, start) in
            [(&b"caf\xE9 x"[..], "byte 3 (0xE9)", 3), (b"\xEF\xBB\xBFa\xFF", "byte 4 (0xFF)", 1)]
        {
            let source = Source::new("a.md", bytes);
            let finding = source.trouble.as_ref().unwrap();
            assert!(finding.message.contains(offset), "{}", finding.message);
            assert_eq!(finding.rule.name, "not-text");
            assert_eq!(source.slice(finding.span), "\u{FFFD}");
            assert_eq!(finding.span.start, start);
        }
    }

    #[test]
    fn a_file_beyond_any_lesson_is_not_read() {
        let source = Source::new("a.md", &vec![b'a'; Source::LARGEST + 1]);
        assert!(source.text.is_empty());
        assert_eq!(
            source.trouble.unwrap().message,
            "this file has 16777217 bytes; a lesson has at most 16777216"
        );
    }

    #[test]
    fn characters_are_those_that_a_reader_sees() {
        for text in ["", "a b\tc", "a\r\nb", "e\u{301}x👍🏽", "\r"] {
            let whole: Vec<_> = text.grapheme_indices(true).collect();
            assert_eq!(characters(text).collect::<Vec<_>>(), whole);
        }
    }

    proptest! {
        #[test]
        fn marks_change_no_column(text in "[a-cé👍\u{301}\u{200D}🇫]{0,900}", at in 0usize..4000) {
            let places = Places::new(&text);
            let whole = text.grapheme_indices(true).take_while(|(start, _)| *start <= at).count();
            let end = at >= text.len();
            let column = if end { text.graphemes(true).count() + 1 } else { whole };
            prop_assert_eq!(places.at(at), place(1, column));
        }

        #[test]
        fn any_bytes_are_taken(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
            let source = Source::new("a.md", &bytes);
            let places = source.places();
            let all: Vec<_> = (0..source.text.len() + 2).map(|at| places.at(at)).collect();
            prop_assert!(all.is_sorted());
        }
    }
}
