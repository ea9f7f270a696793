//! What is said in a `say` block: words, with their stress, and checked phrases; lines that are one pair of
//! square brackets are cues. Comments vanish, and marks are read as what they say: a list has its items, a link
//! its words.

mod comments;
mod marks;

use super::limits::NESTING;
use crate::findings::source::{Line, Span, Spanned};
use comments::Outside;
use marks::Mark;
use pulldown_cmark::{BrokenLink, CowStr, Event, LinkType, Options, Parser, Tag, TagEnd};
use std::ops::Range;

/// The words that begin a cue wherever it stands. Other words in brackets are a cue on a line of their own, and
/// among words they are said.
pub const CUE_WORDS: [&str; 7] = ["show", "play", "pause", "retake", "camera", "tone", "note"];

/// Whether words in square brackets are a cue wherever they stand.
pub fn is_cue(words: &str) -> bool {
    let first = words.split_whitespace().next().unwrap_or_default();
    CUE_WORDS.iter().any(|word| word.eq_ignore_ascii_case(first))
}

/// Words that are said in one go: lines up to a cue or an empty line, or an item of a list.
#[derive(Debug, Clone)]
pub struct Speech {
    /// The words and the checked phrases among them.
    pub pieces: Vec<Piece>,
    /// Where they stand.
    pub span: Span,
    /// Where the first tag of raw HTML stands, which nobody says.
    pub tag: Option<Span>,
    /// The words in square brackets among them that are no link, brackets included.
    pub brackets: Vec<Span>,
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
    /// Where a comment begins that doesn't end, on its first line.
    EndlessComment(Span),
}

/// The parts of a `say` block with these lines.
pub fn parts<'a>(lines: &[Line<'a>]) -> Vec<Part<'a>> {
    let (lines, endless) = comments::taken_off(lines);
    let mut gathering = Gathering::default();
    lines.into_iter().for_each(|line| gathering.line(line));
    gathering.end_speech();
    gathering.parts.extend(endless.map(Part::EndlessComment));
    gathering.parts
}

/// The parts so far, and the speech that goes on.
#[derive(Default)]
struct Gathering<'a> {
    parts: Vec<Part<'a>>,
    speech: Vec<Outside<'a>>,
    /// The last mark before it.
    mark: Option<Mark>,
}

impl<'a> Gathering<'a> {
    fn line(&mut self, outside: Outside<'a>) {
        if outside.goes_on {
            return self.speech.push(outside);
        }
        if self.mark == Some(Mark::Heading) {
            self.end_speech();
        }
        let mut line = outside.line.trimmed();
        let begins = self.speech.is_empty() || self.mark == Some(Mark::Number);
        for _ in 0..NESTING.most {
            let Some((mark, rest)) = marks::first(line, begins) else { break };
            if mark != Mark::Quote {
                self.end_speech();
                self.mark = Some(mark);
            }
            line = rest;
        }
        if line.text.is_empty() || marks::is_rule(line.text) {
            self.end_speech();
        } else if is_cue_line(line.text) {
            self.end_speech();
            self.parts.push(Part::Cue(line));
        } else {
            // The blanks behind it are kept where a comment follows.
            let with_blanks = outside.line.split_at(line.start - outside.line.start).1;
            let is_cut = with_blanks.text.ends_with(char::is_whitespace);
            self.speech.push(Outside { line: if is_cut { with_blanks } else { line }, ..outside });
        }
    }

    fn end_speech(&mut self) {
        if !self.speech.is_empty() {
            self.parts.push(Part::Speech(speech(&self.speech)));
            self.speech.clear();
        }
        self.mark = None;
    }
}

/// Whether a line is a cue: one pair of square brackets, or an opening one without its other.
fn is_cue_line(line: &str) -> bool {
    line.starts_with('[') && closing_bracket(line).is_none_or(|end| end + 1 == line.len())
}

