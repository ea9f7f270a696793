//! Which chord belongs to which word.

use super::chords::Placed;
use super::rows::{Row, Word as Written};
use super::{ChordAt, Part, Sung, Word};
use crate::findings::Span;
use unicode_segmentation::UnicodeSegmentation;

/// A part of a word with its columns.
struct Columns {
    /// One past its last column, the hyphen behind it left aside: a chord over that belongs to the next part.
    end: usize,
}

/// A line of words with the chords over them, each at the word or the part of one under its column; over a space
/// or a hyphen at the next; past the last word behind it.
pub(super) fn line(symbols: Vec<Placed>, sung: Option<&Row<'_>>, span: Span) -> Sung {
    let mut ends: Vec<Columns> = Vec::new();
    let mut words: Vec<Word> = Vec::new();
    for word in sung.iter().flat_map(|row| &row.words) {
        words.push(Word { parts: parts(*word, &mut ends) });
    }
    let mut symbols = symbols.into_iter().peekable();
    let mut place = |end: usize| -> Vec<ChordAt> {
        let mut here = Vec::new();
        while let Some(symbol) = symbols.next_if(|symbol| symbol.column < end) {
            here.push(symbol.chord);
        }
        here
    };
    let parts = words.iter_mut().flat_map(|word| &mut word.parts);
    for (part, columns) in parts.zip(ends) {
        part.chords = place(columns.end);
    }
    let after = place(usize::MAX);
    Sung { words, after, span }
}

fn is_hyphen(character: &str) -> bool {
    matches!(character, "-" | "\u{2010}" | "\u{2011}")
}

/// The parts of a word, each with the hyphen behind it. Hyphens at its ends part nothing.
fn parts(word: Written<'_>, ends: &mut Vec<Columns>) -> Vec<Part> {
    let (line, text) = (word.line, word.line.text);
    let hyphens = ['-', '\u{2010}', '\u{2011}'];
    let inner = text.len() - text.trim_start_matches(hyphens).len();
    let inner = inner + 1..text.trim_end_matches(hyphens).len();
    let mut parts: Vec<Part> = Vec::new();
    // Where the part begins, and where its letters end if a hyphen stands behind them.
    let (mut start, mut letters) = (0, None);
    let mut column = word.column;
    let mut push = |start: usize, letters: usize, end: usize, column: usize| {
        let part = line.split_at(start).1;
        let (text, rest) = part.split_at(letters - start);
        let hyphen = rest.split_at(end - letters).0;
        ends.push(Columns { end: column });
        parts.push(Part {
            text: text.text.to_owned(),
            hyphen: hyphen.text.to_owned(),
            chords: Vec::new(),
            span: text.whole().to(hyphen.whole()),
        });
    };
    for (at, character) in text.grapheme_indices(true) {
        let parting = is_hyphen(character) && inner.contains(&at);
        match (parting, letters) {
            (true, None) => letters = Some((at, column)),
            (false, Some((end, behind))) => {
                push(start, end, at, behind);
                (start, letters) = (at, None);
            }
            _ => {}
        }
        column += 1;
    }
    push(start, text.len(), text.len(), column);
    parts
}
