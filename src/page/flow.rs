//! From the lesson's tree to the galley: headings, paragraphs, lists, quotations, code.

use super::Job;
use super::advice::Caution;
use super::ahead::Figures;
use super::asides::{Aside, Folded};
use super::galley::{Bar, Galley, LONELY_LINE, PARTED_SHORT, PARTED_WORDS, Slip, TOGETHER};
use super::inline::{Inner, Stretch, baseline, compose, plain_words};
use super::line::{Line, LineRun};
use super::named;
use super::paragraph::{Passage, cut_to_fit};
use super::parts::{Outline, Parts};
use super::template::{LineEnds, Template, Type};
use crate::checks::Elaborated;
use crate::ink::{
    Anchor, Group, Item, Label, Link, PartId, Path, Picture, Point, Pt, Role, Text, pt,
};
use crate::lesson::limits;
use crate::lesson::prose::{Alignment, Inline, Node};
use crate::theory::Printed;
use crate::words::Lang;
use crate::words::paper::draft;
use std::collections::BTreeMap;

/// The narrowest column that lists and quotations within one another leave: under 30 letters of body type
/// (assumed).
const NARROWEST: Pt = pt(130.0);
/// The bar in the margin beside what a draft marks.
pub const MARK: Bar = Bar { x: pt(-9.0), width: pt(2.0), shade: 0.0, joined: false };
/// How many lines a paragraph has at most that stays whole where a page has room for it.
const SHORT_PARAGRAPH: usize = 5;
/// What it costs to begin a page with a rule across the page: as much as a hole of a fifth of it.
const RULE_ON_TOP: f32 = 4.0;

/// What it costs to part words that end with a colon, or a heading with a few lines, from what they lead to: as much
/// as a hole of a fifth of a page: the caption says what a figure is, the words before it may stand overleaf.
pub const LEAD_IN: f32 = 3.5;

/// Where blocks are set.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// The left edge, from the column's.
    pub left: Pt,
    /// The width.
    pub width: Pt,
    /// What lies free on the right, for figures.
    pub spare: Pt,
    /// The part that they belong to.
    pub part: Option<PartId>,
    /// The space between them.
    pub gap: Pt,
    /// How many lists are around.
    pub lists: usize,
}

impl Room {
    /// The place moved in from the left, as long as there is room.
    pub(super) fn moved_in(self, by: Pt, part: PartId) -> Room {
        let by = by.min((self.width - NARROWEST).max(Pt::ZERO));
        Room { left: self.left + by, width: self.width - by, part: Some(part), ..self }
    }

    /// The place moved in from the right, as long as there is room.
    pub(super) fn moved_in_from_right(self, by: Pt, part: PartId) -> Room {
        Room { left: self.left, spare: Pt::ZERO, ..self.moved_in(by, part) }
    }

    /// The place and what lies free beside it.
    pub(super) fn whole(self) -> Room {
        Room { width: self.width + self.spare, spare: Pt::ZERO, ..self }
    }

    /// Its right edge, from the column's left.
    pub(super) fn right(self) -> Pt {
        self.left + self.width
    }
}

/// How a few lines of words are set.
#[derive(Debug, Clone, Copy)]
pub struct Manner {
    /// Their type.
    pub type_: Type,
    /// How the lines end.
    pub ends: LineEnds,
    /// Where the lines stand.
    pub alignment: Alignment,
    /// Whether the lines are about equally long, as those of titles are.
    pub balanced: bool,
}

impl Manner {
    /// Ragged lines from the left edge.
    pub const fn ragged(type_: Type) -> Manner {
        Manner { type_, ends: LineEnds::Ragged, alignment: Alignment::Left, balanced: false }
    }

    /// Ragged lines from the left edge, about equally long.
    pub const fn balanced(type_: Type) -> Manner {
        Manner { balanced: true, ..Manner::ragged(type_) }
    }
}

