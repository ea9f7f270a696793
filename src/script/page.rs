//! The script to read from: large type, cues in small capitals, figures small at the margin beside them, the
//! clock beside each line. Headings are told apart by size and face as on the handout.

mod density;
mod figures;
mod quotes;
mod sections;

use super::figures::{Beside, MARGIN as MARGIN_FIGURE};
use super::{Cue, CueKind, Item, Look, Script, What, clock, table};
use crate::blocks::figure::{Figure, Joint, SMALLEST_RAISED, raised};
use crate::blocks::say::Shown;
use crate::ink::{
    Bookmark, Document, Drawing, Face, Fonts, Label, Page, PartId, Path, Point, Pt, Role, Style,
    Text, pt,
};
use crate::lesson::header::Paper;
use crate::page::line::Line;
use crate::page::paragraph::{Dress, Passage};
use crate::page::parts::{Outline, Parts};
use crate::page::template::{LineEnds, Template};
use crate::words::Lang;
use crate::words::paper::script as words;
use density::{Density, LEADING};
use quotes::Quotes;
pub use quotes::curved;
use std::ops::Range;

/// The empty edge of the paper.
const EDGE: Pt = pt(38.0);
/// Where the words begin; the clock stands before them.
const LEFT: Pt = pt(92.0);
/// What is free between the words and the figures.
const GUTTER: Pt = pt(20.0);
/// Speech, to be read at arm's length.
const SPEECH: Style = Style::new(Face::Serif, pt(17.0));
/// Cues: their small capitals are as high as the small letters of speech (chosen by eye).
const CUE: Style = Style::new(Face::SmallCaps, pt(14.5));
/// Behind the verb of a cue, which is found by its small capitals.
const CUE_PLAIN: Style = Style::new(Face::Serif, pt(14.5));
/// What is at fault, in a draft.
const WRONG: Style = Style::new(Face::SansSemibold, pt(11.0));
/// The clock.
const CLOCK: Style = Style::new(Face::Sans, pt(11.0));
/// The sections' headings of the first, the second and any further level (chosen by eye: they stand to speech as
/// those of the handout do to its prose).
const HEADINGS: [Style; 3] = [
    Style::new(Face::SerifBold, pt(23.0)),
    Style::new(Face::SerifBold, pt(19.5)),
    Style::new(Face::SerifBoldItalic, pt(17.5)),
];
/// The title, as on the handout.
const TITLE: Style = Style::new(Face::Serif, pt(30.0));
/// Key, tempo, tuning and capo under the title, and what parts them.
const HOLDS: Style = Style::new(Face::Serif, pt(14.5));
const BETWEEN_FACTS: &str = "\u{a0}· ";
/// What it costs that figures are parted from the words behind them, in pages (assumed: less than a page more to turn,
/// and more than a hole).
const PARTED: f32 = 0.75;
/// The narrowest last line of several, as a share of the measure (chosen by eye: a short word alone is looked for).
const LAST_LINE: f32 = 0.2;
/// A speech of so many lines at most is never parted; of a longer one two lines at least stay together (the
/// bound assumed: eyes that turn a page in mid-sentence lose it).
const WHOLE_LINES: usize = 4;
/// The foot, and how long the script runs.
const SMALL: Style = Style::new(Face::Sans, pt(9.0));
/// The air before what is said and what is to be done.
const BETWEEN: Pt = pt(9.0);
/// So near the foot it is looked at what stays together: as high as a heading, a cue or two and four lines.
const NEAR: Pt = pt(230.0);
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
    let size = sheet(job.paper);
    // A page turned for nothing, and a hole where a figure has moved on, cost more than lines that stand closer.
    let densities = [Density::Usual, Density::Close, Density::Closer];
    let all = [true, false].into_iter().flat_map(|keeps| densities.map(|density| (keeps, density)));
    let usual = Setter::over(script, (job, size), (true, Density::Usual));
    let best = all.skip(1).fold(usual, |best, way| {
        let other = Setter::over(script, (job, size), way);
        if other.cost() < best.cost() { other } else { best }
    });
    best.document(script)
}

