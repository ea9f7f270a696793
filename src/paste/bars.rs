//! Bars: the rows of a system laid side by side and cut at their bar lines.

use super::row::{Row, is_bar_line, is_dash};
use std::collections::BTreeSet;

/// A bar of a system.
#[derive(Debug)]
pub(super) struct Bar {
    /// What stands in it, row by row; rows need not be equally long.
    pub rows: Vec<Vec<char>>,
    /// The column of the text at which its first row begins.
    pub from: usize,
    /// The bar line at its end.
    pub end: BarLine,
}

/// How a bar line looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct BarLine {
    pub double: bool,
    pub repeat_start: bool,
    pub repeat_end: bool,
    /// The sign that its dots are typed with, a colon if any row has one.
    pub dot: Option<char>,
}

impl BarLine {
    /// As the lesson language writes it.
    pub fn written(self) -> &'static str {
        match (self.repeat_end, self.repeat_start, self.double) {
            (true, true, _) => ":|:",
            (true, false, _) => ":|",
            (false, true, _) => "|:",
            (false, false, true) => "||",
            (false, false, false) => "|",
        }
    }

    fn with(self, other: BarLine) -> BarLine {
        BarLine {
            double: self.double || other.double,
            repeat_start: self.repeat_start || other.repeat_start,
            repeat_end: self.repeat_end || other.repeat_end,
            dot: other.dot.filter(|dot| *dot == ':').or(self.dot).or(other.dot),
        }
    }
}

/// A system in bars.
#[derive(Debug)]
pub(super) struct Cut {
    /// The bar line before the first bar.
    pub start: BarLine,
    pub bars: Vec<Bar>,
    /// How many rows have a stroke behind the last bar, as a bracket beside a system is drawn.
    pub strokes: usize,
    /// What had to be guessed, in words.
    pub guesses: BTreeSet<String>,
}

/// How far apart the bar lines of two rows may be and still be one, in columns.
const LOOSE: usize = 2;

/// A bar line in a row.
#[derive(Debug, Clone, Copy)]
struct Mark {
    /// Its first column, counted from the row's first cell, and one past its last.
    from: usize,
    to: usize,
    line: BarLine,
}

/// A row with its bar lines found.
struct Ruled<'r> {
    cells: &'r [char],
    /// How many columns to leave out at the front for the rows to stand in line.
    front: usize,
    /// The bar lines but the one that the row begins with.
    marks: Vec<Mark>,
    /// The one that it begins with.
    first: Option<Mark>,
}

/// The most dashes between the letters of the strings and the first bar line that are no bar: `E-|`.
const WIDEST_GAP: usize = 2;

/// Takes the few dashes away that stand before the first bar line of every row: they part it from the
/// string's letter.
pub(super) fn take_dashes_before(rows: &mut [Row]) {
    let dashes = |row: &Row| row.cells.iter().take_while(|c| is_dash(**c)).count();
    let is_gap = |row: &Row| {
        let gap = dashes(row);
        gap <= WIDEST_GAP && row.cells.get(gap).is_some_and(|c| is_bar_line(*c))
    };
    if !rows.iter().all(is_gap) {
        return;
    }
    for row in rows {
        let gap = dashes(row);
        row.cells.drain(..gap);
        row.start += gap;
    }
}

/// Cuts a system into its bars.
pub(super) fn cut(written: &[Row]) -> Cut {
    let mut rows: Vec<Ruled<'_>> = written.iter().map(ruled).collect();
    line_up(&mut rows, written);
    drop_blank_front(&mut rows);
    let start =
        rows.iter().filter_map(|row| row.first).fold(BarLine::default(), |all, m| all.with(m.line));
    let common = common_marks(&rows);
    let pieces: Vec<Vec<Piece<'_>>> = rows.iter().map(|row| pieces(row, &common)).collect();
    let count = pieces.iter().map(Vec::len).max().unwrap_or(0);
    let lead = rows.first().zip(written.first()).map_or(0, |(ruled, row)| row.start + ruled.front);
    let mut guesses = BTreeSet::new();
    let mut bars: Vec<Bar> = (0..count).map(|index| bar(&pieces, index, lead)).collect();
    bars.iter_mut().for_each(|bar| guesses.extend(take_stars(bar)));
    take_waves_behind(&mut bars);
    let mut bars = without_gaps(bars, &mut guesses);
    let mut strokes = 0;
    while let Some(blank) = bars.pop_if(|bar| is_blank(bar)) {
        strokes += blank.rows.iter().filter(|row| !row.is_empty()).count();
    }
    Cut { start, bars, strokes, guesses }
}

