//! The script to read from: large type, cues apart from speech, figures small at the margin, the
//! clock beside each line.

mod sections;

use super::figures::Beside;
use super::{Cue, Item, Look, Script, What, clock, table};
use crate::blocks::figure::{Figure, raised};
use crate::ink::{
    Bookmark, Document, Drawing, Face, Fonts, Group, Label, Page, PartId, Path, Point, Pt, Role,
    Style, Text, pt,
};
use crate::lesson::header::Paper;
use crate::page::line::Line;
use crate::page::paragraph::{Dress, Passage};
use crate::page::parts::{Outline, Parts};
use crate::page::template::{LineEnds, Template};
use crate::words::paper::script as words;
use std::ops::Range;

/// The empty edge of the paper.
const EDGE: Pt = pt(38.0);
/// Where the words begin; the clock stands before them.
const LEFT: Pt = pt(92.0);
/// How wide the figures at the margin are.
const MARGIN_FIGURE: Pt = pt(156.0);
/// What is free between the words and the figures.
const GUTTER: Pt = pt(20.0);
/// How high a figure at the margin may be.
const HIGHEST_FIGURE: Pt = pt(220.0);
/// Speech, to be read at arm's length.
const SPEECH: Style = Style::new(Face::Serif, pt(17.0));
/// Cues.
const CUE: Style = Style::new(Face::SansSemibold, pt(11.0));
/// The clock.
const CLOCK: Style = Style::new(Face::Sans, pt(11.0));
/// The sections' headings.
const HEADING: Style = Style::new(Face::SerifBold, pt(19.0));
/// The title.
const TITLE: Style = Style::new(Face::SerifBold, pt(26.0));
/// The foot, and how long the script runs.
const SMALL: Style = Style::new(Face::Sans, pt(9.0));
/// From line to line, as a share of the size of type.
const LEADING: f32 = 1.36;

/// What a script is set with.
pub struct Job<'a> {
    /// The figures that stand beside it.
    pub figures: &'a Beside,
    /// The paper.
    pub paper: Paper,
    /// How many faults the lesson has; where there are any, it is a draft and says so.
    pub faults: usize,
    /// The type faces.
    pub fonts: &'a Fonts,
}

/// Sets a script on pages.
pub fn set(script: &Script, job: &Job<'_>) -> Document {
    // Speech in a hand's width beside figures needs a whole sheet, whatever its handout is printed on.
    let paper = if job.paper == Paper::A5 { Paper::A4 } else { job.paper };
    let size = Template::paper_size(paper);
    let mut setter = Setter {
        job,
        size,
        pages: vec![Drawing::new(size.0, size.1)],
        y: EDGE,
        figures_end: Pt::ZERO,
        parts: Parts::default(),
        levels: Outline::default(),
        bookmarks: Vec::new(),
    };
    setter.title(script);
    for (index, item) in script.items.iter().enumerate() {
        if let What::Heading { .. } = &item.what {
            setter.keep_together(shown_at_once(script, index, job.figures));
        }
        setter.item(item, job.figures.get(&index));
    }
    setter.document(script)
}

struct Setter<'a> {
    job: &'a Job<'a>,
    /// The paper's width and height.
    size: (Pt, Pt),
    pages: Vec<Drawing>,
    /// How far down the page is full.
    y: Pt,
    /// How far down the margin of the page is full.
    figures_end: Pt,
    parts: Parts,
    levels: Outline,
    bookmarks: Vec<Bookmark>,
}

