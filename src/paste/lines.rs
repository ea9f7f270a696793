//! Lines: a row of tab, names of chords, or words.

use crate::lesson::string_label::read_label;
use crate::theory::Chord;

/// What a line of the text is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Line {
    Blank,
    Row(Row),
    /// Names of chords, each with its column; the line as it stands goes with them.
    Chords(Vec<(usize, String)>, String),
    Words(String),
}

/// A string's row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Row {
    /// The string's letter, if it is written.
    pub label: Option<String>,
    /// What follows, from the first bar line or dash on.
    pub cells: Vec<char>,
    /// The column of the first of these.
    pub start: usize,
    /// Words behind the row: `x2`.
    pub remark: String,
    /// The line as it stands.
    pub line: String,
}

/// Columns from one tab stop to the next.
const TAB_STOP: usize = 8;

/// The signs that may stand in a row of tab besides digits, dashes and bar lines.
const SIGNS: &str = "hHpPbBrRtTsSxXvVw~^/\\()<>[]{}*.:=oO' ";

/// How many dashes make a row: fewer stand in ordinary words too.
const FEWEST_DASHES: usize = 3;

/// Reads the lines of a text.
pub(super) fn read(text: &str) -> Vec<Line> {
    let lines: Vec<Line> = text.lines().map(|line| read_line(&expanded(line))).collect();
    let groups = lines.chunk_by(|one, next| one.is_row() == next.is_row());
    groups.flat_map(without_rules).collect()
}

impl Line {
    fn is_row(&self) -> bool {
        matches!(self, Line::Row(_))
    }

    /// Whether it is nothing but dashes: an unused string, or a rule across the page.
    fn is_bare(&self) -> bool {
        match self {
            Line::Row(row) => row.label.is_none() && row.cells.iter().all(|c| is_dash(*c)),
            _ => false,
        }
    }
}

/// Lines that stand together, bare ones made words where they are rules: those above and below rows
/// that have letters or bar lines, and those that stand alone.
fn without_rules(group: &[Line]) -> Vec<Line> {
    let is_ruled = |line: &Line| match line {
        Line::Row(row) => row.label.is_some() || row.cells.iter().any(|c| is_bar_line(*c)),
        _ => false,
    };
    let first = group.iter().position(is_ruled);
    let last = group.iter().rposition(is_ruled);
    let alone = group.iter().all(Line::is_bare);
    let is_rule = |index: usize, line: &Line| {
        let outside =
            first.is_some_and(|first| index < first) || last.is_some_and(|last| index > last);
        line.is_bare() && (outside || alone)
    };
    let lines = group.iter().enumerate().map(|(index, line)| match line {
        Line::Row(row) if is_rule(index, line) => Line::Words(row.line.clone()),
        _ => line.clone(),
    });
    lines.collect()
}

fn read_line(line: &str) -> Line {
    if line.trim().is_empty() {
        return Line::Blank;
    }
    if let Some(row) = read_row(line) {
        return Line::Row(row);
    }
    match read_chords(line) {
        Some(chords) => Line::Chords(chords, line.to_string()),
        None => Line::Words(line.to_string()),
    }
}

/// A line with spaces for its tab characters.
fn expanded(line: &str) -> String {
    let mut expanded = String::new();
    let mut column = 0;
    for character in line.trim_end().chars() {
        let width = if character == '\t' { TAB_STOP - column % TAB_STOP } else { 1 };
        match character {
            '\t' => expanded.extend(std::iter::repeat_n(' ', width)),
            _ => expanded.push(character),
        }
        column += width;
    }
    expanded
}

/// Whether a character is a dash of any kind, or the underscore that some write for one.
pub(super) fn is_dash(character: char) -> bool {
    matches!(character, '-' | '–' | '—' | '−' | '‐' | '‑' | '_')
}

/// Whether a character is a bar line of any kind.
pub(super) fn is_bar_line(character: char) -> bool {
    matches!(character, '|' | '¦' | '│' | '‖' | '┃')
}

