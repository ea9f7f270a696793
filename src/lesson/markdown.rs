//! Reads the prose: CommonMark events become the lesson's tree, its music and its phrases.

mod closing;
mod lines;
mod raw_html;
mod words;

use super::code_span::code_spans;
use super::entry::{self, Place};
use super::fence::{self, Fence, Head};
use super::kind::{self, Kind, Kinds, Medium};
use super::letters::Gathering;
use super::picture::Pictures;
use super::prose::{Alignment, Inline, Node, PhraseText};
use super::world::World;
use super::{PhraseAt, Setting, depth, guess, limits, speech};
use crate::findings::rules::picture as picture_rule;
use crate::findings::rules::{block_syntax, header_value, left_out, name_taken};
use crate::findings::source::{Line, Source, Span, Spanned};
use crate::findings::{Finding, Findings};
use crate::words::help::see;
use lines::Lines;
use pulldown_cmark::{CodeBlockKind, Event, LinkType, Options, Parser, Tag, TagEnd};
use std::collections::BTreeMap;
use std::sync::Arc;
use words::{alignment, is_leaf_or_item, join, phrases_of};

/// How deep the tree may be. Assumed: a page has room for far fewer levels. What nests deeper is
/// printed at this depth, with a hint.
const DEEPEST: usize = 24;

/// What a lesson has beyond CommonMark.
const EXTENSIONS: Options = Options::ENABLE_TABLES.union(Options::ENABLE_TASKLISTS);

/// What the prose says.
pub(super) struct Body<'a> {
    pub nodes: Vec<Node>,
    pub fences: Vec<Fence<'a>>,
    pub names: BTreeMap<String, usize>,
    pub phrases: Vec<PhraseAt>,
    pub pictures: Vec<super::prose::PictureLink>,
}

/// Reads the lesson's text from a byte offset on; `setting` is what the header says.
pub(super) fn read<'a>(
    source: &'a Source,
    start: usize,
    setting: &Setting,
    (kinds, folder, letters): (Kinds<'_>, &dyn World, &mut Gathering),
    findings: &mut Findings,
) -> Body<'a> {
    let body = source.text.get(start..).unwrap_or_default();
    let text = depth::bounded(body, start, findings);
    let mut reader = MarkdownReader::new(source, setting, kinds, folder, letters, findings);
    let mut counted = limits::Text::new();
    for (event, range) in Parser::new_ext(&text, EXTENSIONS).into_offset_iter() {
        let span = Span::new(range.start + start, range.end + start);
        if let Err(beyond) = counted.take(&event, span) {
            reader.stop(*beyond, span);
            break;
        }
        reader.take(event, span);
    }
    reader.finish()
}

/// What is gathered while the events go by.
struct MarkdownReader<'a, 'r> {
    source: &'a Source,
    kinds: Kinds<'r>,
    findings: &'r mut Findings,
    /// What is open, outermost first; the lesson itself is always there.
    open: Vec<Open<'a>>,
    /// For each tag that is open whether it has a place in `open`.
    kept: Vec<bool>,
    /// The picture whose words are being gathered.
    picture: Option<PictureWords>,
    /// Whether raw HTML was told in this paragraph.
    html_told: bool,
    /// Up to where a script or style sheet of raw HTML goes on.
    hidden_until: usize,
    /// Those of them that have no end tag further down.
    endless: Vec<&'static str>,
    /// Whether something was told to nest too deep.
    depth_told: bool,
    /// What holds here.
    setting: Arc<Setting>,
    /// What held at the last block that is drawn.
    announced: Arc<Setting>,
    /// Where each block's name stands, by the name in small letters, with the block's index.
    names: BTreeMap<String, (usize, Span)>,
    fences: Vec<Fence<'a>>,
    phrases: Vec<PhraseAt>,
    pictures: Pictures<'r>,
    letters: &'r mut Gathering,
}

/// Something whose end has not come yet.
enum Open<'a> {
    /// Blocks one after the other. Words that stand there without a paragraph, as in the items of
    /// tight lists, are gathered in `loose`.
    Blocks {
        kind: Outer,
        nodes: Vec<Node>,
        loose: Vec<Inline>,
    },
    List {
        start: Option<u64>,
        tight: bool,
        items: Vec<Vec<Node>>,
    },
    Words {
        kind: Inner,
        words: Vec<Inline>,
    },
    Table {
        columns: Vec<Alignment>,
        head: Vec<Cell>,
        rows: Vec<Vec<Cell>>,
        row: Vec<Cell>,
    },
    /// Text that is printed as it stands; `head` is its fence line, if it has one.
    Code {
        head: Option<Head<'a>>,
        text: String,
    },
    Music {
        kind: Kind,
        head: Head<'a>,
        lines: Lines<'a>,
    },
    Html {
        text: String,
    },
}