impl Setter<'_> {
    fn measure(&self) -> Pt {
        self.size.0 - LEFT - EDGE - MARGIN_FIGURE - GUTTER
    }

    fn bottom(&self) -> Pt {
        self.size.1 - EDGE - pt(18.0)
    }

    fn title(&mut self, script: &Script) {
        self.words(&script.title, TITLE, Role::Heading(1));
        self.words(&words::runs(&script.running()), CLOCK, Role::Paragraph);
        self.y += pt(10.0);
        if let Some(table) = table::of(script) {
            self.sections(&table);
        }
    }

    fn item(&mut self, item: &Item, figure: Option<&Figure>) {
        match &item.what {
            What::Heading { level, words } => {
                self.y += pt(16.0);
                let (title, page, y) = (words.clone(), self.pages.len() - 1, self.y);
                let level = self.levels.next(*level);
                self.bookmarks.push(Bookmark { title, level, page, y });
                self.words(words, HEADING, Role::Heading(level));
            }
            What::Speech { words, looks, .. } => {
                self.y += pt(8.0);
                self.warn(item);
                self.timed(item, &speech(words, looks), SPEECH);
            }
            What::Cue(Cue { words, .. }) => {
                self.y += pt(8.0);
                if let Some(figure) = figure {
                    self.margin(small(&figure.stacked()), &figure.words);
                }
                self.warn(item);
                self.cue(item, words);
            }
        }
    }

    /// A heading stays with what is said under it, and with the figure that is shown at once.
    fn keep_together(&mut self, figure: Option<&Figure>) {
        self.need(pt(106.0));
        let height = figure.map_or(Pt::ZERO, |figure| small(&figure.stacked()).height + pt(60.0));
        if self.y.max(self.figures_end) + height > self.bottom() {
            self.next_page();
        }
    }

    /// In a draft, a line above what is at fault.
    fn warn(&mut self, item: &Item) {
        if item.faulty && self.job.faults > 0 {
            self.need(pt(50.0));
            self.words(words::WRONG, CUE, Role::Paragraph);
        }
    }

    /// Words with the clock before their first line.
    fn timed(&mut self, item: &Item, words: &Passage, style: Style) {
        self.need(style.size * LEADING * 2.0);
        self.clock(item, style);
        self.passage(words, style, Role::Paragraph);
    }

    /// The moment, its baseline that of the words beside it.
    fn clock(&mut self, item: &Item, beside: Style) {
        let at = Text::set(self.job.fonts, &clock::told(item.at), CLOCK);
        let place = Point::new(LEFT - pt(16.0) - at.width, self.y + beside.size);
        let part = self.parts.add(Role::Paragraph, None);
        self.draw(part, |drawing| drawing.text(place, at));
    }

    /// A cue on a grey band, a triangle before it.
    fn cue(&mut self, item: &Item, words: &str) {
        let inner = self.measure() - pt(26.0);
        let lines = self.lines(&Passage::plain(words, CUE), inner);
        let leading = CUE.size * LEADING;
        let height = lines.iter().fold(pt(9.0), |height, _| height + leading);
        self.need(height);
        let (top, width) = (self.y, self.measure());
        self.y += pt(4.5);
        self.clock(item, CUE);
        let band = Path::rectangle(Point::new(LEFT, top), width, height, 0.91);
        self.decorate(|drawing| drawing.path(band));
        self.decorate(|drawing| drawing.path(triangle(Point::new(LEFT + pt(8.0), top + pt(8.0)))));
        let part = self.parts.add(Role::Paragraph, None);
        for line in lines {
            let place = Point::new(LEFT + pt(20.0), self.y + CUE.size);
            self.draw(part, |drawing| drawing.text(place, line));
            self.y += leading;
        }
        self.y = top + height;
    }

    /// Words in the column, over as many pages as they need.
    fn words(&mut self, words: &str, style: Style, role: Role) {
        self.passage(&Passage::plain(words, style), style, role);
    }

    /// Words whose plain ones have a style.
    fn passage(&mut self, words: &Passage, style: Style, role: Role) {
        let part = self.parts.add(role, None);
        for line in self.lines(words, self.measure()) {
            self.need(style.size * LEADING);
            let place = Point::new(LEFT, self.y + style.size);
            self.draw(part, |drawing| drawing.text(place, line));
            self.y += style.size * LEADING;
        }
    }

    fn lines(&self, words: &Passage, measure: Pt) -> Vec<Text> {
        let fonts = self.job.fonts;
        let lines = words.shape(fonts).lines(measure, LineEnds::Ragged, fonts);
        lines.into_iter().map(Line::into_text).collect()
    }

    /// A figure at the margin, beside the cue that is set next; below the one before it.
    fn margin(&mut self, drawing: Drawing, words: &str) {
        if self.y.max(self.figures_end) + drawing.height > self.bottom() {
            self.next_page();
        }
        let top = self.y.max(self.figures_end);
        let left = self.size.0 - EDGE - MARGIN_FIGURE;
        self.figures_end = top + drawing.height + pt(10.0);
        let part = self.parts.add_with_words(Role::Figure, None, words);
        let group = Drawing {
            items: vec![crate::ink::Item::Group(Group {
                offset: Point::new(left, top),
                label: Label::None,
                items: drawing.items,
            })],
            ..Drawing::default()
        };
        self.draw(part, |page| page.place(Point::default(), group, Label::None));
    }

    /// Begins a page where so much doesn't fit any more.
    fn need(&mut self, height: Pt) {
        if self.y + height > self.bottom() {
            self.next_page();
        }
    }

    fn next_page(&mut self) {
        self.pages.push(Drawing::new(self.size.0, self.size.1));
        self.y = EDGE;
        self.figures_end = Pt::ZERO;
    }

    fn draw(&mut self, part: PartId, ink: impl FnOnce(&mut Drawing)) {
        self.labelled(Label::Part(part), ink);
    }

    fn decorate(&mut self, ink: impl FnOnce(&mut Drawing)) {
        self.labelled(Label::Artifact, ink);
    }

    fn labelled(&mut self, label: Label, ink: impl FnOnce(&mut Drawing)) {
        let mut drawing = Drawing::default();
        ink(&mut drawing);
        if let Some(page) = self.pages.last_mut() {
            page.place(Point::default(), drawing, label);
        }
    }

    fn document(self, script: &Script) -> Document {
        let count = self.pages.len();
        let (width, height) = self.size;
        let mut pages = Vec::new();
        for (index, mut drawing) in self.pages.into_iter().enumerate() {
            let foot = words::foot(&script.title, self.job.faults, index + 1, count);
            let foot = Text::set(self.job.fonts, &foot, SMALL);
            let mut artifact = Drawing::default();
            artifact.text(Point::new(width - EDGE - foot.width, height - EDGE), foot);
            drawing.place(Point::default(), artifact, Label::Artifact);
            pages.push(Page { drawing, ..Page::default() });
        }
        Document {
            title: words::title(&script.title),
            author: script.teacher.clone(),
            language: "en".to_owned(),
            pages,
            parts: self.parts.into_list(),
            bookmarks: self.bookmarks,
        }
    }
}