fn read_row(line: &str) -> Option<Row> {
    let characters: Vec<char> = line.chars().collect();
    let indent = characters.iter().take_while(|c| **c == ' ').count();
    let label = label_at(characters.get(indent..)?);
    let behind = indent + label.as_ref().map_or(0, |label| label.chars().count());
    let gap = characters.get(behind..)?.iter().take_while(|c| **c == ' ').count();
    let start = behind + gap;
    let rest = characters.get(start..)?;
    let opens = rest
        .first()
        .is_some_and(|c| is_bar_line(*c) || is_dash(*c) || c.is_ascii_digit() || *c == ':');
    let length = row_length(rest);
    let cells = with_bar_lines(rest.get(..length)?);
    let is_row = opens && is_tab(&cells);
    is_row.then(|| Row {
        label,
        start,
        remark: rest.iter().skip(length).collect::<String>().trim().to_string(),
        cells,
        line: line.to_string(),
    })
}

/// The string's letter at the beginning of a row, with an accidental and an octave if it has them.
fn label_at(characters: &[char]) -> Option<String> {
    (1..=3).rev().find_map(|length| {
        let label: String = characters.get(..length)?.iter().collect();
        let next = *characters.get(length..)?.iter().find(|c| **c != ' ')?;
        let parted = is_bar_line(next) || is_dash(next) || next == ':';
        (parted && read_label(&label).is_some()).then_some(label)
    })
}

/// Cells in which colons are bar lines where there are no others.
fn with_bar_lines(cells: &[char]) -> Vec<char> {
    let ruled = cells.iter().any(|c| is_bar_line(*c));
    cells.iter().map(|c| if *c == ':' && !ruled { '|' } else { *c }).collect()
}

/// How far a row's tab reaches; words may stand behind it.
fn row_length(rest: &[char]) -> usize {
    let fits =
        |c: &char| is_dash(*c) || is_bar_line(*c) || c.is_ascii_digit() || SIGNS.contains(*c);
    let readable = rest.iter().take_while(|c| fits(c)).count();
    let readable = rest.get(..readable).unwrap_or_default();
    // What stands behind the last bar line with a space between is a remark.
    let closed = readable.iter().rposition(|c| is_bar_line(*c)).map(|line| line + 1);
    if let Some(closed) = closed.filter(|closed| readable.get(*closed).is_none_or(|c| *c == ' ')) {
        return closed;
    }
    let last =
        readable.iter().rposition(|c| is_dash(*c) || is_bar_line(*c)).map_or(0, |last| last + 1);
    let ends_in_bar = closed == Some(last);
    // A note may be the last thing in a row.
    let more = readable.iter().skip(last).take_while(|c| !ends_in_bar && **c != ' ').count();
    last + more
}

/// Whether cells are a row of tab: dashes enough, and hardly anything else.
fn is_tab(cells: &[char]) -> bool {
    let dashes = cells.iter().filter(|c| is_dash(**c)).count();
    let plain = |c: &&char| is_dash(**c) || is_bar_line(**c) || c.is_ascii_digit();
    let plain = cells.iter().filter(plain).count();
    let inked = cells.iter().filter(|c| **c != ' ').count();
    dashes >= FEWEST_DASHES && plain * 3 >= inked * 2
}

/// The words of a line with their columns, if they are all names of chords.
fn read_chords(line: &str) -> Option<Vec<(usize, String)>> {
    let mut words: Vec<(usize, String)> = Vec::new();
    let mut open = false;
    for (column, character) in line.chars().enumerate() {
        if character == ' ' || is_bar_line(character) {
            open = false;
            continue;
        }
        match words.last_mut().filter(|_| open) {
            Some((_, word)) => word.push(character),
            None => words.push((column, character.to_string())),
        }
        open = true;
    }
    let is_chord = |word: &str| Chord::read(word).is_some() || word == "N.C.";
    (!words.is_empty() && words.iter().all(|(_, word)| is_chord(word))).then_some(words)
}
