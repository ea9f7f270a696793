//! A string's row: its label, its tab, and what stands behind it.

use super::lines_beside;
use super::remarks;
use crate::lesson::string_label::read_label;
use crate::theory::Names;

/// A string's row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// The string's letter or number, if it is written.
    pub label: Option<String>,
    /// What follows, from the first bar line or dash on.
    pub cells: Vec<char>,
    /// The column of the first of these.
    pub start: usize,
    /// Words behind the row: `x2`.
    pub remark: String,
}

/// How many dashes make a row: fewer stand in ordinary words too.
const FEWEST_DASHES: usize = 3;

/// The same behind a letter and between bar lines.
const FEWEST_BETWEEN: usize = 2;

/// The widest that a piece behind a bar line may be for `--x4--|` in it to say how often, in columns.
const WIDEST_TIMES: usize = 8;

/// The longest words that say how often, in characters.
const LONGEST_TIMES: usize = 40;

/// The longest arrow before a remark, with what follows it, in characters.
const LONGEST_ARROW: usize = 6;

/// Whether a character is a dash of any kind, or the underscore that some write for one.
pub(super) fn is_dash(character: char) -> bool {
    matches!(character, '-' | '–' | '—' | '−' | '‐' | '‑' | '_')
}

/// The sign that some write for a dash while a note is held.
pub(super) const HOLD: char = '=';

/// Whether a character is a bar line of any kind.
pub(super) fn is_bar_line(character: char) -> bool {
    matches!(character, '|' | '¦' | '│' | '‖' | '┃')
}

impl Row {
    /// Reads a line as a row.
    pub fn read(line: &str) -> Option<Row> {
        let characters: Vec<char> = line.chars().collect();
        let indent = characters.iter().take_while(|c| **c == ' ').count();
        let label = label_at(characters.get(indent..)?);
        let behind = indent + label.as_ref().map_or(0, |label| label.chars().count());
        let gap = characters.get(behind..)?.iter().take_while(|c| **c == ' ').count();
        let start = behind
            + gap
            + label.as_ref().map_or(0, |_| colon_before_line(&characters, behind + gap));
        let rest = characters.get(start..)?;
        let opens = rest
            .first()
            .is_some_and(|c| is_bar_line(*c) || is_dash(*c) || c.is_ascii_digit() || *c == ':');
        let (cells, remark) = parted(rest);
        let cells = with_bar_lines(cells, label.is_some());
        let is_closed = |cell: Option<&char>| cell.is_some_and(|c| is_bar_line(*c));
        let closed = is_closed(cells.first()) && is_closed(cells.last()) && label.is_some();
        // What is drawn across a page has neither a letter nor a fret.
        let held = label.is_some() || cells.iter().any(char::is_ascii_digit);
        let is_dash = |c: char| is_dash(c) || (held && c == HOLD);
        let fewest = if closed { FEWEST_BETWEEN } else { FEWEST_DASHES };
        let is_row = opens && is_tab(&cells, is_dash, fewest);
        is_row.then_some(Row { label, cells, start, remark })
    }

    /// Whether it is nothing but dashes: an unused string, or a rule across the page.
    pub fn is_bare(&self) -> bool {
        self.label.is_none() && self.cells.iter().all(|c| is_dash(*c))
    }

    /// Whether a bar line opens it.
    pub fn is_opened(&self) -> bool {
        self.cells.first().is_some_and(|c| is_bar_line(*c))
    }

    /// Whether it has no letter and begins with a number: `8va----|`.
    pub fn begins_with_number(&self) -> bool {
        self.label.is_none() && self.cells.first().is_some_and(char::is_ascii_digit)
    }

    /// Whether it has a letter or a bar line.
    pub fn is_ruled(&self) -> bool {
        self.label.is_some() || self.cells.iter().any(|c| is_bar_line(*c))
    }
}

/// Whether a line that is no row begins as one does: with a string's letter and a bar line.
pub(super) fn begins_as_row(line: &str) -> bool {
    let characters: Vec<char> = line.chars().collect();
    let behind = label_at(&characters).map(|label| label.chars().count());
    behind.and_then(|at| characters.get(at)).is_some_and(|c| is_bar_line(*c))
}

