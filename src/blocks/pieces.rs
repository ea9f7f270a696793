//! The pieces of a line in a block: what it is about, and the phrases behind that.

use crate::findings::source::Line;

/// The pieces of a line between commas; the comma before the first phrase may be left out, which is told by its
/// first words, in small letters.
pub fn pieces<'a>(line: Line<'a>, first_words: &[&str]) -> Vec<Line<'a>> {
    let mut pieces: Vec<Line<'a>> = line.parts(',').collect();
    if let Some(first) = pieces.first().copied() {
        let lower = first.text.to_ascii_lowercase();
        if let Some(cut) = first_words.iter().filter_map(|word| lower.find(word)).min() {
            let (subject, phrase) = first.split_at(cut);
            pieces.splice(0..1, [subject.trimmed(), phrase.trimmed()]);
        }
    }
    pieces
}
