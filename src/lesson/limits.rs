//! What a lesson may hold at most, so that any lesson is read, checked and printed within seconds.
//!
//! Each limit lies well above what a lesson can be: one of 120 pages has some 220 headings, 570 blocks,
//! 2,000 pieces of prose and 1,000 phrases. A lesson that holds nearly as much of everything as it may is
//! printed within 3 s and 500 MB still. What is beyond a limit is told by a fault and is not read.

use super::world;
use crate::findings::limit::FINDINGS;
use crate::findings::source::{Source, Span};
use crate::findings::{Finding, Limit};
use crate::ink::{OwnFont, picture};
use pulldown_cmark::{Event, Tag, TagEnd};
use std::collections::BTreeMap;

/// Bytes of the file.
pub const BYTES: Limit = Limit { what: "bytes", most: Source::LARGEST };
/// Lines of the header. Assumed: twice as many keys as there are, a comment to each, are a tenth.
pub const HEADER_LINES: Limit = Limit { what: "lines of the header", most: 1_000 };
/// Characters of a header key's value. Assumed: more than a title block can show.
pub const VALUE: Limit = Limit { what: "characters of a header key's value", most: 1_000 };
/// Lists and quotes within one another on one line. Assumed: twelve times what a page has room for.
pub const NESTING: Limit = Limit { what: "lists and quotes within one another", most: 100 };
/// Headings. Each is a bookmark too.
pub const HEADINGS: Limit = Limit { what: "headings", most: 2_000 };
/// Pieces of prose: 15 kB of memory each at most (measured).
pub const PROSE: Limit = Limit {
    what: "paragraphs, list items, table cells, quotes, rules and ended lines in all",
    most: 10_000,
};
/// Words of the prose: 0.7 kB of memory each (measured). A page has room for 500.
pub const WORDS: Limit = Limit { what: "words of prose", most: 150_000 };
/// Pages that the lesson itself begins.
pub const NEW_PAGES: Limit = Limit { what: "`[new page]`", most: 1_000 };
/// Links.
pub const LINKS: Limit = Limit { what: "links", most: 2_000 };
/// Places where a picture is named.
pub const PICTURES: Limit = Limit { what: "pictures", most: 1_000 };
/// Checked phrases in the prose.
pub const PHRASES: Limit = Limit { what: "phrases between backticks", most: 10_000 };
/// Fenced blocks, of music and others.
pub const BLOCKS: Limit = Limit { what: "fenced blocks", most: 2_000 };
/// Lines between fences, music and text that is printed as it stands.
pub const LINES: Limit = Limit { what: "lines in fenced blocks", most: 30_000 };
/// Lines of `shape` blocks: a shape takes 75 µs (measured).
pub const SHAPES: Limit = Limit { what: "chord shapes", most: 2_000 };
/// Diagrams of the neck: a whole neck takes 1 ms (measured).
pub const DIAGRAMS: Limit = Limit { what: "neck diagrams", most: 300 };
/// Chords in `voicings` blocks: a box with its way to the next takes 0.1 ms (measured).
pub const VOICINGS: Limit = Limit { what: "chords of voicings", most: 1_500 };
/// Bars of `changes` and riffs as they are written.
pub const BARS: Limit = Limit { what: "bars", most: 4_000 };
/// Words and chords of songs: a songbook of 240 pages has as many (assumed).
pub const SUNG: Limit = Limit { what: "words and chords of songs", most: 60_000 };
/// Columns of one row of a riff. Assumed: a system has some hundred, whatever editor it is written in.
pub const COLUMNS: Limit = Limit { what: "columns of a riff's row", most: 20_000 };
/// Cues in `say` blocks, and speeches between them: 13 kB of memory each (measured).
pub const CUES: Limit = Limit { what: "cues and speeches", most: 5_000 };
/// Faults that a draft words beneath their blocks.
pub const DRAFT_FAULTS: Limit = Limit { what: "faults worded in a draft", most: 1_000 };

/// Lines of the file of measured times. Assumed: a time for each heading, a comment to each.
pub const TIMES: Limit = Limit { what: "lines of measured times", most: 4_000 };

/// All limits, in the order of the README's table.
pub const ALL: [Limit; 22] = [
    BYTES,
    HEADER_LINES,
    VALUE,
    NESTING,
    HEADINGS,
    PROSE,
    WORDS,
    NEW_PAGES,
    LINKS,
    PICTURES,
    PHRASES,
    BLOCKS,
    LINES,
    SHAPES,
    DIAGRAMS,
    VOICINGS,
    BARS,
    SUNG,
    COLUMNS,
    CUES,
    FINDINGS,
    DRAFT_FAULTS,
];

