//! What is said by the way, in the column beside the text: what holds in the lesson, what changes, how to treat
//! one's hands, where links lead, what a figure's signs mean.
//!
//! An aside stands beside the slip that it belongs to, pushed down under earlier ones, and never beside a figure
//! that needs the whole width. Where there is no room for it, or no such column, it stands in the text. Which of
//! them have room is [settled](Flow::settle) when the galley is full; what each stands beside is held together from
//! then on, so that a page may be cut anywhere without an aside falling off it.

use super::SideColumn;
use super::figures::NOTE_SPACE;
use super::flow::{Flow, Leads, Manner, Room};
use super::galley::{Galley, Note, Slip, TOGETHER};
use super::inline::baseline;
use super::paragraph::Passage;
use super::template::{LineEnds, Type};
use crate::ink::{Face, Group, Item, Label, PartId, Point, Pt, Role, Style, Text, pt};
use crate::words::paper::title;

// The measures below are chosen by eye.

/// The room between two asides, in lines of their type.
pub const BETWEEN: f32 = 0.6;
/// What is free between an aside and the figure beneath it.
const ABOVE_FIGURE: Pt = pt(5.0);
/// How much of its space a figure keeps where spaces are closed, see [`super::breaks`].
const CLOSED: f32 = super::breaks::CLOSED;
/// How far an aside may be pushed down from its place, in lines of its type.
const PUSHED: f32 = 8.0;
/// The highest aside, and the highest chain of them that is held together, as shares of the page.
const HIGHEST: f32 = 0.35;
const LONGEST_CHAIN: f32 = 0.5;
/// What is free between what a fact is called and what it is, in sizes of type.
const AFTER_LABEL: f32 = 0.8;
/// The most of the column that facts' names take.
const WIDEST_LABEL: f32 = 0.45;

/// What is said by the way.
pub struct Aside {
    /// The slip beside whose first line it stands.
    pub anchor: usize,
    /// The slip above which it stands where it has no room beside.
    pub fold: usize,
    /// How many of its lines a figure beneath may be moved down to make room for it.
    pub slack: f32,
    /// What is said.
    pub entries: Vec<Entry>,
    /// What is said in its stead in the text.
    pub folded: Folded,
    /// Where in the text that is.
    pub place: Room,
}

/// Words with what they are about.
pub struct Entry {
    /// What they are about.
    pub label: Option<String>,
    /// The words.
    pub words: Passage,
    /// The part that they are.
    pub part: PartId,
}

/// How an aside stands in the text.
pub enum Folded {
    /// Side by side, dots between.
    Facts(Vec<String>, Manner),
    /// As what holds from the figure beneath on.
    Announced(Vec<String>),
    /// As the caution that it is.
    Caution,
    /// As it is, in small type.
    Plain,
}