/// The bars without the gaps of white space between two bar lines, which are told.
fn without_gaps(bars: Vec<Bar>, guesses: &mut BTreeSet<String>) -> Vec<Bar> {
    let last = bars.iter().rposition(|bar| !is_blank(bar));
    let mut kept: Vec<Bar> = Vec::new();
    for (index, bar) in bars.into_iter().enumerate() {
        let is_gap = is_blank(&bar) && last.is_some_and(|last| index < last);
        match kept.last_mut().filter(|_| is_gap) {
            Some(before) => {
                before.end = before.end.with(bar.end);
                guesses.insert("a gap between two bar lines is no bar".to_string());
            }
            None => kept.push(bar),
        }
    }
    kept
}

/// Gives the last bar the waves that stand behind its line in some rows and nothing in the others: vibrato
/// on the last notes, and no bar of its own.
fn take_waves_behind(bars: &mut Vec<Bar>) {
    let [.., last, behind] = bars.as_mut_slice() else { return };
    let is_wavy = |row: &Vec<char>| !row.is_empty() && row.iter().all(|c| matches!(c, '~' | ' '));
    let wavy: Vec<bool> = behind.rows.iter().map(is_wavy).collect();
    let others = behind.rows.iter().filter(|row| !is_wavy(row));
    if !wavy.contains(&true) || !others.clone().all(Vec::is_empty) || others.count() == 0 {
        return;
    }
    for (row, _) in last.rows.iter_mut().zip(wavy).filter(|(_, wavy)| *wavy) {
        if let Some(cell) = row.last_mut().filter(|cell| is_dash(**cell)) {
            *cell = '~';
        }
    }
    bars.pop();
}

/// Whether nothing stands in a bar but white space and strokes.
fn is_blank(bar: &Bar) -> bool {
    bar.rows.iter().flatten().all(|c| *c == ' ' || is_bar_line(*c))
}

fn ruled(row: &Row) -> Ruled<'_> {
    let mut marks = marks(&row.cells);
    let first = marks.first().copied().filter(|mark| mark.from == 0);
    if first.is_some() {
        marks.remove(0);
    }
    Ruled { cells: &row.cells, front: first.map_or(0, |mark| mark.to), marks, first }
}

/// The bar lines in a row. The dots of a repeat stay in the bars, since other rows have dashes there.
fn marks(cells: &[char]) -> Vec<Mark> {
    let is_line = |at: usize| cells.get(at).is_some_and(|c| is_bar_line(*c));
    let mut marks = Vec::new();
    let mut at = 0;
    while at < cells.len() {
        if !is_line(at) {
            at += 1;
            continue;
        }
        let end = (at..cells.len()).find(|next| !is_line(*next)).unwrap_or(cells.len());
        let before = at.checked_sub(1).filter(|at| is_dot(cells, *at));
        let behind = Some(end).filter(|at| is_dot(cells, *at));
        let (repeat_end, repeat_start) = (before.is_some(), behind.is_some());
        let dot = before.or(behind).and_then(|at| cells.get(at)).copied();
        let heavy = cells.get(at).is_some_and(|c| matches!(c, '‖' | '┃'));
        marks.push(Mark {
            from: at,
            to: end,
            line: BarLine { double: heavy || end > at + 1, repeat_start, repeat_end, dot },
        });
        at = end + 1;
    }
    marks
}

/// Whether a cell is the dot of a repeat. A star behind a fret is a harmonic.
fn is_dot(cells: &[char], at: usize) -> bool {
    let behind_fret =
        at.checked_sub(1).and_then(|at| cells.get(at)).is_some_and(char::is_ascii_digit);
    match cells.get(at) {
        Some(':') => true,
        Some('*' | 'o' | 'O') => !behind_fret,
        _ => false,
    }
}

