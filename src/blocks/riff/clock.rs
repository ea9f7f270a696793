//! The clock: which moment stands in a column.

use super::bars::BarColumns;
use crate::theory::Ticks;
use std::collections::BTreeSet;

/// A moment of a riff.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Moment {
    /// The bar, by its index.
    pub bar: usize,
    /// When in the bar.
    pub at: Ticks,
}

/// What stands in a column of the clock.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Under {
    /// A count.
    Count(Moment),
    /// A count in brackets.
    Rest(Moment),
    /// A count that can't be told, which has been reported.
    Unclear,
    /// No count.
    Nothing,
}

/// A column in which a count stands.
#[derive(Debug, Clone, Copy)]
pub(super) struct Tick {
    /// The column.
    pub column: usize,
    /// Its moment.
    pub moment: Moment,
    /// Whether a rest begins there.
    pub rest: bool,
}

/// A riff's moments by their columns.
#[derive(Debug)]
pub(super) enum Clock {
    /// By the counts of its count rows.
    Counted(Counts),
    /// Without a count: every column is a moment of its own. The bars' columns, rising.
    Columns(Vec<(usize, usize)>),
}

/// The columns of a riff's counts.
#[derive(Debug, Default)]
pub(super) struct Counts {
    /// The counts, their columns rising.
    pub ticks: Vec<Tick>,
    /// The columns of the counts that have a fault.
    pub unclear: BTreeSet<usize>,
    /// The bars in which they stand.
    pub unclear_bars: BTreeSet<usize>,
}

impl Clock {
    /// The clock of a riff without a count.
    pub fn columns(bars: &[BarColumns]) -> Clock {
        Clock::Columns(bars.iter().map(|bar| (bar.from, bar.to)).collect())
    }

    /// What stands in a column.
    pub fn under(&self, column: usize) -> Under {
        match self {
            Clock::Counted(counts) => counts.under(column),
            Clock::Columns(bars) => under_column(bars, column),
        }
    }

    /// The nearest counts before and behind a column in a bar.
    pub fn nearest(&self, column: usize, bar: usize) -> Vec<Moment> {
        let Clock::Counted(Counts { ticks, .. }) = self else { return Vec::new() };
        let next = ticks.partition_point(|tick| tick.column < column);
        let before = next.checked_sub(1).and_then(|index| ticks.get(index));
        let both = before.into_iter().chain(ticks.get(next));
        both.map(|tick| tick.moment).filter(|moment| moment.bar == bar).collect()
    }

    /// The first count in a column or behind it, a rest too, with its column.
    pub fn from(&self, column: usize) -> Option<(usize, Moment)> {
        match self {
            Clock::Counted(Counts { ticks, .. }) => {
                let next = ticks.partition_point(|tick| tick.column < column);
                ticks.get(next).map(|tick| (tick.column, tick.moment))
            }
            Clock::Columns(bars) => match under_column(bars, column) {
                Under::Count(moment) => Some((column, moment)),
                _ => None,
            },
        }
    }

    /// The moment of the last count in a column or before it, in that bar.
    pub fn until(&self, column: usize, bar: usize) -> Option<Moment> {
        match self {
            Clock::Counted(Counts { ticks, .. }) => {
                let next = ticks.partition_point(|tick| tick.column <= column);
                let before = ticks.get(next.checked_sub(1)?)?;
                Some(before.moment).filter(|moment| moment.bar == bar)
            }
            Clock::Columns(bars) => match under_column(bars, column) {
                Under::Count(moment) => Some(moment),
                _ => None,
            },
        }
    }

    /// The columns with a count that is no rest between two columns, the second one excluded.
    pub fn counts_between(&self, from: usize, to: usize) -> BTreeSet<usize> {
        let Clock::Counted(Counts { ticks, .. }) = self else { return BTreeSet::new() };
        let first = ticks.partition_point(|tick| tick.column < from);
        let within = ticks.iter().skip(first).take_while(|tick| tick.column < to);
        within.filter(|tick| !tick.rest).map(|tick| tick.column).collect()
    }
}

impl Counts {
    fn under(&self, column: usize) -> Under {
        let found = self.ticks.binary_search_by_key(&column, |tick| tick.column);
        match found.ok().and_then(|index| self.ticks.get(index)) {
            Some(tick) if tick.rest => Under::Rest(tick.moment),
            Some(tick) => Under::Count(tick.moment),
            None if self.unclear.contains(&column) => Under::Unclear,
            None => Under::Nothing,
        }
    }
}

fn under_column(bars: &[(usize, usize)], column: usize) -> Under {
    let index = bars.partition_point(|(_, to)| *to <= column);
    match bars.get(index) {
        Some((from, _)) if *from <= column => {
            let at = u32::try_from(column - from).unwrap_or(u32::MAX);
            Under::Count(Moment { bar: index, at: Ticks(at) })
        }
        _ => Under::Nothing,
    }
}