/// How many items behind a heading are looked at for what is shown with it. Assumed: a camera, a tone and
/// a take are set first.
const AT_ONCE: usize = 4;

/// The figure that is shown under a heading before anything is said.
fn shown_at_once<'f>(script: &Script, heading: usize, figures: &'f Beside) -> Option<&'f Figure> {
    let below = script.items.iter().enumerate().skip(heading + 1).take(AT_ONCE);
    let mut silent = below.take_while(|(_, item)| !matches!(item.what, What::Speech { .. }));
    silent.find_map(|(index, _)| figures.get(&index))
}

/// What is said, in its looks.
fn speech(words: &str, looks: &[(Range<usize>, Look)]) -> Passage {
    let mut passage = Passage::default();
    let mut at = 0;
    for (place, look) in looks {
        passage.push(words.get(at..place.start).unwrap_or_default(), Dress::plain(SPEECH));
        let face = match (look.stress.emphasis, look.stress.strong) {
            (false, false) => SPEECH.face,
            (true, false) => Face::SerifItalic,
            (false, true) => Face::SerifBold,
            (true, true) => Face::SerifBoldItalic,
        };
        let words = words.get(place.clone()).unwrap_or_default();
        let style = Style { face, ..SPEECH };
        passage.push(words, Dress::plain(if look.raised { raised(style) } else { style }));
        at = place.end;
    }
    passage.push(words.get(at..).unwrap_or_default(), Dress::plain(SPEECH));
    passage
}

/// A drawing made to fit the margin.
fn small(drawing: &Drawing) -> Drawing {
    let across = MARGIN_FIGURE / drawing.width.max(pt(1.0));
    let down = HIGHEST_FIGURE / drawing.height.max(pt(1.0));
    drawing.scaled(across.min(down).min(1.0))
}

/// The triangle before a cue, its top left corner at a point.
fn triangle(at: Point) -> Path {
    use crate::ink::Segment::{Close, Line, Move};
    let corner = |x: f32, y: f32| at + Point::new(pt(x), pt(y));
    let segments =
        vec![Move(corner(0.0, 0.0)), Line(corner(7.0, 4.0)), Line(corner(0.0, 8.0)), Close];
    Path { segments, fill: Some(0.0), stroke: None }
}
