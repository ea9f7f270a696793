//! What is said in a `say` block: words, with their stress, and checked phrases; lines in square
//! brackets are cues.

use crate::findings::source::{Line, Span, Spanned};
use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};

/// Words that are said in one go: lines up to a cue or an empty line.
#[derive(Debug, Clone)]
pub struct Speech {
    /// The words and the checked phrases among them.
    pub pieces: Vec<Piece>,
    /// Where they stand.
    pub span: Span,
    /// Where the first tag of raw HTML stands, which nobody says.
    pub tag: Option<Span>,
}

/// A piece of a speech.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece {
    /// What is said.
    pub said: Said,
    /// How.
    pub stress: Stress,
}

/// What is said.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// Plain words.
    Words(String),
    /// A checked phrase, as typed.
    Phrase(Spanned<String>),
}

/// How something is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stress {
    /// Stressed, `*so*`.
    pub emphasis: bool,
    /// Strong, `**so**`.
    pub strong: bool,
}

/// A part of a `say` block.
#[derive(Debug, Clone)]
pub enum Part<'a> {
    /// Words that are said.
    Speech(Speech),
    /// The line of a cue, trimmed.
    Cue(Line<'a>),
}

/// The parts of a `say` block with these lines.
pub fn parts<'a>(lines: &[Line<'a>]) -> Vec<Part<'a>> {
    let lines: Vec<Line> = lines.iter().map(|line| line.trimmed()).collect();
    let kind = |line: &Line| (line.text.is_empty(), line.text.starts_with('['));
    let mut parts = Vec::new();
    for stretch in lines.chunk_by(|a, b| kind(a) == (false, false) && kind(b) == (false, false)) {
        match stretch {
            [line, ..] if line.text.starts_with('[') => parts.push(Part::Cue(*line)),
            [line, ..] if !line.text.is_empty() => parts.push(Part::Speech(speech(stretch))),
            _ => {}
        }
    }
    parts
}

/// Stands before a speech while it is read: without it, a hyphen or a number in front would begin a
/// list, and a speech has none.
const LEAD: &str = "a ";

/// The text of a speech on one line, and where its lines stand in the lesson.
struct OneLine {
    text: String,
    /// For each line where it begins in `text`, and where in the lesson.
    starts: Vec<(usize, usize)>,
}

