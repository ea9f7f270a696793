//! Which columns the bar lines of a system's rows share.

use super::columns::Cell;
use super::lines::{Row, System};
use super::rows;
use std::collections::{BTreeMap, BTreeSet};

/// The columns in which a row has bar lines; a second `|` beside one belongs to it.
pub(super) fn lines_of(row: &Row) -> Vec<usize> {
    let mut lines = Vec::new();
    let mut touching = false;
    for (column, cell) in row.columns() {
        let line = cell.text == "|";
        if line && !touching {
            lines.push(column);
        }
        touching = line;
    }
    lines
}

/// The columns of a system's bar lines: those that most of the rows with bar lines share, and a first
/// and a last one that only some rows write.
pub(super) fn shared_columns(system: &System) -> Vec<usize> {
    let rows: Vec<BTreeSet<usize>> = rows_with_lines(system);
    let mut votes: BTreeMap<usize, usize> = BTreeMap::new();
    for column in rows.iter().flatten() {
        *votes.entry(*column).or_default() += 1;
    }
    let tied = Tied::of(system, &rows);
    let shared = |column: &usize, votes: usize| {
        votes * 2 > rows.len() || (votes * 2 == rows.len() && tied.is_line(*column))
    };
    let columns: BTreeSet<usize> =
        votes.iter().filter(|(column, votes)| shared(column, **votes)).map(|(c, _)| *c).collect();
    let columns = if columns.is_empty() { tied.leader } else { columns };
    let music = extent(system, |cell| !cell.is_space() && !cell.is_dash());
    let before = |column: &usize| music.is_none_or(|(first, _)| *column < first);
    let behind = |column: &usize| music.is_none_or(|(_, last)| *column > last);
    // A row that has the others' lines may have one more at either end.
    let outer = rows.iter().filter(|row| row.is_superset(&columns));
    let first = outer.clone().filter_map(BTreeSet::first).min().filter(|column| before(column));
    let last = outer.filter_map(BTreeSet::last).max().filter(|column| behind(column));
    let first = first.filter(|_| !columns.first().is_some_and(before));
    let last = last.filter(|_| !columns.last().is_some_and(behind));
    first
        .into_iter()
        .chain(last)
        .chain(&columns)
        .copied()
        .collect::<BTreeSet<usize>>()
        .into_iter()
        .collect()
}

fn rows_with_lines(system: &System) -> Vec<BTreeSet<usize>> {
    let rows = system.rows.iter().map(|row| lines_of(row).into_iter().collect());
    rows.filter(|lines: &BTreeSet<usize>| !lines.is_empty()).collect()
}

/// Decides about the columns in which half of the rows have a bar line: one stands where the count
/// begins anew behind it. Of two between the same counts it is that of the leading row.
struct Tied {
    /// The bar lines of the row that has the most of them, before all others the count row.
    leader: BTreeSet<usize>,
    counts: Vec<(usize, bool)>,
}

impl Tied {
    fn of(system: &System, rows: &[BTreeSet<usize>]) -> Tied {
        let most = rows.iter().map(BTreeSet::len).max().unwrap_or_default();
        let count = system.row(&rows::Count).map(lines_of).unwrap_or_default();
        let leader = match rows.iter().find(|row| row.len() == most) {
            Some(row) if count.len() < most => row.clone(),
            _ => count.into_iter().collect(),
        };
        Tied { leader, counts: counts(system) }
    }

    fn is_line(&self, column: usize) -> bool {
        let next = self.counts.partition_point(|(count, _)| *count < column);
        let from = next.checked_sub(1).and_then(|before| self.counts.get(before));
        let next = self.counts.get(next);
        let begins = next.is_none_or(|(_, is_first)| *is_first);
        let from = from.map_or(0, |(count, _)| *count);
        let to = next.map_or(usize::MAX, |(count, _)| *count);
        begins && (self.leader.contains(&column) || self.leader.range(from..to).next().is_none())
    }
}

/// The first and the last column of the music in which such a cell stands, bar lines left aside.
pub(super) fn extent(system: &System, counts: fn(&Cell) -> bool) -> Option<(usize, usize)> {
    let rows = system.rows.iter().filter(|row| row.is_music());
    let extents = rows.filter_map(|row| {
        let columns = written_columns(row, counts);
        Some((*columns.first()?, *columns.last()?))
    });
    extents.reduce(|one, other| (one.0.min(other.0), one.1.max(other.1)))
}

/// The counts of a system, each by its first column, and whether it is the first of a bar: a 1.
fn counts(system: &System) -> Vec<(usize, bool)> {
    let Some(row) = system.row(&rows::Count) else { return Vec::new() };
    let mut counts: Vec<(usize, String)> = Vec::new();
    let mut touching = false;
    for (column, cell) in row.columns() {
        let parts = cell.is_space() || matches!(cell.text, "|" | ":" | "(" | ")");
        match counts.last_mut().filter(|_| touching && !parts) {
            Some((_, sign)) => sign.push_str(cell.text),
            None if parts => {}
            None => counts.push((column, cell.text.to_string())),
        }
        touching = !parts;
    }
    counts.into_iter().map(|(column, sign)| (column, sign == "1")).collect()
}

/// The columns in which counts are written.
pub(super) fn counted_columns(system: &System) -> BTreeSet<usize> {
    let counts = system.row(&rows::Count).map(|row| written_columns(row, |cell| !cell.is_space()));
    counts.unwrap_or_default().into_iter().collect()
}

/// The columns of a row in which such a cell stands that is no bar line, nor how often one repeats.
fn written_columns(row: &Row, counts: fn(&Cell) -> bool) -> Vec<usize> {
    let mut written = Vec::new();
    let (mut behind_line, mut in_times) = (false, false);
    for (column, cell) in row.columns() {
        let line = matches!(cell.text, "|" | ":");
        let begins = row.is(&rows::Count) && behind_line && matches!(cell.text, "x" | "×");
        in_times = begins || (in_times && cell.digit().is_some());
        behind_line = line;
        if !line && !in_times && counts(cell) {
            written.push(column);
        }
    }
    written
}
