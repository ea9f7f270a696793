//! Rows: the lines of a riff by their labels, in systems that blank lines part.

use super::columns::{Cell, Word, cells, words};
use super::rows::count::is_count;
use super::rows::{self, Kind, Part};
use crate::findings::nearest::{Near, near};
use crate::findings::rules::{block_syntax, row_label, tab_character};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings, Ground, Span};
use crate::lesson::fence::Fence;
use crate::lesson::string_label::{german_b, listed, read_label};
use crate::neck::{StringIndex, Tuning};
use crate::theory::Chord;
use crate::words::help::see;
use std::collections::BTreeSet;
use unicode_segmentation::UnicodeSegmentation;

/// What a row says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Says {
    /// What its kind does.
    Kind(&'static dyn Kind),
    /// A string that is not known yet, or not known at all.
    Label,
    /// The string of an index, 0 the lowest-placed.
    String(StringIndex),
}

/// A row of a system.
#[derive(Debug, Clone)]
pub(super) struct Row<'a> {
    /// What it says.
    pub says: Says,
    /// Its label as written.
    pub label: String,
    /// Where the label stands.
    pub label_span: Span,
    /// Its columns behind the label.
    pub cells: Vec<Cell<'a>>,
    /// The column of the first of them, counted through the whole riff.
    pub column: usize,
}

impl Row<'_> {
    /// Its cells with their columns.
    pub fn columns(&self) -> impl Iterator<Item = (usize, &Cell<'_>)> {
        (self.column..).zip(&self.cells)
    }

    /// The cell in a column.
    pub fn at(&self, column: usize) -> Option<&Cell<'_>> {
        self.cells.get(column.checked_sub(self.column)?)
    }

    /// Its words, parted by `gap` spaces or more.
    pub fn words(&self, gap: usize) -> Vec<Word> {
        words(&self.cells, self.column, gap)
    }

    /// One past its last column.
    pub fn end(&self) -> usize {
        self.column + self.cells.len()
    }

    /// Where a range of its columns stands, the nearest place to it where the row is shorter.
    pub fn span(&self, from: usize, to: usize) -> Span {
        let inside = |column: usize| self.at(column).map(|cell| cell.span);
        let last = self.cells.last().map_or(self.label_span.end, |cell| cell.span.end);
        let start = inside(from).map_or(last, |span| span.start);
        let end = to.checked_sub(1).and_then(inside).map_or(last, |span| span.end);
        Span::new(start, end.max(start))
    }

    /// Whether bars are counted by it: what stands there is music, not a remark on it.
    pub fn is_music(&self) -> bool {
        self.part() != Part::Remark
    }

    /// Whether it is a string's row, or might be.
    pub fn is_string(&self) -> bool {
        match self.says {
            Says::Label | Says::String(_) => true,
            Says::Kind(_) => false,
        }
    }

    /// Whether it is of a kind.
    pub fn is(&self, kind: &'static dyn Kind) -> bool {
        match self.says {
            Says::Kind(own) => own == kind,
            Says::Label | Says::String(_) => false,
        }
    }

    /// What part of the riff it is.
    pub fn part(&self) -> Part {
        match self.says {
            Says::Kind(kind) => kind.part(),
            Says::Label | Says::String(_) => Part::Music,
        }
    }

    /// Whether its signs go along with the notes in their columns.
    pub fn goes_with_notes(&self) -> bool {
        match self.says {
            Says::Kind(kind) => kind.goes_with_notes(),
            Says::Label | Says::String(_) => false,
        }
    }

    /// Whether it marks runs, which hold for the notes in all their columns.
    pub fn marks_runs(&self) -> bool {
        match self.says {
            Says::Kind(kind) => kind.marks_runs(),
            Says::Label | Says::String(_) => false,
        }
    }
}

/// Rows that stand together, without a blank line between them.
#[derive(Debug, Clone, Default)]
pub(super) struct System<'a> {
    /// The rows from the top.
    pub rows: Vec<Row<'a>>,
    /// Whether a row has a label that none knows, which has been reported.
    pub unknown: bool,
    /// Whether a row of it has a tab character, beside its label or behind it.
    pub has_tabs: bool,
    /// How many string rows it has, those that are too many among them.
    strings: usize,
}

