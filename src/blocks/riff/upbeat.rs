//! First bars that begin late: upbeats that nobody called so.

use super::bars::BarColumns;
use super::lines::System;
use super::place;
use super::rows;
use crate::blocks::tab::places::BarPlace;
use crate::findings::Span;
use crate::findings::rules::no_pickup;
use crate::findings::{Finding, Ground};
use crate::music::performance::Passes;
use crate::music::tab::Bar;
use crate::theory::Ticks;

/// A rest for all that is before the first count.
const REST: &str = "(1)";

/// How long an upbeat is that a riff's first bar holds, called so or not; nothing in a bar that
/// begins on beat 1.
fn length(bars: &[Bar]) -> Option<Ticks> {
    let first = bars.first()?;
    let at = place::upbeat(first) + first.counts.first()?.at;
    (at > Ticks::ZERO).then(|| first.meter.bar().since(at))
}

/// Whether the last bar lacks just the beats that the first one begins with: its last count falls
/// in the beat before them.
pub(super) fn is_completed(bars: &[Bar], big_beats: bool) -> bool {
    let (Some(upbeat), [_, .., last]) = (length(bars), bars) else { return false };
    let end = last.meter.bar().since(upbeat);
    let beat = place::beat(last.meter, big_beats);
    let count = last.counts.last().map(|count| count.at);
    count.is_some_and(|at| at < end && end <= at + beat)
}

/// A riff whose bars are counted, and where they stand.
pub(super) struct Counted<'r, 'a> {
    /// The bars.
    pub bars: &'r [Bar],
    /// Where they stand.
    pub places: &'r [BarPlace],
    /// Their rows.
    pub systems: &'r [System<'a>],
    /// Their columns.
    pub columns: &'r [BarColumns],
    /// Whether the numbers of the counts are big beats.
    pub big_beats: bool,
    /// Where a further phrase can be put into the fence line.
    pub phrases_end: usize,
}

impl Counted<'_, '_> {
    /// The finding about a first bar that begins late and isn't called a pickup, in a riff over so
    /// many bars of changes.
    pub fn without_pickup(&self, changes: Option<usize>) -> Option<Finding> {
        let [first, _, ..] = self.bars else { return None };
        let count = first.counts.first().filter(|_| first.number > 0)?;
        let span = *self.places.first()?.counts.first()?;
        length(self.bars)?;
        let played = Passes::without_upbeat(self.bars).count();
        let one_more = changes.is_some_and(|changes| played == changes + 1);
        let completed = is_completed(self.bars, self.big_beats);
        let begins = place::count(first, count.at, self.big_beats);
        let why = match (one_more, completed) {
            (true, _) => Some("the riff has just one bar more than its changes"),
            (_, true) => Some("the last bar lacks just the beats that this one has"),
            _ => None,
        };
        let pickup = Span::new(self.phrases_end, self.phrases_end);
        let finding = no_pickup::late_bar(span, &place::bar(first), &begins, why, pickup);
        Some(match self.room_for_rest() {
            Some(place) => {
                finding.fix(format!("a rest before it: `{REST}`"), place, REST, Ground::Choice)
            }
            None => finding,
        })
    }

    /// Where a rest can be written before the first count, at the bar's beginning.
    fn room_for_rest(&self) -> Option<Span> {
        let columns = self.columns.first()?;
        let row = self.systems.get(columns.system)?.row(&rows::Count)?;
        let from = columns.from.max(row.column + 1);
        let to = from + REST.len();
        let free = (from..=to).all(|column| row.at(column).is_some_and(|cell| cell.is_space()));
        free.then(|| row.span(from, to))
    }
}
