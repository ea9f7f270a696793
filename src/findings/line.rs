//! A line of the lesson, or a part of one, that knows where it stands: whatever is cut from it knows that too.

use super::source::{Span, Spanned};

/// One line of a fenced block: its text without the line end (and without the indent or quote
/// marks of a list or quote around it), and where that text begins in the lesson. Also a part of
/// such a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line<'a> {
    /// The line's text.
    pub text: &'a str,
    /// The byte offset of its first character in the lesson's text.
    pub start: usize,
}

impl<'a> Line<'a> {
    /// The place of a byte range within the line.
    pub fn span(&self, start: usize, end: usize) -> Span {
        Span::new(self.start + start, self.start + end)
    }

    /// The place of the whole line.
    pub fn whole(&self) -> Span {
        self.span(0, self.text.len())
    }

    /// The text with its place.
    pub fn spanned(self) -> Spanned<String> {
        Spanned { value: self.text.to_string(), span: self.whole() }
    }

    /// Whether this is a word, in capital or small letters.
    pub fn is(&self, word: &str) -> bool {
        self.text.eq_ignore_ascii_case(word)
    }

    /// The line without the spaces around it.
    #[must_use]
    pub fn trimmed(self) -> Line<'a> {
        let text = self.text.trim_start();
        Line { text: text.trim_end(), start: self.start + self.text.len() - text.len() }
    }

    /// The line in two, what is before a byte offset and what is from there on. Where no character
    /// begins there, the second part is empty.
    pub fn split_at(self, offset: usize) -> (Line<'a>, Line<'a>) {
        let (front, back) = self.text.split_at_checked(offset).unwrap_or((self.text, ""));
        (
            Line { text: front, start: self.start },
            Line { text: back, start: self.start + front.len() },
        )
    }

    /// What stands before and behind the first place of a joint, both trimmed.
    pub fn split_once(self, joint: &str) -> Option<(Line<'a>, Line<'a>)> {
        let (before, behind) = self.split_at(self.text.find(joint)?);
        Some((before.trimmed(), behind.split_at(joint.len()).1.trimmed()))
    }

    /// What stands before and behind a part of the line, both trimmed.
    pub fn around(self, part: Line<'_>) -> (Line<'a>, Line<'a>) {
        let start = part.start.saturating_sub(self.start);
        let (before, rest) = self.split_at(start);
        (before.trimmed(), rest.split_at(part.text.len()).1.trimmed())
    }

    /// What of the line stands at a place.
    #[must_use]
    pub fn at(self, place: Span) -> Line<'a> {
        let from = self.split_at(place.start.saturating_sub(self.start)).1;
        from.split_at(place.end.saturating_sub(from.start)).0
    }

    /// From the beginning of a part of the line to the end of another.
    #[must_use]
    pub fn from_to(self, first: Line<'_>, last: Line<'_>) -> Line<'a> {
        self.at(first.whole().to(last.whole()))
    }

    /// The first word and what follows it, both trimmed.
    pub fn first_word(self) -> (Line<'a>, Line<'a>) {
        let line = self.trimmed();
        let end = line.text.find(char::is_whitespace).unwrap_or(line.text.len());
        let (word, rest) = line.split_at(end);
        (word, rest.trimmed())
    }

    /// What stands before the last word, and that word, both trimmed.
    pub fn last_word(self) -> (Line<'a>, Line<'a>) {
        let line = self.trimmed();
        let last = line.words().last().unwrap_or(line);
        (line.around(last).0, last)
    }

    /// What follows a first word, in capital or small letters; empty where nothing does.
    pub fn after(self, word: &str) -> Option<Line<'a>> {
        let (first, rest) = self.first_word();
        first.is(word).then_some(rest)
    }

    /// The words.
    pub fn words(self) -> impl Iterator<Item = Line<'a>> {
        self.pieces(char::is_whitespace)
    }

    /// The characters that are no spaces.
    pub fn characters(self) -> impl Iterator<Item = Line<'a>> {
        let inked = self.text.char_indices().filter(|(_, c)| !c.is_whitespace());
        inked.map(move |(at, c)| self.split_at(at).1.split_at(c.len_utf8()).0)
    }

    /// The parts between a sign, each trimmed; the empty ones are left out.
    pub fn parts(self, sign: char) -> impl Iterator<Item = Line<'a>> {
        let parts = self.pieces(move |c| c == sign).map(Line::trimmed);
        parts.filter(|part| !part.text.is_empty())
    }

    /// The pieces between gaps; the empty ones are left out.
    pub fn pieces(self, is_gap: impl Fn(char) -> bool + Copy) -> impl Iterator<Item = Line<'a>> {
        let mut next = self.start;
        self.text.split_inclusive(is_gap).filter_map(move |whole| {
            let start = next;
            next += whole.len();
            let text = whole.trim_end_matches(is_gap);
            (!text.is_empty()).then_some(Line { text, start })
        })
    }
}