impl<'a> System<'a> {
    /// The first row of a kind; there are no more rows than a small number of each.
    pub fn row(&self, kind: &'static dyn Kind) -> Option<&Row<'a>> {
        self.rows.iter().find(|row| row.is(kind))
    }
}

/// Reads a riff's lines as systems of rows. Columns are counted through all systems, so that every
/// column of a later system is greater than every one of an earlier.
pub(super) fn read<'a>(fence: &Fence<'a>, findings: &mut Findings) -> Vec<System<'a>> {
    let mut systems: Vec<System> = Vec::new();
    let mut first_column = 0;
    for lines in fence.lines.split(|line| line.text.trim().is_empty()) {
        let tab = likely_tab(lines);
        let mut system = System::default();
        let mut next_column = first_column;
        for line in lines {
            let cells = cells(line, tab.width);
            next_column = next_column.max(first_column + cells.len());
            report_tabs(&cells, tab, findings);
            match read_row(cells, first_column, &fence.setting.instrument.tuning) {
                Some(Ok(row)) => {
                    system.has_tabs |= line.text.contains('\t');
                    take_in(&mut system, row, findings);
                }
                Some(Err(finding)) => {
                    system.unknown = true;
                    findings.add(*finding);
                }
                None => {}
            }
        }
        first_column = next_column;
        systems.push(system);
    }
    systems.retain(|system| !system.rows.is_empty() || system.unknown);
    systems
}

/// How wide tabs are.
#[derive(Clone, Copy)]
struct Tab {
    /// In columns.
    width: usize,
    /// Whether the bar lines tell it: they stand under each other with tabs of this width alone, and no tab
    /// stands among what is played, where one may be a slip and as wide as it likes.
    told: bool,
}

/// How wide the tabs of some lines were most likely meant: so that their bar lines stand in the
/// fewest columns. One column where that makes no difference.
fn likely_tab(lines: &[Line]) -> Tab {
    if !lines.iter().any(|line| line.text.contains('\t')) {
        return Tab { width: 1, told: true };
    }
    let bar_lines = |width: usize| {
        let all = lines.iter().flat_map(|line| bar_lines_of(line, width));
        all.collect::<BTreeSet<usize>>().len()
    };
    let widths = [1, 8, 4, 2].map(|width| (bar_lines(width), width));
    let (fewest, width) = widths.into_iter().min_by_key(|(lines, _)| *lines).unwrap_or((0, 1));
    let most_in_a_row = lines.iter().map(|line| bar_lines_of(line, width).len()).max();
    let all_agree = most_in_a_row == Some(fewest);
    let is_only = widths.iter().filter(|(lines, _)| *lines == fewest).count() == 1;
    Tab { width, told: all_agree && is_only && lines.iter().all(has_tabs_beside_alone) }
}

/// Whether the tabs of a line all stand beside what it says: around its label, or at its end.
fn has_tabs_beside_alone(line: &Line) -> bool {
    let text = line.text.trim();
    let (_, said) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    !said.trim().contains('\t')
}

/// The columns of a line's bar lines, its tabs being so wide.
fn bar_lines_of(line: &Line, width: usize) -> Vec<usize> {
    let cells = cells(line, width).into_iter().enumerate();
    cells.filter(|(_, cell)| cell.text == "|").map(|(column, _)| column).collect()
}

/// More string rows than this have no string, whatever the tuning.
const MOST_STRINGS: usize = 12;

fn take_in<'a>(system: &mut System<'a>, row: Row<'a>, findings: &mut Findings) {
    if row.is_string() {
        system.strings += 1;
        if system.strings > MOST_STRINGS {
            findings.add(row_label::too_many_rows(row.label_span, MOST_STRINGS));
            return;
        }
    } else if system.rows.iter().any(|other| other.says == row.says) {
        let message = format!("a second `{}` row in one system", row.label);
        findings.add(
            block_syntax::at(row.label_span, message)
                .note("a blank line parts one system from the next"),
        );
        return;
    }
    system.rows.push(row);
}

/// Reports tabs, those that touch as one.
fn report_tabs(cells: &[Cell], tab: Tab, findings: &mut Findings) {
    let is_tab = |cell: &Cell| matches!(cell.text, "\t" | "");
    let mut behind = 0;
    for tabs in cells.chunk_by(|one, next| is_tab(one) && is_tab(next)) {
        behind += tabs.len();
        let (Some(first), Some(last)) = (tabs.first(), tabs.last()) else { continue };
        if is_tab(first) {
            let span = first.span.to(last.span);
            let moves_nothing = cells.iter().skip(behind).all(Cell::is_space);
            let ground = match tab.told || moves_nothing {
                true => Ground::SameMusic,
                false => Ground::Choice,
            };
            findings.add(tab_character::tabs(span, tabs.len(), ground));
        }
    }
}

