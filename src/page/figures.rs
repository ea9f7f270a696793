//! Blocks of music on the galley: what changed, the caption, the figure's strips; in a draft also
//! what is wrong with them.

use super::asides::{Aside, Entry, Folded};
use super::flow::{Flow, LEAD_IN, Leads, MARK, Manner, Room};
use super::galley::{
    Head, LONELY_LINE, PARTED_AT_TURN, PARTED_FIGURE, PARTED_LONG, PARTED_PAIR, PARTED_ROW,
    PARTED_WHOLE, PARTED_WORDS, Slip, TOGETHER,
};
use super::inline::baseline;
use super::named;
use super::paragraph::{Dress, Passage};
use super::template::Type;
use crate::blocks::Block;
use crate::blocks::figure::{Desk, Figure, Joint};
use crate::ink::bidi::Reading;
use crate::ink::measure::LineWidth;
use crate::ink::text::Run;
use crate::ink::{
    Drawing, Group, Item, Label, Path, Picture, Point, Pt, Role, Segment, Stroke, Style, Text, pt,
};
use crate::lesson::kind::Medium;
use crate::theory::Printed;
use crate::words::paper;

/// How many lines, the heading's among them, move with the figure that they lead to; chosen by eye.
const LEADING_LINES: usize = 5;

/// How much of its space a figure keeps beneath a heading; chosen by eye: well under what is above the heading.
const BENEATH_HEADING: f32 = 0.5;

/// The room above a note beneath its figure, in spaces between a caption and a figure.
pub const NOTE_SPACE: f32 = 0.7;

/// Sums of heights are rounded: a strip that fills a page to a hair would be one too high.
const ROUNDING: Pt = pt(0.5);

