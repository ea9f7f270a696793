//! Columns: a line of a riff as cells, one a user-perceived character.

use crate::findings::Span;
use crate::findings::source::{Line, characters};

/// One column of a line.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell<'a> {
    /// The character that stands there, with its accents.
    pub text: &'a str,
    /// Where it stands in the lesson.
    pub span: Span,
    /// Whether it is part of a bar line with its dots and its number of times.
    pub barred: bool,
}

impl Cell<'_> {
    /// Whether it is a space of any kind.
    pub fn is_space(&self) -> bool {
        self.text.chars().all(char::is_whitespace)
    }

    /// Whether it is a dash of any length.
    pub fn is_dash(&self) -> bool {
        matches!(self.text, "-" | "–" | "—" | "−")
    }

    /// Whether nothing is written there: a space, a dash or a bar line.
    pub fn is_blank(&self) -> bool {
        self.barred || self.is_dash() || self.is_space()
    }

    /// The digit that stands there.
    pub fn digit(&self) -> Option<u32> {
        self.text.parse().ok().filter(|digit| *digit < 10 && self.text.len() == 1)
    }
}

/// The columns of a line. A tab reaches to the next column that `tab` divides; its further columns
/// are empty cells.
pub(super) fn cells<'a>(line: &Line<'a>, tab: usize) -> Vec<Cell<'a>> {
    let mut cells = Vec::with_capacity(line.text.len());
    for (at, text) in characters(line.text) {
        let end = at + text.len();
        cells.push(Cell { text, span: line.span(at, end), barred: false });
        while text == "\t" && !cells.len().is_multiple_of(tab.max(1)) {
            cells.push(Cell { text: "", span: line.span(end, end), barred: false });
        }
    }
    cells
}

/// Cells that touch, read as one word.
#[derive(Debug, Clone)]
pub(super) struct Word {
    /// The column of its first cell, counted through the whole riff.
    pub column: usize,
    /// Its characters.
    pub text: String,
    /// Where it stands.
    pub span: Span,
}

/// The words among cells that begin at a column: parted by bar lines, and by `gap` or more spaces.
pub(super) fn words(cells: &[Cell], first_column: usize, gap: usize) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut spaces = gap;
    for (index, cell) in cells.iter().enumerate() {
        if cell.barred {
            spaces = gap;
        } else if cell.is_space() {
            spaces += 1;
        } else {
            match words.last_mut().filter(|_| spaces < gap) {
                Some(word) => {
                    word.text.push_str(&" ".repeat(spaces));
                    word.text.push_str(cell.text);
                    word.span = word.span.to(cell.span);
                }
                None => words.push(Word {
                    column: first_column + index,
                    text: cell.text.to_string(),
                    span: cell.span,
                }),
            }
            spaces = 0;
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_column_is_one_perceived_character() {
        let line = Line { text: "e\u{301}♭🎸x", start: 10 };
        let cells = cells(&line, 1);
        assert_eq!(
            cells.iter().map(|cell| cell.text).collect::<Vec<_>>(),
            ["e\u{301}", "♭", "🎸", "x"]
        );
        assert_eq!(cells.last().map(|cell| cell.span), Some(Span::new(20, 21)));
    }

    #[test]
    fn words_are_parted_by_so_many_spaces() {
        let line = Line { text: "let it  ring on", start: 0 };
        let cells = cells(&line, 1);
        let found = |gap| {
            words(&cells, 3, gap)
                .into_iter()
                .map(|word| (word.column, word.text))
                .collect::<Vec<_>>()
        };
        assert_eq!(found(2), [(3, "let it".to_string()), (11, "ring on".to_string())]);
        assert_eq!(found(1).len(), 4);
    }
}
