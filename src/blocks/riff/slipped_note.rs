//! When a note that stands beside its count has plainly slipped by a column, so that it may be put under it
//! unasked, and what speaks against it.

use super::clock::Under;
use super::columns::Cell;
use super::lines::{Row, System};
use super::rows;
use super::setup::Setup;
use crate::theory::Ticks;
use std::collections::BTreeSet;

/// Counts must be this many columns apart for a note that is a column off to have slipped: then it is at
/// most a third of the way to the middle between them, where a note may be meant. Assumed.
const LEAST_APART: usize = 6;
/// A column may last so long at most for a note that is a column off to have slipped, in ticks: a third of
/// a sixteenth, which may be meant though it isn't counted.
const LONGEST_COLUMN: usize = 80;

/// A note of one digit that stands beside its count.
pub(super) struct Slip<'s, 'r, 'a> {
    /// The riff.
    pub setup: &'s Setup<'r, 'a>,
    /// The system that the note stands in.
    pub system: &'s System<'a>,
    /// The note's row.
    pub row: &'s Row<'a>,
    /// The columns of its bar's counts.
    pub counts: &'s BTreeSet<usize>,
    /// The note's column.
    pub column: usize,
    /// How far away its count is.
    pub by: isize,
}

impl Slip<'_, '_, '_> {
    /// Whether nothing else can be meant: neither a moment between the counts, nor another fret, nor
    /// another count, nor other runs.
    pub fn is_plain(&self) -> bool {
        let Some(count) = self.column.checked_add_signed(self.by) else { return false };
        self.counts.contains(&count)
            && self.by.abs() == 1
            && self.is_far_from_others(count)
            && !self.is_half_a_fret()
            && !self.may_the_count_have_slipped(count)
            && !self.changes_a_run(count)
    }

    /// Whether the counts on either side are so far apart, and so near in time, that the note can't be meant
    /// where it stands.
    fn is_far_from_others(&self, count: usize) -> bool {
        let other = match self.by < 0 {
            true => self.counts.range(self.column..).next(),
            false => self.counts.range(..self.column).next_back(),
        };
        let Some(other) = other else { return false };
        let (Some(at), Some(other_at)) = (self.moment(count), self.moment(*other)) else {
            return false;
        };
        let columns = other.abs_diff(count);
        let apart = usize::try_from(at.0.abs_diff(other_at.0)).unwrap_or(usize::MAX);
        columns >= LEAST_APART && apart <= columns * LONGEST_COLUMN
    }

    /// When the count of a column is, from the beginning of its bar.
    fn moment(&self, column: usize) -> Option<Ticks> {
        match self.setup.clock.under(column) {
            Under::Count(moment) | Under::Rest(moment) => Some(moment.at),
            Under::Unclear | Under::Nothing => None,
        }
    }

    /// Whether the digit may be one of two, the other lost: so it may where frets of two digits stand in its
    /// row.
    fn is_half_a_fret(&self) -> bool {
        self.row.cells.windows(2).any(|pair| pair.iter().all(|cell| cell.digit().is_some()))
    }

    /// Whether the count may be what has slipped: the note stands in step with the counts beside it, or the
    /// count doesn't either and signs of other rows stand with the note.
    fn may_the_count_have_slipped(&self, count: usize) -> bool {
        let with_note = |row: &Row| row.words(1).iter().any(|word| word.column == self.column);
        let mut others = self.system.rows.iter().filter(|row| row.goes_with_notes());
        self.is_in_step(count, self.column)
            || (!self.is_in_step(count, count) && others.any(with_note))
    }

    /// Whether a count would be as far from the two counts nearest to it, if it stood in a column, as they are
    /// from each other: in time, or one count like the next.
    fn is_in_step(&self, count: usize, column: usize) -> bool {
        let mut before = self.counts.range(..count).rev().copied();
        let mut behind = self.counts.range(count + 1..).copied();
        let (first, second, places) = match (before.next(), behind.next()) {
            (Some(first), Some(second)) => (first, second, [0, 1, 2]),
            (Some(second), None) => (before.next().unwrap_or(second), second, [0, 2, 1]),
            (None, Some(first)) => (first, behind.next().unwrap_or(first), [1, 0, 2]),
            (None, None) => return false,
        };
        let time = |column| isize::try_from(self.moment(column)?.0).ok();
        let times = time(first).zip(time(count)).zip(time(second));
        let times = times.map(|((first, count), second)| [first, count, second]);
        let far = |to: usize| to.checked_signed_diff(first);
        let (Some(own), Some(all)) = (far(column), far(second)) else { return false };
        let is_even = |[from, at, to]: [isize; 3]| own * (to - from) == (at - from) * all;
        first != second && [Some(places), times].into_iter().flatten().any(is_even)
    }

    /// Whether a run of another row holds for one of the two columns and not for the other: the note would
    /// come to lie under it, or leave it.
    fn changes_a_run(&self, count: usize) -> bool {
        let holds = |row: &Row, column| row.at(column).is_some_and(|cell| !cell.is_blank());
        let mut runs = self.system.rows.iter().filter(|row| row.marks_runs());
        runs.any(|row| holds(row, self.column) != holds(row, count))
    }
}

/// Whether a bar was read as it is written in a row and in the `count` row of its system.
pub(super) fn stands_in_place(system: &System, row: &Row, from: usize, to: usize) -> bool {
    let rows = [Some(row), system.row(&rows::Count)];
    rows.into_iter().flatten().all(|row| is_unmoved(row, from, to))
}

/// Whether a row's bar was read as it is written, between its own bar lines and those of the other rows:
/// where a line has slipped, here or before, the notes may have with it.
fn is_unmoved(row: &Row, from: usize, to: usize) -> bool {
    let begins = |column: usize| row.at(column).map(|cell| cell.span.start);
    let first = from.saturating_sub(1).max(row.column);
    // Where a sign has more than one byte it can't be told.
    let unmoved = match (begins(row.column), begins(first)) {
        (Some(start), Some(here)) => here - start == first - row.column,
        _ => true,
    };
    let columns = from.saturating_sub(1).max(row.column)..to + 1;
    let cells: Vec<&Cell> = columns.filter_map(|column| row.at(column)).collect();
    let is_put_in = |cell: &&Cell| cell.span.start == cell.span.end && !cell.text.is_empty();
    let touch = |pair: &[&Cell]| match pair {
        [one, next] => one.span.end == next.span.start || next.text.is_empty(),
        _ => true,
    };
    unmoved
        && row.at(to).is_none_or(|cell| cell.text == "|" || cell.barred)
        && !cells.iter().any(is_put_in)
        && cells.windows(2).all(touch)
}