impl Flow<'_> {
    /// Sets a block of music, by its index.
    pub fn music(&mut self, index: usize, place: Room) {
        let lesson = self.lesson;
        let (Some(block), Some(fence)) =
            (lesson.blocks.get(index), lesson.lesson.fences.get(index))
        else {
            return;
        };
        // A script has pages of its own, and its faults stand there.
        if fence.kind.medium == Medium::Script {
            return;
        }
        self.announced.extend(block.announced.iter().cloned());
        let (look, width) = (&self.template().figure, place.whole().width);
        let figure = match block.printed {
            true => self.ahead.and_then(|ahead| ahead.take(index, width)).unwrap_or_else(|| {
                let desk = Desk { lang: self.lang(), fonts: self.job.fonts, look, width };
                block.printed_figure(&desk, &fence.setting, self.job.draft)
            }),
            false => None,
        };
        self.block(block, figure, place);
    }

    /// Sets a block by the figure that it is printed as, in a draft with what is wrong with it; nothing where there
    /// is neither.
    pub(super) fn block(&mut self, block: &Block, figure: Option<Figure>, place: Room) {
        let marked = self.job.draft && block.is_unsound();
        if figure.is_none() && !marked {
            return;
        }
        let space = self.template().spaces.figure;
        // A heading is the figure's own where nothing stands between them.
        let headed = self.heading_end == Some(self.galley.next());
        self.galley.figure_space(if headed { space * BENEATH_HEADING } else { space });
        let from = self.galley.next();
        match figure {
            Some(figure) => self.figure(figure, block.caption.as_deref(), block.number, place),
            None => self.source(block, place),
        }
        if marked {
            self.faults(&block.faults, place);
            self.guesses(&block.guesses, place);
            self.galley.bar(from, MARK);
        }
        self.galley.anchor(from, block.span, place.left, place.width);
        self.galley.figure_space(space);
    }

    /// Sets a figure under its caption. The caption stands above: who plays from the page should
    /// know what a figure is before the first note, and a figure may run on to the next page.
    pub fn figure(
        &mut self,
        figure: Figure,
        caption: Option<&str>,
        number: Option<u32>,
        place: Room,
    ) {
        let announces = !self.announced.is_empty();
        self.announce(place);
        // What a heading and a few lines lead to moves with them.
        if self.headed_at.take().is_some_and(|from| self.galley.next() <= from + LEADING_LINES) {
            self.galley.hold(LEAD_IN);
        }
        let above = self.galley.next();
        if let Some(caption) = caption {
            self.caption(caption, number, place);
        }
        let captions = self.galley.next() - above;
        let part = self.parts.add_with_words(Role::Figure, place.part, &figure.words);
        let whole = place.whole();
        let highest = self.highest_figure();
        // What is announced may come to stand above the caption.
        let highest_strip = if announces { highest } else { self.highest_strip(above) };
        // A song's lines are a text, which goes on from page to page like others.
        let says_so = figure.strips.len() > 1 && (number.is_some() || figure.joints.is_empty());
        let continued = says_so.then(|| self.continued(number, place));
        let parting = self.parting(&figure, highest);
        let last = figure.strips.len().saturating_sub(1);
        let mut notes = self.untold(figure.keys);
        notes.extend(figure.notes);
        let anchor = self.galley.next();
        for (index, strip) in figure.strips.into_iter().enumerate() {
            let joint = figure.joints.get(index).copied().unwrap_or_default();
            let (space, cost) = match joint {
                Joint::Apart => (self.template().spaces.strip, parting.before(index, last)),
                Joint::Stanza(air) => (air, PARTED_WORDS),
                Joint::Line(air) => (air, PARTED_WHOLE),
                Joint::Held(air) => (air, LONELY_LINE),
            };
            if index > 0 {
                self.galley.figure_space(space);
            }
            let strip = fitted(strip, whole.width, highest_strip);
            let at = Point::new(place.left, Pt::ZERO);
            let (height, label) = (strip.height, Label::Part(part));
            let reach = place.left + strip.width;
            let items = vec![Item::Group(Group { offset: at, label, items: strip.items })];
            let cost = if index == 0 { 0.0 } else { cost };
            let head = continued.filter(|_| index > 0);
            let turn_cost = if index == 0 { 0.0 } else { parting.turn };
            let captions = if index == 0 { captions } else { 0 };
            let slip = Slip { height, items, cost, turn_cost, captions, head, ..Slip::default() };
            self.galley.push(Slip { reach, ..slip });
        }
        if !notes.is_empty() {
            let entries = notes.iter().map(|note| self.figure_note(note, place)).collect();
            let (fold, folded) = (self.galley.next(), Folded::Plain);
            self.aside(Aside { anchor, fold, slack: 1.0, entries, folded, place: whole });
        }
        self.leads_in = self.galley.next();
    }

    /// How high a figure is at most that a page takes whole, with its caption.
    pub(super) fn highest_figure(&self) -> Pt {
        self.job.column().1 - self.template().spaces.figure * 4.0
    }

    /// How high a strip may be that has a page to itself but for the caption, whose slips begin at an index, or for what stands
    /// there where the figure goes on.
    fn highest_strip(&self, captions: usize) -> Pt {
        let slips = self.galley.slips.get(captions..).unwrap_or_default();
        let lines: Pt = slips.iter().map(|slip| slip.height).sum();
        let above = lines.max(self.template().caption.leading) + self.template().spaces.caption;
        self.job.column().1 - above - ROUNDING
    }

    /// What it costs to part a figure between strips that stand apart, by how high one may be that stays whole.
    fn parting(&self, figure: &Figure, highest: Pt) -> Parting {
        let between = self.template().spaces.strip;
        let total: Pt = figure.strips.iter().map(|strip| strip.height + between).sum();
        let turn = if self.template().facing_pages { PARTED_AT_TURN } else { 0.0 };
        match figure.strips.len() {
            _ if total > highest => Parting { edge: PARTED_LONG, within: PARTED_FIGURE, turn: 0.0 },
            0..=2 => Parting { edge: PARTED_PAIR, within: PARTED_PAIR, turn },
            _ => Parting { edge: PARTED_ROW, within: PARTED_LONG, turn },
        }
    }

    /// The keys that no earlier figure gave.
    fn untold(&mut self, mut keys: Vec<Printed>) -> Vec<Printed> {
        keys.retain(|key| !self.keys_told.contains(key));
        self.keys_told.extend(keys.iter().cloned());
        keys
    }

    /// What a note says of a figure.
    fn figure_note(&mut self, note: &Printed, place: Room) -> Entry {
        let style = Type::from(self.template().side).style();
        let mut entry = self.entry(None, "", place);
        named::printed(&mut entry.words, note, (style, self.least_raised()));
        entry
    }

    /// Sets what stands above a figure where it runs on to a page; its index among the heads.
    fn continued(&mut self, number: Option<u32>, place: Room) -> usize {
        let look = self.template().caption;
        let space = self.template().spaces.caption;
        let set = |words: &str, face| Text::set(self.job.fonts, words, Style::new(face, look.size));
        let number = number.map(|number| set(&paper::figure::number(number), look.number_face));
        let words = number
            .unwrap_or_default()
            .then(set(&self.lang().said(paper::figure::CONTINUED), look.face));
        let at = Point::new(place.left, baseline(look.size, look.leading));
        let head = Head { height: look.leading + space, items: vec![Item::Text(at, words)] };
        self.galley.heads.push(head);
        self.galley.heads.len() - 1
    }

    /// Says what holds from here on: a new key, tempo, tuning. Where there is room it stands beside the words that
    /// lead to the figure.
    fn announce(&mut self, place: Room) {
        let announced = std::mem::take(&mut self.announced);
        let anchor = self.leads_in.min(self.galley.next());
        if announced.is_empty() {
            return;
        }
        let lang = self.lang();
        let entry = |said: &String| match said.split_once(": ") {
            Some((label, words)) => self.entry(Some(label), &lang.said(words), place),
            None => self.entry(None, &lang.said(said), place),
        };
        let entries = announced.iter().map(entry).collect();
        // What holds is to be known before the words that lead to the figure are read.
        let led = self.paragraph_at >= anchor && self.paragraph_at > 0;
        let fold = if led { self.paragraph_at } else { self.galley.next() };
        let told = announced.iter().map(|said| lang.told(said).into_owned());
        let folded = Folded::Announced(told.collect());
        self.aside(Aside { anchor, fold, slack: 1.0, entries, folded, place });
    }

    /// Says in the text what holds from here on.
    pub(super) fn set_announced(&mut self, announced: &[String], place: Room) {
        let caption = self.template().caption;
        let type_ = Type { face: caption.number_face, ..Type::from(caption) };
        self.side_by_side(announced, Manner::ragged(type_), place);
        self.galley.hold(TOGETHER);
        self.galley.space(self.template().spaces.caption);
    }

    fn caption(&mut self, caption: &str, number: Option<u32>, place: Room) {
        let look = self.template().caption;
        let type_ = Type::from(look);
        let mut passage = Passage::default();
        if let Some(number) = number {
            let style = Style::new(look.number_face, look.size);
            passage.push(&paper::figure::number(number), Dress::plain(style));
        }
        let style = (type_.style(), self.least_raised());
        let words = |passage: &mut Passage| named::push(passage, caption, style, &self.names);
        match number {
            Some(_) => passage.apart(Reading::AsFirst, words),
            None => words(&mut passage),
        }
        let part = self.parts.add(Role::Caption, place.part);
        let from = self.galley.next();
        let manner = Manner::balanced(type_);
        self.passage(&passage, part, &Leads::default(), manner, place.whole());
        self.galley.keep_whole(from);
        self.galley.hold(TOGETHER);
        self.galley.space(self.template().spaces.caption);
    }

    /// Sets a broken block as it was written.
    fn source(&mut self, block: &Block, place: Room) {
        let text = &self.lesson.lesson.source.text;
        let written = text.get(block.span.start..block.span.end).unwrap_or_default();
        self.code(written, place);
    }
}

