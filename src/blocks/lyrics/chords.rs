//! What a `chord` row says: symbols, and dots for the chords of another block.

use super::ChordAt;
use super::rows::{Row, Word};
use crate::findings::rules::{block_syntax, outside_key, unknown_chord};
use crate::findings::source::Line;
use crate::findings::{Finding, Findings, Ground, Span};
use crate::theory::numeral::{around, in_key};
use crate::theory::{Chord, Key, Names};
use std::collections::BTreeSet;

/// A chord with the column that it stands in.
#[derive(Debug)]
pub(super) struct Placed {
    /// The column, counted as the row's words are.
    pub column: usize,
    /// The chord.
    pub chord: ChordAt,
}

/// A word of a `chord` row.
#[derive(Debug)]
struct Symbol<'a> {
    word: Word<'a>,
    says: Says,
}

/// What a word of a `chord` row says.
#[derive(Debug)]
enum Says {
    /// A chord, or none.
    Chord(Option<Chord>),
    /// The next chord of another block's line.
    Dot,
    /// Nothing that can be read, which is reported.
    Unread,
}

/// The chords of a row, and whether one of them could not be read.
#[derive(Debug, Default)]
pub(super) struct Chords {
    /// In their order.
    pub placed: Vec<Placed>,
    /// Whether one could not be read.
    pub unclear: bool,
}

/// A line of the block that `as` names: its chords, its number there from 1, and the block's name.
pub(super) struct Model<'m> {
    pub chords: &'m [Option<Chord>],
    pub number: usize,
    pub name: &'m str,
}

/// Reads the `chord` row of a line, or, where there is none, takes the model's chords at its start.
pub(super) fn read(
    row: Option<&Row<'_>>,
    (start, names): (Span, Names),
    model: Option<&Model<'_>>,
    findings: &mut Findings,
) -> Chords {
    let symbols = row.map(|row| symbols(row, names, findings)).unwrap_or_default();
    if symbols.is_empty() {
        let chords = model.into_iter().flat_map(|model| model.chords);
        let placed = chords.map(|chord| at(0, chord.clone(), start));
        return Chords { placed: placed.collect(), unclear: false };
    }
    let given: Vec<&Symbol<'_>> =
        symbols.iter().filter(|symbol| matches!(symbol.says, Says::Dot)).collect();
    let model = match (model, given.first(), given.last()) {
        (_, None, _) | (_, _, None) => None,
        (None, Some(first), Some(_)) => {
            findings.add(without_model(first.word.line));
            return Chords { placed: without_dots(&symbols), unclear: true };
        }
        (Some(model), Some(first), Some(last)) => {
            if symbols.len() != model.chords.len() {
                let span = first.word.line.whole().to(last.word.line.whole());
                findings.add(wrong_number(span, symbols.len(), model));
            }
            Some(model)
        }
    };
    let Some(model) = model else {
        let unclear = symbols.iter().any(|symbol| matches!(symbol.says, Says::Unread));
        return Chords { placed: without_dots(&symbols), unclear };
    };
    let mut unclear = symbols.len() != model.chords.len();
    let mut chords = Chords::default();
    for (index, symbol) in symbols.iter().enumerate() {
        let chord = match &symbol.says {
            Says::Chord(chord) => Some(chord.clone()),
            Says::Dot => model.chords.get(index).cloned(),
            Says::Unread => None,
        };
        unclear |= chord.is_none();
        let span = symbol.word.line.whole();
        chords.placed.extend(chord.map(|chord| at(symbol.word.column, chord, span)));
    }
    chords.unclear = unclear;
    chords
}

fn at(column: usize, written: Option<Chord>, span: Span) -> Placed {
    Placed { column, chord: ChordAt { printed: written.clone(), written, free: false, span } }
}

fn without_dots(symbols: &[Symbol<'_>]) -> Vec<Placed> {
    let chord = |symbol: &Symbol<'_>| match &symbol.says {
        Says::Chord(chord) => Some(at(symbol.word.column, chord.clone(), symbol.word.line.whole())),
        Says::Dot | Says::Unread => None,
    };
    symbols.iter().filter_map(chord).collect()
}

