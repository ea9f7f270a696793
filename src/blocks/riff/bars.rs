//! Bar lines: which columns they stand in, what repeats there, and the bars between them.

use super::adrift::Frame;
use super::columns::Cell;
use super::lines::{Row, System};
use super::rows::{self, Part};
use super::shared_bar_lines::{counted_columns, extent, shared_columns};
use crate::findings::Findings;
use crate::findings::Span;
use crate::findings::rules::block_syntax;
use crate::neck::Tuning;
use std::collections::BTreeSet;
use std::ops::{Range, RangeInclusive};

/// How often a repeat may be played in all; assumed to be more than any lesson asks for.
const MOST_TIMES: u32 = 99;

/// The columns of one bar.
#[derive(Debug, Clone)]
pub(super) struct BarColumns {
    /// Its first column.
    pub from: usize,
    /// One past its last column.
    pub to: usize,
    /// The system that it stands in.
    pub system: usize,
    /// The columns in which a chord, an ending or a meter stands at the bar's beginning.
    pub first: RangeInclusive<usize>,
    /// Where it stands in its system's first row.
    pub span: Span,
    /// Where it stands in each row of its system, the bar line behind it included.
    pub rows: Vec<Span>,
    /// The rows of its system, by their places, of which nobody can tell what belongs in this bar, for
    /// a bar line of theirs stands astray; that has been reported.
    pub astray: BTreeSet<usize>,
    /// Whether a repeat begins with it.
    pub repeat_start: bool,
    /// How many times in all the repeat that it ends is played.
    pub repeat_end: Option<u32>,
    /// Whether it ends with a double bar.
    pub double_end: bool,
}

/// A bar line of a system.
#[derive(Debug, Clone, Default)]
struct BarLine {
    column: usize,
    /// The last column of its signs in any row, the number of times left aside.
    last: usize,
    repeat_end: Option<u32>,
    repeat_start: bool,
    double: bool,
}

/// Finds the bars of every system and marks the cells of their bar lines, so that no row reads
/// them again.
///
/// `first_number` is the number of the first bar.
pub(super) fn lay_out(
    systems: &mut [System],
    tuning: &Tuning,
    first_number: usize,
    findings: &mut Findings,
) -> Vec<BarColumns> {
    let mut bars: Vec<BarColumns> = Vec::new();
    for (index, system) in systems.iter_mut().enumerate() {
        let columns = shared_columns(system);
        let counts = counted_columns(system);
        let frame = Frame {
            columns: &columns,
            music: extent(system, |cell| !cell.is_space()),
            counts: &counts,
            first_number: bars.len() + first_number,
            tuning,
        };
        let mut astray = Vec::new();
        for (place, row) in system.rows.iter_mut().enumerate() {
            frame.restore(row, findings);
            frame.straighten(row, findings);
            astray.push((place, frame.report(row, findings)));
        }
        let lines: Vec<BarLine> =
            columns.iter().map(|column| read_line(system, *column, findings)).collect();
        for row in &mut system.rows {
            mark_strays(row);
        }
        let before = bars.len();
        let astray = Astray(astray);
        cut(system, index, &lines, &astray, &mut bars);
        for bar in bars.iter_mut().skip(before) {
            bar.astray = astray.rows(bar.from..bar.to).collect();
        }
    }
    bars
}

/// Reads what a bar line says in all rows, and marks its cells.
fn read_line(system: &mut System, column: usize, findings: &mut Findings) -> BarLine {
    let mut line = BarLine { column, last: column, ..BarLine::default() };
    let mut dots_before = false;
    for row in &mut system.rows {
        let Some(index) = column.checked_sub(row.column) else { continue };
        let length = row.cells.iter().skip(index).take_while(|cell| cell.text == "|").count();
        if length == 0 {
            continue;
        }
        mark(row, index, length);
        line.double |= length > 1;
        line.last = line.last.max(column + length - 1);
        if is_colon(row.cells.get(index + length)) {
            mark(row, index + length, 1);
            line.repeat_start = true;
            line.last = line.last.max(column + length);
        }
        if index.checked_sub(1).is_some_and(|before| is_colon(row.cells.get(before))) {
            mark(row, index - 1, 1);
            dots_before = true;
        }
    }
    if dots_before {
        line.repeat_end = Some(times(system, column, findings));
    }
    line
}

fn is_colon(cell: Option<&Cell>) -> bool {
    cell.is_some_and(|cell| cell.text == ":")
}

fn mark(row: &mut Row, from: usize, length: usize) {
    for cell in row.cells.iter_mut().skip(from).take(length) {
        cell.barred = true;
    }
}

/// Marks the bar lines that stand in no shared column, which have been reported.
fn mark_strays(row: &mut Row) {
    for cell in row.cells.iter_mut().filter(|cell| cell.text == "|") {
        cell.barred = true;
    }
}