/// Where the bracket closes that a text begins with.
fn closing_bracket(text: &str) -> Option<usize> {
    let mut depth = 0_usize;
    for (at, sign) in text.match_indices(['[', ']']) {
        depth = if sign == "[" { depth + 1 } else { depth.saturating_sub(1) };
        if depth == 0 {
            return Some(at);
        }
    }
    None
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
    fn of(lines: &[Outside<'_>]) -> OneLine {
        let (mut text, mut starts) = (LEAD.to_owned(), Vec::new());
        for (index, Outside { line, goes_on }) in lines.iter().enumerate() {
            text.push_str(if index > 0 && !goes_on { " " } else { "" });
            // One blank is enough where a comment has vanished.
            let doubled = if text.ends_with(' ') { blanks_before(line.text) } else { 0 };
            let line = line.split_at(doubled).1;
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

fn blanks_before(text: &str) -> usize {
    text.len() - text.trim_start().len()
}

/// Reads a speech: its lines as one line of CommonMark.
fn speech(lines: &[Outside<'_>]) -> Speech {
    let line = OneLine::of(lines);
    let (mut pieces, mut tag, mut brackets) = (Vec::new(), None, Vec::new());
    let no_link = |broken: BrokenLink<'_>| {
        let words = line.text.get(broken.span.start + 1..broken.span.end).unwrap_or_default();
        let is_link = broken.link_type == LinkType::Reference && !is_cue(words);
        if !is_link {
            brackets.extend(pairs(&line, broken.span));
        }
        is_link.then_some((CowStr::Borrowed(""), CowStr::Borrowed("")))
    };
    let (mut emphases, mut strongs) = (0_usize, 0_usize);
    let parser = Parser::new_with_broken_link_callback(&line.text, Options::empty(), Some(no_link));
    for (event, range) in parser.into_offset_iter() {
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
            Event::InlineHtml(_) => tag = tag.or(Some(line.span(range.start, range.end))),
            _ => {}
        }
    }
    let first = lines.first().map(|first| first.line.whole()).unwrap_or_default();
    let span = lines.iter().fold(first, |span, outside| span.to(outside.line.trimmed().whole()));
    Speech { pieces, span, tag, brackets }
}

/// The places of one pair of brackets, or of two that touch.
fn pairs(line: &OneLine, both: Range<usize>) -> impl Iterator<Item = Span> {
    let written = line.text.get(both.clone()).unwrap_or_default();
    let middle = closing_bracket(written).map_or(both.end, |end| both.start + end + 1);
    let pairs = [both.start..middle, middle..both.end].into_iter();
    pairs.filter(|pair| !pair.is_empty()).map(|pair| line.span(pair.start, pair.end))
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
            Part::EndlessComment(_) => "<!--".to_owned(),
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
    fn marks_are_not_said_and_part_what_is() {
        for (text, parts) in [
            ("- one\n- two\n  more\n* three\n+ four", vec!["one", "two more", "three", "four"]),
            ("First\n1. one\n2. two\n10) ten", vec!["First", "one", "two", "ten"]),
            ("In the year\n1986. A great one.", vec!["In the year 1986. A great one."]),
            ("2. two", vec!["two"]),
            ("## Play *it* ##\nWords.\n###### Six", vec!["Play /it/", "Words.", "Six"]),
            ("#1 and ####### seven", vec!["#1 and ####### seven"]),
            ("Title\n===\nOne\n***\ntwo\n- - -", vec!["Title", "One", "two"]),
            ("> one\n> two", vec!["one two"]),
            ("> - one\n> - ## two", vec!["one", "two"]),
            ("- [show a]\n- [ ] one\n-\n+", vec!["[show a]", "[ ] one"]),
            ("    one\n-1 and *2*", vec!["one -1 and /2/"]),
            ("![the hook](a.png) and <https://a.org>", vec!["the hook and https://a.org"]),
        ] {
            assert_eq!(read(text), parts, "{text}");
        }
    }

    #[test]
    fn words_in_brackets_are_said_unless_they_are_a_line() {
        for (text, parts, brackets) in [
            ("play [show a] now.", vec!["play [show a] now."], vec!["[show a]"]),
            ("[show a] now.", vec!["[show a] now."], vec!["[show a]"]),
            ("[show a][play a]", vec!["[show a][play a]"], vec!["[show a]", "[play a]"]),
            ("[camera on [the] hand]", vec!["[camera on [the] hand]"], vec![]),
            ("He [sic] said", vec!["He [sic] said"], vec!["[sic]"]),
            ("[The site](https://a.org) says", vec!["The site says"], vec![]),
            ("[The site][a] says [it](b)", vec!["The site says it"], vec![]),
            ("As \\[show a\\] and `` [show a] ``", vec!["As [show a] and [show a]"], vec![]),
            ("[show a", vec!["[show a"], vec![]),
        ] {
            assert_eq!(read(text), parts, "{text}");
            let lines: Vec<Line> = lines(text, 0).collect();
            let found: Vec<Span> = super::parts(&lines)
                .into_iter()
                .flat_map(|part| match part {
                    Part::Speech(speech) => speech.brackets,
                    _ => Vec::new(),
                })
                .collect();
            let found: Vec<&str> = found.iter().map(|span| &text[span.start..span.end]).collect();
            assert_eq!(found, brackets, "{text}");
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
        for (text, parts) in [
            ("One <!-- a note --> two <b>three</b>", vec!["One two three"]),
            ("One <!-- a\n\n[show a]\nnote --> two", vec!["One two"]),
            ("One\n<!-- a note -->\ntwo", vec!["One two"]),
            ("wo<!-- a note -->rd<!-- -->, <!-->then.", vec!["word, then."]),
            ("<!-- a note --> [show a] <!-- b -->\nOne", vec!["[show a]", "One"]),
            ("One <!-- a --> [show a]", vec!["One [show a]"]),
            ("One `<!-- a` two --> three `` ` <!-- ``", vec!["One `<!-- a` two --> three ` <!--"]),
            ("One ` two <!-- ` -->", vec!["One `two <!--` -->"]),
            ("One ` two <!-- three -->", vec!["One ` two"]),
            ("One \\<!-- two -->", vec!["One <!-- two -->"]),
            ("One <!-- two\n[show a]", vec!["One", "<!--"]),
        ] {
            assert_eq!(read(text), parts, "{text}");
        }
    }
}
