//! What a system is drawn on: items about the uppermost stave, whose highest line is at 0, and how far
//! they reach above and beneath it.

use super::skyline::Skyline;
use crate::ink::{Drawing, Group, Item, Label, Path, Point, Pt, Text, group_from};

/// What a system is drawn on.
#[derive(Debug, Default)]
pub(in super::super) struct Canvas {
    items: Vec<Item>,
    top: Pt,
    bottom: Pt,
    /// The lowest line of the lowest stave.
    foot: Pt,
    /// What stands above the uppermost stave.
    above: Skyline,
}

impl Canvas {
    /// A canvas for a stave so high.
    pub(super) fn with_lines(height: Pt) -> Canvas {
        Canvas { foot: height, ..Canvas::default() }
    }

    /// A stave and those beneath it: another is set beneath them, so that nothing touches.
    pub(super) fn over(mut self, beneath: Canvas, air: Pt) -> Canvas {
        let top = self.bottom + air - beneath.top;
        let offset = Point::new(Pt::ZERO, top);
        let group = Group { offset, items: beneath.items, ..Group::default() };
        self.items.push(Item::Group(group));
        self.bottom = top + beneath.bottom;
        self.foot = top + beneath.foot;
        self
    }

    /// The lowest line of the lowest stave.
    pub fn foot(&self) -> Pt {
        self.foot
    }

    pub fn path(&mut self, path: Path) {
        self.items.push(Item::Path(path));
    }

    /// Things that are drawn already.
    pub fn items(&mut self, items: Vec<Item>) {
        self.items.extend(items);
    }

    /// Draws something in a layer.
    pub fn in_layer(&mut self, name: &'static str, draw: impl FnOnce(&mut Canvas)) {
        let from = self.items.len();
        draw(self);
        group_from(&mut self.items, from, Label::Layer(name));
    }

    /// A line between two points.
    pub fn line(&mut self, from: (Pt, Pt), to: (Pt, Pt), width: Pt) {
        self.path(Path::line(Point::new(from.0, from.1), Point::new(to.0, to.1), width));
    }

    /// Words whose left end and baseline are given.
    pub fn text(&mut self, x: Pt, baseline: Pt, text: Text) {
        self.items.push(Item::Text(Point::new(x, baseline), text));
    }

    /// Words centred about an axis.
    pub fn text_centred(&mut self, x: Pt, baseline: Pt, text: Text) {
        self.text(x - text.width / 2.0, baseline, text);
    }

    /// Makes sure that the drawing reaches up to a height.
    pub fn reach_up(&mut self, y: Pt) {
        self.top = self.top.min(y);
    }

    /// Makes sure that the drawing reaches down to a depth.
    pub fn reach_down(&mut self, y: Pt) {
        self.bottom = self.bottom.max(y);
    }

    /// The lowest depth reached.
    pub fn bottom(&self) -> Pt {
        self.bottom
    }

    /// Keeps the space between two ends free from the staff up to an upper edge.
    pub fn occupy(&mut self, from: Pt, to: Pt, upper: Pt) {
        self.above.raise(from, to, upper);
        self.reach_up(upper);
    }

    /// The height above which the space between two ends is free.
    pub fn free_above(&self, from: Pt, to: Pt) -> Pt {
        self.above.highest(from, to)
    }

    /// The finished drawing in one group with its words.
    pub fn finish(self, width: Pt, label: Label) -> Drawing {
        let mut drawing = Drawing::new(width, self.bottom - self.top);
        let offset = Point::new(Pt::ZERO, -self.top);
        drawing.items.push(Item::Group(Group { offset, label, items: self.items }));
        drawing
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::pt;

    #[test]
    fn a_stave_stands_beneath_another_and_touches_nothing() {
        let stave = |height: f32, up: f32, down: f32| {
            let mut canvas = Canvas::with_lines(pt(height));
            canvas.line((pt(0.0), pt(0.0)), (pt(9.0), pt(0.0)), pt(1.0));
            canvas.occupy(pt(0.0), pt(9.0), pt(-up));
            canvas.reach_down(pt(height + down));
            canvas
        };
        let both = stave(35.0, 10.0, 4.0).over(stave(28.0, 12.0, 6.0), pt(5.0));
        // 35 high and 4 beneath, 5 of air, 12 above the other's highest line.
        let offset = |item: &Item| match item {
            Item::Group(group) => Some(group.offset),
            _ => None,
        };
        let offsets: Vec<Point> = both.items.iter().filter_map(offset).collect();
        assert_eq!(offsets, [Point::new(pt(0.0), pt(56.0))]);
        assert_eq!((both.foot(), both.bottom()), (pt(84.0), pt(90.0)));
        // What comes above stands over the upper one.
        assert_eq!(both.free_above(pt(0.0), pt(9.0)), pt(-10.0));
        assert_eq!(both.finish(pt(9.0), Label::None).height, pt(100.0));
    }
}
