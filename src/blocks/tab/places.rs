//! Where a tab stands in the text, beside what it says.

use crate::findings::Span;
use crate::music::tab::ByRow;
use crate::neck::StringIndex;
use crate::theory::Ticks;
use std::ops::Range;

/// Where a tab's rows, bars, counts, chords and notes stand. One that is written nowhere has none.
#[derive(Debug, Clone, Default)]
pub struct Places {
    /// Its bars' places, one a bar.
    pub bars: Vec<BarPlace>,
    /// Its rows in the order in which they stand, for repairs that move what is written.
    pub rows: Vec<RowPlace>,
    /// Where its remarks stand, each row's own: with the bar's index, in the order in which the bar has them.
    pub remarks: RemarkPlaces,
}

/// The places of remarks by their rows, each with its bar's index.
pub type RemarkPlaces = ByRow<Vec<(usize, Span)>>;

impl Places {
    /// Where a bar stands, by its index, from its bar line to the next, in the first row.
    pub fn bar(&self, bar: usize) -> Option<Span> {
        self.bars.get(bar).map(|bar| bar.span)
    }

    /// The place of the note that is played at a moment of a bar on a string.
    pub fn note(&self, bar: usize, at: Ticks, string: StringIndex) -> Option<&NotePlace> {
        self.bars.get(bar)?.note(at, string)
    }

    /// The rows of a system.
    pub fn rows_of(&self, system: usize) -> &[RowPlace] {
        let from = self.rows.partition_point(|row| row.system < system);
        let to = self.rows.partition_point(|row| row.system <= system);
        self.rows.get(from..to).unwrap_or_default()
    }

    /// The strings that have a row in a system, in the order in which the rows stand.
    pub fn strings_of(&self, system: usize) -> Vec<StringIndex> {
        self.rows_of(system).iter().filter_map(|row| row.string).collect()
    }

    /// The places of all that was written at these, now written at one place.
    pub fn at(&self, place: Span) -> Places {
        let bars = self.bars.iter().map(|bar| BarPlace {
            span: place,
            rows: Vec::new(),
            signs: Vec::new(),
            counts: vec![place; bar.counts.len()],
            chords: vec![place; bar.chords.len()],
            notes: bar.notes.iter().map(|note| note.at_place(place)).collect(),
            ..*bar
        });
        let remarks = self
            .remarks
            .iter()
            .map(|(row, remarks)| (*row, remarks.iter().map(|(bar, _)| (*bar, place)).collect()));
        Places { bars: bars.collect(), rows: Vec::new(), remarks: remarks.collect() }
    }
}

/// Where a bar stands.
#[derive(Debug, Clone, Default)]
pub struct BarPlace {
    /// From its bar line to the next, in the first row.
    pub span: Span,
    /// The system that it stands in, from 0.
    pub system: usize,
    /// Its first column and one past its last, counted through the whole riff.
    pub columns: (usize, usize),
    /// Where it stands in each row of its system, the bar line behind it included.
    pub rows: Vec<Span>,
    /// All that its count row says, whether or not a count could be made of it.
    pub signs: Vec<Sign>,
    /// Where its counts stand, one a count.
    pub counts: Vec<Span>,
    /// Where its chord symbols stand, one a chord.
    pub chords: Vec<Span>,
    /// Where its notes stand, in the order of their moments and strings.
    pub notes: Vec<NotePlace>,
}

impl BarPlace {
    /// The place of the note that is played at a moment on a string.
    pub fn note(&self, at: Ticks, string: StringIndex) -> Option<&NotePlace> {
        let key = |note: &NotePlace| (note.at, note.string);
        self.notes.get(self.notes.binary_search_by_key(&(at, string), key).ok()?)
    }

    /// The note of a moment that stands at a place.
    pub fn note_at(&self, at: Ticks, span: Span) -> Option<NoteAt> {
        let from = self.notes.partition_point(|note| note.at < at);
        let notes = self.notes.iter().skip(from).take_while(|note| note.at == at);
        let mut found = notes.filter_map(|note| {
            let grace = note.graces.iter().position(|grace| *grace == span);
            let stands = note.span == span || grace.is_some();
            stands.then_some(NoteAt { string: note.string, grace })
        });
        found.next()
    }
}

/// A note of a moment, or a grace note of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoteAt {
    /// The note's string.
    pub string: StringIndex,
    /// The grace note, by its index; `None` is the note itself.
    pub grace: Option<usize>,
}

/// Where a note stands.
#[derive(Debug, Clone)]
pub struct NotePlace {
    /// When it is played, in its bar.
    pub at: Ticks,
    /// Its string's index.
    pub string: StringIndex,
    /// Where it is written.
    pub span: Span,
    /// Where its grace notes are written.
    pub graces: Vec<Span>,
}

impl NotePlace {
    fn at_place(&self, place: Span) -> NotePlace {
        NotePlace { span: place, graces: vec![place; self.graces.len()], ..*self }
    }
}

/// A sign of the count row.
#[derive(Debug, Clone)]
pub struct Sign {
    /// Its column, counted through the whole riff as the bars' are.
    pub column: usize,
    /// As written, without brackets.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

/// Where a row stands.
#[derive(Debug, Clone)]
pub struct RowPlace {
    /// The system that it stands in, from 0.
    pub system: usize,
    /// The string that it is for, by its index.
    pub string: Option<StringIndex>,
    /// What stands behind its label.
    pub span: Span,
    /// The column of the first character there, counted through the whole riff as the bars' are.
    pub column: usize,
    /// The byte at which each of its columns begins, and the one behind the last.
    pub starts: Vec<usize>,
}

impl RowPlace {
    /// The column in which a byte of it stands.
    pub fn column(&self, byte: usize) -> Option<usize> {
        let before = self.starts.partition_point(|start| *start <= byte);
        Some(self.column + before.checked_sub(1)?)
    }

    /// Where columns of it stand; nothing where it is shorter.
    pub fn span(&self, columns: Range<usize>) -> Option<Span> {
        let byte = |column: usize| self.starts.get(column.checked_sub(self.column)?).copied();
        Some(Span::new(byte(columns.start)?, byte(columns.end)?))
    }
}
