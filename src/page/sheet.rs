//! Sheets of paper: the pages' slips in their places, running heads and feet.

use super::Job;
use super::breaks::{self, Cut};
use super::flow::{Flow, artifact};
use super::galley::{Bar, Galley, Head, Note, Slip};
use super::inline::heavy;
use super::paragraph::Passage;
use super::template::{LineEnds, Margins, Type};
use crate::checks::Elaborated;
use crate::ink::{
    Anchor, Bookmark, Document, Drawing, Group, Item, Label, Link, Page, Path, Point, Pt, Text,
};
use crate::words::paper;

// The shares of heads and feet are assumed, to be looked at on proofs.

/// How far below the columns the foot's baseline is, in parts of the lower margin: 8 mm of white stay above large type.
const FOOT: f32 = 0.53;
/// How small the rights line may become so that it takes one line, in parts of small type.
const SMALLEST_RIGHTS: f32 = 0.75;
/// The room between the rights line and the page's number, in parts of the size of type.
const BEFORE_NUMBER: f32 = 2.0;
/// How much of a running head's width the title may take.
const TITLE_SHARE: f32 = 0.6;
/// How much of a running head's width stays empty between the title and the words on the right.
const HEAD_GAP: f32 = 0.05;
/// The most lines that the rights line takes in a foot.
const RIGHTS_LINES: usize = 3;

/// Cuts a filled galley into pages.
pub fn document(mut flow: Flow<'_>) -> Document {
    flow.settle();
    let (lesson, job) = (flow.lesson, flow.job);
    let Cut { pages: ranges, kept } = breaks::cut(&flow.galley, job.column().1);
    let Galley { slips, heads, .. } = flow.galley;
    let frame = Frame { lesson, job, margins: job.margins(), count: ranges.len().max(1) };
    let mut slips = slips.into_iter();
    let mut bookmarks = Vec::new();
    let pages = (0..frame.count).map(|number| {
        let mut sheet = frame.sheet(kept.get(number).copied().unwrap_or(1.0));
        let count = ranges.get(number).map_or(0, ExactSizeIterator::len);
        let first = slips.as_slice().first();
        if let Some(head) = first.and_then(|slip| slip.head).and_then(|index| heads.get(index)) {
            sheet.repeat(head);
        }
        let at_foot = slips.as_slice().iter().take(count).filter(|slip| slip.at_foot);
        sheet.foot_from -= at_foot.map(|slip| slip.height).sum::<Pt>();
        for slip in slips.by_ref().take(count) {
            bookmarks.extend(sheet.place(slip, number));
        }
        sheet.finish(number)
    });
    let pages = pages.collect();
    let header = &lesson.lesson.header;
    Document {
        title: header.title.clone(),
        author: header.teacher.clone().unwrap_or_default(),
        language: header.lang.tag().to_owned(),
        pages,
        parts: flow.parts.into_list(),
        bookmarks,
    }
}

/// An edge of the columns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Edge {
    Left,
    Right,
}

impl Edge {
    fn other(self) -> Edge {
        match self {
            Edge::Left => Edge::Right,
            Edge::Right => Edge::Left,
        }
    }
}

/// What all sheets have in common.
struct Frame<'a> {
    lesson: &'a Elaborated<'a>,
    job: &'a Job<'a>,
    margins: Margins,
    count: usize,
}

/// A sheet while it is filled.
struct Sheet<'a> {
    frame: &'a Frame<'a>,
    page: Page,
    /// How much of their space figures and headings keep.
    kept: f32,
    /// How far down the next slip stands.
    y: Pt,
    /// Whether nothing stands on it yet.
    empty: bool,
    /// The bars so far.
    bars: Vec<StandingBar>,
    /// How far down what stands at its foot begins.
    foot_from: Pt,
    /// How far down something is said beside the text; none yet.
    beside: Option<Pt>,
}

/// A bar in its place.
struct StandingBar {
    bar: Bar,
    top: Pt,
    bottom: Pt,
}

