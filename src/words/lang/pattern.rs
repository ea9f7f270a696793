//! Texts with places for what varies: "bar {number#}, beat {beat#}: {what}".

use std::collections::BTreeSet;
use std::ops::Range;

/// A text with places in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    pub pieces: Vec<Piece>,
}

/// A piece of a pattern.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Piece {
    /// What stands there as it is.
    Fixed(String),
    /// A place for what varies.
    Place(Place),
}

/// A place for what varies.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Its name; entries may be meant for places of a name alone.
    pub name: String,
    pub kind: Kind,
}

/// What becomes of what stands in a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// `{name}`: it is said in the other language.
    Said,
    /// `{name!}`: it stays as it is: names, an author's words.
    Kept,
    /// `{name-}`: a note, which begins with a small letter then, as German has tonics of minor keys.
    Tonic,
    /// `{name#}`: it is a number, with the other language's sign before its fraction.
    Number,
    /// `{name*}`: it is put together of parts, which are told each.
    Told,
    /// `{name,}`: a list, "a, b and c", whose things are said each.
    List,
}

impl Pattern {
    /// Reads a line of a catalogue. `⍽` stands for a space where no line ends.
    pub fn read(line: &str) -> Pattern {
        let (mut pieces, mut rest) = (Vec::new(), line);
        while let Some(start) = rest.find('{') {
            let (before, behind) = rest.split_at(start);
            let Some((name, after)) = behind.get(1..).and_then(|behind| behind.split_once('}'))
            else {
                break;
            };
            if !before.is_empty() {
                pieces.push(Piece::Fixed(with_spaces(before)));
            }
            pieces.push(Piece::Place(Place::read(name)));
            rest = after;
        }
        if !rest.is_empty() {
            pieces.push(Piece::Fixed(with_spaces(rest)));
        }
        Pattern { pieces }
    }

    /// The whole text, where nothing varies.
    pub fn plain(&self) -> Option<&str> {
        match self.pieces.as_slice() {
            [Piece::Fixed(text)] => Some(text),
            _ => None,
        }
    }

    /// Its places.
    pub fn places(&self) -> impl Iterator<Item = &Place> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Place(place) => Some(place),
            Piece::Fixed(_) => None,
        })
    }

    /// How many bytes of it are fixed.
    pub fn fixed_length(&self) -> usize {
        let fixed = |piece: &Piece| match piece {
            Piece::Fixed(text) => text.len(),
            Piece::Place(_) => 0,
        };
        self.pieces.iter().map(fixed).sum()
    }

    /// The words that every text which it fits has whole, in small letters or not as they stand.
    pub fn words(&self) -> BTreeSet<&str> {
        let mut words = BTreeSet::new();
        let last = self.pieces.len().saturating_sub(1);
        for (index, piece) in self.pieces.iter().enumerate() {
            let Piece::Fixed(text) = piece else { continue };
            for word in words_of(text) {
                let (start, end) = place_of(text, word);
                let begins = start > 0 || index == 0;
                let ends = end < text.len() || index == last;
                if begins && ends {
                    words.insert(word);
                }
            }
        }
        words
    }

    /// What stands in its places where it fits the whole of a text, each as short as can be. A place isn't empty, and
    /// what parts two places is looked for outside of quotations.
    ///
    /// Nothing that is put together of parts stands in a place, unless it is one for that, where those marks are given
    /// which part them.
    pub fn fit<'t>(&self, text: &'t Quoting<'t>, marks: &[&str]) -> Option<Vec<&'t str>> {
        let (mut found, mut at) = (Vec::new(), 0);
        let mut open: Option<(&Place, usize)> = None;
        let last = self.pieces.len().saturating_sub(1);
        for (index, piece) in self.pieces.iter().enumerate() {
            match piece {
                Piece::Place(place) => open = Some((place, at)),
                Piece::Fixed(fixed) => {
                    let start = match (open.take(), index == last) {
                        (None, _) => {
                            text.text.get(at..)?.starts_with(fixed.as_str()).then_some(at)?
                        }
                        (Some((place, from)), is_last) => {
                            let start = match is_last {
                                true => text.ends_with(fixed, from + 1)?,
                                false => text.find(fixed, from + 1)?,
                            };
                            found.push(place.taking(text, from..start, marks)?);
                            start
                        }
                    };
                    at = start + fixed.len();
                }
            }
        }
        if let Some((place, from)) = open {
            found.push(place.taking(text, from..text.text.len(), marks)?);
            at = text.text.len();
        }
        (at == text.text.len()).then_some(found)
    }
}

impl Place {
    fn read(name: &str) -> Place {
        let kinds = [
            ('!', Kind::Kept),
            ('-', Kind::Tonic),
            ('#', Kind::Number),
            ('*', Kind::Told),
            (',', Kind::List),
        ];
        let kind = kinds.into_iter().find(|(sign, _)| name.ends_with(*sign));
        let (name, kind) = match kind {
            Some((sign, kind)) => (name.trim_end_matches(sign), kind),
            None => (name, Kind::Said),
        };
        Place { name: name.to_owned(), kind }
    }