enum Outer {
    Lesson,
    Quote,
    Item,
}

enum Inner {
    Paragraph,
    Heading { level: u8, span: Span },
    Emphasis,
    Strong,
    Link { address: String },
    Cell,
}

type Cell = Vec<Inline>;

/// The words that stand for a picture, while they are gathered.
struct PictureWords {
    path: String,
    words: String,
    span: Span,
    /// How many tags are open within it, its own included.
    depth: usize,
}

impl<'a, 'r> MarkdownReader<'a, 'r> {
    fn new(
        source: &'a Source,
        setting: &Setting,
        kinds: Kinds<'r>,
        folder: &'r dyn World,
        letters: &'r mut Gathering,
        findings: &'r mut Findings,
    ) -> MarkdownReader<'a, 'r> {
        let setting = Arc::new(setting.clone());
        MarkdownReader {
            source,
            kinds,
            findings,
            open: vec![Open::Blocks { kind: Outer::Lesson, nodes: Vec::new(), loose: Vec::new() }],
            kept: Vec::new(),
            picture: None,
            html_told: false,
            hidden_until: 0,
            endless: Vec::new(),
            depth_told: false,
            announced: Arc::clone(&setting),
            setting,
            names: BTreeMap::new(),
            fences: Vec::new(),
            phrases: Vec::new(),
            pictures: Pictures::new(folder),
            letters,
        }
    }

    /// Reads no further: what is open ends where a place begins.
    fn stop(&mut self, beyond: Finding, span: Span) {
        self.findings.add(beyond);
        while self.open.len() > 1 {
            self.close(Span::new(span.start, span.start));
        }
    }