impl Sheet<'_> {
    fn left(&self) -> Pt {
        self.frame.margins.left
    }

    fn repeat(&mut self, head: &Head) {
        let offset = Point::new(self.left(), self.y);
        let (label, items) = (Label::Artifact, head.items.clone());
        self.page.drawing.items.push(Item::Group(Group { offset, label, items }));
        self.y += head.height;
    }

    /// Places a slip beneath the others; the bookmark that leads to it.
    fn place(&mut self, slip: Slip, page: usize) -> Option<Bookmark> {
        let space = if self.empty { Pt::ZERO } else { slip.space_at(self.kept) };
        self.bars(&slip.bars, space, slip.height);
        self.y += space;
        if slip.at_foot {
            self.y = self.y.max(self.foot_from);
        }
        self.empty = false;
        let corner = Point::new(self.left(), self.y);
        let (label, items) = (Label::None, slip.items);
        self.page.drawing.items.push(Item::Group(Group { offset: corner, label, items }));
        let moved = |link: Link| Link { corner: link.corner + corner, ..link };
        self.page.links.extend(slip.links.into_iter().map(moved));
        let moved = |anchor: Anchor| Anchor { corner: anchor.corner + corner, ..anchor };
        self.page.anchors.extend(slip.anchors.into_iter().map(moved));
        let first_line = self.y + slip.baseline;
        slip.notes.into_iter().for_each(|note| self.beside(note, first_line));
        self.y += slip.height;
        slip.bookmark.map(|(title, level)| Bookmark { title, level, page, y: corner.y })
    }

    /// Places what is said beside a line with its baseline at `y`. Where a page couldn't be cut as it should be, what
    /// would fall off it is moved up.
    fn beside(&mut self, note: Note, y: Pt) {
        let above = self.beside.map_or(Pt::ZERO, |bottom| bottom + note.gap);
        let lowest = self.frame.margins.top + self.frame.job.column().1 - note.height;
        let top = (y - note.baseline).max(self.y).min(lowest).max(above);
        self.beside = Some(top + note.height);
        let offset = Point::new(self.left() + note.left, top);
        let (label, items) = (Label::None, note.items);
        self.page.drawing.items.push(Item::Group(Group { offset, label, items }));
    }

    /// Takes in the bars beside a slip that stands at `y` below a space. A bar that goes on from the
    /// slip above is one with that slip's.
    fn bars(&mut self, bars: &[Bar], space: Pt, height: Pt) {
        let (top, bottom) = (self.y + space, self.y + space + height);
        for bar in bars {
            let (y, joined) = (self.y, bar.joined && !self.empty);
            let goes_on = |stood: &&mut StandingBar| stood.bar.x == bar.x && stood.bottom == y;
            match self.bars.iter_mut().rev().find(goes_on).filter(|_| joined) {
                Some(stood) => stood.bottom = bottom,
                None => self.bars.push(StandingBar { bar: *bar, top, bottom }),
            }
        }
    }

    /// Adds the running head and the foot.
    fn finish(mut self, number: usize) -> Page {
        let margin = self.left();
        let items = self.frame.running_head(number).into_iter().chain(self.frame.foot(number));
        let items = items.map(|(at, text)| Item::Text(at, text)).collect();
        let (offset, label) = (Point::default(), Label::Artifact);
        self.page.drawing.items.push(Item::Group(Group { offset, label, items }));
        for StandingBar { bar, top, bottom } in self.bars {
            let corner = Point::new(margin + bar.x, top);
            let area = Path::rectangle(corner, bar.width, bottom - top, bar.shade);
            self.page.drawing.items.push(artifact(area));
        }
        self.page
    }
}