/// Takes away the stars behind frets at a bar's end that are dots of its repeat sign, as those in other
/// rows are; what is guessed so.
fn take_stars(bar: &mut Bar) -> Option<String> {
    if !bar.end.repeat_end || bar.end.dot != Some('*') {
        return None;
    }
    let is_star =
        |row: &Vec<char>| matches!(row.as_slice(), [.., fret, '*'] if fret.is_ascii_digit());
    let mut taken = false;
    for last in bar.rows.iter_mut().filter(|row| is_star(row)).filter_map(|row| row.last_mut()) {
        *last = '-';
        taken = true;
    }
    taken.then(|| {
        "a star between a fret and `|` is a repeat sign's, as in the other rows".to_string()
    })
}

/// Leaves out the columns of white space that all rows begin with: no time passes in them.
fn drop_blank_front(rows: &mut [Ruled<'_>]) {
    let blank = rows.iter().map(|row| blank_front(row)).min().unwrap_or(0);
    rows.iter_mut().for_each(|row| row.front += blank);
}

/// How many spaces stand before the first sign of a row.
fn blank_front(row: &Ruled<'_>) -> usize {
    row.cells.iter().skip(row.front).take_while(|c| **c == ' ').count()
}

/// Rows may stand in line as the file has them, or each from its first bar line on: whichever leaves
/// fewer places at which bar lines stand, or first signs behind white space.
fn line_up(rows: &mut [Ruled<'_>], written: &[Row]) {
    let places = |column: &dyn Fn(usize, usize) -> usize| {
        let columns = rows
            .iter()
            .enumerate()
            .flat_map(|(index, row)| edges(row).map(move |edge| column(index, edge)));
        columns.collect::<BTreeSet<usize>>().len()
    };
    let fronts: Vec<usize> = rows.iter().map(|row| row.front).collect();
    let starts: Vec<usize> = written.iter().map(|row| row.start).collect();
    let of = |list: &[usize], index: usize| list.get(index).copied().unwrap_or(0);
    let by_bar_line = places(&|index, from| from.saturating_sub(of(&fronts, index)));
    let by_file = places(&|index, from| from + of(&starts, index));
    if by_file >= by_bar_line {
        return;
    }
    let content =
        rows.iter().zip(written).map(|(row, line)| row.front + line.start).max().unwrap_or(0);
    for (row, line) in rows.iter_mut().zip(written) {
        // Never past a note: what stands there was meant to be heard.
        let wanted = content.saturating_sub(line.start);
        let is_blank = |c: &char| is_dash(*c) || is_bar_line(*c) || *c == ' ';
        let free = row.cells.iter().position(|c| !is_blank(c)).unwrap_or(row.cells.len());
        row.front = wanted.min(free);
    }
}

/// The columns of a row that tell how it stands to others: its bar lines, and its first sign where white
/// space comes before that.
fn edges(row: &Ruled<'_>) -> impl Iterator<Item = usize> {
    let blank = Some(blank_front(row)).filter(|blank| *blank > 0);
    row.marks.iter().map(|mark| mark.from).chain(blank.map(|blank| row.front + blank))
}

/// The columns of the bar lines that at least half the rows have; `None` where all rows have equally
/// many, so that each is cut at its own.
fn common_marks(rows: &[Ruled<'_>]) -> Option<Vec<usize>> {
    let count = rows.first().map_or(0, |row| row.marks.len());
    if rows.iter().all(|row| row.marks.len() == count) {
        return None;
    }
    let mut columns: Vec<usize> = rows.iter().flat_map(columns_of).collect();
    columns.sort_unstable();
    let mut common: Vec<usize> = Vec::new();
    for group in columns.chunk_by(|one, next| next - one <= LOOSE) {
        let middle = group.get(group.len() / 2).copied();
        common.extend(middle.filter(|_| group.len() * 2 >= rows.len()));
    }
    Some(common)
}

fn columns_of<'r>(row: &'r Ruled<'_>) -> impl Iterator<Item = usize> + 'r {
    row.marks.iter().map(|mark| mark.from.saturating_sub(row.front))
}

/// What a row has of a bar.
struct Piece<'r> {
    /// Its first column.
    from: usize,
    cells: &'r [char],
    end: BarLine,
}

fn pieces<'r>(row: &Ruled<'r>, common: &Option<Vec<usize>>) -> Vec<Piece<'r>> {
    let marks = match common {
        None => row.marks.clone(),
        Some(columns) => columns.iter().map(|column| mark_near(row, *column)).collect(),
    };
    let mut from = row.front.min(row.cells.len());
    let mut pieces = Vec::new();
    let end = Mark { from: row.cells.len(), to: row.cells.len(), line: BarLine::default() };
    for mark in marks.into_iter().chain([end]) {
        let cells = row.cells.get(from..mark.from.max(from)).unwrap_or_default();
        pieces.push(Piece { from: from - row.front.min(from), cells, end: mark.line });
        from = mark.to.max(from);
    }
    pieces
}

