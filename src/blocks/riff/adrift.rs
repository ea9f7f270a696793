//! Bar lines that stand beside those of the other rows.

use super::columns::Cell;
use super::lines::{Row, Says};
use super::place;
use super::rows::{self, Part};
use super::shared_bar_lines::lines_of;
use crate::findings::rules::bar_adrift;
use crate::findings::{Finding, Findings, Ground, Span};
use crate::neck::Tuning;
use crate::words::numbered;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// A row whose last bar line stands more columns late or early than this is not taken for one that
/// only slipped; assumed, from what slips as one types.
const FARTHEST_SLIP: usize = 4;

/// The bar lines that the rows of a system share.
pub(super) struct Frame<'f> {
    /// Their columns, rising.
    pub columns: &'f [usize],
    /// The first and the last column of the system's music: bar lines outside may be left out.
    pub music: Option<(usize, usize)>,
    /// The columns of the system's counts.
    pub counts: &'f BTreeSet<usize>,
    /// The number of the system's first bar.
    pub first_number: usize,
    /// The strings, for their names.
    pub tuning: &'f Tuning,
}

impl Frame<'_> {
    /// Puts back the bar lines that a row lacks, where all that stands behind one runs a column early
    /// for want of it.
    pub fn restore(&self, row: &mut Row, findings: &mut Findings) {
        while let Some(column) = self.lacking(row) {
            let span = row.span(column, column + 1);
            let place = Span::new(span.start, span.start);
            let finding = bar_adrift::missing_before(span, &self.line(row, column));
            findings.add(finding.fix("the bar line", place, "|", Ground::Choice));
            row.cells.insert(column - row.column, Cell { text: "|", span: place, barred: false });
        }
    }

    /// The column of the first bar line that a row lacks so that what is behind it runs early.
    fn lacking(&self, row: &Row) -> Option<usize> {
        let own = lines_of(row);
        let (first, last) = self.music.filter(|_| !own.is_empty())?;
        let inside = |column: &usize| {
            (first..=last).contains(column) && (row.column..row.end()).contains(column)
        };
        let lacks = |column: &usize| {
            let before = own.get(..own.partition_point(|line| line < column));
            let is_right = before.and_then(<[usize]>::last).is_none_or(|line| self.has(*line));
            is_right && inside(column) && own.binary_search(column).is_err()
        };
        let runs_early = |column: &usize| {
            let behind = own.partition_point(|line| line < column);
            let to = own.get(behind).copied();
            let shared = self.columns.partition_point(|shared| shared <= column);
            let early = to.map(|to| self.columns.get(shared) == Some(&(to + 1)));
            let counted = |late| self.counted(row, *column..to.unwrap_or(row.end()), late);
            match early {
                Some(early) => early && (row.is(&rows::Count) || counted(-1) >= counted(0)),
                None => counted(-1) > counted(0),
            }
        };
        self.columns.iter().copied().filter(lacks).find(runs_early)
    }

    /// How many of a row's signs between two columns stand under counts, if they are taken to be so
    /// many columns late.
    fn counted(&self, row: &Row, between: Range<usize>, late: isize) -> usize {
        let signs = row.columns().filter(|(column, cell)| {
            between.contains(column) && !cell.is_blank() && cell.text != "|"
        });
        let columns = signs.filter_map(|(column, _)| column.checked_add_signed(-late));
        columns.filter(|column| self.counts.contains(column)).count()
    }

    /// Takes back the slips of a row that runs late or early from one bar line on, as after a dash
    /// too many or too few: each is reported once, and what follows is read where it belongs.
    pub fn straighten(&self, row: &mut Row, findings: &mut Findings) {
        let own = lines_of(row);
        // Columns that the row runs late, all slips so far taken together, and where to mend it.
        let mut late: isize = 0;
        let mut slips: Vec<(usize, isize)> = Vec::new();
        for (index, column) in own.iter().enumerate() {
            let Some(at) = column.checked_add_signed(-late) else { return };
            let next = own.get(index + 1).and_then(|next| next.checked_add_signed(-late));
            let line = column - row.column;
            let Some(slip) = self.slip(at) else { continue };
            let with_rest = match next {
                Some(next) => self.rest_slips(next, slip),
                None if slip.unsigned_abs() > FARTHEST_SLIP => false,
                None => self.notes_slip(row, *column, late, slip),
            };
            if !with_rest {
                continue;
            }
            if slip > 0 && !blank_before(row, line, slip.unsigned_abs()) {
                continue;
            }
            findings.add(self.slipped(row, *column, at, slip));
            slips.push((line, slip));
            late += slip;
        }
        mend(row, &slips);
    }

    /// How many columns late a bar line stands that is none of the others'.
    fn slip(&self, at: usize) -> Option<isize> {
        let wanted = self.neighbours(at).min_by_key(|wanted| wanted.abs_diff(at))?;
        at.checked_signed_diff(wanted).filter(|slip| *slip != 0)
    }

    /// Whether the bar line behind one that slipped is as late.
    fn rest_slips(&self, next: usize, slip: isize) -> bool {
        !self.has(next) && next.checked_add_signed(-slip).is_some_and(|next| self.has(next))
    }

    /// Whether more of the notes behind a row's last bar line stand under counts if they are taken
    /// to be late with it; so they are where there are none.
    fn notes_slip(&self, row: &Row, line: usize, late: isize, slip: isize) -> bool {
        let mut behind = row.columns().skip_while(|(column, _)| *column <= line);
        if behind.all(|(_, cell)| cell.is_space()) {
            return true;
        }
        let counted = |late: isize| self.counted(row, line + 1..row.end(), late);
        counted(late + slip) > counted(late)
    }

    fn slipped(&self, row: &Row, column: usize, at: usize, slip: isize) -> Finding {
        let wanted = at.saturating_add_signed(-slip);
        let distance = numbered(slip.unsigned_abs(), "column");
        let side = if slip > 0 { "right" } else { "left" };
        let behind = row.cells.iter().skip(column - row.column + 1);
        let (span, line) = (row.span(column, column + 1), self.line(row, wanted));
        let (finding, ground) = match behind.clone().all(Cell::is_space) {
            true => {
                (bar_adrift::beside(span, &line, &distance, side), self.ground_of_line(row, column))
            }
            false => (bar_adrift::beside_with_all(span, &line, &distance, side), Ground::Choice),
        };
        if slip > 0 {
            let span = row.span(column - slip.unsigned_abs(), column + 1);
            let says = format!("{distance} less before the bar line");
            return finding.fix(says, span, "|", ground);
        }
        let text = format!("{}|", blanks(row).repeat(slip.unsigned_abs()));
        let span = row.span(column, column + 1);
        finding.fix(format!("{distance} more before the bar line"), span, text, ground)
    }

    /// Reports the bar lines of a row that stand beside those of its system, and those that a
    /// string or count row lacks. Hands over the columns in which nobody can tell what belongs where:
    /// from the last bar line before one that can't just be put back to the next that is right.
    /// There one finding stands for all that comes of it.
    pub fn report(&self, row: &Row, findings: &mut Findings) -> Vec<Range<usize>> {
        let own: BTreeSet<usize> = lines_of(row).into_iter().collect();
        let Some((first, last)) = self.music.filter(|_| !own.is_empty()) else { return Vec::new() };
        let needs_all = row.part() == Part::Music;
        let needed =
            |column: usize| needs_all && (first..=last).contains(&column) && column < row.end();
        let strays = self.strays(&own);
        let explained: BTreeSet<usize> = strays.values().flatten().copied().collect();
        let mut right = row.column;
        let mut astray: Option<usize> = None;
        let mut ranges = Vec::new();
        for column in own.iter().chain(self.columns).copied().collect::<BTreeSet<usize>>() {
            if own.contains(&column) && self.has(column) {
                ranges.extend(astray.take().map(|from| from..column));
                right = column;
            }
            if astray.is_some() {
                continue;
            }
            if let Some(wanted) = strays.get(&column) {
                let mut finding = self.stray(row, column, *wanted);
                if finding.fixes.is_empty() && own.first() == Some(&column) {
                    finding = finding.note("begin all rows of a system in the same column");
                }
                astray = finding.fixes.is_empty().then_some(right);
                findings.add(finding);
            } else if !own.contains(&column) && needed(column) && !explained.contains(&column) {
                let span = row.span(column, column + 1);
                findings.add(bar_adrift::missing(span, &self.line(row, column)));
            }
        }
        ranges.extend(astray.map(|from| from..row.end()));
        ranges
    }

    /// A row's bar lines that stand where the others have none, each with the one that it lacks nearby.
    fn strays(&self, own: &BTreeSet<usize>) -> BTreeMap<usize, Option<usize>> {
        let wanted = |column: usize| {
            let near = self.neighbours(column).filter(|shared| !own.contains(shared));
            near.min_by_key(|near| near.abs_diff(column))
        };
        let strays = own.iter().filter(|column| !self.has(**column));
        strays.map(|column| (*column, wanted(*column))).collect()
    }

    fn stray(&self, row: &Row, column: usize, wanted: Option<usize>) -> Finding {
        let span = row.span(column, column + 1);
        let Some(wanted) = wanted else {
            return bar_adrift::alone(span, &self.line(row, column));
        };
        let side = if column > wanted { "right" } else { "left" };
        let distance = numbered(wanted.abs_diff(column), "column");
        let finding = bar_adrift::beside(span, &self.line(row, wanted), &distance, side);
        match moved_line(row, column, wanted) {
            Some((span, replace)) => {
                let ground = self.ground_of_line(row, column);
                let finding = finding.fix("the bar line under the others", span, replace, ground);
                match moved_bar(row, column, wanted) {
                    Some((span, replace)) => {
                        let says = "the bar line under the others, and the bar behind it with it";
                        finding.fix(says, span, replace, Ground::Choice)
                    }
                    None => finding,
                }
            }
            None => finding,
        }
    }

    /// What speaks for moving a row's bar line within blanks: what stands on either side of it, up to the
    /// next bar line, is as likely to have slipped as the line; and so is another of the row's bar lines that
    /// stands beside those of the others.
    fn ground_of_line(&self, row: &Row, column: usize) -> Ground {
        let (before, behind) = row.cells.split_at(column.saturating_sub(row.column));
        let is_line = |cell: &&Cell| cell.text == "|";
        let before = before.iter().rev().take_while(|cell| !is_line(cell));
        let behind = behind.iter().skip_while(is_line).take_while(|cell| !is_line(cell));
        let others_stand = lines_of(row).iter().all(|line| *line == column || self.has(*line));
        match others_stand && before.chain(behind).all(Cell::is_space) {
            true => Ground::SameMusic,
            false => Ground::Choice,
        }
    }

    fn has(&self, column: usize) -> bool {
        self.columns.binary_search(&column).is_ok()
    }

    /// The shared bar lines on either side of a column.
    fn neighbours(&self, column: usize) -> impl Iterator<Item = usize> {
        let next = self.columns.partition_point(|shared| *shared < column);
        let before = next.checked_sub(1).and_then(|before| self.columns.get(before));
        before.into_iter().chain(self.columns.get(next)).copied()
    }

    /// "bar 2, third string: its bar line": the line at the end of a bar, in a row.
    fn line(&self, row: &Row, column: usize) -> String {
        let lines = self.columns.partition_point(|shared| *shared < column);
        let opened =
            self.columns.first().zip(self.music).is_some_and(|(line, (first, _))| *line < first);
        let bar = (self.first_number + lines).saturating_sub(usize::from(opened && lines > 0));
        match row.says {
            Says::String(string) => {
                format!("bar {bar}, {}: its bar line", place::string(self.tuning.number(string)))
            }
            Says::Kind(_) | Says::Label => {
                format!("bar {bar}: the bar line of the `{}` row", row.label)
            }
        }
    }
}

