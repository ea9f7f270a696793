//! Parts of a song side by side, two and two, where a column has room for the lines of both: a song is seen whole.

use super::flow::{Flow, Room};
use super::galley::{Galley, Slip, TOGETHER};
use crate::blocks::Block;
use crate::blocks::figure::{Desk, Figure};
use crate::blocks::lyrics::Song;
use crate::ink::{Group, Item, Label, Point, Pt};
use crate::lesson::fence::Fence;
use crate::lesson::kind::Medium;
use crate::lesson::prose::Node;
use crate::words::{capital, paper};

/// The air between two parts, in sizes of what is sung, as it is between two columns of one part.
const GUTTER: f32 = 2.6;

/// A part of a song.
struct Part<'l> {
    block: &'l Block,
    fence: &'l Fence<'l>,
}

/// One that may stand beside another, drawn for half a column.
type Drawn<'l> = (Part<'l>, Figure);

impl<'l> Flow<'l> {
    /// Sets those parts of a song side by side with which some nodes begin; how many of the nodes that were, none
    /// where they stand better one under the other.
    pub(super) fn abreast(&mut self, nodes: &[Node], place: Room) -> usize {
        let whole = place.whole();
        let gutter = self.template().figure.sung_size * GUTTER;
        let width = (whole.width - gutter) / 2.0;
        let (mut parts, mut taken): (Vec<Drawn<'l>>, usize) = (Vec::new(), 0);
        for (index, node) in nodes.iter().enumerate() {
            let part = match self.read_as(node) {
                Stands::Nowhere => continue,
                Stands::Here(part) => part,
                Stands::Otherwise => break,
            };
            let Some(figure) = self.beside_another(&part, width, parts.is_empty()) else { break };
            parts.push((part, figure));
            taken = index + 1;
        }
        if parts.len() < 2 {
            return 0;
        }
        if let Some((first, figure)) = parts.first_mut() {
            self.set_chords_above(first, whole);
            figure.strips.drain(..figure.head);
            figure.joints.drain(..figure.head);
        }
        let left = Room { width, spare: Pt::ZERO, ..whole };
        let right = Room { left: whole.left + width + gutter, ..left };
        let mut parts = parts.into_iter().peekable();
        while parts.peek().is_some() {
            let from = self.galley.next();
            let mut columns = Vec::new();
            for (room, (part, figure)) in [left, right].into_iter().zip(&mut parts) {
                self.block(part.block, Some(figure), room);
                columns.push(self.galley.slips.split_off(from));
            }
            self.galley.beside(columns);
        }
        self.leads_in = self.galley.next();
        taken
    }

    fn read_as(&self, node: &Node) -> Stands<'l> {
        let Node::Music(index) = node else { return Stands::Otherwise };
        let lesson = self.lesson;
        let (Some(block), Some(fence)) =
            (lesson.blocks.get(*index), lesson.lesson.fences.get(*index))
        else {
            return Stands::Otherwise;
        };
        match block.as_a::<Song>() {
            _ if fence.kind.medium == Medium::Script => Stands::Nowhere,
            Some(_) if block.printed => Stands::Here(Part { block, fence }),
            _ => Stands::Otherwise,
        }
    }

    fn desk(&self, width: Pt) -> Desk<'l> {
        Desk { lang: self.lang(), fonts: self.job.fonts, look: &self.template().figure, width }
    }

    fn drawn(&self, part: &Part<'_>, width: Pt) -> Option<Figure> {
        part.block.printed_figure(&self.desk(width), &part.fence.setting, self.job.draft)
    }

    /// The figure of a part that may stand beside another: no line of it is broken in a width, all of it goes on a
    /// page, and nothing is said beside it that would have to be said of one of two.
    fn beside_another(&self, part: &Part<'_>, width: Pt, is_first: bool) -> Option<Figure> {
        let song = part.block.as_a::<Song>()?;
        let has_room = song.longest_line(&self.desk(width)) <= width;
        let is_marked = self.job.draft && part.block.is_unsound();
        let is_new = !part.block.announced.is_empty() && !is_first;
        if !has_room || is_marked || is_new {
            return None;
        }
        let figure = self.drawn(part, width)?;
        let is_silent = figure.notes.is_empty() && figure.keys.is_empty();
        let height: Pt = figure.in_rows().height;
        (is_silent && height <= self.highest_figure()).then_some(figure)
    }

    /// Sets what heads a song, the boxes of its chords, over both columns.
    fn set_chords_above(&mut self, first: &Part<'l>, whole: Room) {
        self.announced.extend(first.block.announced.iter().cloned());
        let Some(figure) = self.drawn(first, whole.width).filter(|figure| figure.head > 0) else {
            return;
        };
        let words = capital(&self.lang().said(paper::song::CHORDS));
        let mut head = Figure { words, ..figure };
        head.strips.truncate(head.head);
        head.joints.truncate(head.head);
        self.galley.figure_space(self.template().spaces.figure);
        self.figure(head, None, None, whole);
        self.galley.hold(TOGETHER);
    }
}

/// Where a node stands among parts of a song.
enum Stands<'l> {
    /// As one of them.
    Here(Part<'l>),
    /// Not on the handout.
    Nowhere,
    /// As something else.
    Otherwise,
}

impl Galley {
    /// Puts columns of slips beside each other, as one that no page's end cuts.
    fn beside(&mut self, columns: Vec<Vec<Slip>>) {
        let mut all = Slip::default();
        for (number, column) in columns.into_iter().enumerate() {
            let mut bottom = Pt::ZERO;
            for (index, slip) in column.into_iter().enumerate() {
                match (number, index) {
                    (0, 0) => {
                        (all.space, all.elastic, all.cost) = (slip.space, slip.elastic, slip.cost);
                        (all.baseline, all.begins_page) = (slip.baseline, slip.begins_page);
                    }
                    (_, 0) => {}
                    _ => bottom += slip.space,
                }
                let height = slip.height;
                all.take_in(slip, bottom);
                bottom += height;
            }
            all.height = all.height.max(bottom);
        }
        if all.begins_page {
            self.new_page();
        }
        self.push(all);
    }
}

impl Slip {
    /// Takes in what another has, so far further down.
    fn take_in(&mut self, other: Slip, down: Pt) {
        let offset = Point::new(Pt::ZERO, down);
        let label = Label::None;
        self.items.push(Item::Group(Group { offset, label, items: other.items }));
        self.links.extend(other.links.into_iter().map(|mut link| {
            link.corner = link.corner + offset;
            link
        }));
        self.anchors.extend(other.anchors.into_iter().map(|mut anchor| {
            anchor.corner = anchor.corner + offset;
            anchor
        }));
        self.reach = self.reach.max(other.reach);
    }
}