/// The limits of the files that a lesson names, which a lesson's text doesn't count towards.
pub const OF_FILES: [Limit; 10] = [
    Limit { what: "bytes of a file that the lesson names", most: world::LARGEST as usize },
    Limit { what: "bytes of a font", most: OwnFont::LARGEST },
    Limit { what: "dots of a picture", most: picture::MOST_DOTS as usize },
    Limit { what: "dots along a picture's side", most: picture::MOST_DOTS_ALONG as usize },
    Limit { what: "dots of all pictures", most: picture::MOST_DOTS_TOGETHER as usize },
    Limit { what: "bytes of all pictures", most: picture::MOST_BYTES_TOGETHER as usize },
    Limit { what: "bytes of an SVG", most: picture::MOST_SVG_BYTES },
    Limit { what: "groups of an SVG within one another", most: picture::DEEPEST_SVG },
    Limit {
        what: "dots that an SVG colours, each as often as shapes and effects touch it",
        most: picture::MOST_SVG_WORK as usize,
    },
    TIMES,
];

/// What is left of a limit.
#[derive(Debug, Clone, Copy)]
struct Left {
    limit: Limit,
    left: usize,
}

impl Left {
    const fn of(limit: Limit) -> Left {
        Left { limit, left: limit.most }
    }

    /// Takes so many; the limit, where not so many are left.
    fn take(&mut self, number: usize) -> Result<(), Limit> {
        self.left = self.left.checked_sub(number).ok_or(self.limit)?;
        Ok(())
    }
}

/// Counts what a lesson holds while its text is read.
#[derive(Debug)]
pub(super) struct Text {
    headings: Left,
    prose: Left,
    words: Left,
    new_pages: Left,
    links: Left,
    pictures: Left,
    phrases: Left,
    blocks: Left,
    lines: Left,
    /// Whether a fenced block is being read.
    in_block: bool,
}

impl Text {
    /// Nothing yet.
    pub fn new() -> Text {
        Text {
            headings: Left::of(HEADINGS),
            prose: Left::of(PROSE),
            words: Left::of(WORDS),
            new_pages: Left::of(NEW_PAGES),
            links: Left::of(LINKS),
            pictures: Left::of(PICTURES),
            phrases: Left::of(PHRASES),
            blocks: Left::of(BLOCKS),
            lines: Left::of(LINES),
            in_block: false,
        }
    }

    /// Counts what is read next; the fault, where it is beyond a limit.
    pub fn take(&mut self, event: &Event, span: Span) -> Result<(), Box<Finding>> {
        let taken = match event {
            Event::Start(Tag::Heading { .. }) => self.headings.take(1),
            Event::Start(Tag::Paragraph | Tag::Item | Tag::TableCell | Tag::BlockQuote(_))
            | Event::Rule
            | Event::HardBreak => self.prose.take(1),
            Event::Start(Tag::Link { .. }) => self.links.take(1),
            Event::Start(Tag::Image { .. }) => self.pictures.take(1),
            Event::Start(Tag::CodeBlock(_)) => {
                self.in_block = true;
                self.blocks.take(1)
            }
            Event::End(TagEnd::CodeBlock) => {
                self.in_block = false;
                Ok(())
            }
            Event::Text(text) if self.in_block => self.lines.take(text.matches('\n').count()),
            // What stands between brackets comes alone.
            Event::Text(text) if text.eq_ignore_ascii_case("new page") => self.new_pages.take(1),
            Event::Text(text) => self.words.take(words(text).max(1)),
            Event::Code(text) => {
                self.phrases.take(1).and_then(|()| self.words.take(words(text).max(1)))
            }
            _ => Ok(()),
        };
        taken.map_err(|limit| Box::new(limit.ends(span)))
    }
}

/// Counts what a lesson's blocks hold while they are read.
#[derive(Debug, Default)]
pub struct Held(BTreeMap<&'static str, Left>);

impl Held {
    /// Counts so many of what a limit is for; the limit, where that is beyond it.
    ///
    /// # Errors
    ///
    /// The limit; nothing is counted then.
    pub fn take(&mut self, limit: Limit, number: usize) -> Result<(), Limit> {
        self.0.entry(limit.what).or_insert(Left::of(limit)).take(number)
    }
}

fn words(text: &str) -> usize {
    text.split_whitespace().count()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn the_readme_has_each_limit_in_its_table() {
        let readme = include_str!("../../README.md");
        let rows: Vec<String> = ALL
            .iter()
            .chain(&OF_FILES)
            .map(|limit| format!("| {} | {} |\n", limit.what, limit.number()))
            .collect();
        let table = format!("| at most | |\n| --- | --- |\n{}\n", rows.concat());
        assert!(readme.contains(&table), "the README's table is to be\n{table}");
    }

    #[test]
    fn numbers_are_grouped() {
        for (most, number) in [(1, "1"), (999, "999"), (1_000, "1,000"), (16_777_216, "16,777,216")]
        {
            assert_eq!(Limit { what: "", most }.number(), number);
        }
    }
}