impl OneLine {
    fn of(lines: &[Line<'_>]) -> OneLine {
        let (mut text, mut starts) = (LEAD.to_owned(), Vec::new());
        for (index, line) in lines.iter().enumerate() {
            text.push_str(if index > 0 { " " } else { "" });
            starts.push((text.len(), line.start));
            text.push_str(line.text);
        }
        OneLine { text, starts }
    }

    /// The place in the lesson of what stands at an offset.
    fn place(&self, offset: usize) -> usize {
        let lines = self.starts.partition_point(|(start, _)| *start <= offset);
        let line = self.starts.get(lines.saturating_sub(1)).copied();
        line.map_or(0, |(start, place)| place + offset.saturating_sub(start))
    }

    fn span(&self, start: usize, end: usize) -> Span {
        Span::new(self.place(start), self.place(end))
    }
}

/// Reads a speech: its lines as one line of CommonMark.
fn speech(lines: &[Line<'_>]) -> Speech {
    let line = OneLine::of(lines);
    let (mut pieces, mut tag) = (Vec::new(), None);
    let (mut emphases, mut strongs) = (0_usize, 0_usize);
    for (event, range) in Parser::new_ext(&line.text, Options::empty()).into_offset_iter() {
        // Stress within stress is none, as in the prose.
        let stress = Stress { emphasis: emphases % 2 == 1, strong: strongs > 0 };
        let mut say = |said: Said| pieces.push(Piece { said, stress });
        match event {
            Event::Start(Tag::Emphasis) => emphases += 1,
            Event::End(TagEnd::Emphasis) => emphases = emphases.saturating_sub(1),
            Event::Start(Tag::Strong) => strongs += 1,
            Event::End(TagEnd::Strong) => strongs = strongs.saturating_sub(1),
            Event::Text(words) => {
                let lead = if range.start == 0 { LEAD.len() } else { 0 };
                say(Said::Words(words.get(lead..).unwrap_or_default().to_owned()));
            }
            Event::Code(words) => say(code(&words, range.start, range.end, &line)),
            Event::InlineHtml(html) if !html.starts_with("<!--") => {
                tag = tag.or(Some(line.span(range.start, range.end)));
            }
            _ => {}
        }
    }
    let first = lines.first().map(Line::whole).unwrap_or_default();
    let span = lines.iter().fold(first, |span, line| span.to(line.whole()));
    Speech { pieces, span, tag }
}

/// A code span: with one backtick on each side it is a phrase, with more it is not music.
fn code(words: &str, start: usize, end: usize, line: &OneLine) -> Said {
    let written = line.text.get(start..end).unwrap_or_default();
    let backticks = written.len() - written.trim_start_matches('`').len();
    let phrase = words.trim();
    if backticks != 1 || phrase.is_empty() {
        return Said::Words(words.to_owned());
    }
    let place = match written.find(phrase) {
        Some(offset) => line.span(start + offset, start + offset + phrase.len()),
        None => line.span(start, end),
    };
    Said::Phrase(Spanned { value: phrase.to_owned(), span: place })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::source::lines;

    /// The parts in short: cues in brackets; phrases in backticks; stress by signs of its own.
    fn read(text: &str) -> Vec<String> {
        let lines: Vec<Line> = lines(text, 0).collect();
        let told = |piece: &Piece| {
            let words = match &piece.said {
                Said::Words(words) => words.clone(),
                Said::Phrase(phrase) => {
                    let place = text.get(phrase.span.start..phrase.span.end);
                    let whole = place == Some(&phrase.value);
                    format!("`{}`{}", phrase.value, if whole { "" } else { "~" })
                }
            };
            match (piece.stress.emphasis, piece.stress.strong) {
                (false, false) => words,
                (true, false) => format!("/{words}/"),
                (false, true) => format!("+{words}+"),
                (true, true) => format!("#{words}#"),
            }
        };
        let part = |part: Part| match part {
            Part::Cue(line) => line.text.to_owned(),
            Part::Speech(speech) => speech.pieces.iter().map(told).collect(),
        };
        parts(&lines).into_iter().map(part).collect()
    }

    #[test]
    fn stress_is_heard_and_its_signs_are_not() {
        for (text, parts) in [
            ("Play *this* now.", vec!["Play /this/ now."]),
            ("**Never** rush, _ever_.", vec!["+Never+ rush, /ever/."]),
            ("***So***, and *so **so***.", vec!["#So#, and /so /#so#."]),
            ("*over\na line*", vec!["/over a line/"]),
            ("2 * 3 * 4 and snake_case_word", vec!["2 * 3 * 4 and snake_case_word"]),
            ("*stress `C# is the third of A`*", vec!["/stress //`C# is the third of A`/"]),
            ("\\*as typed\\* and `` *so* `` &amp;", vec!["*as typed* and *so* &"]),
        ] {
            assert_eq!(read(text), parts, "{text}");
        }
    }

    #[test]
    fn what_begins_like_a_list_or_a_heading_stays_as_typed() {
        for text in ["- one", "1. one", "# one", "> one", "***", "+", "    one", "~~~ riff", "==="]
        {
            assert_eq!(read(text), [text.trim()], "{text}");
            assert_eq!(read(&format!("one\n{text}")), [format!("one {}", text.trim())], "{text}");
        }
    }

    #[test]
    fn cues_and_empty_lines_part_speeches() {
        let text = "One\ntwo.\n\n[show a]\n[play *b*]\nThree `A`\n  and `E`.\n";
        assert_eq!(read(text), ["One two.", "[show a]", "[play *b*]", "Three `A` and `E`."]);
    }

    #[test]
    fn a_phrase_over_a_lines_end_has_its_place() {
        assert_eq!(read("See `C# is\nthe third of A`."), ["See `C# is the third of A`~."]);
    }

    #[test]
    fn comments_and_tags_are_not_said() {
        assert_eq!(read("One <!-- a note --> two <b>three</b>"), ["One  two three"]);
        assert_eq!(read("The [site](https://example.org) says"), ["The site says"]);
    }
}