fn blank_before(row: &Row, line: usize, length: usize) -> bool {
    let Some(from) = line.checked_sub(length) else { return false };
    row.cells.iter().skip(from).take(length).all(|cell| cell.is_dash() || cell.is_space())
}

/// Leaves out the blank columns before each bar line that is late, and puts in those that are
/// wanting before one that is early. The slips rise, each by the place of its line in the row.
fn mend(row: &mut Row, slips: &[(usize, isize)]) {
    if slips.is_empty() {
        return;
    }
    let mut slips = slips.iter().peekable();
    let mut mended: Vec<Cell> = Vec::with_capacity(row.cells.len());
    for (index, cell) in row.cells.iter().enumerate() {
        if let Some((_, slip)) = slips.next_if(|(line, _)| *line == index) {
            let number = slip.unsigned_abs();
            if *slip > 0 {
                mended.truncate(mended.len().saturating_sub(number));
            } else {
                let gap = Span::new(cell.span.start, cell.span.start);
                mended.extend((0..number).map(|_| Cell { text: "-", span: gap, barred: false }));
            }
        }
        mended.push(*cell);
    }
    row.cells = mended;
}

/// The text between a stray bar line and its place with the line moved there, where nothing else
/// is written between them.
fn moved_line(row: &Row, column: usize, wanted: usize) -> Option<(Span, String)> {
    let (from, to) = (column.min(wanted), column.max(wanted));
    let index = from.checked_sub(row.column)?;
    let between: Vec<&Cell> = row.cells.iter().skip(index).take(to - from + 1).collect();
    let others = between.iter().filter(|cell| cell.text != "|");
    let free = between.len() == to - from + 1
        && others.clone().count() == to - from
        && others.clone().all(|cell| cell.is_blank());
    let rest: String = others.map(|cell| cell.text).collect();
    let text = if wanted < column { format!("|{rest}") } else { format!("{rest}|") };
    free.then(|| (row.span(from, to + 1), text))
}