/// How often a repeat is played: the `x3` behind it in the count row, else twice.
fn times(system: &mut System, column: usize, findings: &mut Findings) -> u32 {
    let Some(row) = system.rows.iter_mut().find(|row| row.is(&rows::Count)) else { return 2 };
    let Some(index) = column.checked_sub(row.column) else { return 2 };
    let signs = row.cells.iter().skip(index).take_while(|cell| cell.barred).count();
    let start = index + signs;
    if signs == 0 || !row.cells.get(start).is_some_and(|cell| matches!(cell.text, "x" | "×")) {
        return 2;
    }
    let digits = row.cells.iter().skip(start + 1).map_while(Cell::digit);
    let (number, length) = digits.fold((0_u32, 0), |(number, length), digit| {
        (number.saturating_mul(10).saturating_add(digit), length + 1)
    });
    mark(row, start, length + 1);
    if (2..=MOST_TIMES).contains(&number) {
        return number;
    }
    let span = row.span(row.column + start, row.column + start + length + 1);
    let message = format!("a repeat is played 2 to {MOST_TIMES} times");
    findings.add(block_syntax::at(span, message));
    2
}

/// The columns of each row, by its place, in which nobody can tell what belongs where.
struct Astray(Vec<(usize, Vec<Range<usize>>)>);

impl Astray {
    /// The rows that are astray somewhere between two columns.
    fn rows(&self, columns: Range<usize>) -> impl Iterator<Item = usize> {
        let touches =
            move |range: &Range<usize>| range.start < columns.end && columns.start < range.end;
        let rows = self.0.iter().filter(move |(_, ranges)| ranges.iter().any(&touches));
        rows.map(|(place, _)| *place)
    }
}

/// Whether there is music between two columns before the first bar line or behind the last: some row
/// has a sign there that isn't astray, or most of the rows that have a column for every count are
/// drawn on. Where a row's bar line alone stands too far right, dashes of that row are no bar.
fn is_bar(system: &System, columns: Range<usize>, astray: &Astray) -> bool {
    let lost: BTreeSet<usize> = astray.rows(columns.clone()).collect();
    let says = |row: &Row, counts: fn(&Cell) -> bool| {
        let mut cells = row.columns().filter(|(column, _)| columns.contains(column));
        cells.any(|(_, cell)| !cell.barred && !cell.is_space() && counts(cell))
    };
    let music = || system.rows.iter().enumerate().filter(|(_, row)| row.is_music());
    let mut sure = music().filter(|(place, _)| !lost.contains(place));
    if sure.any(|(_, row)| says(row, |cell| !cell.is_dash())) {
        return true;
    }
    let drawn: Vec<bool> = music()
        .filter(|(_, row)| row.part() == Part::Music)
        .map(|(_, row)| says(row, |cell| cell.is_dash()))
        .collect();
    drawn.iter().filter(|drawn| **drawn).count() * 2 > drawn.len()
}

/// Cuts a system into its bars.
fn cut(
    system: &System,
    index: usize,
    lines: &[BarLine],
    astray: &Astray,
    bars: &mut Vec<BarColumns>,
) {
    let written = |from: usize, to: usize| is_bar(system, from..to, astray);
    let start = system.rows.iter().map(begins).min().unwrap_or(0);
    let end = system.rows.iter().map(Row::end).max().unwrap_or(start);
    let head = BarLine { column: start, last: start, ..BarLine::default() };
    let opening = lines.first().map_or(end, |line| line.column);
    if written(start, opening) {
        bars.push(bar(
            system,
            index,
            start,
            start..=unopened(system, start),
            &head,
            lines.first(),
            end,
        ));
    } else if let (Some(line), Some(before)) = (lines.first(), bars.last_mut()) {
        before.double_end |= line.double;
        before.repeat_end = before.repeat_end.or(line.repeat_end);
    }
    for (place, line) in lines.iter().enumerate() {
        let next = lines.get(place + 1);
        if next.is_some() || written(line.last + 1, end) {
            let first = line.column + 1..=line.last + 1;
            bars.push(bar(system, index, line.column + 1, first, line, next, end));
        } else if let Some(last) = bars.last_mut().filter(|bar| bar.system == index) {
            // What a row has behind the last bar line belongs to no bar; it is shown at the last one.
            last.rows = system.rows.iter().map(|row| row.span(last.from, row.end())).collect();
        }
    }
}

/// The last column that counts as the beginning of a bar without a bar line before it.
fn unopened(system: &System, start: usize) -> usize {
    system.rows.iter().filter(|row| row.is_string()).map(begins).max().unwrap_or(start)
}

/// The first column of a row in which something is written.
fn begins(row: &Row) -> usize {
    row.columns().find(|(_, cell)| !cell.is_space()).map_or(row.end(), |(column, _)| column)
}

fn bar(
    system: &System,
    index: usize,
    from: usize,
    first: RangeInclusive<usize>,
    line: &BarLine,
    next: Option<&BarLine>,
    end: usize,
) -> BarColumns {
    let to = next.map_or(end, |next| next.column);
    BarColumns {
        from,
        to,
        system: index,
        first,
        span: system.rows.first().map(|row| row.span(from, to)).unwrap_or_default(),
        rows: system.rows.iter().map(|row| row.span(from, to + 1)).collect(),
        astray: BTreeSet::new(),
        repeat_start: line.repeat_start,
        repeat_end: next.and_then(|next| next.repeat_end),
        double_end: next.is_some_and(|next| next.double),
    }
}