impl Frame<'_> {
    fn sheet(&self, kept: f32) -> Sheet<'_> {
        let (width, height) = self.job.paper_size();
        let page = Page { drawing: Drawing::new(width, height), ..Page::default() };
        Sheet {
            frame: self,
            page,
            kept,
            y: self.margins.top,
            empty: true,
            bars: Vec::new(),
            foot_from: self.margins.top + self.job.column().1,
            beside: None,
        }
    }

    fn small(&self) -> Type {
        self.job.template.small
    }

    /// The edge at which a page's number stands, by the page's own number from 0: the right one, or the outer one of
    /// pages that face each other, the first of which is a right one.
    fn number_edge(&self, number: usize) -> Edge {
        match self.job.template.facing_pages && number % 2 == 1 {
            true => Edge::Left,
            false => Edge::Right,
        }
    }

    /// Words at an edge, on a baseline.
    fn at_edge(&self, edge: Edge, y: Pt, words: Text) -> (Point, Text) {
        let x = match edge {
            Edge::Left => Pt::ZERO,
            Edge::Right => self.job.column().0 - words.width,
        };
        (Point::new(self.margins.left + x, y), words)
    }

    /// The title on the left, or at the outer edge of pages that face each other, and the series or the teacher at the
    /// other edge, from the second page on.
    fn running_head(&self, number: usize) -> Vec<(Point, Text)> {
        if number == 0 {
            return Vec::new();
        }
        let header = &self.lesson.lesson.header;
        let (width, _) = self.job.column();
        let y = self.margins.top * 0.62;
        let edge = match self.job.template.facing_pages {
            true => self.number_edge(number),
            false => Edge::Left,
        };
        let other = header.series.as_ref().or(header.teacher.as_ref());
        let title = self.cut(&header.title, width * TITLE_SHARE);
        let room = width * (1.0 - HEAD_GAP) - title.width;
        let mut words = vec![self.at_edge(edge, y, title)];
        words.extend(other.map(|other| self.at_edge(edge.other(), y, self.cut(other, room))));
        words
    }

    /// The page's number on the right, or at its outer edge, and at the other the rights line, in a draft what it is.
    fn foot(&self, number: usize) -> Vec<(Point, Text)> {
        let small = self.small();
        let margins = self.margins;
        let (width, height) = self.job.column();
        let bottom = margins.top + height + margins.bottom * FOOT;
        let edge = self.number_edge(number);
        // Who holds a single page need not be told that it is one.
        let number = match self.count {
            1 => String::new(),
            count => self
                .lesson
                .lesson
                .header
                .lang
                .said(&paper::foot::page(number + 1, count))
                .into_owned(),
        };
        let number = Text::set(self.job.fonts, &number, small.style());
        let room = width - number.width - small.size * BEFORE_NUMBER;
        let mut words = vec![self.at_edge(edge, bottom, number)];
        let lines = self.foot_lines(room);
        // Several lines stand about where one would: large type would sink to the paper's edge.
        let mut y = lines.iter().skip(1).fold(bottom, |y, _| y - small.leading * 0.5);
        for line in lines {
            words.push(self.at_edge(edge.other(), y, line));
            y += small.leading;
        }
        words
    }

    fn foot_lines(&self, width: Pt) -> Vec<Text> {
        let (fonts, small) = (self.job.fonts, self.small());
        let mut lines = Vec::new();
        if let Some(draft) = self.draft_words() {
            let strong = Type { face: heavy(small.face), ..small };
            lines.push(Text::set(fonts, &draft, strong.style()));
        }
        let rights = self.lesson.lesson.header.rights.as_deref().unwrap_or_default();
        let whole = Text::set(fonts, rights, small.style()).width;
        let share = if whole > width { width / whole } else { 1.0 };
        let size = small.size * if share < SMALLEST_RIGHTS { 1.0 } else { share };
        let shaped = Passage::plain(rights, Type { size, ..small }.style()).shape(fonts);
        let rights = shaped.lines(width, LineEnds::Ragged, fonts).into_iter().take(RIGHTS_LINES);
        lines.extend(rights.flat_map(|line| line.runs).map(|run| run.text));
        lines
    }

    /// What a draft says of itself.
    fn draft_words(&self) -> Option<String> {
        if !self.job.draft {
            return None;
        }
        let faults = self.lesson.faults;
        let guessed: usize = self.lesson.blocks.iter().map(|block| block.guesses.len()).sum();
        let guesses = guessed + self.lesson.lesson.header.guesses.len();
        let words = paper::draft::foot(faults, guesses);
        Some(self.lesson.lesson.header.lang.reported("draft", &words).into_owned())
    }

    /// Words in small type, cut where they are wider than they may be.
    fn cut(&self, words: &str, width: Pt) -> Text {
        let (fonts, style) = (self.job.fonts, self.small().style());
        let whole = Text::set(fonts, words, style);
        if whole.width <= width {
            return whole;
        }
        let dots = Text::set(fonts, "…", style);
        let parts = super::paragraph::cut_to_fit(words, style, width - dots.width, fonts);
        let first = parts.first().map_or("", |part| part.trim_end());
        Text::set(fonts, first, style).then(dots)
    }
}