/// The galley while it is filled.
pub struct Flow<'a> {
    /// The lesson.
    pub lesson: &'a Elaborated<'a>,
    /// How it is to be printed.
    pub job: &'a Job<'a>,
    /// The figures of its blocks that are drawn ahead.
    pub(super) ahead: Option<&'a Figures<'a>>,
    /// What is set so far.
    pub galley: Galley,
    /// The parts so far.
    pub parts: Parts,
    /// The names of chords in the words that are ours: titles and captions of charts.
    pub names: Vec<Printed>,
    /// What changed and is yet to be announced.
    pub announced: Vec<String>,
    /// What is said by the way and has no place yet.
    pub(super) asides: Vec<Aside>,
    /// The slip with which the words begin that lead to the next figure: behind the one before, or with the heading.
    pub(super) leads_in: usize,
    /// The first slip of a heading that no figure follows yet.
    pub(super) headed_at: Option<usize>,
    /// The keys to signs that earlier figures gave: a lesson gives each once, and there are few.
    pub(super) keys_told: Vec<Printed>,
    /// The slip that follows the last heading.
    pub(super) heading_end: Option<usize>,
    /// The first slip of the last paragraph.
    pub(super) paragraph_at: usize,
    /// How many faults a draft may still word.
    pub faults_left: usize,
    outline: Outline,
    /// Whether the caution is called for, and given.
    pub(super) caution: Caution,
    /// The slip with which what calls for the caution begins.
    pub(super) called_at: usize,
    /// The pictures that were set, as they are printed across a column: by where they lie.
    pub(super) pictures: BTreeMap<usize, Picture>,
}

/// The parts that lie in the lines of a paragraph.
#[derive(Debug, Default)]
pub struct Leads {
    /// Links: a part and an address for each number that dresses give.
    list: Vec<(PartId, String)>,
    /// The phrases that a draft marks, by their indices.
    faulty: BTreeMap<usize, PartId>,
}

impl Leads {
    /// The part that words are of which a draft marks.
    fn marked(&self, run: &LineRun) -> Option<PartId> {
        self.faulty.get(&run.phrases.first()?.index).copied()
    }
}

