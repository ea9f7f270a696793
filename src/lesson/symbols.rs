//! Chord symbols in a row: `A F#m7 D`, `A over C#`.

use crate::findings::source::Line;
use crate::theory::{Chord, Names};

/// The symbols of a text, parted by spaces or commas; `A over C#` is one.
pub fn symbols(text: Line<'_>) -> Vec<Line<'_>> {
    let mut symbols: Vec<Line> = Vec::new();
    let mut joins = false;
    for word in text.pieces(|c| c.is_whitespace() || c == ',') {
        match symbols.last_mut() {
            Some(last) if joins || word.is("over") => {
                joins = !joins;
                *last = text.from_to(*last, word);
            }
            _ => symbols.push(word),
        }
    }
    symbols
}

/// A symbol as [`Chord::parse`] reads it: `A/C#` for `A over C#`.
pub fn slashed(symbol: &str) -> String {
    let words: Vec<&str> = symbol.split_whitespace().collect();
    match words.as_slice() {
        [chord, over, bass] if over.eq_ignore_ascii_case("over") => format!("{chord}/{bass}"),
        _ => symbol.to_owned(),
    }
}

/// Reads one symbol where it may as well be something else.
pub fn chord(symbol: &str, names: Names) -> Option<Chord> {
    names.chord_or_else(&slashed(symbol))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bass_may_be_named_in_words() {
        for (text, read) in [
            ("A F#m7, D,E", vec!["A", "F#m7", "D", "E"]),
            ("A over C# D", vec!["A/C#", "D"]),
            ("D A  OVER C#", vec!["D", "A/C#"]),
            ("A over", vec!["A over"]),
            ("over C#", vec!["over", "C#"]),
            ("", vec![]),
        ] {
            let line = Line { text, start: 0 };
            let found: Vec<String> = symbols(line).iter().map(|part| slashed(part.text)).collect();
            assert_eq!(found, read, "{text}");
        }
        assert_eq!(chord("A over C#", Names::English), Chord::read("A/C#"));
    }
}
