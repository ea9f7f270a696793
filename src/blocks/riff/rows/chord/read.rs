//! What a `chord` row says.

use crate::blocks::riff::clock::Under;
use crate::blocks::riff::columns::Word;
use crate::blocks::riff::joined_notes::nearest_counts;
use crate::blocks::riff::lines::{Row, System};
use crate::blocks::riff::place;
use crate::blocks::riff::setup::Setup;
use crate::findings::rules::{column_adrift, outside_key, unknown_chord};
use crate::findings::{Finding, Findings, Ground, Span};
use crate::music::tab::ChordAt;
use crate::theory::numeral::{around, in_key};
use crate::theory::{Chord as Symbol, Key, Ticks};
use std::collections::BTreeSet;

/// A symbol of a `chord` row.
#[derive(Debug)]
pub(in crate::blocks::riff) struct Placed {
    /// The index of its bar.
    pub bar: usize,
    /// What it says.
    pub chord: ChordAt,
    /// Where it stands.
    pub span: Span,
}

/// The `chord` rows of a riff.
#[derive(Debug, Default)]
pub(in crate::blocks::riff) struct Symbols {
    /// The symbols in their order.
    pub placed: Vec<Placed>,
    /// The bars with a symbol that could not be read or placed, which has been reported.
    pub unclear: BTreeSet<usize>,
}

/// Reads the `chord` rows of all systems.
pub(in crate::blocks::riff) fn read(setup: &Setup, findings: &mut Findings) -> Symbols {
    let mut symbols = Symbols::default();
    let rows = setup.systems.iter().filter_map(|system: &System| system.row(&super::Chord));
    for row in rows {
        for word in row.words(1).iter().filter(|word| !is_aside(word)) {
            match read_symbol(setup, row, word, findings) {
                Some(symbol) => symbols.placed.push(symbol),
                None => symbols.unclear.extend(setup.bar_at(word.column)),
            }
        }
    }
    symbols
}

/// Whether a word is no symbol: dashes fill a row, and a name in brackets tells twins of the
/// symbol before it apart.
fn is_aside(word: &Word) -> bool {
    word.text.starts_with('(') || word.text.chars().all(|sign| matches!(sign, '-' | '–' | '—'))
}

fn read_symbol(setup: &Setup, row: &Row, word: &Word, findings: &mut Findings) -> Option<Placed> {
    let moment = moment(setup, word, findings);
    let chord = match word.text.as_str() {
        none if Symbol::is_none(none) => None,
        symbol => match setup.instrument.tuning.names_of_notes().chord(symbol) {
            Ok(chord) => Some(chord),
            Err(error) => {
                let finding = unknown_chord::without_repairs(word.span, symbol, &error)
                    .heard_at(&setup.count_at(word.column));
                let offer = |finding, meant: &String| with_fix(finding, row, word, meant);
                findings.add(error.meant.iter().fold(finding, offer));
                return None;
            }
        },
    };
    let (bar, at) = moment?;
    Some(Placed { bar, chord: ChordAt { at, chord }, span: word.span })
}

/// Offers the nearest symbol, the columns behind it kept where they are; where there is no room
/// for it, in words only.
fn with_fix(finding: Finding, row: &Row, word: &Word, near: &str) -> Finding {
    let (old, new) = (word.text.chars().count(), near.chars().count());
    let behind = (word.column + old).saturating_sub(row.column);
    let spaces = row.cells.iter().skip(behind).take_while(|cell| cell.is_space()).count();
    let at_end = behind + spaces >= row.cells.len();
    let says = format!("the chord {near}");
    if new <= old {
        let text = format!("{near}{}", " ".repeat(old - new));
        return finding.fix(says, word.span, text, Ground::Choice);
    }
    let more = new - old;
    if spaces > more || row.cells.get(behind + more).is_some_and(|cell| cell.barred) {
        let span = row.span(word.column, word.column + new);
        return finding.fix(says, span, near, Ground::Choice);
    }
    if at_end {
        let span = row.span(word.column, row.end());
        return finding.fix(says, span, near, Ground::Choice);
    }
    finding.note(format!("did you mean `{near}`?"))
}

fn moment(setup: &Setup, word: &Word, findings: &mut Findings) -> Option<(usize, Ticks)> {
    match setup.clock.under(word.column) {
        Under::Count(moment) | Under::Rest(moment) => return Some((moment.bar, moment.at)),
        Under::Unclear => return None,
        Under::Nothing => {}
    }
    let bar = setup.bar_at(word.column)?;
    if setup.columns.get(bar).is_some_and(|columns| columns.first.contains(&word.column)) {
        return Some((bar, Ticks::ZERO));
    }
    let near = nearest_counts(setup.clock, setup.bars, word.column, bar, setup.big_beats);
    let finding = column_adrift::over_no_count(word.span, &word.text, &near);
    let bar = setup.bars.get(bar).map(place::bar).unwrap_or_default();
    findings.add(finding.heard_at(&bar));
    None
}

/// Hints at each chord that is not in the key, the first time that it stands.
pub(in crate::blocks::riff) fn outside_key(
    chords: &[Placed],
    key: Option<&Key>,
    findings: &mut Findings,
) {
    let Some(key) = key else { return };
    let mut seen = BTreeSet::new();
    let named =
        chords.iter().filter_map(|placed| Some((placed.chord.chord.as_ref()?, placed.span)));
    let (chords, spans): (Vec<&Symbol>, Vec<Span>) = named.unzip();
    for ((chord, around), span) in chords.iter().zip(around(&chords, key)).zip(spans) {
        if !in_key(chord, key) && seen.insert(chord.to_string()) {
            findings.add(outside_key::chord(span, chord, around, key));
        }
    }
}