/// How wide a figure beneath its cue is: the sheet without the clock's column and the edge.
pub fn measure(paper: Paper) -> Pt {
    sheet(paper).0 - LEFT - EDGE
}

/// The sheet's width and height. Speech in a hand's width beside figures needs a whole one, whatever its handout is
/// printed on.
fn sheet(paper: Paper) -> (Pt, Pt) {
    Template::paper_size(if paper == Paper::A5 { Paper::A4 } else { paper })
}

struct Setter<'a> {
    job: &'a Job<'a>,
    lang: Lang,
    /// The paper's width and height.
    size: (Pt, Pt),
    pages: Vec<Drawing>,
    /// How far down the page is full.
    y: Pt,
    /// How far down the margin of the page is full.
    figures_end: Pt,
    /// How much of the pages before this one is empty at their feet, in shares of a page.
    holes: f32,
    /// The moment told last on this page.
    told: Option<String>,
    parts: Parts,
    levels: Outline,
    bookmarks: Vec<Bookmark>,
    density: Density,
    /// Whether a figure stays with the words behind it.
    keeps: bool,
}

impl<'a> Setter<'a> {
    /// Sets all of a script.
    fn over(script: &Script, (job, size): (&'a Job<'a>, (Pt, Pt)), way: (bool, Density)) -> Self {
        let (keeps, density) = way;
        let mut setter = Setter {
            job,
            lang: script.lang,
            size,
            pages: vec![Drawing::new(size.0, size.1)],
            y: EDGE,
            figures_end: Pt::ZERO,
            holes: 0.0,
            told: None,
            parts: Parts::default(),
            levels: Outline::default(),
            bookmarks: Vec::new(),
            density,
            keeps,
        };
        setter.title(script);
        for (index, item) in script.items.iter().enumerate() {
            if let What::Heading { .. } = &item.what {
                if is_silent(script, index) {
                    continue;
                }
                setter.keep_together(item, shown_at_once(script, index, job.figures));
            }
            setter.keep_with_next(script, index);
            setter.item(item, job.figures.get(&index));
        }
        setter
    }
}

