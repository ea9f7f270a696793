//! The repair of a row whose notes stand beside their counts: the bar's row written anew.

use super::columns::Cell;
use super::setup::Setup;
use super::slipped_note::{Slip, stands_in_place};
use super::written::{Strand, Written};
use crate::findings::Ground;
use crate::findings::Span;
use std::collections::BTreeSet;
use std::ops::Range;

/// How many columns a note may be moved.
const REACH: isize = 2;
/// The moves that are tried, a small one before a great one; of two alike the one to the left first,
/// or the one to the right.
const MOVES: [[isize; 5]; 2] = [[0, -1, 1, -REACH, REACH], [0, 1, -1, REACH, -REACH]];

/// A bar of a row written anew.
pub(super) struct Repair {
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
    /// What speaks for it: notes that have no count have plainly slipped by a column, or the author
    /// chooses.
    pub ground: Ground,
    /// The columns of the notes that are moved, and how far.
    pub moved: Vec<(usize, isize)>,
    /// The labels of the rows whose signs go along.
    pub along: Vec<String>,
}

/// Cells of a row that touch, and the notes among them that need a count.
struct Run<'c> {
    column: usize,
    cells: Vec<&'c Cell<'c>>,
    /// The columns of each note that must stand under a count: its digit's, its bracket's.
    anchors: Vec<(usize, Option<usize>)>,
    /// Whether one of its notes has no count.
    wanting: bool,
}

/// A way to move the runs.
struct Way {
    /// How far each is moved.
    moves: Vec<isize>,
    /// Whether there is no other.
    only: bool,
}

/// Writes one bar of a string's row anew with every note under a count, in order, each moved by at
/// most two columns and all of them by as few as possible. `wanting` are the columns of the notes
/// that have no count; only where they can't go under one by themselves do others make room. There are
/// two ways where notes are as near to the counts on their left as to those on their right, and none
/// where a count is too far.
pub(super) fn realigned(
    setup: &Setup,
    strand: &Strand,
    first: &Written,
    bar: usize,
    wanting: &BTreeSet<usize>,
) -> Vec<Repair> {
    let (Some(row), Some(bar)) = (setup.row(first), setup.columns.get(bar)) else {
        return Vec::new();
    };
    let Some(system) = setup.systems.get(first.row.0) else { return Vec::new() };
    let in_place = stands_in_place(system, row, bar.from, bar.to);
    let (from, to) = (bar.from.max(row.column), bar.to.min(row.end()));
    let length = to.saturating_sub(from);
    let cells: Vec<&Cell> = row.cells.iter().skip(from - row.column).take(length).collect();
    let (start, cells) = without_bar_signs(from, &cells);
    // A bar line that has slipped in between would be written over.
    if cells.iter().any(|cell| cell.text == "|" || cell.barred) {
        return Vec::new();
    }
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
    let runs = runs(start, cells, anchors, wanting);
    let end = start + cells.len();
    let ways = ways(&runs, &counts, start..end);
    let columns = |run: &Run| run.anchors.clone().into_iter().flat_map(|(at, to)| [Some(at), to]);
    let repair = |way: &Way| {
        let moved = runs.iter().zip(&way.moves).filter(|(_, by)| **by != 0);
        let moved = moved.flat_map(|(run, by)| columns(run).flatten().map(|column| (column, *by)));
        let moved: Vec<(usize, isize)> = moved.collect();
        let slipped = matches!(moved.as_slice(), [(column, by)]
            if Slip { setup, system, row, counts: &counts, column: *column, by: *by }.is_plain());
        let is_alone =
            runs.iter().zip(&way.moves).all(|(run, by)| *by == 0 || run.is_a_fret(setup));
        let plain = way.only && slipped && is_alone && in_place && !setup.has_tabs(first);
        Repair {
            span: row.span(start, end),
            text: written(&runs, &way.moves, start, cells),
            ground: if plain { Ground::SameMusic } else { Ground::Choice },
            moved,
            along: Vec::new(),
        }
    };
    ways.iter().map(repair).collect()
}

