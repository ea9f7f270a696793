//! Lists and quotations: blocks moved in, with labels or a bar beside them.

use super::flow::{Flow, Room};
use super::galley::{Bar, Slip};
use super::inline::{Stretch, baseline, compose};
use super::template::Body;
use crate::ink::measure::LineWidth;
use crate::ink::{Group, Item, Label, PartId, Path, Point, Pt, Role, Segment, Stroke, Style, Text};
use crate::lesson::prose::Node;
use crate::words::paper::task;
use std::borrow::Cow;

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
        let labels: Vec<Drawn> = items
            .iter()
            .enumerate()
            .map(|(at, item)| match item.first() {
                Some(Node::Task(done)) => self.task_box(*done),
                _ => Drawn::from(self.label(start, at, place)),
            })
            .collect();
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
            let label_part =
                self.parts.add_with_words(Role::ListLabel, Some(item_part), &label.words);
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
                true if label.words.is_empty() => {
                    let label = self.label_from_right(start, index, place);
                    (inner.right() + room_behind, Drawn::from(label))
                }
                true => (inner.right() + room_behind, label),
                false => (inner.left - room_behind - label.width, label),
            };
            self.attach_label(from, x, label, label_part);
        }
    }

    /// Whether what stands first in blocks is read from the right.
    fn is_from_right(&self, nodes: &[Node]) -> bool {
        match nodes.first() {
            Some(Node::Task(_)) => self.is_from_right(nodes.get(1..).unwrap_or_default()),
            Some(Node::Paragraph(words) | Node::Heading { words, .. }) => {
                let composed = compose(
                    words,
                    body_style(&self.template().body),
                    self.least_raised(),
                    &self.lesson.phrases,
                );
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

    /// The box before a task, as high as a capital and standing on the line; a tick runs out over its corner, so that
    /// it is told from an empty one on a poor copy.
    fn task_box(&self, done: bool) -> Drawn {
        let body = &self.template().body;
        let side = self.job.fonts.measures(body.face, body.size).cap_height * BOX;
        let line = (body.size * BOX_LINE).max(LineWidth::THINNEST);
        let corner = Point::new(line / 2.0, line / 2.0 - side);
        let inner = side - line;
        let square = Path::rectangle(corner, inner, inner, 1.0);
        let mut items = vec![Item::Path(Path { stroke: Some(Stroke::black(line)), ..square })];
        if done {
            let at = |x: f32, y: f32| Point::new(side * x, side * y);
            let [start, foot, end] = TICK.map(|(x, y)| at(x, y));
            let stroke = Stroke { round: true, ..Stroke::black(line * 1.9) };
            let segments = vec![Segment::Move(start), Segment::Line(foot), Segment::Line(end)];
            items.push(Item::Path(Path { segments, fill: None, stroke: Some(stroke) }));
        }
        let words = if done { task::DONE } else { task::TO_DO };
        let words = self.lang().said(words);
        Drawn { items, width: side, words }
    }

    fn attach_label(&mut self, slip: usize, x: Pt, label: Drawn, part: PartId) {
        let body = &self.template().body;
        let usual = baseline(body.size, body.leading);
        let Some(slip) = self.galley.slips.get_mut(slip) else { return };
        let y = if slip.baseline > Pt::ZERO { slip.baseline } else { usual };
        let (offset, items) = (Point::new(x, y), label.items);
        let group = Group { offset, label: Label::Part(part), items };
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

/// The side of a task's box, its outline included, as a share of a capital's height (chosen by eye: a little over it).
const BOX: f32 = 1.12;
/// The width of its outline, as a share of the size of type (chosen by eye: as heavy as a stem).
const BOX_LINE: f32 = 0.065;
/// Where a tick begins, turns and ends, in shares of the box's side from the baseline at its left.
const TICK: [(f32, f32); 3] = [(0.22, -0.52), (0.44, -0.22), (1.0, -1.06)];

/// What stands before an item, as it is drawn from the left end of its baseline.
struct Drawn {
    items: Vec<Item>,
    width: Pt,
    /// What it says to whoever can't see it, where it is no text.
    words: Cow<'static, str>,
}

impl From<Text> for Drawn {
    fn from(text: Text) -> Drawn {
        let width = text.width;
        Drawn { items: vec![Item::Text(Point::default(), text)], width, words: Cow::default() }
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

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use crate::findings::{Findings, Source};
    use crate::ink::{Fonts, Item, Label, Path, Role};
    use crate::lesson::world::MemoryWorld;
    use crate::{blocks, checks, lesson, page};

    /// The boxes of a lesson's tasks: what each says, and how many lines it is drawn with.
    fn boxes(body: &str) -> Vec<(String, usize)> {
        let text = format!("---\ntitle: One\n---\n\n{body}");
        let (source, mut found) = (Source::new("one.md", text.as_bytes()), Findings::default());
        let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut found);
        let lesson = checks::elaborate(lesson, &mut found);
        let (template, fonts) = (page::Template::usual().unwrap(), Fonts::new());
        let paper = template.paper;
        let job = page::Job { template: &template, paper, fonts: &fonts, draft: false };
        let document = page::set(&lesson, &job);
        let mut drawn = vec![0; document.parts.len()];
        let mut open: Vec<(&Item, Option<usize>)> = Vec::new();
        let pages = document.pages.iter().flat_map(|page| &page.drawing.items);
        open.extend(pages.map(|item| (item, None)));
        while let Some((item, part)) = open.pop() {
            match (item, part) {
                (Item::Group(group), _) => {
                    let own = match &group.label {
                        Label::Part(part) => Some(part.0),
                        _ => part,
                    };
                    open.extend(group.items.iter().map(|item| (item, own)));
                }
                (Item::Path(Path { .. }), Some(part)) => drawn[part] += 1,
                _ => {}
            }
        }
        let labels =
            document.parts.iter().zip(drawn).filter(|(part, _)| part.role == Role::ListLabel);
        labels.map(|(part, lines)| (part.words.clone(), lines)).collect()
    }

    #[test]
    fn a_task_has_a_box_that_says_whether_it_is_done() {
        let told = |words: &str, lines| (words.to_owned(), lines);
        for body in
            ["- [ ] tune\n- [x] count\n- play\n", "1. [ ] tune\n\n2. [X] count\n\n3. play\n"]
        {
            assert_eq!(boxes(body), [told("to do", 1), told("done", 2), told("", 0)], "{body}");
        }
        // Nested, empty, and in the midst of words, where it is no box.
        assert_eq!(boxes("- [ ] a\n  - [x] b\n"), [told("to do", 1), told("done", 2)]);
        assert_eq!(boxes("- tune [ ] and [x]\n"), [told("", 0)]);
    }
}
