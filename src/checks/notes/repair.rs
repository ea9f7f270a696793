//! Repairs: changes of what is written that keep every column where it is.

use super::context::{StringFret, Tone};
use crate::blocks::tab::places::{Places, RowPlace};
use crate::findings::Span;
use crate::findings::source::combined;
use crate::neck::{Fret, StringIndex};
use std::ops::Range;

/// A riff's rows in the lesson's text.
#[derive(Debug)]
pub struct Sheet<'a> {
    /// The lesson's text.
    pub text: &'a str,
    /// Where the riff stands in it.
    pub places: &'a Places,
}

/// A change of more text than this is not offered, in bytes: it would be a page of one line's length,
/// written anew for every finding in it.
const LONGEST_CHANGE: usize = 16_000;

/// One place that is written anew.
type Edit = (Span, String);

/// Which way the content of bars is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shift {
    /// Nothing is moved.
    None,
    /// To another string, so many higher-placed.
    Strings(isize),
    /// So many frets up.
    Frets(i16),
}

impl Shift {
    /// Where a place on a neck of so many strings and frets is moved to.
    pub fn of(self, place: StringFret, strings: usize, last_fret: Fret) -> Option<StringFret> {
        let moved = match self {
            Shift::None => place,
            Shift::Strings(by) => StringFret { string: place.string.moved(by)?, ..place },
            Shift::Frets(by) => StringFret { fret: place.fret.moved(by.into())?, ..place },
        };
        (moved.string.index() < strings && moved.fret <= last_fret).then_some(moved)
    }
}