    fn finish(mut self) -> Body<'a> {
        self.flush_loose();
        let nodes = match self.open.pop() {
            Some(Open::Blocks { nodes, .. }) => nodes,
            _ => Vec::new(),
        };
        Body {
            nodes,
            fences: self.fences,
            names: self.names.into_iter().map(|(name, (index, _))| (name, index)).collect(),
            phrases: self.phrases,
            pictures: self.pictures.links,
        }
    }

    fn take(&mut self, event: Event, span: Span) {
        if self.picture.is_some() {
            self.take_picture_words(event);
            return;
        }
        if self.is_hidden(&event, span) {
            return;
        }
        match event {
            Event::Start(tag) => self.begin(tag, span),
            Event::End(tag) => self.end(tag, span),
            Event::Text(text) => self.text(&text, span),
            Event::Code(text) => self.code(&text, span),
            Event::SoftBreak => self.word(Inline::Space),
            Event::HardBreak => self.word(Inline::Break),
            Event::Rule => self.node(Node::Rule),
            Event::TaskListMarker(done) => self.task(done),
            Event::Html(text) => {
                if let Some(Open::Html { text: block }) = self.open.last_mut() {
                    block.push_str(&text);
                }
            }
            Event::InlineHtml(text) => self.inline_html(&text, span),
            // Extensions that are not asked for.
            Event::InlineMath(_) | Event::DisplayMath(_) | Event::FootnoteReference(_) => {}
        }
    }

    fn begin(&mut self, tag: Tag, span: Span) {
        if let Tag::Image { dest_url, .. } = tag {
            let path = dest_url.to_string();
            self.picture = Some(PictureWords { path, words: String::new(), span, depth: 1 });
            return;
        }
        let has_place = self.has_place(&tag, span);
        self.kept.push(has_place);
        if is_leaf_or_item(&tag) {
            self.html_told = false;
        }
        if has_place {
            let opened = self.opened(tag, span);
            self.open.push(opened);
        }
    }

    /// Whether a tag gets a place in the tree: lists, quotes and emphasis do down to a depth.
    fn has_place(&mut self, tag: &Tag, span: Span) -> bool {
        let is_block = matches!(tag, Tag::List(_) | Tag::BlockQuote(_) | Tag::Item);
        let is_kept = match tag {
            Tag::TableHead | Tag::TableRow => return false,
            Tag::Item => matches!(self.open.last(), Some(Open::List { .. })),
            Tag::Emphasis | Tag::Strong | Tag::Link { .. } => self.open.len() < DEEPEST,
            _ => !is_block || self.open.len() < DEEPEST,
        };
        if is_block && !is_kept {
            self.flush_loose();
        }
        if !is_kept && !self.depth_told {
            self.depth_told = true;
            self.findings.add(left_out::nesting(span));
        }
        is_kept
    }

    /// What a tag opens.
    fn opened(&mut self, tag: Tag, span: Span) -> Open<'a> {
        let words = |kind| Open::Words { kind, words: Vec::new() };
        let blocks = |kind| Open::Blocks { kind, nodes: Vec::new(), loose: Vec::new() };
        match tag {
            Tag::Paragraph => {
                self.loosen_list();
                words(Inner::Paragraph)
            }
            Tag::Heading { level, .. } => words(Inner::Heading { level: level as u8, span }),
            Tag::Emphasis => words(Inner::Emphasis),
            Tag::Strong => words(Inner::Strong),
            Tag::Link { link_type, dest_url, .. } => {
                let scheme = if link_type == LinkType::Email { "mailto:" } else { "" };
                words(Inner::Link { address: format!("{scheme}{dest_url}") })
            }
            Tag::TableCell => words(Inner::Cell),
            Tag::List(start) => Open::List { start, tight: true, items: Vec::new() },
            Tag::Item => blocks(Outer::Item),
            Tag::Table(columns) => Open::Table {
                columns: columns.into_iter().map(alignment).collect(),
                head: Vec::new(),
                rows: Vec::new(),
                row: Vec::new(),
            },
            Tag::CodeBlock(kind) => self.code_block(&kind, span),
            Tag::HtmlBlock => Open::Html { text: String::new() },
            _ => blocks(Outer::Quote),
        }
    }

    fn code_block(&self, kind: &CodeBlockKind, span: Span) -> Open<'a> {
        let head = match kind {
            CodeBlockKind::Fenced(_) => Some(Head::new(self.source.line_from(span.start))),
            CodeBlockKind::Indented => None,
        };
        match head.and_then(|head| Some((head, head.kind(self.kinds)?))) {
            Some((head, kind)) => Open::Music { kind, head, lines: Lines::default() },
            None => Open::Code { head, text: String::new() },
        }
    }

    fn end(&mut self, tag: TagEnd, span: Span) {
        if self.kept.pop() == Some(true) {
            self.close(span);
            return;
        }
        match (tag, self.open.last_mut()) {
            (TagEnd::TableHead, Some(Open::Table { head, row, .. })) => *head = std::mem::take(row),
            (TagEnd::TableRow, Some(Open::Table { rows, row, .. })) => {
                rows.push(std::mem::take(row))
            }
            (TagEnd::Item | TagEnd::List(_) | TagEnd::BlockQuote(_), _) => self.flush_loose(),
            _ => {}
        }
    }

    /// Adds a piece to the innermost words.
    fn word(&mut self, word: Inline) {
        if let Some(Open::Words { words, .. } | Open::Blocks { loose: words, .. }) =
            self.open.last_mut()
        {
            join(words, word);
        }
    }

    fn text(&mut self, text: &str, span: Span) {
        match self.open.last_mut() {
            // From the source, not from the event: lines that nested too deep are blank there.
            Some(Open::Code { text: code, .. }) => {
                let written = self.source.slice(span);
                let written = if written.is_empty() { text } else { written };
                self.letters.prose(written, span);
                code.push_str(written);
            }
            Some(Open::Music { lines, .. }) => lines.take(self.source, span),
            _ => {
                self.letters.prose(text, span);
                self.word(Inline::Text(text.to_string()));
            }
        }
    }

    /// A code span: with one backtick on each side it is a phrase, with more it is not music.
    fn code(&mut self, text: &str, span: Span) {
        self.letters.prose(text, span);
        let written = self.source.slice(span);
        let backticks = written.len() - written.trim_start_matches('`').len();
        let phrase = text.trim();
        if backticks != 1 || phrase.is_empty() {
            self.word(Inline::Code(text.to_string()));
            return;
        }
        let inner = Line { text: written.trim_matches('`'), start: span.start + 1 };
        let place = match inner.text.find(phrase) {
            Some(offset) => inner.span(offset, offset + phrase.len()),
            // Over a line's end the text is not what stands in the source.
            None => inner.whole(),
        };
        let text = Spanned { value: phrase.to_string(), span: place };
        self.word(Inline::Phrase(self.phrases.len()));
        self.phrases.push(PhraseAt { text, setting: Arc::clone(&self.setting) });
    }

    /// Gathers the words that stand for a picture; what is within them is read for its words only.
    fn take_picture_words(&mut self, event: Event) {
        let Some(picture) = &mut self.picture else { return };
        match event {
            Event::Start(_) => picture.depth += 1,
            Event::End(_) => picture.depth -= 1,
            Event::Text(text) | Event::Code(text) => picture.words.push_str(&text),
            Event::SoftBreak | Event::HardBreak => picture.words.push(' '),
            _ => {}
        }
        if picture.depth > 0 {
            return;
        }
        if let Some(PictureWords { path, words, span, .. }) = self.picture.take() {
            self.letters.prose(&words, span);
            match self.room_for_words() {
                Some(place) => {
                    self.findings.add(picture_rule::words_alone(span, &path, place));
                    self.word(Inline::Text(words));
                }
                None => {
                    let index = self.pictures.add(path, words, span, self.findings);
                    self.word(Inline::Picture(index));
                }
            }
        }
    }

    /// What is open that has room for words only.
    fn room_for_words(&self) -> Option<&'static str> {
        self.open.iter().find_map(|open| match open {
            Open::Words { kind: Inner::Cell, .. } => Some("a table"),
            Open::Words { kind: Inner::Heading { .. }, .. } => Some("a heading"),
            _ => None,
        })
    }

    fn close_code(&mut self, head: Option<Head>, text: &str) {
        let text = text.replace("\r\n", "\n");
        if let Some(finding) = head.and_then(|head| head.unread(&text, self.kinds)) {
            self.findings.add(finding);
        }
        self.node(Node::Code(text.strip_suffix('\n').unwrap_or(&text).to_string()));
    }

    /// A block of music: `now` is obeyed at once, any other is left for its kind.
    fn music(&mut self, written: fence::Written<'a>) {
        let head = written.head;
        let guesses = guess::among(self.source, &written.lines);
        let mut fence = fence::read(written, self.kinds, &self.setting, self.findings);
        fence.guesses = guesses;
        if fence.kind == kind::NOW {
            fence.guesses.iter().for_each(|guess| self.findings.add(guess.finding()));
            self.now(&fence);
            return;
        }
        if fence.kind.medium == Medium::Script {
            self.say(&fence);
        }
        if fence.printed {
            fence.announced = self.setting.changes_since(&self.announced);
            self.announced = Arc::clone(&self.setting);
        }
        self.letters.block(&fence, head.line(), self.fences.len());
        self.enter_name(&fence);
        self.node(Node::Music(self.fences.len()));
        self.fences.push(fence);
    }

    /// Lets the values of a `now` block hold from here on; those in its fence line too.
    fn now(&mut self, fence: &Fence) {
        for phrase in &fence.phrases {
            let finding = block_syntax::no_phrase(*phrase, "a `now` block");
            let finding = finding.note("write one `key: value` to a line in the block");
            self.findings.add(finding.note(see("now")));
        }
        let mut setting = fence.setting.clone();
        for read in entry::read_all(&fence.lines, Place::now(setting.names), self.findings) {
            if let Err(words) = setting.set(read.entry) {
                self.findings.add(header_value::wrong(read.value, &words));
            }
        }
        self.setting = Arc::new(setting);
    }

    /// Takes the phrases out of a spoken script.
    fn say(&mut self, fence: &Fence) {
        let setting = Arc::new(fence.setting.clone());
        let add = |text: PhraseText| {
            self.phrases.push(PhraseAt { text, setting: Arc::clone(&setting) });
        };
        speech::parts(&fence.lines).into_iter().flat_map(phrases_of).for_each(add);
    }

    /// Enters a block's name, which must be its own.
    fn enter_name(&mut self, fence: &Fence) {
        let Some(name) = &fence.name else { return };
        let entry = (self.fences.len(), name.span);
        let first = *self.names.entry(name.value.to_lowercase()).or_insert(entry);
        if first != entry {
            self.findings.add(name_taken::taken(name.span, &name.value, first.1));
        }
    }

    /// A place without the blanks and line ends at its end.
    fn trimmed(&self, span: Span) -> Span {
        Span::new(span.start, span.start + self.source.slice(span).trim_end().len())
    }
}