/// A row's own bar line near a column, or else a cut there that parts no digits.
fn mark_near(row: &Ruled<'_>, column: usize) -> Mark {
    let at = column + row.front;
    let near = row.marks.partition_point(|mark| mark.from + LOOSE < at);
    let own = row.marks.get(near).filter(|mark| mark.from <= at + LOOSE);
    let is_digit = |at: usize| row.cells.get(at).is_some_and(char::is_ascii_digit);
    let mut cut = at;
    while cut > 0 && is_digit(cut) && is_digit(cut - 1) {
        cut += 1;
    }
    let cut = cut.min(row.cells.len());
    own.copied().unwrap_or(Mark { from: cut, to: cut, line: BarLine::default() })
}

fn bar(pieces: &[Vec<Piece<'_>>], index: usize, lead: usize) -> Bar {
    let here = || pieces.iter().map(|row| row.get(index));
    Bar {
        rows: here().map(|piece| piece.map(|p| p.cells.to_vec()).unwrap_or_default()).collect(),
        from: lead + here().next().flatten().map_or(0, |piece| piece.from),
        end: here().flatten().fold(BarLine::default(), |all, piece| all.with(piece.end)),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// The bars of a system, each row's parted by bar lines.
    fn told(lines: &[&str]) -> Vec<String> {
        let rows: Vec<Row> = lines.iter().map(|line| Row::read(line).unwrap()).collect();
        let cut = cut(&rows);
        let row = |row: usize| {
            let bars = cut.bars.iter().map(|bar| bar.rows[row].iter().collect::<String>());
            bars.collect::<Vec<String>>().join("|")
        };
        (0..rows.len()).map(row).collect()
    }

    #[test]
    fn white_space_and_colons_before_a_row_are_no_time() {
        for (lines, expected) in [
            (["e|   -0--|-2-|", "B|   ----|---|"], ["-0--|-2-", "----|---"]),
            (["e|   0---", "Bb|  ----"], ["0---", "----"]),
            (["e|   0--|-2-", "Bb|  ---|---"], ["0--|-2-", "---|---"]),
            (["E:2-2-|3-3-|", "B:----|----|"], ["2-2-|3-3-", "----|----"]),
            (["E: 2-2-|3-3-|", "Bb:----|----|"], ["2-2-|3-3-", "----|----"]),
            (["E: |2-2-|3-3-|", "B: |----|----|"], ["2-2-|3-3-", "----|----"]),
            (["e|  0  2 ---|-2-|", "B|-------1--|---|"], ["  0  2 ---|-2-", "-------1--|---"]),
        ] {
            assert_eq!(told(&lines), expected, "{lines:?}");
        }
    }

    #[test]
    fn a_star_behind_a_fret_is_a_harmonic_or_a_dot() {
        for (lines, expected, guesses) in [
            (["e|-5--7*|", "B|-----*|"], ["-5--7-", "-----*"], 1),
            (["e|-5--7*|", "B|------|"], ["-5--7*", "------"], 0),
            (["e|-5--7*|", "B|-----:|"], ["-5--7*", "-----:"], 0),
            (["e|-5-7*-|", "B|-----*|"], ["-5-7*-", "-----*"], 0),
        ] {
            assert_eq!(told(&lines), expected, "{lines:?}");
            let rows: Vec<Row> = lines.iter().map(|line| Row::read(line).unwrap()).collect();
            assert_eq!(cut(&rows).guesses.len(), guesses, "{lines:?}");
        }
    }
}