fn without_model(dot: Line<'_>) -> Finding {
    block_syntax::at(dot.whole(), "a dot, but no block's chords to place")
        .note("dots stand for the chords of the block that `as NAME` in the fence line names")
}

fn wrong_number(span: Span, dots: usize, model: &Model<'_>) -> Finding {
    let chords: Vec<String> = model.chords.iter().map(|chord| symbol(chord.as_ref())).collect();
    let (line, name) = (model.number, model.name);
    let here = if dots == 1 { "1 stands here".to_owned() } else { format!("{dots} stand here") };
    let message = match chords.len() {
        1 => format!("line {line} of `{name}` has 1 chord, but {here}"),
        number => format!("line {line} of `{name}` has {number} chords, but {here}"),
    };
    let finding = block_syntax::at(span, message);
    match chords.is_empty() {
        true => finding,
        false => finding.note(format!("they are `{}`", chords.join(" "))),
    }
}

/// A chord as a message names it.
pub(super) fn symbol(chord: Option<&Chord>) -> String {
    chord.map_or_else(|| crate::words::paper::tab::NO_CHORD.to_owned(), Chord::to_string)
}

/// The words of a row; dashes fill it, and a name in brackets tells twins of the symbol before it apart.
fn symbols<'a>(row: &Row<'a>, names: Names, findings: &mut Findings) -> Vec<Symbol<'a>> {
    let is_dash = |sign: char| matches!(sign, '-' | '–' | '—');
    let is_aside = |text: &str| text.starts_with('(') || text.chars().all(is_dash);
    let words = row.words.iter().filter(|word| !is_aside(word.line.text));
    words.map(|word| Symbol { word: *word, says: says(row, word.line, names, findings) }).collect()
}

fn says(row: &Row<'_>, word: Line<'_>, names: Names, findings: &mut Findings) -> Says {
    match word.text {
        "." => return Says::Dot,
        none if Chord::is_none(none) => return Says::Chord(None),
        _ => {}
    }
    if word.text.chars().all(|sign| matches!(sign, '|' | ':')) {
        findings.add(
            block_syntax::at(word.whole(), "a song has no bars")
                .note("a chord is played at the word beneath it; a riff with a `count` row counts")
                .fix("no bar line", word.whole(), " ".repeat(word.text.len()), Ground::SameMusic),
        );
        return Says::Unread;
    }
    match names.chord(word.text) {
        Ok(chord) => Says::Chord(Some(chord)),
        Err(error) => {
            let finding = unknown_chord::without_repairs(word.whole(), word.text, &error);
            let offer = |finding, meant: &String| with_fix(finding, row, word, meant);
            findings.add(error.meant.iter().fold(finding, offer));
            Says::Unread
        }
    }
}

/// Offers a symbol with the columns behind it kept where they are; where there is no room for it, in words only.
fn with_fix(finding: Finding, row: &Row<'_>, word: Line<'_>, meant: &str) -> Finding {
    let says = format!("the chord {meant}");
    let old = word.text.chars().count();
    let more = meant.chars().count().saturating_sub(old);
    let behind = row.line.around(word).1;
    let room = behind.start.saturating_sub(word.whole().end);
    if more > 0 && !behind.text.is_empty() && room <= more {
        return finding.note(format!("did you mean `{meant}`?"));
    }
    let taken = if behind.text.is_empty() { 0 } else { more };
    let filled = " ".repeat(old.saturating_sub(meant.chars().count()));
    let span = Span::new(word.start, word.whole().end + taken);
    finding.fix(says, span, format!("{meant}{filled}"), Ground::Choice)
}

/// Hints at each chord that is not in the key, the first time that it stands.
pub(super) fn outside_key<'c>(
    chords: impl Iterator<Item = &'c ChordAt>,
    key: Option<&Key>,
    findings: &mut Findings,
) {
    let Some(key) = key else { return };
    let named = chords.filter_map(|chord| Some((chord.written.as_ref()?, chord.span)));
    let (chords, spans): (Vec<&Chord>, Vec<Span>) = named.unzip();
    let mut seen = BTreeSet::new();
    for ((chord, around), span) in chords.iter().zip(around(&chords, key)).zip(spans) {
        if !in_key(chord, key) && seen.insert(chord.to_string()) {
            findings.add(outside_key::chord(span, chord, around, key));
        }
    }
}