/// The text from a stray bar line or its place to the next bar line with the line moved there and all of
/// the bar behind it as far, where anything stands in that bar and there is room.
fn moved_bar(row: &Row, column: usize, wanted: usize) -> Option<(Span, String)> {
    let (from, by) = (column.min(wanted), column.abs_diff(wanted));
    let bar = row.cells.iter().skip(column + 1 - row.column).take_while(|cell| cell.text != "|");
    let bar: Vec<&Cell> = bar.collect();
    let blanks = blanks(row).repeat(by);
    let text = |cells: &[&Cell]| cells.iter().map(|cell| cell.text).collect::<String>();
    let moved = match wanted < column {
        true => format!("|{}{blanks}", text(&bar)),
        false => {
            let (kept, room) = bar.split_at(bar.len().checked_sub(by)?);
            let is_free = room.iter().all(|cell| cell.is_blank());
            is_free.then(|| format!("{blanks}|{}", text(kept)))?
        }
    };
    let is_empty = bar.iter().all(|cell| cell.is_blank());
    // What was put in as the row was straightened isn't in the text, and a tab moved is of another width.
    let is_typed = bar.iter().all(|cell| cell.span.start < cell.span.end && cell.text != "\t");
    (!is_empty && is_typed).then(|| (row.span(from, column + 1 + bar.len()), moved))
}

/// What fills a row where nothing stands.
fn blanks(row: &Row) -> &'static str {
    if row.is_string() { "-" } else { " " }
}
