//! HTML comments in a `say` block, which nobody says.

use crate::findings::source::{Line, Span};
use crate::lesson::code_span::backtick_runs;
use std::collections::BTreeMap;

/// What opens a comment.
const OPENING: &str = "<!--";
/// What closes it.
const CLOSING: &str = "-->";

/// A piece of a line that stands outside of comments.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outside<'a> {
    /// The piece; a whole line is trimmed, a piece keeps its blanks where a comment parted it off.
    pub line: Line<'a>,
    /// Whether it goes on where a comment has cut words off, on the same line or an earlier one.
    pub goes_on: bool,
}

/// What of some lines stands outside of comments, and where a comment begins that doesn't end. A line that is
/// nothing but comment is no line at all.
pub(super) fn taken_off<'a>(lines: &[Line<'a>]) -> (Vec<Outside<'a>>, Option<Span>) {
    let (mut outside, mut opened, mut cut) = (Vec::new(), None, false);
    for line in lines.iter().map(|line| line.trimmed()) {
        if opened.is_none() {
            cut = false;
            outside.extend(line.text.is_empty().then_some(Outside { line, goes_on: false }));
        }
        let last_runs: BTreeMap<usize, usize> =
            backtick_runs(line.text).map(|(start, length)| (length, start)).collect();
        let mut at = 0;
        while at < line.text.len() {
            let rest = line.split_at(at).1;
            if opened.is_some() {
                let Some(end) = rest.text.find(CLOSING) else { break };
                (at, opened) = (at + end + CLOSING.len(), None);
                continue;
            }
            let begins = comment_from(line.text, at, &last_runs);
            let piece = rest.split_at(begins.unwrap_or(line.text.len()) - at).0;
            if !piece.text.trim().is_empty() {
                outside.push(Outside { line: piece, goes_on: cut });
                cut = begins.is_some();
            }
            at = line.text.len();
            if let Some(begins) = begins {
                opened = Some(Span::new(line.start + begins, line.start + line.text.len()));
                // So that `<!-->` is a whole comment, as in CommonMark.
                at = begins + "<!".len();
            }
        }
    }
    (outside, opened)
}

/// Where a comment begins in a text from a place on, outside of code spans. `last_runs` are the last runs of
/// backticks by their lengths, so that none is looked for in vain.
fn comment_from(text: &str, mut at: usize, last_runs: &BTreeMap<usize, usize>) -> Option<usize> {
    loop {
        let sign = at + text.get(at..)?.find(['`', '<', '\\'])?;
        let found = text.get(sign..)?;
        if found.starts_with(OPENING) {
            return Some(sign);
        }
        at = match found.strip_prefix('\\') {
            Some(escaped) => sign + 1 + escaped.chars().next().map_or(0, char::len_utf8),
            None => behind_code(text, sign, last_runs).unwrap_or(sign + 1),
        };
    }
}

/// Where the code span ends that begins at a place, or the backticks there that begin none.
fn behind_code(text: &str, at: usize, last_runs: &BTreeMap<usize, usize>) -> Option<usize> {
    let rest = text.get(at..)?;
    let mut runs = backtick_runs(rest).take_while(|_| rest.starts_with('`'));
    let (_, length) = runs.next()?;
    let closes = last_runs.get(&length).is_some_and(|last| *last > at);
    let closing = closes.then(|| runs.find(|(_, other)| *other == length)).flatten();
    Some(at + length + closing.map_or(0, |(start, _)| start))
}
