//! Lists and quotations: blocks moved in, with labels or a bar beside them.

use super::flow::{Flow, Room};
use super::galley::{Bar, Slip};
use super::inline::{Stretch, baseline, compose};
use super::template::Body;
use crate::ink::{Group, Item, Label, PartId, Point, Pt, Role, Style, Text};
use crate::lesson::prose::Node;

/// What it costs to leave one item of a list alone on a page: as much as a hole of a quarter of it.
const LONELY_ITEM: f32 = 5.0;

/// Is read as a letter from the right is, and doesn't show.
const RIGHT_TO_LEFT_MARK: char = '\u{200F}';

impl Flow<'_> {
    /// Sets a list. An item that is read from the right has its label on the right.
    pub(super) fn list(
        &mut self,
        start: Option<u64>,
        tight: bool,
        items: &[Vec<Node>],
        place: Room,
    ) {
        let list = self.parts.add(Role::List, place.part);
        let gap = if tight { self.template().spaces.list_item } else { place.gap };
        let labels: Vec<Text> = (0..items.len()).map(|at| self.label(start, at, place)).collect();
        let widest = labels.iter().fold(Pt::ZERO, |widest, label| widest.max(label.width));
        let room_behind = self.template().body.size * 0.5;
        let indent = self.template().spaces.indent.max(widest + room_behind);
        self.galley.space(place.gap);
        let last = items.len().saturating_sub(1);
        for (index, (item, label)) in items.iter().zip(labels).enumerate() {
            if last > 1 && (index == 1 || index == last) {
                self.galley.hold(LONELY_ITEM);
            }
            let item_part = self.parts.add(Role::ListItem, Some(list));
            let label_part = self.parts.add(Role::ListLabel, Some(item_part));
            let body_part = self.parts.add(Role::ListBody, Some(item_part));
            let from_right = self.is_from_right(item);
            let inner = match from_right {
                true => place.moved_in_from_right(indent, body_part),
                false => place.moved_in(indent, body_part),
            };
            let inner = Room { gap, lists: place.lists + 1, ..inner };
            let from = self.galley.next();
            self.galley.space(gap);
            self.nodes(item, inner);
            if self.galley.next() == from {
                let height = self.template().body.leading;
                self.galley.push(Slip { height, ..Slip::default() });
            }
            let (x, label) = match from_right {
                true => (inner.right() + room_behind, self.label_from_right(start, index, place)),
                false => (inner.left - room_behind - label.width, label),
            };
            self.attach_label(from, x, label, label_part);
        }
    }

    /// Whether what stands first in blocks is read from the right.
    fn is_from_right(&self, nodes: &[Node]) -> bool {
        match nodes.first() {
            Some(Node::Paragraph(words) | Node::Heading { words, .. }) => {
                let composed =
                    compose(words, body_style(&self.template().body), &self.lesson.phrases);
                match composed.stretches.first() {
                    Some(Stretch::Words(passage)) => passage.is_from_right(),
                    _ => false,
                }
            }
            Some(Node::List { items, .. }) => {
                items.first().is_some_and(|item| self.is_from_right(item))
            }
            Some(Node::Quote(inner)) => self.is_from_right(inner),
            _ => false,
        }
    }

    /// What stands before an item: its number, or a bullet; the space behind it isn't counted.
    fn label(&self, start: Option<u64>, at: usize, place: Room) -> Text {
        let body = &self.template().body;
        let words = label_words(start, at, place);
        let mut text = Text::set(self.job.fonts, &words, body_style(body));
        text.width -= self.job.fonts.measures(body.face, body.size).space;
        text
    }

    /// The label of an item that is read from the right; it begins with the space behind it, which
    /// lies in the room that the words leave.
    fn label_from_right(&self, start: Option<u64>, at: usize, place: Room) -> Text {
        let body = &self.template().body;
        let words = format!("{RIGHT_TO_LEFT_MARK}{}", label_words(start, at, place));
        let mut text = Text::set(self.job.fonts, &words, body_style(body));
        let space = self.job.fonts.measures(body.face, body.size).space;
        text.runs.iter_mut().for_each(|run| run.x -= space);
        text
    }

    fn attach_label(&mut self, slip: usize, x: Pt, label: Text, part: PartId) {
        let body = &self.template().body;
        let usual = baseline(body.size, body.leading);
        let Some(slip) = self.galley.slips.get_mut(slip) else { return };
        let y = if slip.baseline > Pt::ZERO { slip.baseline } else { usual };
        let items = vec![Item::Text(Point::default(), label)];
        let group = Group { offset: Point::new(x, y), label: Label::Part(part), items };
        slip.items.insert(0, Item::Group(group));
    }

    /// Sets a quotation beside a bar, on the side from which it is read.
    pub(super) fn quote(&mut self, inner: &[Node], place: Room) {
        let part = self.parts.add(Role::Quote, place.part);
        self.galley.space(place.gap * 1.5);
        let from = self.galley.next();
        let (indent, width) = (self.template().spaces.indent, self.rules().1 * 1.5);
        let (moved, x) = match self.is_from_right(inner) {
            true => (place.moved_in_from_right(indent, part), place.right() - width),
            false => (place.moved_in(indent, part), place.left),
        };
        self.nodes(inner, moved);
        // Where there is no room left to move in, there is none for a bar.
        if moved.width < place.width {
            self.galley.bar(from, Bar { x, width, shade: 0.6, joined: false });
        }
        self.galley.space(place.gap * 1.5);
    }
}

/// What stands before an item of a list, and a space.
fn label_words(start: Option<u64>, at: usize, place: Room) -> String {
    match start {
        Some(first) => format!("{}. ", first.saturating_add(at as u64)),
        None if place.lists.is_multiple_of(2) => "• ".to_owned(),
        None => "– ".to_owned(),
    }
}

fn body_style(body: &Body) -> Style {
    Style::new(body.face, body.size)
}