    /// A piece of a text, where it may stand here.
    fn taking<'t>(
        &self,
        text: &'t Quoting<'t>,
        piece: Range<usize>,
        marks: &[&str],
    ) -> Option<&'t str> {
        let is_parted = |mark: &str| {
            text.find(mark, piece.start).is_some_and(|at| at + mark.len() <= piece.end)
        };
        let words = text.text.get(piece.clone()).filter(|words| !words.is_empty())?;
        // What begins a quotation ends with it: `“a” and “b”` are two.
        let is_quoted = text.text.get(..piece.start)?.ends_with('“');
        if is_quoted && text.within(piece.start).is_some_and(|end| piece.end > end) {
            return None;
        }
        let may_stand = match self.kind {
            Kind::Told => true,
            Kind::Number => is_number(words),
            Kind::List => !marks.iter().filter(|mark| **mark != ", ").any(|mark| is_parted(mark)),
            Kind::Tonic => is_tonic(words),
            Kind::Said | Kind::Kept => !marks.iter().any(|mark| is_parted(mark)),
        };
        may_stand.then_some(words)
    }
}

/// Whether a text is a note: one word, its signs behind it.
fn is_tonic(text: &str) -> bool {
    let mut words = text.split(' ');
    let name = words.next().unwrap_or_default();
    name.starts_with(char::is_uppercase)
        && words.all(|word| matches!(word, "sharp" | "flat" | "double"))
}

fn is_number(text: &str) -> bool {
    text.starts_with(|sign: char| sign.is_ascii_digit())
        && text.ends_with(|sign: char| sign.is_ascii_digit())
        && text.chars().all(|sign| sign.is_ascii_digit() || sign == '.')
}

/// A text with its quotations, and what stands in brackets: in these nothing is looked for.
#[derive(Debug)]
pub struct Quoting<'t> {
    pub text: &'t str,
    /// Where each quotation's inside begins, and where its closing mark stands.
    insides: Vec<(usize, usize)>,
}

impl<'t> Quoting<'t> {
    pub fn of(text: &'t str) -> Quoting<'t> {
        let (mut insides, mut at) = (Vec::new(), 0);
        while let Some((start, open)) = next_mark(text, at) {
            let close = match open {
                '“' => '”',
                '(' => ')',
                _ => open,
            };
            let inside = start + open.len_utf8();
            at = inside;
            if let Some(length) = text.get(inside..).and_then(|rest| rest.find(close)) {
                insides.push((inside, inside + length));
                at = inside + length + close.len_utf8();
            }
        }
        Quoting { text, insides }
    }

    /// What a mark parts outside of quotations.
    pub fn parts(&self, mark: &str) -> Vec<&'t str> {
        let (mut parts, mut from) = (Vec::new(), 0);
        while let Some(at) = self.find(mark, from) {
            parts.extend(self.text.get(from..at));
            from = at + mark.len();
        }
        parts.extend(self.text.get(from..));
        parts
    }

    /// Where a piece stands outside of quotations, from a byte on.
    fn find(&self, piece: &str, from: usize) -> Option<usize> {
        let mut from = from;
        loop {
            while !self.text.is_char_boundary(from) {
                from += 1;
            }
            let start = from + self.text.get(from..)?.find(piece)?;
            let within = self.within(start);
            from = match within {
                None => return Some(start),
                Some(end) => end,
            };
        }
    }

    /// Where a piece stands that the text ends with, behind a byte.
    fn ends_with(&self, piece: &str, from: usize) -> Option<usize> {
        let start = self.text.strip_suffix(piece)?.len();
        (start >= from).then_some(start)
    }

    /// The end of the quotation that a byte lies in; its closing mark lies in it no more.
    fn within(&self, at: usize) -> Option<usize> {
        let before = self.insides.partition_point(|(start, _)| *start <= at);
        let (_, end) = self.insides.get(before.checked_sub(1)?)?;
        (at < *end).then_some(*end)
    }
}

fn next_mark(text: &str, from: usize) -> Option<(usize, char)> {
    let rest = text.get(from..)?;
    let at = rest.find(['“', '`', '('])?;
    Some((from + at, rest.get(at..)?.chars().next()?))
}

/// The words of a text.
pub fn words_of(text: &str) -> impl Iterator<Item = &str> {
    text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty())
}

/// Where a piece of a text begins and ends in it.
fn place_of(text: &str, piece: &str) -> (usize, usize) {
    let start = piece.as_ptr() as usize - text.as_ptr() as usize;
    (start, start + piece.len())
}

fn with_spaces(text: &str) -> String {
    text.replace('⍽', "\u{a0}")
}