impl Setter<'_> {
    /// How full the last page is, as a share of what it holds.
    fn full(&self) -> f32 {
        (self.y.max(self.figures_end) - EDGE) / (self.bottom() - EDGE)
    }

    /// What the pages cost whoever turns them, in pages: each of them, the holes at their feet, and how close they are.
    fn cost(&self) -> f32 {
        let pages = self.pages.iter().fold(0.0, |pages, _| pages + 1.0);
        pages + self.holes + self.density.cost() + if self.keeps { 0.0 } else { PARTED }
    }

    fn measure(&self) -> Pt {
        self.size.0 - LEFT - EDGE - MARGIN_FIGURE - GUTTER
    }

    fn bottom(&self) -> Pt {
        self.size.1 - EDGE - pt(18.0)
    }

    fn title(&mut self, script: &Script) {
        let (fonts, across) = (self.job.fonts, self.size.0 - LEFT - EDGE);
        let title = Passage::plain(&script.title, TITLE).shape(fonts);
        let lines = title.balanced_lines(across, fonts).into_iter().map(Line::into_text);
        self.set_lines(lines.collect(), TITLE, Role::Heading(1));
        self.head(script, across);
        self.y += pt(10.0);
        if let Some(table) = table::of(script) {
            self.sections(&table);
        }
    }

    /// What holds, and how long the script runs: at the line's right end where it has room there.
    fn head(&mut self, script: &Script, across: Pt) {
        let holds = self.lines(&Passage::plain(&script.holds.join(BETWEEN_FACTS), HOLDS), across);
        let runs =
            Text::set(self.job.fonts, &script.lang.said(&words::runs(&script.running())), CLOCK);
        let room = match holds.as_slice() {
            [alone] => across - alone.width - GUTTER,
            _ => Pt::ZERO,
        };
        if runs.width <= room {
            let part = self.parts.add(Role::Paragraph, None);
            let place = Point::new(LEFT + across - runs.width, self.y + HOLDS.size);
            self.draw(part, |drawing| drawing.text(place, runs));
            self.set_lines(holds, HOLDS, Role::Paragraph);
        } else {
            self.set_lines(holds, HOLDS, Role::Paragraph);
            let runs = Passage::plain(&script.lang.said(&words::runs(&script.running())), CLOCK);
            self.set_lines(self.lines(&runs, across), CLOCK, Role::Paragraph);
        }
    }

    fn item(&mut self, item: &Item, figure: Option<&Figure>) {
        match &item.what {
            What::Heading { level, words } => {
                let style = heading(*level);
                self.y += style.size * 0.95 * self.density.air();
                let (title, page, y) = (words.clone(), self.pages.len() - 1, self.y);
                let level = self.levels.next(*level);
                self.bookmarks.push(Bookmark { title, level, page, y });
                self.words(words, style, Role::Heading(level));
            }
            What::Speech { words, looks, .. } => {
                self.y += BETWEEN * self.density.air();
                self.warn(item);
                self.timed(item, self.lines(&speech(words, looks), self.measure()), SPEECH);
            }
            What::Cue(cue) => {
                self.y += BETWEEN * self.density.air();
                if let Some(figure) = figure {
                    return self.shown(item, cue, figure);
                }
                self.warn(item);
                self.cue(item, cue);
            }
        }
    }

    /// A cue, over the whole width where no figure stands beside it.
    fn cue(&mut self, item: &Item, cue: &Cue) {
        let fonts = self.job.fonts;
        let is_beside = self.y < self.figures_end;
        let across = if is_beside { self.measure() } else { self.size.0 - LEFT - EDGE };
        let lines = cue_words(cue).shape(fonts).balanced_lines(across, fonts).into_iter();
        self.timed(item, lines.map(Line::into_text).collect(), CUE);
    }

    /// A heading stays with what is said under it, and with the figure that is shown at once.
    fn keep_together(&mut self, item: &Item, figure: Option<&Figure>) {
        self.need(pt(106.0));
        let air = BETWEEN * self.density.air();
        let height = figure.map_or(Pt::ZERO, |figure| self.first_height(figure) + air);
        let height = height + self.heading_height(item);
        if self.y.max(self.figures_end) + height > self.bottom() {
            self.next_page();
        }
    }

    /// How high a heading is with the air above it.
    fn heading_height(&self, item: &Item) -> Pt {
        let What::Heading { level, words } = &item.what else { return Pt::ZERO };
        let style = heading(*level);
        let lines = self.lines(&Passage::plain(words, style), self.measure());
        let leading = style.size * self.density.leading();
        lines.iter().fold(style.size * 0.95 * self.density.air(), |height, _| height + leading)
    }

    /// In a draft, a line above what is at fault.
    fn warn(&mut self, item: &Item) {
        if item.faulty && self.job.faults > 0 {
            self.need(pt(50.0));
            self.words(&self.lang.said(words::WRONG), WRONG, Role::Paragraph);
        }
    }

    /// What leads to something said stays with it: a heading, and a cue, is never alone at a page's foot.
    /// A figure between them stays too, so that it is seen with the words that speak of it.
    fn keep_with_next(&mut self, script: &Script, from: usize) {
        let figures = self.job.figures;
        let beneath = |index: usize| {
            figures
                .get(&index)
                .filter(|_| self.keeps)
                .map_or(Pt::ZERO, |it| self.height_beneath(it))
        };
        let near = (from..from + AT_ONCE).map(beneath).fold(NEAR, |near, height| near + height);
        let room = self.bottom() - self.y;
        if room > near {
            return;
        }
        let mut height = Pt::ZERO;
        let mut leads = true;
        for (index, item) in script.items.iter().enumerate().skip(from).take(AT_ONCE) {
            // What is played before a heading, or at the end, leads to nothing that is said: it ends what was before.
            let is_heading = matches!(item.what, What::Heading { .. });
            if is_heading && height > Pt::ZERO && !leads {
                break;
            }
            leads = is_heading;
            height += beneath(index);
            height += match &item.what {
                What::Heading { level, words } => {
                    let style = heading(*level);
                    self.height(&Passage::plain(words, style), style, usize::MAX)
                }
                What::Cue(cue) => self.height(&cue_words(cue), CUE, usize::MAX),
                What::Speech { words, looks, .. } => {
                    self.height(&speech(words, looks), SPEECH, WHOLE_LINES)
                }
            };
            if matches!(item.what, What::Speech { .. }) {
                break;
            }
        }
        if height > room && height < self.bottom() - EDGE {
            self.next_page();
        }
    }

    /// How high words are with the air before them; of more lines than may not be parted the first two.
    fn height(&self, words: &Passage, style: Style, whole: usize) -> Pt {
        let lines = self.lines(words, self.measure()).len();
        let lines = if lines <= whole { lines } else { 2 };
        style.size * self.density.leading() * u16::try_from(lines).map_or(f32::MAX, f32::from)
            + style.size
    }

    /// Lines with the clock before the first.
    fn timed(&mut self, item: &Item, lines: Vec<Text>, style: Style) {
        let leading = style.size * self.density.leading();
        let whole = if lines.len() <= WHOLE_LINES { lines.len() } else { 2 };
        self.need(leading * u16::try_from(whole).map_or(2.0, f32::from));
        self.clock(item, style);
        self.set_lines(lines, style, Role::Paragraph);
    }

    /// The moment, its baseline that of the words beside it; on a page none is told twice in a row, so that the eye that
    /// looks for the time finds where it moves.
    fn clock(&mut self, item: &Item, beside: Style) {
        let told = clock::told(item.at);
        if self.told.as_ref() == Some(&told) {
            return;
        }
        let at = Text::set(self.job.fonts, &told, CLOCK);
        self.told = Some(told);
        let place = Point::new(LEFT - pt(16.0) - at.width, self.y + beside.size);
        let part = self.parts.add(Role::Paragraph, None);
        self.draw(part, |drawing| drawing.text(place, at));
    }

    /// Words in the column, over as many pages as they need.
    fn words(&mut self, words: &str, style: Style, role: Role) {
        self.passage(&Passage::plain(words, style), style, role);
    }

    /// Words whose plain ones have a style.
    fn passage(&mut self, words: &Passage, style: Style, role: Role) {
        self.set_lines(self.lines(words, self.measure()), style, role);
    }

    /// Lines one under the other. No page's end leaves the last of them alone on the next page.
    fn set_lines(&mut self, lines: Vec<Text>, style: Style, role: Role) {
        let part = self.parts.add(role, None);
        let count = lines.len();
        for (index, line) in lines.into_iter().enumerate() {
            let last_two = index > 1 && index + 2 == count;
            self.need(style.size * self.density.leading() * if last_two { 2.0 } else { 1.0 });
            let place = Point::new(LEFT, self.y + style.size);
            self.draw(part, |drawing| drawing.text(place, line));
            self.y += style.size * self.density.leading();
        }
    }

    fn lines(&self, words: &Passage, measure: Pt) -> Vec<Text> {
        let fonts = self.job.fonts;
        let shaped = words.shape(fonts);
        let set = |measure: Pt| -> Vec<Text> {
            let lines = shaped.clone().lines(measure, LineEnds::Ragged, fonts);
            lines.into_iter().map(Line::into_text).collect()
        };
        let is_ended = |lines: &[Text]| {
            lines.len() < 2 || lines.last().is_some_and(|last| last.width >= measure * LAST_LINE)
        };
        let usual = set(measure);
        if is_ended(&usual) {
            return usual;
        }
        // No line more is taken, nor one much shorter, to give a last word company.
        let narrower = [0.97, 0.94, 0.91, 0.88, 0.85].into_iter().map(|share| set(measure * share));
        let mut ended = narrower.filter(|lines| lines.len() == usual.len() && is_ended(lines));
        ended.next().unwrap_or(usual)
    }

    /// Begins a page where so much doesn't fit any more.
    fn need(&mut self, height: Pt) {
        if self.y + height > self.bottom() {
            self.next_page();
        }
    }

    fn next_page(&mut self) {
        self.holes += 1.0 - self.full();
        self.told = None;
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
            let foot = Text::set(self.job.fonts, &script.lang.said(&foot), SMALL);
            let mut artifact = Drawing::default();
            artifact.text(Point::new(width - EDGE - foot.width, height - EDGE), foot);
            drawing.place(Point::default(), artifact, Label::Artifact);
            pages.push(Page { drawing, ..Page::default() });
        }
        Document {
            title: script.lang.said(&words::title(&script.title)).into_owned(),
            author: script.teacher.clone(),
            language: script.lang.tag().to_owned(),
            pages,
            parts: self.parts.into_list(),
            bookmarks: self.bookmarks,
        }
    }
}

