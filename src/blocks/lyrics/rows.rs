//! Rows: a line of the block by its label, in words that know their columns.

use crate::findings::nearest::near;
use crate::findings::rules::{row_label, tab_character};
use crate::findings::source::Line;
use crate::findings::{Findings, Ground, Span};
use crate::words::help::{Sign, see, sign};
use unicode_segmentation::UnicodeSegmentation;

/// What a row says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Label {
    /// Chord symbols.
    Chord,
    /// What is sung.
    Sung,
}

/// What stands in a block, as the help page has it.
pub(super) const SIGNS: [Sign; 6] = [
    sign("chord   C      Am", "chord names, each over its word"),
    sign("sung    Row on, row", "the words of a line; alone it goes on under the chord before"),
    sign("fer-ry", "a word in parts, for a chord that changes within it"),
    sign("N.C.", "in a `chord` row: no chord"),
    sign(".", "in a `chord` row under `as`: the next chord of that line there"),
    sign("[verse-1]", "that `lyrics` block is sung here again"),
];

/// A row, its label taken off.
#[derive(Debug, Clone)]
pub(super) struct Row<'a> {
    /// What it says.
    pub label: Label,
    /// The whole line.
    pub line: Line<'a>,
    /// Its words.
    pub words: Vec<Word<'a>>,
}

/// A word with its columns, counted from the line's beginning in user-perceived characters.
#[derive(Debug, Clone, Copy)]
pub(super) struct Word<'a> {
    /// The word.
    pub line: Line<'a>,
    /// The column of its first character.
    pub column: usize,
}

/// What a line of the block is.
#[derive(Debug)]
pub(super) enum Written<'a> {
    /// A row.
    Row(Row<'a>),
    /// The name of a part that is sung again.
    Again(Line<'a>),
}

/// Reads a line that is not blank; `None` where it has no label that is known, which is reported.
pub(super) fn read<'a>(line: Line<'a>, findings: &mut Findings) -> Option<Written<'a>> {
    report_tabs(line, findings);
    let inner = line.trimmed();
    if let Some(name) = inner.text.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
        return Some(Written::Again(inner.split_at(1).1.split_at(name.len()).0.trimmed()));
    }
    let mut words = words(line).into_iter();
    let first = words.next()?;
    let label = if first.line.is("chord") {
        Label::Chord
    } else if first.line.is("sung") {
        Label::Sung
    } else {
        report_label(line, first.line, findings);
        return None;
    };
    Some(Written::Row(Row { label, line, words: words.collect() }))
}

/// The words of a line.
fn words(line: Line<'_>) -> Vec<Word<'_>> {
    let mut words: Vec<Word<'_>> = Vec::new();
    let mut begun: Option<(usize, usize)> = None;
    let mut end = |begun: &mut Option<(usize, usize)>, at: usize| {
        if let Some((start, column)) = begun.take() {
            let word = line.at(Span::new(line.start + start, line.start + at));
            words.push(Word { line: word, column });
        }
    };
    for (column, (at, character)) in line.text.grapheme_indices(true).enumerate() {
        match character.chars().all(char::is_whitespace) {
            true => end(&mut begun, at),
            false if begun.is_none() => begun = Some((at, column)),
            false => {}
        }
    }
    end(&mut begun, line.text.len());
    words
}

/// Labels that other writers use, with ours.
const MEANT: [(&str, &[&str]); 2] = [
    ("chord", &["chord:", "chords", "chords:", "harmony", "changes"]),
    ("sung", &["sung:", "lyrics", "lyrics:", "lyric", "words", "text", "vocal", "vocals", "sing"]),
];

fn report_label(line: Line<'_>, label: Line<'_>, findings: &mut Findings) {
    let lower = label.text.to_lowercase();
    let meant = MEANT.iter().find(|(_, others)| others.contains(&lower.as_str()));
    let near = match meant {
        Some((ours, _)) => vec![*ours],
        None => near(&lower, ["chord", "sung"], 2).words,
    };
    let mut finding = row_label::no_row_of_song(label.whole(), label.text);
    for ours in near {
        finding = finding.note(format!("did you mean `{ours}`?"));
        if let Some((span, text)) = relabelled(line, label, ours) {
            finding = finding.fix(format!("`{ours}`"), span, text, Ground::Choice);
        }
    }
    findings.add(
        finding
            .note("its rows are `chord` and `sung`; `[NAME]` sings another part again")
            .note(see("lyrics")),
    );
}

/// The label with as many of the spaces behind it as another one needs, and what stands there then, so
/// that no column moves. Nothing where there is no room.
fn relabelled(line: Line<'_>, label: Line<'_>, ours: &str) -> Option<(Span, String)> {
    let (old, new) = (label.text.graphemes(true).count(), ours.len());
    let more = new.saturating_sub(old);
    let behind = line.around(label).1;
    let free = behind.start.saturating_sub(label.whole().end);
    if more > 0 && free <= more {
        return None;
    }
    let span = Span::new(label.start, label.whole().end + more);
    Some((span, format!("{ours}{}", " ".repeat(old.saturating_sub(new)))))
}

/// Reports tabs, those that touch as one.
fn report_tabs(line: Line<'_>, findings: &mut Findings) {
    let mut rest = line;
    while let Some(at) = rest.text.find('\t') {
        let tabs = rest.split_at(at).1;
        let length = tabs.text.len() - tabs.text.trim_start_matches('\t').len();
        let (tabs, behind) = tabs.split_at(length);
        let ground = match behind.text.trim().is_empty() {
            true => Ground::SameMusic,
            false => Ground::Choice,
        };
        findings.add(tab_character::tabs(tabs.whole(), length, ground));
        rest = behind;
    }
}