/// What it costs to part a figure.
struct Parting {
    /// Its first or its last strip from the others.
    edge: f32,
    /// Between others.
    within: f32,
    /// How much more where the page is turned.
    turn: f32,
}

impl Parting {
    /// What it costs before a strip, the last strip's index given.
    fn before(&self, index: usize, last: usize) -> f32 {
        if index == 1 || index == last { self.edge } else { self.within }
    }
}

/// The drawing made smaller where it is wider or higher than it may be, so that nothing falls off
/// the paper. Kinds draw to the width that they are given; this is for the rare strip that can't.
fn fitted(strip: Drawing, widest: Pt, highest: Pt) -> Drawing {
    // A hair over is a rounding error.
    let over = (strip.width / (widest + pt(0.5))).max(strip.height / highest);
    if over.is_nan() || over <= 1.0 {
        return strip;
    }
    let by = 1.0 / over;
    let items = strip.items.into_iter().map(|item| scaled(item, by)).collect();
    Drawing { width: strip.width * by, height: strip.height * by, items }
}

fn scaled(item: Item, by: f32) -> Item {
    match item {
        Item::Path(path) => Item::Path(scaled_path(path, by)),
        Item::Text(at, text) => Item::Text(scaled_point(at, by), scaled_text(text, by)),
        Item::Picture(at, picture) => {
            let (width, height) = (picture.width * by, picture.height * by);
            Item::Picture(scaled_point(at, by), Picture { width, height, ..picture })
        }
        Item::Group(group) => {
            let items = group.items.into_iter().map(|item| scaled(item, by)).collect();
            Item::Group(Group { offset: scaled_point(group.offset, by), items, ..group })
        }
    }
}

fn scaled_point(at: Point, by: f32) -> Point {
    Point::new(at.x * by, at.y * by)
}

fn scaled_text(text: Text, by: f32) -> Text {
    let scale = |run: Run| {
        let style = Style { size: run.style.size * by, rise: run.style.rise * by, ..run.style };
        Run { x: run.x * by, style, ..run }
    };
    Text { width: text.width * by, runs: text.runs.into_iter().map(scale).collect(), ..text }
}

fn scaled_path(path: Path, by: f32) -> Path {
    let p = |at: Point| scaled_point(at, by);
    let segment = |segment: Segment| match segment {
        Segment::Move(at) => Segment::Move(p(at)),
        Segment::Line(to) => Segment::Line(p(to)),
        Segment::Curve(a, b, to) => Segment::Curve(p(a), p(b), p(to)),
        Segment::Close => Segment::Close,
    };
    let stroke = path.stroke.map(|stroke| Stroke {
        width: (stroke.width * by).max(LineWidth::THINNEST),
        dash: stroke.dash.map(|(dash, gap)| (dash * by, gap * by)),
        ..stroke
    });
    Path { segments: path.segments.into_iter().map(segment).collect(), stroke, ..path }
}