/// Whether nothing is said or done under a heading, nor under those that belong to it: a heading with nothing beneath
/// tells the speaker nothing.
fn is_silent(script: &Script, heading: usize) -> bool {
    let mut below = script.items.iter().skip(heading);
    let Some(What::Heading { level, .. }) = below.next().map(|item| &item.what) else {
        return false;
    };
    let mut within = below.take_while(
        |item| !matches!(&item.what, What::Heading { level: next, .. } if next <= level),
    );
    within.all(|item| matches!(item.what, What::Heading { .. }))
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

/// The style of a heading of a level as it is written, 1 for `#`.
fn heading(written: u8) -> Style {
    let [first, second, third] = HEADINGS;
    match written {
        0 | 1 => first,
        2 => second,
        _ => third,
    }
}

/// A cue's words: what is to be done in small capitals, then which figure and how; a chord that is shown is printed as
/// it is everywhere.
fn cue_words(cue: &Cue) -> Passage {
    let mut passage = Passage::default();
    let mut push = |words: &str, style: Style| passage.push(words, Dress::plain(style));
    let told = cue.told();
    push(&told.verb, CUE);
    if let CueKind::Show(Shown::Shape { chord, .. }) = &cue.kind {
        push(" ", CUE);
        for run in &chord.printed().runs {
            let style = if run.raised { raised(CUE, SMALLEST_RAISED) } else { CUE };
            push(&run.text, Style { face: Face::SerifSemibold, ..style });
        }
        return passage;
    }
    let italic = Style { face: Face::SerifItalic, ..CUE_PLAIN };
    for (words, style) in [(told.which, CUE_PLAIN), (told.caption, italic), (told.how, CUE_PLAIN)] {
        if !words.is_empty() {
            push(&format!(" {words}"), style);
        }
    }
    passage
}

/// What is said, in its looks.
fn speech(words: &str, looks: &[(Range<usize>, Look)]) -> Passage {
    let mut passage = Passage::default();
    let mut quotes = Quotes::default();
    let mut at = 0;
    for (place, look) in looks {
        let plain = quotes.curved(words.get(at..place.start).unwrap_or_default());
        passage.push(&plain, Dress::plain(SPEECH));
        let face = match (look.stress.emphasis, look.stress.strong) {
            (false, false) => SPEECH.face,
            (true, false) => Face::SerifItalic,
            (false, true) => Face::SerifBold,
            (true, true) => Face::SerifBoldItalic,
        };
        let words = quotes.curved(words.get(place.clone()).unwrap_or_default());
        let style = Style { face, ..SPEECH };
        passage.push(
            &words,
            Dress::plain(if look.raised { raised(style, SMALLEST_RAISED) } else { style }),
        );
        at = place.end;
    }
    let rest = quotes.curved(words.get(at..).unwrap_or_default());
    passage.push(&rest, Dress::plain(SPEECH));
    passage
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests;