/// The string's letter at the beginning of a row, with an accidental and an octave if it has them, or
/// its number.
fn label_at(characters: &[char]) -> Option<String> {
    let letter = (1..=3).rev().find_map(|length| {
        let label: String = characters.get(..length)?.iter().collect();
        let next = *characters.get(length..)?.iter().find(|c| **c != ' ')?;
        let behind = characters.get(length..)?;
        let frets = behind.iter().take_while(|c| c.is_ascii_digit()).count();
        let on_fret = (1..=2).contains(&frets) && behind.get(frets).is_some_and(|c| is_dash(*c));
        let parted = is_bar_line(next) || is_dash(next) || next == ':' || on_fret;
        // `E3---` and `E-0---` begin with a fret.
        let has_fret = is_dash(next) && label.contains(|c: char| c.is_ascii_digit());
        let plain = !label.contains(is_dash) && !has_fret;
        (parted && plain && read_label(&label, Names::English).is_some()).then_some(label)
    });
    let number = || {
        let digit = characters.first().filter(|c| ('1'..='9').contains(c))?;
        let next = characters.get(1).filter(|c| is_bar_line(**c) || **c == ':')?;
        // `1:` before words is the first of a list.
        let row = characters
            .iter()
            .skip(2)
            .take(2)
            .all(|c| is_dash(*c) || c.is_ascii_digit() || is_bar_line(*c));
        (is_bar_line(*next) || row).then(|| digit.to_string())
    };
    letter.or_else(number)
}

/// How many columns a colon behind a label takes, with its spaces, where the first bar line follows it: `E: |`.
fn colon_before_line(characters: &[char], at: usize) -> usize {
    let behind = characters.get(at..).and_then(|rest| rest.strip_prefix(&[':']));
    let spaces = behind.map(|rest| rest.iter().take_while(|c| **c == ' ').count());
    let closed =
        |spaces: &usize| behind.and_then(|rest| rest.get(*spaces)).is_some_and(|c| is_bar_line(*c));
    spaces.filter(closed).map_or(0, |spaces| spaces + 1)
}

/// Cells in which colons are bar lines: the one that parts a label from its row, and all where there
/// are no others.
fn with_bar_lines(cells: &[char], labelled: bool) -> Vec<char> {
    let ruled = cells.iter().any(|c| is_bar_line(*c));
    let is_line = |at: usize| !ruled || (labelled && at == 0);
    let cells = cells.iter().enumerate();
    cells.map(|(at, c)| if *c == ':' && is_line(at) { '|' } else { *c }).collect()
}

/// The tab of a row, and the words behind it.
fn parted(rest: &[char]) -> (&[char], String) {
    let (cells, behind) = rest.split_at(row_length(rest));
    let remark = behind.iter().collect::<String>().trim().to_string();
    match times_behind(cells) {
        Some((cells, times)) => (cells, format!("{times} {remark}").trim().to_string()),
        None => (cells, remark),
    }
}

/// How far a row's tab reaches; words may stand behind it.
fn row_length(rest: &[char]) -> usize {
    let closes = |at: usize| {
        let behind: String = rest.iter().skip(at + 1).take(LONGEST_TIMES).collect();
        let words = behind.trim_start();
        let parted = behind.is_empty() || behind.starts_with(' ');
        let goes_on = !remarks::is_pointing(words)
            && words.starts_with(|c: char| is_dash(c) || is_bar_line(c) || c.is_ascii_digit());
        parted && (!goes_on || lines_beside::times_first(words).is_some())
    };
    let lines = rest.iter().enumerate().filter(|(_, c)| is_bar_line(**c)).map(|(at, _)| at);
    if let Some(last) = lines.into_iter().find(|at| closes(*at)) {
        return last + 1;
    }
    // A remark that an arrow begins may have dashes of its own.
    let points = |at: &usize| {
        let parted = rest.get(at.wrapping_sub(1)).is_some_and(|c| *c == ' ');
        let words: String = rest.iter().skip(*at).take(LONGEST_ARROW).collect();
        parted && remarks::is_pointing(&words)
    };
    let remark = (0..rest.len()).find(points).unwrap_or(rest.len());
    let rest = rest.get(..remark).unwrap_or(rest);
    let is_ink = |c: &char| is_dash(*c) || is_bar_line(*c) || *c == HOLD;
    let last = rest.iter().rposition(is_ink).map_or(0, |last| last + 1);
    // A note may be the last thing in a row.
    last + rest.iter().skip(last).take_while(|c| **c != ' ').count()
}

