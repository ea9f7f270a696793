//! `# guessed` comments: what an import guessed and nobody has confirmed yet.

use super::entry::is_comment;
use crate::findings::Finding;
use crate::findings::rules::guessed;
use crate::findings::source::{Line, Source, Span};

/// A line that marks a guess.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guess {
    /// What was guessed, in the comment's own words; empty where it says nothing.
    pub says: String,
    /// The comment.
    pub span: Span,
    /// The whole line of the file, its end included: what is taken away to confirm the guess.
    line: Span,
}

/// The guesses among lines.
pub(super) fn among(source: &Source, lines: &[Line]) -> Vec<Guess> {
    lines.iter().filter_map(|line| Guess::read(source, *line)).collect()
}

impl Guess {
    fn read(source: &Source, line: Line) -> Option<Guess> {
        let comment = line.text.strip_prefix('#').filter(|_| is_comment(line.text))?.trim();
        let word = comment.get(.."guessed".len())?;
        let says = comment.get(word.len()..)?;
        let marks =
            word.eq_ignore_ascii_case("guessed") && !says.starts_with(char::is_alphanumeric);
        marks.then(|| Guess {
            says: says.trim_start_matches([':', ',', ' ']).to_string(),
            span: line.trimmed().whole(),
            line: file_line(&source.text, line.whole()),
        })
    }

    /// The doubt that it is.
    pub fn finding(&self) -> Finding {
        guessed::unconfirmed(self.span, &self.says, self.line)
    }
}

/// The line of the file that a place lies in, with its line end.
fn file_line(text: &str, place: Span) -> Span {
    let before = text.get(..place.start).unwrap_or_default();
    let behind = text.get(place.end..).unwrap_or_default();
    let start = before.rfind('\n').map_or(0, |feed| feed + 1);
    let end = behind.find('\n').map_or(text.len(), |feed| place.end + feed + 1);
    Span::new(start, end)
}
