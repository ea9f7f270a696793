//! What notes are placed by, and the places of what is said about them.

use super::bars::BarColumns;
use super::clock::{Clock, Moment, Under};
use super::lines::{Row, System};
use super::place;
use super::rows;
use super::written::{Course, Written};
use crate::music::tab::Bar;
use crate::neck::Instrument;

/// What notes are placed by.
pub(super) struct Setup<'r, 'a> {
    /// The text of the whole lesson.
    pub text: &'r str,
    /// The rows.
    pub systems: &'r [System<'a>],
    /// The bars' columns.
    pub columns: &'r [BarColumns],
    /// The bars with their counts.
    pub bars: &'r [Bar],
    /// The clock.
    pub clock: &'r Clock,
    /// The instrument.
    pub instrument: &'r Instrument,
    /// Whether the numbers of the counts are big beats.
    pub big_beats: bool,
}

impl Setup<'_, '_> {
    /// The bar in which a column stands, by its index.
    pub fn bar_at(&self, column: usize) -> Option<usize> {
        self.columns.partition_point(|bar| bar.from <= column).checked_sub(1)
    }

    /// Whether the riff has a count.
    pub fn is_timed(&self) -> bool {
        matches!(self.clock, Clock::Counted(_))
    }

    /// Whether a bar line of a row stands so far astray that nobody can tell what of it belongs in a
    /// bar, or one of the count row does.
    pub fn is_astray(&self, row: (usize, usize), bar: usize) -> bool {
        let (Some(columns), Some(system)) = (self.columns.get(bar), self.systems.get(row.0)) else {
            return false;
        };
        let count = system.rows.iter().position(|row| row.is(&rows::Count));
        columns.system == row.0
            && (columns.astray.contains(&row.1)
                || count.is_some_and(|count| columns.astray.contains(&count)))
    }

    /// Whether a row of a note's system has a tab character, behind which columns are a guess.
    pub fn has_tabs(&self, note: &Written) -> bool {
        self.systems.get(note.row.0).is_some_and(|system| system.has_tabs)
    }

    /// The row of a note.
    pub fn row(&self, note: &Written) -> Option<&Row<'_>> {
        let (system, row) = note.row;
        self.systems.get(system)?.rows.get(row)
    }

    /// What stands over a note: the count over its first digit, or over its bracket.
    pub fn under(&self, note: &Written) -> Under {
        match (self.clock.under(note.column), note.bracket) {
            (Under::Nothing, Some(bracket)) => self.clock.under(bracket),
            (under, _) => under,
        }
    }

    /// The bar, the last count and the string of a column: "bar 3, the & of 2, fourth string".
    pub fn place_at(&self, column: usize, course: Course) -> String {
        let Some(bar) = self.bar_at(column) else { return String::new() };
        let moment = self.clock.until(column, bar).filter(|_| self.is_timed());
        match (moment, self.bars.get(bar)) {
            (Some(moment), _) => self.place(moment, course),
            (None, Some(bar)) => format!("{}{}", place::bar(bar), self.string(course)),
            (None, None) => String::new(),
        }
    }

    /// "bar 3, the & of 2": a column's bar and the last count before it.
    pub fn count_at(&self, column: usize) -> String {
        let Some(index) = self.bar_at(column) else { return String::new() };
        let Some(bar) = self.bars.get(index) else { return String::new() };
        match self.clock.until(column, index).filter(|_| self.is_timed()) {
            Some(moment) => {
                format!("{}, {}", place::bar(bar), place::count(bar, moment.at, self.big_beats))
            }
            None => place::bar(bar),
        }
    }

    /// "bar 3, the & of 2, fourth string".
    pub fn place(&self, moment: Moment, course: Course) -> String {
        let Some(bar) = self.bars.get(moment.bar) else { return String::new() };
        let string = self.string(course);
        match self.clock {
            Clock::Counted(_) => {
                let count = place::count(bar, moment.at, self.big_beats);
                format!("{}, {count}{string}", place::bar(bar))
            }
            Clock::Columns(_) => format!("{}{string}", place::bar(bar)),
        }
    }

    /// ", fourth string": the end of a place; nothing for a voice, whose string is open.
    pub fn string(&self, course: Course) -> String {
        match course {
            Course::String(index) => {
                format!(", {}", place::string(self.instrument.tuning.number(index)))
            }
            Course::Voice(_) => String::new(),
        }
    }
}
