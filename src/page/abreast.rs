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

/// A part of a song that may stand beside another.
struct Part<'l> {
    block: &'l Block,
    fence: &'l Fence<'l>,
}

impl<'l> Flow<'l> {
    /// Sets those parts of a song side by side with which some nodes begin; how many of the nodes that were, none
    /// where they stand better one under the other.
    pub(super) fn abreast(&mut self, nodes: &[Node], place: Room) -> usize {
        let whole = place.whole();
        let gutter = self.template().figure.sung_size * GUTTER;
        let width = (whole.width - gutter) / 2.0;
        let (mut parts, mut taken) = (Vec::new(), 0);
        for (index, node) in nodes.iter().enumerate() {
            match self.read_as(node) {
                Stands::Nowhere => {}
                Stands::Here(part) if self.may_stand(&part, width, parts.is_empty()) => {
                    parts.push(part);
                    taken = index + 1;
                }
                _ => break,
            }
        }
        if parts.len() < 2 {
            return 0;
        }
        self.set_chords_above(&parts, whole);
        let left = Room { width, spare: Pt::ZERO, ..whole };
        let right = Room { left: whole.left + width + gutter, ..left };
        for (number, pair) in parts.chunks(2).enumerate() {
            let from = self.galley.next();
            let mut columns = Vec::new();
            for (part, (side, room)) in pair.iter().zip([left, right].into_iter().enumerate()) {
                let figure = self.drawn(part, width).map(|mut figure| {
                    if number + side == 0 {
                        figure.strips.drain(..figure.head);
                        figure.joints.drain(..figure.head);
                    }
                    figure
                });
                self.block(part.block, figure, room);
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
        Desk { fonts: self.job.fonts, look: &self.template().figure, width }
    }

    fn drawn(&self, part: &Part<'_>, width: Pt) -> Option<Figure> {
        part.block.printed_figure(&self.desk(width), &part.fence.setting, self.job.draft)
    }

    /// Whether no line of a part is broken in a width, all of it goes on a page, and nothing is said beside it that
    /// would have to be said of one of two.
    fn may_stand(&self, part: &Part<'_>, width: Pt, is_first: bool) -> bool {
        let Some(song) = part.block.as_a::<Song>() else { return false };
        let has_room = song.longest_line(&self.desk(width)) <= width;
        let is_marked =
            self.job.draft && !(part.block.faults.is_empty() && part.block.guesses.is_empty());
        let is_new = !part.block.announced.is_empty() && !is_first;
        let highest = self.job.column().1 - self.template().spaces.figure * 4.0;
        has_room
            && !is_marked
            && !is_new
            && self.drawn(part, width).is_some_and(|figure| {
                let is_silent = figure.notes.is_empty() && figure.keys.is_empty();
                is_silent && figure.in_rows().height <= highest
            })
    }

    /// Sets what heads a song, the boxes of its chords, over both columns.
    fn set_chords_above(&mut self, parts: &[Part<'l>], whole: Room) {
        let Some(first) = parts.first() else { return };
        self.announced.extend(first.block.announced.iter().cloned());
        let Some(figure) = self.drawn(first, whole.width).filter(|figure| figure.head > 0) else {
            return;
        };
        let mut head = Figure { words: capital(paper::song::CHORDS), ..figure };
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
        self.items.extend(other.items.into_iter().map(|item| moved(item, offset)));
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

fn moved(item: Item, by: Point) -> Item {
    match item {
        Item::Group(group) => Item::Group(Group { offset: group.offset + by, ..group }),
        Item::Path(_) | Item::Text(..) | Item::Picture(..) => {
            Item::Group(Group { offset: by, label: Label::None, items: vec![item] })
        }
    }
}
