//! Words within a node.

use super::*;

/// The checked phrases of a part of a script.
pub(super) fn phrases_of(part: speech::Part<'_>) -> Vec<PhraseText> {
    match part {
        speech::Part::Cue(line) => code_spans(line).into_iter().map(Line::spanned).collect(),
        speech::Part::EndlessComment(_) => Vec::new(),
        speech::Part::Speech(speech) => {
            let phrase = |piece: speech::Piece| match piece.said {
                speech::Said::Phrase(text) => Some(text),
                speech::Said::Words(_) => None,
            };
            speech.pieces.into_iter().filter_map(phrase).collect()
        }
    }
}

pub(super) fn is_leaf_or_item(tag: &Tag) -> bool {
    matches!(tag, Tag::Paragraph | Tag::Heading { .. } | Tag::TableCell | Tag::Item)
}

pub(super) fn alignment(alignment: pulldown_cmark::Alignment) -> Alignment {
    match alignment {
        pulldown_cmark::Alignment::None | pulldown_cmark::Alignment::Left => Alignment::Left,
        pulldown_cmark::Alignment::Center => Alignment::Centre,
        pulldown_cmark::Alignment::Right => Alignment::Right,
    }
}

/// Adds a piece to words. Text goes on from text, with one space where both have one (something
/// between them has vanished).
pub(super) fn join(words: &mut Vec<Inline>, word: Inline) {
    match (words.last_mut(), word) {
        (Some(Inline::Text(last)), Inline::Text(next)) => {
            let spaced = last.ends_with(' ');
            last.push_str(if spaced { next.trim_start_matches(' ') } else { &next });
        }
        (_, word) => words.push(word),
    }
}
