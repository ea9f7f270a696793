//! Pieces: rows stacked up as systems, systems as riffs, and the words between them.

use super::lines::{Line, Row};

/// A piece of the text.
#[derive(Debug)]
pub(super) enum Piece {
    /// Lines that are no tab, as they stand.
    Words(Vec<String>),
    /// Systems that follow each other.
    Riff(Vec<Stack>),
}

/// The rows of one system, the highest string first.
#[derive(Debug)]
pub(super) struct Stack {
    pub rows: Vec<Row>,
    /// The names of chords above it, each with its column.
    pub chords: Vec<(usize, String)>,
}

/// How many strings a guitar has, and a bass: so many rows without letters can be read.
const GUITAR: usize = 6;
const BASS: usize = 4;

/// How many strings an instrument has at most.
const MOST_STRINGS: usize = 12;

/// How many lines with words may stand between the rows of one system, or between it and its chords.
const LINES_BETWEEN: usize = 2;

/// Gathers the lines of a text.
pub(super) fn gather(lines: Vec<Line>) -> Vec<Piece> {
    let mut gathering = Gathering::default();
    let mut run: Vec<Row> = Vec::new();
    let mut between: Vec<Line> = Vec::new();
    for line in lines {
        match line {
            Line::Row(row) => {
                if let Some(first) = between.first() {
                    let one_system = *first != Line::Blank && between.len() <= LINES_BETWEEN;
                    // Remarks between the rows of one system stand before it.
                    if one_system && !run.is_empty() && run.len() < GUITAR && !is_whole(&run, &row)
                    {
                        between.drain(..).for_each(|line| gathering.word(line));
                    } else {
                        gathering.system(std::mem::take(&mut run));
                        between.drain(..).for_each(|line| gathering.word(line));
                    }
                }
                run.push(row);
            }
            other if run.is_empty() => gathering.word(other),
            other => between.push(other),
        }
    }
    gathering.system(run);
    between.into_iter().for_each(|line| gathering.word(line));
    gathering.finish()
}

/// Whether rows are a whole system already, as the row behind them tells: it begins as they do.
fn is_whole(run: &[Row], next: &Row) -> bool {
    let first = run.first().and_then(|row| row.label.as_ref());
    first.is_some() && run.len() >= BASS && first == next.label.as_ref()
}

/// Whether all systems of a text are four rows of a bass: so many strings and no others.
pub(super) fn all_for_bass(pieces: &[Piece]) -> bool {
    let stacks = || {
        pieces.iter().flat_map(|piece| match piece {
            Piece::Riff(stacks) => stacks.as_slice(),
            Piece::Words(_) => &[],
        })
    };
    let is_bass = |stack: &Stack| {
        let labels = stack.rows.iter().zip(["G", "D", "A", "E"]);
        let fits = |(row, letter): (&Row, &str)| {
            row.label.as_ref().is_none_or(|label| label.eq_ignore_ascii_case(letter))
        };
        stack.rows.len() == BASS && labels.into_iter().all(fits)
    };
    stacks().next().is_some() && stacks().all(is_bass)
}

/// What is gathered.
#[derive(Default)]
struct Gathering {
    pieces: Vec<Piece>,
    /// Lines that stand behind the last riff.
    words: Vec<Line>,
}

impl Gathering {
    fn word(&mut self, line: Line) {
        self.words.push(line);
    }

    /// Takes in rows that stand together: one system or several, or no system at all.
    fn system(&mut self, rows: Vec<Row>) {
        let Some(height) = height(&rows) else {
            self.words.extend(rows.into_iter().map(|row| Line::Words(row.line)));
            return;
        };
        let mut rows = rows.into_iter().peekable();
        while rows.peek().is_some() {
            let stack: Vec<Row> = rows.by_ref().take(height).collect();
            let chords = self.chords_above();
            self.flush();
            let remarks =
                stack.iter().map(|row| row.remark.clone()).filter(|remark| !remark.is_empty());
            let mut remarks: Vec<String> = remarks.collect();
            remarks.dedup();
            self.stack(Stack { rows: stack, chords });
            self.words.extend(remarks.into_iter().map(Line::Words));
        }
    }

    /// The names of chords above the rows that come, taken out of the words.
    fn chords_above(&mut self) -> Vec<(usize, String)> {
        let near =
            self.words.iter().rev().take(LINES_BETWEEN).position(|l| matches!(l, Line::Chords(..)));
        let Some(back) = near else { return Vec::new() };
        let blanks =
            self.words.iter().rev().take(back).filter(|line| **line == Line::Blank).count();
        if blanks > 0 {
            return Vec::new();
        }
        match self.words.remove(self.words.len() - 1 - back) {
            Line::Chords(chords, _) => chords,
            _ => Vec::new(),
        }
    }

    fn stack(&mut self, stack: Stack) {
        match self.pieces.last_mut() {
            Some(Piece::Riff(stacks)) if goes_on(stacks, &stack) => stacks.push(stack),
            _ => self.pieces.push(Piece::Riff(vec![stack])),
        }
    }

    /// Makes a piece of the words so far, if there are any.
    fn flush(&mut self) {
        let words = std::mem::take(&mut self.words);
        if words.iter().all(|line| *line == Line::Blank) {
            return;
        }
        let as_they_stand = words.into_iter().map(|line| match line {
            Line::Blank => String::new(),
            Line::Row(row) => row.line,
            Line::Chords(_, line) | Line::Words(line) => line,
        });
        self.pieces.push(Piece::Words(as_they_stand.collect()));
    }

    fn finish(mut self) -> Vec<Piece> {
        self.flush();
        self.pieces
    }
}

/// Whether a system goes on from those before it: on the same strings.
fn goes_on(stacks: &[Stack], next: &Stack) -> bool {
    let labels = |stack: &Stack| stack.rows.iter().map(|row| row.label.clone()).collect::<Vec<_>>();
    stacks.last().is_some_and(|last| labels(last) == labels(next))
}

/// How many rows each system has in rows that stand together. `None` where they are no systems:
/// without letters there must be a row for every string, and something must be played.
fn height(rows: &[Row]) -> Option<usize> {
    let is_played = |c: &char| c.is_ascii_digit() || matches!(c, 'x' | 'X');
    let played = rows.iter().any(|row| row.cells.iter().any(is_played));
    let labelled = rows.iter().all(|row| row.label.is_some());
    let count = rows.len();
    let height = match count {
        _ if count.is_multiple_of(GUITAR) => Some(GUITAR),
        _ if labelled => (1..=count.min(MOST_STRINGS)).find(|height| repeats(rows, *height)),
        _ if count.is_multiple_of(BASS) => Some(BASS),
        _ => None,
    };
    height.filter(|_| (played || labelled) && count > 0)
}

/// Whether the labels of rows begin again after so many of them.
fn repeats(rows: &[Row], height: usize) -> bool {
    let labels = |rows: &[Row]| rows.iter().map(|row| row.label.clone()).collect::<Vec<_>>();
    let mut chunks = rows.chunks(height).map(labels);
    let Some(first) = chunks.next() else { return false };
    // A single letter that comes again, as both E strings do, is no system.
    let alone = height == 1 && rows.len() > 1;
    !alone && chunks.all(|chunk| chunk == first)
}