/// Reads a row; nothing in a blank line.
fn read_row<'a>(
    mut cells: Vec<Cell<'a>>,
    first_column: usize,
    tuning: &Tuning,
) -> Option<Result<Row<'a>, Box<Finding>>> {
    let start = cells.iter().position(|cell| !cell.is_space())?;
    let ends = |cell: &Cell| cell.is_space() || cell.text == "|";
    let length = cells.iter().skip(start).position(ends).unwrap_or(cells.len() - start);
    let rest = cells.split_off(start + length);
    let label: String = cells.iter().skip(start).map(|cell| cell.text).collect();
    let first = cells.get(start).or(rest.first())?.span;
    let label_span = cells.last().filter(|_| length > 0).map_or(first, |cell| first.to(cell.span));
    let Some(says) = says(&label, tuning) else {
        return Some(Err(Box::new(unknown_row(&label, label_span, &rest, tuning))));
    };
    let column = first_column + start + length;
    Some(Ok(Row { says, label, label_span, cells: rest, column }))
}

fn says(label: &str, tuning: &Tuning) -> Option<Says> {
    let string = || read_label(label, tuning.names_of_notes()).map(|_| Says::Label);
    rows::labelled(label).map(Says::Kind).or_else(string)
}

fn unknown_row(label: &str, span: Span, behind: &[Cell], tuning: &Tuning) -> Finding {
    if label.is_empty() {
        return block_syntax::at(span, "a row without a label")
            .note("a row begins with its label: a string's letter, `count`, `chord`, …");
    }
    let mut finding = row_label::no_row(span, label);
    let near = match german_b(label, tuning) {
        Some(name) => Near { words: vec![name], plain: false },
        None => match rows::meant_by(label) {
            words if words.is_empty() => near(label, rows::all_labels(), 2),
            words => Near { words, plain: false },
        },
    };
    for word in &near.words {
        finding = finding.note(format!("did you mean `{word}`?"));
        if let Some((span, text)) = relabelled(span, label, behind, word) {
            finding = finding.fix(format!("`{word}`"), span, text, ground_of_label(&near, behind));
        }
    }
    if label.eq_ignore_ascii_case("meant:") {
        finding = finding.note("a `meant` line with its reason stands first in its block");
    } else if near.words.is_empty() && label.contains(['-', '—', '–']) {
        finding = finding.note("a space or a bar line parts a label from its row");
    }
    let words: Vec<String> = rows::all_labels().map(|word| format!("`{word}`")).collect();
    let rows = format!("its rows are the strings {}, and {}", listed(tuning), words.join(", "));
    finding.note(rows).note(see("riff"))
}

/// What speaks for a label that is told by likeness: what stands in the row, where it can be read as counts
/// or as chords. Anything else may be another row, or a remark.
fn ground_of_label(near: &Near, behind: &[Cell]) -> Ground {
    let words = words(behind, 0, 1);
    let signs: Vec<&str> = words
        .iter()
        .flat_map(|word| word.text.split(['|', ':', '(', ')']))
        .filter(|sign| !sign.is_empty())
        .collect();
    let is_told = match near.words.as_slice() {
        ["count"] => signs.iter().all(|sign| is_count(sign)) && signs.contains(&"1"),
        ["chord"] => {
            signs.iter().all(|sign| Chord::read(sign).is_some())
                && signs.iter().any(|sign| sign.len() > 1)
        }
        _ => false,
    };
    if is_told { near.ground() } else { Ground::Choice }
}

/// The place of a row's label with as many of the spaces behind it as another name needs, and what
/// stands there then, so that no column moves. Nothing where there is no room.
pub(super) fn relabelled(
    span: Span,
    label: &str,
    behind: &[Cell],
    name: &str,
) -> Option<(Span, String)> {
    let (old, new) = (label.graphemes(true).count(), name.graphemes(true).count());
    let more = new.saturating_sub(old);
    let free = behind.iter().take_while(|cell| cell.is_space()).count();
    let parts = |cell: &Cell| cell.is_space() || cell.text == "|";
    if free < more || !behind.get(more).is_none_or(parts) {
        return None;
    }
    let taken = more.checked_sub(1).and_then(|last| behind.get(last));
    let place = taken.map_or(span, |last| span.to(last.span));
    Some((place, format!("{name}{}", " ".repeat(old.saturating_sub(new)))))
}