/// The ways to bring all notes under counts: those that want one by themselves, or where that can't be, all.
fn ways(runs: &[Run], counts: &BTreeSet<usize>, columns: Range<usize>) -> Vec<Way> {
    let alone = |moves: &'static [isize]| {
        let allowed = |run: &Run| if run.wanting { moves } else { &[0] };
        least_moves(runs, allowed, counts, columns.clone())
    };
    let together = |moves: &'static [isize]| {
        let way = least_moves(runs, |_| moves, counts, columns.clone())?;
        Some(Way { only: false, ..way })
    };
    let mut ways: Vec<Way> = MOVES.iter().filter_map(|moves| alone(moves)).collect();
    if ways.is_empty() {
        ways = MOVES.iter().filter_map(|moves| together(moves)).collect();
    }
    ways.dedup_by(|later, first| later.moves == first.moves);
    ways
}

impl Run<'_> {
    /// Whether it is one fret of one digit that the neck has, without a sign before or behind it. Two
    /// digits may be two notes, of which one was meant where it stands.
    fn is_a_fret(&self, setup: &Setup) -> bool {
        match self.cells.as_slice() {
            [only] => {
                only.digit().is_some_and(|fret| fret <= u32::from(setup.instrument.last_fret()))
            }
            _ => false,
        }
    }
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
    wanting: &BTreeSet<usize>,
) -> Vec<Run<'c>> {
    let mut runs: Vec<Run> = Vec::new();
    let mut touching = false;
    for (column, cell) in (start..).zip(cells) {
        let blank = cell.is_blank();
        if !blank && !touching {
            runs.push(Run { column, cells: Vec::new(), anchors: Vec::new(), wanting: false });
        }
        if let Some(run) = runs.last_mut().filter(|_| !blank) {
            run.cells.push(cell);
        }
        touching = !blank;
    }
    for anchor in anchors {
        let next = runs.partition_point(|run| run.column <= anchor.0);
        if let Some(run) = next.checked_sub(1).and_then(|index| runs.get_mut(index)) {
            run.wanting |= wanting.contains(&anchor.0);
            run.anchors.push(anchor);
        }
    }
    runs
}

/// A run at a place, those before it placed as well as can be.
struct Choice {
    /// The least sum of moves so far.
    sum: isize,
    /// One past its last column.
    end: usize,
    /// The choice for the run before it.
    before: usize,
    /// How many ways lead here; more than two are two.
    ways: usize,
}

/// For each run the move, of those that it may make, that brings its notes under counts, least in sum,
/// runs kept in order and apart.
fn least_moves<'m>(
    runs: &[Run],
    allowed: impl Fn(&Run) -> &'m [isize],
    counts: &BTreeSet<usize>,
    columns: Range<usize>,
) -> Option<Way> {
    let mut table: Vec<Vec<Choice>> = Vec::new();
    for run in runs {
        let mut choices = Vec::new();
        for by in allowed(run).iter().copied() {
            let Some(column) = run.column.checked_add_signed(by) else { continue };
            let end = column + run.cells.len();
            if column < columns.start || end > columns.end || !lands(run, by, counts) {
                continue;
            }
            let before = match table.last() {
                None => Some((0, 0, 1)),
                Some(choices) => best_before(choices, column),
            };
            if let Some((sum, before, ways)) = before {
                choices.push(Choice { sum: sum + by.abs(), end, before, ways });
            }
        }
        table.push(choices);
    }
    let ways: usize = table.last()?.iter().map(|choice| choice.ways).sum();
    Some(Way { moves: trace(runs, &table)?, only: ways == 1 })
}

/// Of the choices that end before a column the least sum, which that is, and how many ways there are.
fn best_before(choices: &[Choice], column: usize) -> Option<(isize, usize, usize)> {
    let fit = || (0..).zip(choices).filter(|(_, choice)| choice.end < column);
    let (sum, index) = fit().map(|(index, choice)| (choice.sum, index)).min()?;
    let ways: usize = fit().map(|(_, choice)| choice.ways).sum();
    Some((sum, index, ways.min(2)))
}

/// Follows the least sum back from the last run to the first.
fn trace(runs: &[Run], table: &[Vec<Choice>]) -> Option<Vec<isize>> {
    let last = table.last()?;
    let (_, mut at) = (0..).zip(last).map(|(index, choice)| (choice.sum, index)).min()?;
    let mut moves = Vec::new();
    for (run, choices) in runs.iter().zip(table).rev() {
        let choice = choices.get(at)?;
        let column = choice.end - run.cells.len();
        moves.push(column.checked_signed_diff(run.column)?);
        at = choice.before;
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
