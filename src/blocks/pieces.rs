//! The pieces of a line in a block: what it is about, and the phrases behind that.

use crate::findings::source::Line;
use crate::lesson;

/// The pieces of a line between commas; the comma before the first phrase may be left out, which is told by its
/// first word.
pub fn pieces<'a>(line: Line<'a>, kind: &lesson::Kind) -> Vec<Line<'a>> {
    let mut pieces: Vec<Line<'a>> = line.parts(',').collect();
    if let Some(first) = pieces.first().copied() {
        let lower = first.text.to_ascii_lowercase();
        let begins = |word: &str| lower.find(&format!(" {word} "));
        if let Some(cut) = kind.first_words().filter_map(begins).min() {
            let (subject, phrase) = first.split_at(cut);
            pieces.splice(0..1, [subject.trimmed(), phrase.trimmed()]);
        }
    }
    pieces
}