impl Flow<'_> {
    /// The type of what stands beside the text.
    fn side_manner(&self) -> Manner {
        Manner::ragged(Type::from(self.template().side))
    }

    /// An entry of plain words, as a part of its own; what they are about is said in the lesson's language.
    pub(super) fn entry(&mut self, label: Option<&str>, words: &str, place: Room) -> Entry {
        let style = Type::from(self.template().side).style();
        // The slash of a meter and the dot of a beat are the first that a photocopy loses.
        let fine = label.is_some_and(|label| [title::METER, title::TEMPO].contains(&label));
        let face = match style.face {
            Face::Serif if fine => Face::SerifSemibold,
            face => face,
        };
        let words = Passage::plain(words, Style { face, ..style });
        let part = self.parts.add(Role::Paragraph, place.part);
        let label = label.map(|label| self.lang().said(label).into_owned());
        Entry { label, words, part }
    }

    /// Sets an aside as soon as it is known which have room; at once where there is no column for them.
    pub(super) fn aside(&mut self, aside: Aside) {
        if self.job.side().is_some() || matches!(aside.folded, Folded::Announced(_)) {
            self.asides.push(aside);
        } else {
            self.folded(aside);
        }
    }

    /// Says an aside in the text, where the galley ends.
    fn folded(&mut self, aside: Aside) {
        let Aside { entries, folded, place, .. } = aside;
        match folded {
            Folded::Facts(facts, manner) => self.side_by_side(&facts, manner, place),
            Folded::Announced(announced) => self.set_announced(&announced, place),
            Folded::Caution => self.set_caution(place),
            Folded::Plain => {
                let from = self.galley.next();
                for Entry { words, part, .. } in &entries {
                    self.galley.space(self.template().spaces.caption * NOTE_SPACE);
                    self.galley.hold(TOGETHER);
                    let manner = Manner::ragged(self.template().small);
                    self.passage(words, *part, &Leads::default(), manner, place);
                }
                self.galley.keep_whole(from);
            }
        }
    }

    /// Gives each aside its place: beside the text where it has room, in the text else.
    pub(super) fn settle(&mut self) {
        let mut asides = std::mem::take(&mut self.asides);
        let Some(side) = self.job.side() else {
            let folded = asides.into_iter().map(|aside| self.folded_apart(aside)).collect();
            return insert(&mut self.galley, folded);
        };
        self.float_cautions(&mut asides, side);
        asides.sort_by_key(|aside| aside.anchor);
        let mut ground = Ground::of(&self.galley, side, self.job.column().1);
        let mut folded = Vec::new();
        for aside in asides {
            let note = self.note(&aside.entries, side);
            let leading = self.template().side.leading;
            match ground.take(&aside, &note, leading) {
                Some(slip) => {
                    if let Some(slip) = self.galley.slips.get_mut(slip) {
                        slip.notes.push(note);
                    }
                }
                None => folded.push(self.folded_apart(aside)),
            }
        }
        ground.hold(&mut self.galley);
        folded.sort_by_key(|(fold, ..)| *fold);
        insert(&mut self.galley, folded);
    }

    /// An aside's slips in the text: above which slip they stand, and whether they lead to it.
    fn folded_apart(&mut self, aside: Aside) -> (usize, bool, Vec<Slip>) {
        let galley = std::mem::take(&mut self.galley);
        let (fold, leads) = (aside.fold, matches!(aside.folded, Folded::Announced(_)));
        self.folded(aside);
        (fold, leads, std::mem::replace(&mut self.galley, galley).slips)
    }

    /// The caution is long and belongs to no line: where a page or the room would end beside it, it stands higher, or at
    /// the next page's head, so that so many lines needn't be held together, and no page begins for its sake.
    fn float_cautions(&self, asides: &mut [Aside], side: SideColumn) {
        let is_caution = |aside: &&mut Aside| matches!(aside.folded, Folded::Caution);
        let Some(caution) = asides.iter_mut().find(is_caution) else { return };
        let height = self.job.column().1;
        let ground = Ground::of(&self.galley, side, height);
        let high = self.note(&caution.entries, side).height;
        let pages = super::breaks::cut(&self.galley, height).pages;
        let Some(page) = pages.into_iter().find(|page| page.contains(&caution.anchor)) else {
            return;
        };
        let bottom = ground.bottom(page.end, &self.galley);
        if let Some(anchor) = ground.higher(caution.anchor, page.start, bottom, high) {
            caution.anchor = anchor;
        } else if page.end < ground.tops.len() && !ground.has_room(caution.anchor, bottom, high) {
            caution.anchor = page.end;
        }
    }

    /// Sets an aside's words in the column.
    fn note(&self, entries: &[Entry], side: SideColumn) -> Note {
        let (fonts, manner) = (self.job.fonts, self.side_manner());
        let Type { size, leading, .. } = manner.type_;
        let label_style = Type { face: self.template().side.label_face, ..manner.type_ }.style();
        let labels: Vec<Option<Text>> = entries
            .iter()
            .map(|entry| {
                Some(Text::set(fonts, &format!("{} ", entry.label.as_ref()?), label_style))
            })
            .collect();
        let widest = labels.iter().flatten().fold(Pt::ZERO, |widest, text| widest.max(text.width));
        let behind = if widest > Pt::ZERO { size * AFTER_LABEL } else { Pt::ZERO };
        let left = (widest + behind).min(side.width * WIDEST_LABEL);
        let mut slip = Slip { baseline: baseline(size, leading), ..Slip::default() };
        for (index, (entry, label)) in entries.iter().zip(labels).enumerate() {
            if index > 0 && widest == Pt::ZERO {
                slip.height += leading * (BETWEEN / 2.0);
            }
            let y = slip.height + baseline(size, leading);
            if let Some(label) = label {
                let items = vec![Item::Text(Point::default(), label)];
                let (offset, label) = (Point::new(Pt::ZERO, y), Label::Part(entry.part));
                slip.items.push(Item::Group(Group { offset, label, items }));
            }
            let width = side.width - left;
            for line in entry.words.shape(fonts).lines(width, LineEnds::Ragged, fonts) {
                let at = Point::new(left, slip.height + baseline(size, leading));
                let leads = Leads::default();
                self.line(&line, at, (entry.part, &leads), manner, width, &mut slip);
                slip.height += leading;
            }
        }
        let Slip { height, baseline, items, .. } = slip;
        Note { left: side.left, height, baseline, gap: leading * BETWEEN, items }
    }
}