impl<'a> Sheet<'a> {
    /// The row of a system that is for a string.
    fn row(&self, system: usize, string: StringIndex) -> Option<&'a RowPlace> {
        self.places.rows_of(system).iter().find(|row| row.string == Some(string))
    }

    /// The tone written at another place: its fret anew, or the same moved to another string.
    pub fn placed(&self, tone: &Tone, to: StringFret) -> Option<Edit> {
        let system = self.places.bars.get(tone.bar)?.system;
        let from_row = self.row(system, tone.place.string)?;
        // A riff that is written as notes has no frets to write anew.
        if !(from_row.span.start..=from_row.span.end).contains(&tone.span.start) {
            return None;
        }
        if to.string == tone.place.string {
            let digits = self.digits(tone.span)?;
            return self.refretted(digits, u16::from(to.fret));
        }
        let written = self.text.get(tone.span.start..tone.span.end)?;
        let plain = written.bytes().all(|byte| byte.is_ascii_digit());
        if tone.joined || !plain || to.fret != tone.place.fret {
            return None;
        }
        let column = from_row.column(tone.span.start)?;
        let row = self.row(system, to.string)?;
        let into = row.span(column..column + written.len())?;
        let free = self.text.get(into.start..into.end)?;
        if free.chars().any(|sign| !is_dash(sign)) || self.touches_digit(into) {
            return None;
        }
        let dashes = "-".repeat(written.len());
        self.combined(vec![(tone.span, dashes), (into, written.to_string())])
    }

    /// A chord symbol written over another, so that no column moves.
    pub fn symbol_written(&self, symbol: Span, name: &str) -> Option<Edit> {
        let old = self.text.get(symbol.start..symbol.end)?.chars().count();
        let new = name.chars().count();
        let more = new.saturating_sub(old);
        let behind = self.text.get(symbol.end..)?;
        // A blank stays behind it, unless the row ends there.
        let mut room = behind.chars().take(more + 1).take_while(|sign| *sign != '\n');
        let is_free =
            room.all(|sign| sign == ' ' || sign == '|') && !behind.get(..more)?.contains('|');
        is_free.then(|| (Span::new(symbol.start, symbol.end + more), format!("{name:<old$}")))
    }

    /// A tone taken out, dashes in its place. What is joined stays.
    pub fn removed(&self, tone: &Tone) -> Option<Edit> {
        let written = self.text.get(tone.span.start..tone.span.end)?;
        let plain = written.bytes().all(|byte| byte.is_ascii_digit());
        (plain && !tone.joined).then(|| (tone.span, "-".repeat(written.len())))
    }

    /// A fret put in under one of a bar's counts.
    pub fn put_in(&self, bar: usize, count: Span, place: StringFret) -> Option<Edit> {
        let system = self.places.bars.get(bar)?.system;
        let column = self.row_at(system, count)?.column(count.start)?;
        let fret = place.fret.to_string();
        let into = self.row(system, place.string)?.span(column..column + fret.len())?;
        let free = self.text.get(into.start..into.end)?;
        let is_free = free.chars().all(is_dash) && !self.touches_digit(into);
        is_free.then_some((into, fret))
    }

    /// The columns of a count that a bar lacks put in before one of its own, `before`, or at its end, as another bar
    /// has them: `there` are that bar's places, `count` where the count stands in it, and `to` where the next one does.
    pub fn columns_put_in(
        &self,
        bar: usize,
        before: Option<Span>,
        there: (&Places, usize),
        (count, to): (Span, Option<Span>),
    ) -> Option<Edit> {
        let (own, (places, other)) = (self.places.bars.get(bar)?, there);
        let other = places.bars.get(other)?;
        let column = |places: &Places, system, span: Span| {
            row_at(places, system, span).and_then(|row| row.column(span.start))
        };
        let at = match before {
            Some(before) => column(self.places, own.system, before)?,
            None => own.columns.1,
        };
        let from = column(places, other.system, count)?;
        let to = to.and_then(|to| column(places, other.system, to)).unwrap_or(other.columns.1);
        let width = to.checked_sub(from)?;
        let counts = self.row_at(own.system, *own.counts.first()?)?;
        let text = |row: &RowPlace| {
            let rows = places.rows_of(other.system);
            let like = match row.string {
                Some(_) => rows.iter().find(|like| like.string == row.string),
                None if row.span == counts.span => row_at(places, other.system, count),
                None => None,
            };
            let span = like.and_then(|like| like.span(from..to));
            let fill = if row.string.is_some() { "-" } else { " " };
            let copied = span.and_then(|span| self.text.get(span.start..span.end));
            copied.map_or_else(|| fill.repeat(width), str::to_owned)
        };
        let rows = self.places.rows_of(own.system).iter();
        let edits = rows.filter_map(|row| Some((row.span(at..at)?, text(row))));
        self.combined(edits.collect())
    }

    /// The row of a system in which a place stands.
    fn row_at(&self, system: usize, span: Span) -> Option<&'a RowPlace> {
        row_at(self.places, system, span)
    }

    /// Bars of one system with all that is on their strings moved.
    pub fn shifted(&self, bars: Range<usize>, shift: Shift) -> Option<Edit> {
        let mut edits = Vec::new();
        for bar in bars {
            edits.extend(match shift {
                Shift::None => Vec::new(),
                Shift::Strings(by) => self.on_other_strings(bar, by)?,
                Shift::Frets(by) => self.on_other_frets(bar, by)?,
            });
        }
        self.combined(edits)
    }

    /// What stands on the strings of a bar as another bar has it, where both are counted in the same columns and no other row
    /// says anything of the notes.
    pub fn copied(&self, bar: usize, (places, other): (&'a Places, usize)) -> Option<Edit> {
        let there = Sheet { text: self.text, places };
        if self.count_columns(bar)? != there.count_columns(other)? || self.says_more(bar)? {
            return None;
        }
        let (own, like) = (self.strings(bar)?, there.strings(other)?);
        let copy = |(string, span): &(StringIndex, Span)| {
            let (_, from) = like.iter().find(|(other, _)| other == string)?;
            let (old, new) =
                (self.text.get(span.start..span.end)?, self.text.get(from.start..from.end)?);
            (old.chars().count() == new.chars().count()).then(|| (*span, new.to_owned()))
        };
        self.combined(own.iter().map(copy).collect::<Option<_>>()?)
    }

    /// The columns of a bar's counts, from its beginning.
    fn count_columns(&self, bar: usize) -> Option<Vec<usize>> {
        let place = self.places.bars.get(bar)?;
        let column = |count: &Span| {
            let column = self.row_at(place.system, *count)?.column(count.start)?;
            column.checked_sub(place.columns.0)
        };
        place.counts.iter().map(column).collect()
    }

    /// Whether anything stands in a bar besides its counts, its chords and what is on the strings.
    fn says_more(&self, bar: usize) -> Option<bool> {
        let place = self.places.bars.get(bar)?;
        let rows = self.places.rows_of(place.system).iter().filter(|row| row.string.is_none());
        let known = |row: &&RowPlace| {
            let mut spans = place.counts.iter().chain(&place.chords);
            spans.any(|span| (row.span.start..row.span.end).contains(&span.start))
        };
        let content = rows.filter(|row| !known(row)).filter_map(|row| {
            let span = row.span(place.columns.0.max(row.column)..place.columns.1)?;
            self.text.get(span.start..span.end)
        });
        Some(content.into_iter().any(|text| !text.trim().is_empty()))
    }

    /// The whole riff with its string rows in the opposite order under the same labels.
    pub fn turned_over(&self) -> Option<Edit> {
        let mut edits = Vec::new();
        for rows in self.places.rows.chunk_by(|one, next| one.system == next.system) {
            let rows = rows.iter().filter(|row| row.string.is_some()).collect::<Vec<_>>();
            for (row, other) in rows.iter().zip(rows.iter().rev()) {
                edits
                    .push((row.span, self.text.get(other.span.start..other.span.end)?.to_string()));
            }
        }
        self.combined(edits)
    }

    /// A bar line in one column of a system moved to stand before another, in every row that has it.
    pub fn line_moved(&self, system: usize, from: usize, to: usize) -> Option<Edit> {
        let mut edits = Vec::new();
        for row in self.places.rows_of(system) {
            let Some(line) = row.span(from..from + 1) else { continue };
            if self.text.get(line.start..line.end)? != "|" {
                return None;
            }
            let between = if to < from { to..from } else { from + 1..to };
            let moved = row.span(between)?;
            let rest = self.text.get(moved.start..moved.end)?;
            let text = if to < from { format!("|{rest}") } else { format!("{rest}|") };
            edits.push((line.to(moved), text));
        }
        self.combined(edits)
    }

    fn on_other_frets(&self, bar: usize, by: i16) -> Option<Vec<Edit>> {
        let mut edits = Vec::new();
        for (_, content) in self.strings(bar)? {
            let mut at = content.start;
            while at < content.end {
                let digits = self.run(at, content.end);
                if digits.start == digits.end {
                    at += self.text.get(at..)?.chars().next()?.len_utf8();
                    continue;
                }
                let fret: i16 = self.text.get(digits.start..digits.end)?.parse().ok()?;
                edits.push(self.refretted(digits, u16::try_from(fret + by).ok()?)?);
                at = digits.end + 1;
            }
        }
        Some(edits)
    }

    fn on_other_strings(&self, bar: usize, by: isize) -> Option<Vec<Edit>> {
        let strings = self.strings(bar)?;
        let content = |string: StringIndex| {
            let (_, span) = strings.iter().find(|(other, _)| *other == string)?;
            self.text.get(span.start..span.end)
        };
        let blank = |text: &str| text.chars().map(|_| '-').collect::<String>();
        let mut edits = Vec::new();
        for (string, span) in &strings {
            let own = content(*string)?;
            let target = string.moved(by).and_then(content);
            if target.is_none() && own.chars().any(|sign| !is_dash(sign)) {
                return None;
            }
            let source = string.moved(-by).and_then(content);
            edits.push((*span, source.map_or_else(|| blank(own), str::to_string)));
        }
        Some(edits)
    }

    /// What stands on each string in a bar, bar lines left aside.
    fn strings(&self, bar: usize) -> Option<Vec<(StringIndex, Span)>> {
        let bar = self.places.bars.get(bar)?;
        let rows = self.places.rows_of(bar.system).iter();
        let strings = rows.filter_map(|row| Some((row.string?, row)));
        let content = |row: &RowPlace| row.span(bar.columns.0.max(row.column)..bar.columns.1);
        strings.map(|(string, row)| Some((string, content(row)?))).collect()
    }

    /// A fret written over another in the same columns; a second digit takes the dash behind it.
    fn refretted(&self, digits: Span, fret: u16) -> Option<Edit> {
        let old = digits.end - digits.start;
        let new = fret.to_string();
        if new.len() <= old {
            return Some((digits, format!("{new:-<old$}")));
        }
        let behind = self.text.get(digits.end..)?;
        let more = new.len() - old;
        let room = behind.bytes().take(more).all(|byte| byte == b'-')
            && !behind.as_bytes().get(more).is_some_and(u8::is_ascii_digit);
        room.then(|| (Span::new(digits.start, digits.end + more), new))
    }

    /// The first digits within a note's place.
    fn digits(&self, span: Span) -> Option<Span> {
        let text = self.text.get(span.start..span.end)?;
        let start = span.start + text.find(|sign: char| sign.is_ascii_digit())?;
        Some(self.run(start, span.end))
    }

    /// The digits from a byte on.
    fn run(&self, start: usize, end: usize) -> Span {
        let text = self.text.get(start..end).unwrap_or_default();
        Span::new(start, start + text.bytes().take_while(u8::is_ascii_digit).count())
    }

    fn touches_digit(&self, span: Span) -> bool {
        let bytes = self.text.as_bytes();
        let is_digit =
            |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
        is_digit(span.start.checked_sub(1)) || is_digit(Some(span.end))
    }

    /// Many changes as one, from the first to the last.
    fn combined(&self, mut edits: Vec<Edit>) -> Option<Edit> {
        edits.retain(|(span, new)| self.text.get(span.start..span.end) != Some(new));
        edits.sort_by_key(|(span, _)| span.start);
        let start = edits.first()?.0.start;
        if edits.last()?.0.end.saturating_sub(start) > LONGEST_CHANGE {
            return None;
        }
        combined(self.text, edits)
    }
}

fn row_at(places: &Places, system: usize, span: Span) -> Option<&RowPlace> {
    let mut rows = places.rows_of(system).iter();
    rows.find(|row| (row.span.start..=row.span.end).contains(&span.start))
}

fn is_dash(sign: char) -> bool {
    matches!(sign, '-' | '–' | '—' | '−' | ' ')
}