/// The lines of a text, without their ends; `start` is where the text begins in the lesson.
pub fn lines(text: &str, start: usize) -> impl Iterator<Item = Line<'_>> {
    let mut next = start;
    text.split_inclusive('\n').map(move |whole| {
        let start = next;
        next += whole.len();
        let text = whole.strip_suffix('\n').unwrap_or(whole);
        Line { text: text.strip_suffix('\r').unwrap_or(text), start }
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn lines_keep_their_places() {
        let found: Vec<_> = lines("ab\r\n\ncd", 10).map(|line| (line.text, line.start)).collect();
        assert_eq!(found, [("ab", 10), ("", 14), ("cd", 15)]);
        let line = Line { text: "  one two , three,, ", start: 5 };
        let (word, rest) = line.first_word();
        assert_eq!((word.text, word.start, rest.text, rest.start), ("one", 7, "two , three,,", 11));
        let parts: Vec<_> = line.parts(',').map(|part| (part.text, part.start)).collect();
        assert_eq!(parts, [("one two", 7), ("three", 17)]);
    }

    #[test]
    fn what_is_cut_from_a_line_knows_where_it_stands() {
        let whole = "  é to  the Ende of\tit ";
        let line = Line { text: whole, start: 100 };
        assert_eq!(line.characters().nth(1).map(|c| (c.text, c.start)), Some(("t", 105)));
        let stands = |part: Line<'_>| {
            let place = part.start - 100..part.start - 100 + part.text.len();
            assert_eq!(whole.get(place), Some(part.text));
            part.text.to_owned()
        };
        let words: Vec<String> = line.words().map(stands).collect();
        assert_eq!(words, ["é", "to", "the", "Ende", "of", "it"]);
        let both = |(one, other): (Line<'_>, Line<'_>)| (stands(one), stands(other));
        let pair = |one: &str, other: &str| (one.to_owned(), other.to_owned());
        assert_eq!(both(line.split_once(" to ").unwrap()), pair("é", "the Ende of\tit"));
        assert_eq!(both(line.first_word()), pair("é", "to  the Ende of\tit"));
        assert_eq!(both(line.last_word()), pair("é to  the Ende of", "it"));
        let (the, of) = (line.words().nth(2).unwrap(), line.words().nth(4).unwrap());
        assert_eq!(both(line.around(the)), pair("é to", "Ende of\tit"));
        assert_eq!(stands(line.from_to(the, of)), "the Ende of");
        assert_eq!(stands(line.at(Span::new(104, 106))), " t");
        assert_eq!(line.at(Span::new(200, 201)).text, "");
        assert_eq!(line.after("É"), None);
        assert_eq!(line.around(the).1.after("ENDE").map(stands), Some("of\tit".to_owned()));
        assert_eq!(both(Line { text: "", start: 102 }.last_word()), pair("", ""));
    }
}
