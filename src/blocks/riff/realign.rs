//! The repair of a row whose notes stand beside their counts: the bar's row written anew.

use super::chains::Setup;
use super::columns::Cell;
use super::written::{Strand, Written};
use crate::lesson::Span;
use std::collections::BTreeSet;
use std::ops::Range;

/// How many columns a note may be moved.
const REACH: isize = 2;
/// The moves that are tried, a small one before a great one; of two alike the one to the left first,
/// or the one to the right.
const MOVES: [[isize; 5]; 2] = [[0, -1, 1, -REACH, REACH], [0, 1, -1, REACH, -REACH]];

/// Cells of a row that touch, and the notes among them that need a count.
struct Run<'c> {
    column: usize,
    cells: Vec<&'c Cell<'c>>,
    /// The columns of each note that must stand under a count: its digit's, its bracket's.
    anchors: Vec<(usize, Option<usize>)>,
}

/// Writes one bar of a string's row anew with every note under a count, in order, each moved by at
/// most two columns and all of them by as few as possible. `wanting` are the columns of the notes
/// that have no count. There are two ways where notes are as near to the counts on their left as to
/// those on their right, and none where a count is too far.
pub(super) fn realigned(
    setup: &Setup,
    strand: &Strand,
    first: &Written,
    bar: usize,
    wanting: &BTreeSet<usize>,
) -> Vec<(Span, String)> {
    let (Some(row), Some(bar)) = (setup.row(first), setup.columns.get(bar)) else {
        return Vec::new();
    };
    let (from, to) = (bar.from.max(row.column), bar.to.min(row.end()));
    let length = to.saturating_sub(from);
    let cells: Vec<&Cell> = row.cells.iter().skip(from - row.column).take(length).collect();
    let (start, cells) = without_bar_signs(from, &cells);
    let counts = setup.clock.counts_between(bar.from, bar.to);
    let anchored = |note: &&Written| {
        note.row == first.row
            && (wanting.contains(&note.column)
                || counts.contains(&note.column)
                || note.bracket.is_some_and(|bracket| counts.contains(&bracket)))
    };
    let begin = strand.notes.partition_point(|note| note.column < from);
    let notes = strand.notes.iter().skip(begin).take_while(|note| note.column < to);
    let anchors = notes.filter(anchored).map(|note| (note.column, note.bracket)).collect();
    let runs = runs(start, cells, anchors);
    let end = start + cells.len();
    let ways = MOVES.iter().filter_map(|moves| least_moves(&runs, &counts, start..end, moves));
    let mut texts: Vec<String> = ways.map(|moves| written(&runs, &moves, start, cells)).collect();
    texts.dedup();
    texts.into_iter().map(|text| (row.span(start, end), text)).collect()
}

/// The cells of a bar without the repeat signs at its ends.
fn without_bar_signs<'c>(from: usize, cells: &'c [&'c Cell<'c>]) -> (usize, &'c [&'c Cell<'c>]) {
    let head = cells.iter().take_while(|cell| cell.barred).count();
    let rest = cells.get(head..).unwrap_or_default();
    let tail = rest.iter().rev().take_while(|cell| cell.barred).count();
    (from + head, rest.get(..rest.len() - tail).unwrap_or_default())
}

fn runs<'c>(
    start: usize,
    cells: &[&'c Cell<'c>],
    anchors: Vec<(usize, Option<usize>)>,
) -> Vec<Run<'c>> {
    let mut runs: Vec<Run> = Vec::new();
    let mut touching = false;
    for (column, cell) in (start..).zip(cells) {
        let blank = cell.is_blank();
        if !blank && !touching {
            runs.push(Run { column, cells: Vec::new(), anchors: Vec::new() });
        }
        if let Some(run) = runs.last_mut().filter(|_| !blank) {
            run.cells.push(cell);
        }
        touching = !blank;
    }
    for anchor in anchors {
        let next = runs.partition_point(|run| run.column <= anchor.0);
        if let Some(run) = next.checked_sub(1).and_then(|index| runs.get_mut(index)) {
            run.anchors.push(anchor);
        }
    }
    runs
}

/// For each run the move that brings its notes under counts, least in sum, runs kept in order and
/// apart.
fn least_moves(
    runs: &[Run],
    counts: &BTreeSet<usize>,
    within: Range<usize>,
    moves: &[isize],
) -> Option<Vec<isize>> {
    // For every run and move: the least sum so far, and the move of the run before it.
    let mut table: Vec<Vec<(isize, usize, usize)>> = Vec::new();
    for run in runs {
        let mut choices = Vec::new();
        for by in moves.iter().copied() {
            let Some(column) = run.column.checked_add_signed(by) else { continue };
            let inside = column >= within.start && column + run.cells.len() <= within.end;
            if !inside || !lands(run, by, counts) {
                continue;
            }
            let before = match table.last() {
                None => Some((0, 0)),
                Some(choices) => (0..)
                    .zip(choices)
                    .filter(|(_, (_, end, _))| *end < column)
                    .map(|(index, (sum, ..))| (*sum, index))
                    .min(),
            };
            if let Some((sum, choice)) = before {
                choices.push((sum + by.abs(), column + run.cells.len(), choice));
            }
        }
        table.push(choices);
    }
    trace(runs, &table)
}

/// Follows the least sum back from the last run to the first.
fn trace(runs: &[Run], table: &[Vec<(isize, usize, usize)>]) -> Option<Vec<isize>> {
    let last = table.last()?;
    let (_, mut choice) = (0..).zip(last).map(|(index, (sum, ..))| (*sum, index)).min()?;
    let mut moves = Vec::new();
    for (run, choices) in runs.iter().zip(table).rev() {
        let (_, end, before) = choices.get(choice)?;
        let column = end - run.cells.len();
        moves.push(column.checked_signed_diff(run.column)?);
        choice = *before;
    }
    moves.reverse();
    Some(moves)
}

fn lands(run: &Run, by: isize, counts: &BTreeSet<usize>) -> bool {
    let counted = |column: usize| {
        column.checked_add_signed(by).is_some_and(|column| counts.contains(&column))
    };
    run.anchors.iter().all(|(note, bracket)| counted(*note) || bracket.is_some_and(counted))
}

fn written(runs: &[Run], moves: &[isize], start: usize, cells: &[&Cell]) -> String {
    let blanks = || cells.iter().filter(|cell| cell.is_blank());
    let dashes = blanks().filter(|cell| cell.is_dash()).count();
    let fill = if dashes * 2 >= blanks().count() { "-" } else { " " };
    let mut columns: Vec<&str> = vec![fill; cells.len()];
    for (run, by) in runs.iter().zip(moves) {
        let Some(column) = run.column.checked_add_signed(*by) else { continue };
        let places = columns.iter_mut().skip(column.saturating_sub(start));
        for (place, cell) in places.zip(&run.cells) {
            *place = cell.text;
        }
    }
    columns.concat()
}