/// The room beside the text, in lengths of the galley.
struct Ground {
    /// Where each slip begins and its first baseline is.
    tops: Vec<(Pt, Pt)>,
    /// Where beneath each slip the next begins that needs the room, and which it is; none where it is the
    /// galley's end.
    limits: Vec<(Pt, Option<usize>)>,
    page: Pt,
    /// Where the asides so far end.
    filled: Pt,
    /// Where the slips begin that are held together by asides that follow one another.
    chain: Pt,
    /// The stretches of slips that asides stand beside: the first, and where the aside ends.
    held: Vec<(usize, Pt)>,
    /// How much more space slips need above them; the last is the galley's end.
    moved: Vec<(Option<usize>, Pt)>,
}

impl Ground {
    fn of(galley: &Galley, side: SideColumn, page: Pt) -> Ground {
        let mut y = Pt::ZERO;
        let top = |slip: &Slip| {
            let top = y + slip.space;
            y = top + slip.height;
            (top, slip.baseline)
        };
        let tops: Vec<(Pt, Pt)> = galley.slips.iter().map(top).collect();
        // What the last page has left isn't known: the galley may grow by as much as an aside is high.
        let mut limit = (y, None);
        let mut limits = vec![limit; tops.len()];
        let slips = galley.slips.iter().zip(&tops).zip(&mut limits).enumerate().rev();
        for (index, ((slip, (top, _)), own)) in slips {
            let is_wide = slip.reach > side.text + pt(1.0);
            *own = if is_wide { (*top, Some(index)) } else { limit };
            if is_wide {
                let closed = slip.space * (1.0 - CLOSED);
                limit = (*top - closed - ABOVE_FIGURE, Some(index));
            }
            if slip.begins_page {
                limit = (*top - slip.space, Some(index));
            }
        }
        let (held, moved) = (Vec::new(), Vec::new());
        Ground { tops, limits, page, filled: Pt::ZERO, chain: Pt::ZERO, held, moved }
    }

    /// Where the slips before an index end.
    fn bottom(&self, end: usize, galley: &Galley) -> Pt {
        let last = end
            .checked_sub(1)
            .and_then(|last| Some((self.tops.get(last)?, galley.slips.get(last)?)));
        last.map_or(Pt::ZERO, |((top, _), slip)| *top + slip.height)
    }

    /// Whether what is so high ends above what needs the room and above a page's bottom where it stands beside a slip.
    fn has_room(&self, slip: usize, bottom: Pt, high: Pt) -> bool {
        let place = self.tops.get(slip).zip(self.limits.get(slip));
        place.is_some_and(|((top, _), (limit, _))| *top + high <= bottom.min(*limit))
    }