/// The cells without what says how often at their end: `|--x4`, `|x4|`.
fn times_behind(cells: &[char]) -> Option<(&[char], String)> {
    let open = cells.iter().rposition(|c| !is_bar_line(*c))? + 1;
    let inner = cells.get(..open)?;
    let from = inner.iter().rposition(|c| is_bar_line(*c))? + 1;
    let piece: String = inner.get(from..)?.iter().collect();
    let times = piece.trim_matches(|c| is_dash(c) || c == ' ');
    let narrow = open == cells.len() || open - from <= WIDEST_TIMES;
    let says = times.contains(['x', 'X', '×']) && lines_beside::times(times).is_some();
    (says && narrow).then(|| (cells.get(..from).unwrap_or_default(), times.to_string()))
}

/// Whether cells are a row of tab: dashes enough, and hardly anything else.
fn is_tab(cells: &[char], is_dash: impl Fn(char) -> bool, fewest: usize) -> bool {
    let dashes = cells.iter().filter(|c| is_dash(**c)).count();
    let plain = |c: &&char| is_dash(**c) || is_bar_line(**c) || c.is_ascii_digit() || **c == '~';
    let plain = cells.iter().filter(plain).count();
    let inked = cells.iter().filter(|c| **c != ' ').count();
    dashes >= fewest && plain * 3 >= inked * 2
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_parted_from_what_stands_behind_them() {
        for (line, label, cells, remark) in [
            ("e|--0--2--|", "e", "|--0--2--|", ""),
            ("  Eb||--0--2--||  (x3)", "Eb", "||--0--2--||", "(x3)"),
            ("e|-12-15-|-5~~~~~~~~-||", "e", "|-12-15-|-5~~~~~~~~-||", ""),
            ("1|--0--2--|", "1", "|--0--2--|", ""),
            ("1:--0--2--:", "1", "|--0--2--|", ""),
            ("E:0--2--|3--|", "E", "|0--2--|3--|", ""),
            ("E: |--2--|--:|", "E", "|--2--|--:|", ""),
            ("E|--0--*|  6 times - fade", "E", "|--0--*|", "6 times - fade"),
            ("E|--0--3--|--x4", "E", "|--0--3--|", "x4"),
            ("E|--0--3--|x4", "E", "|--0--3--|", "x4"),
            ("E|--0--3--|--x4--|", "E", "|--0--3--|", "x4"),
            ("E|--0--3--| then | stop", "E", "|--0--3--|", "then | stop"),
            ("E|--0--3--|  2 times", "E", "|--0--3--|", "2 times"),
            ("e|--0-PM-2--|--3--|", "e", "|--0-PM-2--|--3--|", ""),
            ("E-0----3-", "E", "-0----3-", ""),
            ("A3-----3-", "A", "3-----3-", ""),
            ("D|-5=======|-5-|", "D", "|-5=======|-5-|", ""),
            ("D|=======|===|", "D", "|=======|===|", ""),
            ("A2|----3-|", "A2", "|----3-|", ""),
            ("1||-3-||", "1", "||-3-||", ""),
            ("B---1---3", "B", "---1---3", ""),
            ("A------   <- nothing here", "A", "------", "<- nothing here"),
            ("A|--3---|  --> slow", "A", "|--3---|", "--> slow"),
            ("B---1---3  la la", "B", "---1---3", "la la"),
        ] {
            let row = Row::read(line).unwrap();
            let found: String = row.cells.iter().collect();
            assert_eq!(
                (row.label.as_deref(), found.as_str(), row.remark.as_str()),
                (Some(label), cells, remark),
                "{line}"
            );
        }
        for line in ["1. let it ring", "well - no", "Am  F", "1 2 3 4", "|=====|"] {
            assert_eq!(Row::read(line), None, "{line}");
        }
    }
}
