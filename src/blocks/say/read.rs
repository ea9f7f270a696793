//! Reading a script: lines in square brackets are cues, all others speech.

use super::{Part, Piece, Say, Speech, Stage, cue};
use crate::lesson::code_span::code_spans;
use crate::lesson::fence::Fence;
use crate::lesson::source::Line;
use crate::proof::rules::block_syntax;
use crate::proof::{Finding, Findings};

/// Reads a `say` block; every line that isn't a cue is speech.
pub fn read(fence: &Fence<'_>, stage: &dyn Stage, findings: &mut Findings) -> Say {
    for phrase in &fence.phrases {
        let message = format!("`{}` says nothing to a script", phrase.value);
        findings.add(Finding::new(&block_syntax::RULE, phrase.span, message));
    }
    let mut parts = Vec::new();
    let mut speech: Option<Speech> = None;
    for line in fence.lines.iter().map(|line| line.trimmed()) {
        if line.text.starts_with('[') {
            parts.extend(speech.take().map(Part::Speech));
            parts.push(Part::Cue(cue::read(line, stage, findings)));
        } else if line.text.is_empty() {
            parts.extend(speech.take().map(Part::Speech));
        } else {
            speech = Some(longer(speech, line));
        }
    }
    parts.extend(speech.map(Part::Speech));
    Say { parts }
}

/// A speech with one more line.
fn longer(speech: Option<Speech>, line: Line<'_>) -> Speech {
    let Some(mut speech) = speech else {
        return Speech { pieces: pieces(line), span: line.whole() };
    };
    speech.pieces.push(Piece::Words(" ".to_owned()));
    speech.pieces.extend(pieces(line));
    speech.span = speech.span.to(line.whole());
    speech
}

/// The words and phrases of a line; backticks are not said.
fn pieces(line: Line<'_>) -> Vec<Piece> {
    let words = |text: &str| Piece::Words(text.replace('`', ""));
    let mut pieces = Vec::new();
    let mut rest = line;
    for phrase in code_spans(line) {
        let (before, from) = rest.split_at(phrase.start.saturating_sub(rest.start));
        pieces.push(words(before.text));
        pieces.push(Piece::Phrase(phrase.spanned()));
        rest = from.split_at(phrase.text.len()).1;
    }
    pieces.push(words(rest.text));
    pieces
}