    /// The nearest slip from one upwards on a page, beneath what needs the room, beside which there is room.
    fn higher(&self, from: usize, page_start: usize, bottom: Pt, high: Pt) -> Option<usize> {
        let needs_it =
            |slip: usize| self.limits.get(slip).is_some_and(|limit| limit.1 == Some(slip));
        let mut beneath = (page_start..=from).rev().take_while(|slip| !needs_it(*slip));
        beneath.find(|slip| self.has_room(*slip, bottom, high))
    }

    /// Takes the room for an aside beside its slip; the slip, where there is room.
    fn take(&mut self, aside: &Aside, note: &Note, leading: Pt) -> Option<usize> {
        let (top, baseline) = *self.tops.get(aside.anchor)?;
        let (limit, next) = *self.limits.get(aside.anchor)?;
        if next == Some(aside.anchor) {
            return None;
        }
        let own = top + (baseline - note.baseline).max(Pt::ZERO);
        let follows = self.filled > Pt::ZERO && own < self.filled + note.gap;
        let from = if follows { self.filled + note.gap } else { own };
        let end = from + note.height;
        let chain = if self.filled > top { self.chain } else { top };
        let slack = if next.is_none() { note.height } else { leading * aside.slack };
        let fits = end <= limit + slack
            && from - own <= leading * PUSHED
            && note.height <= self.page * HIGHEST
            && end - chain <= self.page * LONGEST_CHAIN;
        if !fits {
            return None;
        }
        if end > limit {
            self.moved.push((next, end - limit));
        }
        (self.filled, self.chain) = (end, chain);
        self.held.push((aside.anchor, end));
        Some(aside.anchor)
    }

    /// Holds together what asides stand beside, and moves down what must make room for them.
    fn hold(&self, galley: &mut Galley) {
        for (anchor, end) in &self.held {
            let below = galley.slips.iter_mut().zip(&self.tops).skip(anchor + 1);
            for (slip, _) in below.take_while(|(_, (top, _))| top < end) {
                slip.cost = TOGETHER;
            }
        }
        for (next, by) in &self.moved {
            match next {
                Some(index) => {
                    let captions = galley.slips.get(*index).map_or(0, |slip| slip.captions);
                    // A caption goes down with its figure, unless an aside stands beside the caption itself.
                    let caption = index.saturating_sub(captions);
                    let is_free = self.held.iter().all(|(at, _)| !(caption..*index).contains(at));
                    let moved = if is_free { caption } else { *index };
                    if let Some(slip) = galley.slips.get_mut(moved) {
                        slip.space += *by;
                    }
                }
                None => {
                    let mut last = galley.slips.iter_mut().rev().filter(|slip| !slip.at_foot);
                    if let Some(slip) = last.next() {
                        slip.height += *by;
                    }
                }
            }
        }
    }
}

/// Puts slips above others, by these others' indices, which rise. What leads to the slip beneath takes its space and its
/// cost over from it.
fn insert(galley: &mut Galley, folded: Vec<(usize, bool, Vec<Slip>)>) {
    let mut folded = folded.into_iter().peekable();
    if folded.peek().is_none() {
        return;
    }
    let old = std::mem::take(&mut galley.slips);
    let count = old.len();
    for (index, mut slip) in old.into_iter().enumerate() {
        while let Some((_, leads, mut slips)) = folded.next_if(|(fold, ..)| *fold <= index) {
            if let Some(first) = slips.first_mut().filter(|_| leads) {
                (first.space, first.cost) = (slip.space, slip.cost);
                first.begins_page = std::mem::take(&mut slip.begins_page);
                (slip.space, slip.cost) = (slip.space * 0.3, TOGETHER);
            }
            galley.slips.extend(slips);
        }
        galley.slips.push(slip);
    }
    galley.slips.extend(folded.filter(|(fold, ..)| *fold >= count).flat_map(|(.., slips)| slips));
}
