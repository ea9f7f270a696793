//! The key of a neck: what its square, filled and open marks mean, where they mean different things.

use super::{Diagram, Subject};
use crate::blocks::figure::Desk;
use crate::blocks::neck_board::sign;
use crate::ink::{Drawing, Face, Point, Pt, Style, Text};
use crate::theory::{Chord, Printed};
use crate::words::paper::necks as words;

/// So much more than a word space stands before a chord's name, in sizes of type, whose heavy capital closes it; by eye.
const BEFORE_NAME: f32 = 0.15;

/// What a diagram's marks mean.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Key {
    /// Of a root's square: whether it is filled.
    root: Option<bool>,
    /// The chord whose tones are filled.
    filled: Option<Chord>,
    /// What the open marks are.
    open: Option<&'static str>,
}

/// From a sign to its words, from entry to entry and from line to line, in sizes of the type; chosen by eye.
const BEFORE_WORDS: f32 = 0.45;
const BETWEEN: f32 = 1.5;
const LEADING: f32 = 1.4;
/// The key's type is so much larger than labels in their upright face: italics look smaller.
const SIZE: f32 = 1.06;

impl Key {
    /// The key of a diagram; empty where all its marks are of one kind.
    pub(super) fn of(diagram: &Diagram) -> Key {
        let dots = || diagram.dots.iter();
        let marking = diagram.marking.as_ref();
        let filled = marking.filter(|_| dots().any(|dot| dot.marked && !dot.root));
        let open = dots().any(|dot| !(dot.root || marking.is_some() && dot.marked));
        let root = dots().find(|dot| dot.root).map(|dot| marking.is_none() || dot.marked);
        if [root.is_some(), filled.is_some(), open].iter().filter(|kind| **kind).count() < 2 {
            return Key::default();
        }
        let others = match diagram.subject {
            Subject::Chord(_) => words::OTHER_TONES,
            _ => words::OTHER_NOTES,
        };
        Key { root, filled: filled.cloned(), open: open.then_some(others) }
    }

    /// Draws it on as many lines as it needs; nothing where there is nothing to say.
    pub(super) fn draw(&self, desk: &Desk<'_>) -> Option<Drawing> {
        let style = Style::new(Face::SerifItalic, desk.look.small_size * SIZE);
        let size = style.size;
        let plain = |words: &str| desk.said(words, style);
        let mut drawing = Drawing::new(Pt::ZERO, Pt::ZERO);
        let mut x = Pt::ZERO;
        for (root, filled, text) in self.entries(&plain, desk, size) {
            let (_, wide) = sign(Point::default(), desk.look, root, filled);
            let width = wide + size * BEFORE_WORDS + text.width;
            if x == Pt::ZERO || x + width > desk.width {
                (x, drawing.height) = (Pt::ZERO, drawing.height + size * LEADING);
            }
            let line = drawing.height - size * (LEADING - 1.0);
            let centre = Point::new(x + wide / 2.0, line - size * 0.27);
            drawing.path(sign(centre, desk.look, root, filled).0);
            drawing.text(Point::new(x + wide + size * BEFORE_WORDS, line), text);
            drawing.width = drawing.width.max(x + width);
            x += width + size * BETWEEN;
        }
        (x > Pt::ZERO).then_some(drawing)
    }

    /// Signs, as a mark is root and filled or not, with their words.
    fn entries(
        &self,
        plain: &dyn Fn(&str) -> Text,
        desk: &Desk<'_>,
        size: Pt,
    ) -> Vec<(bool, bool, Text)> {
        let root = self.root.map(|filled| (true, filled, plain(words::ROOT)));
        let tones_of = |chord: &Printed| {
            let name = desk.symbol(chord, Style::new(Face::SerifSemibold, size));
            plain(words::TONES_OF).then(Text::gap(size * BEFORE_NAME)).then(name)
        };
        let filled = self.filled.as_ref();
        let filled = filled.map(|chord| (false, true, tones_of(&chord.printed())));
        let open = self.open.map(|others| (false, false, plain(others)));
        [root, filled, open].into_iter().flatten().collect()
    }
}