impl<'a> Flow<'a> {
    /// An empty galley.
    pub fn new(lesson: &'a Elaborated<'a>, job: &'a Job<'a>) -> Flow<'a> {
        Flow {
            lesson,
            job,
            ahead: None,
            galley: Galley::default(),
            parts: Parts::default(),
            names: Vec::new(),
            announced: Vec::new(),
            asides: Vec::new(),
            leads_in: 0,
            headed_at: None,
            keys_told: Vec::new(),
            heading_end: None,
            paragraph_at: 0,
            faults_left: limits::DRAFT_FAULTS.most,
            outline: Outline::default(),
            caution: Caution::default(),
            called_at: 0,
            pictures: BTreeMap::new(),
        }
    }

    /// The language of our own words.
    pub fn lang(&self) -> Lang {
        self.lesson.lesson.header.lang
    }

    /// The template.
    pub fn template(&self) -> &'a Template {
        self.job.template
    }

    /// The smallest size of raised words.
    pub fn least_raised(&self) -> Pt {
        self.template().figure.least_raised()
    }

    /// Sets the lesson's own blocks, the caution at the end of the section that calls for it.
    pub fn lesson(&mut self, nodes: &[Node], place: Room) {
        let mut rest = nodes;
        while let Some((node, behind)) = rest.split_first() {
            let taken = self.abreast(rest, place);
            if let Some(behind) = rest.get(taken..).filter(|_| taken > 0) {
                rest = behind;
                continue;
            }
            if matches!(node, Node::Heading { .. }) {
                self.give_caution(place);
            }
            let from = self.galley.next();
            self.node(node, place);
            if self.caution.listen(node) {
                self.called_at = from;
            }
            rest = behind;
        }
        self.give_caution(place);
    }

    pub(super) fn nodes(&mut self, nodes: &[Node], place: Room) {
        nodes.iter().for_each(|node| self.node(node, place));
    }

    fn node(&mut self, node: &Node, place: Room) {
        match node {
            Node::Heading { level, words, span } => {
                let from = self.galley.next();
                self.heading(*level, words, place);
                self.galley.anchor(from, *span, place.left, place.width);
            }
            Node::Paragraph(words) => self.paragraph(words, place),
            Node::List { start, tight, items } => self.list(*start, *tight, items, place),
            Node::Quote(inner) => self.quote(inner, place),
            Node::Table { columns, head, rows } => self.table(columns, head, rows, place),
            // The item that it stands in has its box for a label.
            Node::Task(_) => {}
            Node::Rule => self.rule(place),
            Node::Code(text) => self.code(text, place),
            Node::NewPage => self.galley.new_page(),
            Node::Music(index) => self.music(*index, place),
        }
    }

    /// Sets a heading of a level as it is written, 1 for `#`.
    pub fn heading(&mut self, written: u8, words: &[Inline], place: Room) {
        let look = self.template().headings.of_level(written);
        let title = plain_words(words, &self.lesson.phrases);
        if title.is_empty() {
            return;
        }
        let level = self.outline.next(written);
        let part = self.parts.add(Role::Heading(level), place.part);
        let type_ = Type::from(look);
        let from = self.galley.next();
        self.leads_in = from;
        self.headed_at = Some(from);
        self.galley.figure_space(look.space_above);
        self.inlines(words, part, Manner::balanced(type_), place);
        self.galley.keep_whole(from);
        if let Some(first) = self.galley.slips.get_mut(from) {
            // The title is level 1 of the headings and heads the bookmarks as the document's own.
            first.bookmark = Some((title, level - 1));
        }
        self.galley.space(look.space_below);
        self.galley.hold(TOGETHER);
        self.heading_end = Some(self.galley.next());
    }

    fn paragraph(&mut self, words: &[Inline], place: Room) {
        let body = self.template().body;
        let type_ = Type::from(body);
        self.galley.space(place.gap);
        self.paragraph_at = self.galley.next();
        let composed = compose(words, type_.style(), self.least_raised(), &self.lesson.phrases);
        for stretch in composed.stretches {
            match stretch {
                Stretch::Words(passage) => {
                    let part = self.parts.add(Role::Paragraph, place.part);
                    let leads = self.leads(&composed.inner, part);
                    let manner = Manner { ends: body.lines, ..Manner::ragged(type_) };
                    self.passage(&passage, part, &leads, manner, place);
                }
                Stretch::Picture(index) => self.picture(index, place),
            }
        }
        if matches!(words.last(), Some(Inline::Text(last)) if last.trim_end().ends_with(':')) {
            self.galley.hold(LEAD_IN);
        }
    }

    /// Sets words that are a part of their own already. Pictures among them are left to paragraphs.
    pub fn inlines(&mut self, words: &[Inline], part: PartId, manner: Manner, place: Room) {
        let composed =
            compose(words, manner.type_.style(), self.least_raised(), &self.lesson.phrases);
        let leads = self.leads(&composed.inner, part);
        for stretch in composed.stretches {
            if let Stretch::Words(passage) = stretch {
                self.passage(&passage, part, &leads, manner, place);
            }
        }
    }

    /// Makes the parts that lie in a paragraph's lines.
    pub fn leads(&mut self, inner: &Inner, part: PartId) -> Leads {
        let lead = |address: &String| (self.parts.add(Role::Link, Some(part)), address.clone());
        let list = inner.addresses.iter().map(lead).collect();
        let marked = inner.faulty.iter().filter(|_| self.job.draft).map(|(phrase, printed)| {
            let words = draft::marked(printed);
            (*phrase, self.parts.add_with_words(Role::Span, Some(part), &words))
        });
        Leads { list, faulty: marked.collect() }
    }

    /// Sets a passage.
    pub fn passage(
        &mut self,
        passage: &Passage,
        part: PartId,
        leads: &Leads,
        manner: Manner,
        place: Room,
    ) {
        let fonts = self.job.fonts;
        let shaped = passage.shape(fonts);
        let lines = match manner.balanced {
            true => shaped.balanced_lines(place.width, fonts),
            false => shaped.lines(place.width, manner.ends, fonts),
        };
        let first = self.galley.next();
        let last = lines.len().saturating_sub(1);
        for (index, line) in lines.iter().enumerate() {
            let mut slip = Slip {
                height: manner.type_.leading,
                baseline: baseline(manner.type_.size, manner.type_.leading),
                cost: line_cost(index, last),
                reach: place.left + line.width,
                ..Slip::default()
            };
            let at = Point::new(place.left, slip.baseline);
            self.line(line, at, (part, leads), manner, place.width, &mut slip);
            self.galley.push(slip);
        }
        self.addresses(&lines, first, leads, place);
    }

    /// Says beside the lines of a passage, whose first is the slip of an index, where their links lead: paper can't be
    /// followed.
    fn addresses(&mut self, lines: &[Line], first: usize, leads: &Leads, place: Room) {
        for (index, (_, address)) in leads.list.iter().enumerate() {
            let has_it = |line: &&Line| line.runs.iter().any(|run| run.link == Some(index));
            let Some(at) = lines.iter().position(|line| has_it(&line)) else { continue };
            let runs = lines.iter().flat_map(|line| &line.runs);
            let own = runs.filter(|run| run.link == Some(index));
            let words: String = own.map(|run| run.text.characters()).collect();
            let address = shown(address);
            if words.contains(address) {
                continue;
            }
            let entries = vec![self.entry(None, address, place)];
            let (anchor, fold) = (first + at, self.galley.next());
            let folded = Folded::Plain;
            self.aside(Aside { anchor, fold, slack: 0.0, entries, folded, place });
        }
    }

    /// Plain words of one part, on lines of their own.
    pub fn words(&mut self, words: &str, role: Role, manner: Manner, place: Room) {
        let part = self.parts.add(role, place.part);
        let mut passage = Passage::default();
        named::push(&mut passage, words, (manner.type_.style(), self.least_raised()), &self.names);
        self.passage(&passage, part, &Leads::default(), manner, place);
    }

    /// Draws a line of words into a slip, its baseline beginning at a point.
    pub fn line(
        &self,
        line: &Line,
        at: Point,
        (part, leads): (PartId, &Leads),
        manner: Manner,
        width: Pt,
        slip: &mut Slip,
    ) {
        let room = (width - line.width).max(Pt::ZERO);
        let at = match manner.alignment {
            Alignment::Left => at,
            Alignment::Centre => at + Point::new(room / 2.0, Pt::ZERO),
            Alignment::Right => at + Point::new(room, Pt::ZERO),
        };
        let mut group = Group { offset: at, label: Label::Part(part), items: Vec::new() };
        for run in &line.runs {
            let words = Item::Text(Point::new(run.x, Pt::ZERO), run.text.clone());
            let from = at + Point::new(run.x, Pt::ZERO);
            let to = at + Point::new((run.x + run.text.width).min(line.width), Pt::ZERO);
            match run.link.and_then(|link| leads.list.get(link)) {
                Some((part, address)) => {
                    let (label, items) = (Label::Part(*part), vec![words]);
                    group.items.push(Item::Group(Group { offset: Point::default(), label, items }));
                    slip.items.push(underline(from, to, manner.type_.size, self.rules().0));
                    let corner = Point::new(from.x, from.y - manner.type_.size * 0.8);
                    slip.links.push(Link {
                        part: *part,
                        corner,
                        width: to.x - from.x,
                        height: manner.type_.size * 1.1,
                        address: address.clone(),
                    });
                }
                None => group.items.push(match leads.marked(run) {
                    Some(part) => {
                        let (label, items) = (Label::Part(part), vec![words]);
                        Item::Group(Group { offset: Point::default(), label, items })
                    }
                    None => words,
                }),
            }
            slip.anchors.extend(self.phrase_anchors(run, from, manner.type_.size));
            if run.faulty && self.job.draft {
                slip.items.push(underline(from, to, manner.type_.size, self.rules().1));
                slip.bars.push(MARK);
            }
        }
        slip.items.push(Item::Group(group));
    }

    /// Where the checked phrases of a run stand whose baseline begins at a point.
    fn phrase_anchors<'r>(
        &'r self,
        run: &'r LineRun,
        at: Point,
        size: Pt,
    ) -> impl Iterator<Item = Anchor> + 'r {
        run.phrases.iter().filter_map(move |phrase| {
            let span = self.lesson.lesson.phrases.get(phrase.index)?.text.span;
            let corner = Point::new(at.x + phrase.x, at.y - size * 0.8);
            let (width, height) = (phrase.width, size * 1.1);
            Some(Anchor { source: span.start..span.end, corner, width, height })
        })
    }

    pub(super) fn rules(&self) -> (Pt, Pt) {
        (self.template().rules.thin, self.template().rules.thick)
    }

    fn rule(&mut self, place: Room) {
        let height = self.template().body.leading;
        let (from, to) = (place.left + place.width * 0.35, place.left + place.width * 0.65);
        let middle = height / 2.0;
        let line =
            Path::line(Point::new(from, middle), Point::new(to, middle), self.rules().0 * 1.5);
        self.galley.space(place.gap);
        let (items, cost) = (vec![artifact(line)], RULE_ON_TOP);
        self.galley.push(Slip { height, items, cost, ..Slip::default() });
        self.galley.space(place.gap);
    }

    /// Sets text as it stands, in lines that are cut where they are too long.
    pub fn code(&mut self, text: &str, place: Room) {
        let code = self.template().code;
        let paragraph = self.parts.add(Role::Paragraph, place.part);
        let part = self.parts.add(Role::Code, Some(paragraph));
        let place = place.moved_in(self.template().spaces.indent * 0.5, part);
        let text = text.replace('\t', "    ");
        let (fonts, style) = (self.job.fonts, code.style());
        let lines: Vec<&str> =
            text.lines().flat_map(|line| cut_to_fit(line, style, place.width, fonts)).collect();
        let last = lines.len().saturating_sub(1);
        self.galley.space(place.gap);
        for (index, line) in lines.into_iter().enumerate() {
            // The space behind it parts its last word from the next line's first for whoever is
            // read to.
            let words = Text::set(fonts, &format!("{line} "), style);
            let at = Point::new(place.left, baseline(code.size, code.leading));
            let label = Label::Part(part);
            let items = vec![Item::Text(Point::default(), words)];
            self.galley.push(Slip {
                height: code.leading,
                baseline: at.y,
                items: vec![Item::Group(Group { offset: at, label, items })],
                cost: line_cost(index, last),
                ..Slip::default()
            });
        }
        self.galley.space(place.gap);
    }
}

/// What it costs to end a page before a line: dear where one line would stand alone, or a short paragraph be parted.
fn line_cost(index: usize, last: usize) -> f32 {
    match index {
        0 => 0.0,
        _ if index == 1 || index == last => LONELY_LINE,
        _ if last < SHORT_PARAGRAPH => PARTED_SHORT,
        _ => PARTED_WORDS,
    }
}

/// An address as paper shows it.
fn shown(address: &str) -> &str {
    let bare = ["https://", "http://", "mailto:"].iter().find_map(|scheme| {
        let head = address.get(..scheme.len())?;
        head.eq_ignore_ascii_case(scheme).then(|| address.get(scheme.len()..))?
    });
    bare.unwrap_or(address).trim_end_matches('/')
}

fn underline(from: Point, to: Point, size: Pt, width: Pt) -> Item {
    let below = Point::new(Pt::ZERO, size * 0.16);
    artifact(Path::line(from + below, to + below, width))
}

/// A path that is not read out.
pub fn artifact(path: Path) -> Item {
    let (offset, label) = (Point::default(), Label::Artifact);
    Item::Group(Group { offset, label, items: vec![Item::Path(path)] })
}
