//! The drawing: lines, curves, words and pictures in groups that carry their role and their words.

use super::document::PartId;
use super::text::Text;
use super::units::{Point, Pt};
use std::sync::Arc;

/// A drawing of a size; its items lie between (0, 0), top left, and (width, height).
#[derive(Debug, Clone, Default)]
pub struct Drawing {
    /// Its width.
    pub width: Pt,
    /// Its height.
    pub height: Pt,
    /// What is drawn, the first lowest.
    pub items: Vec<Item>,
}

/// One thing that is drawn.
#[derive(Debug, Clone)]
pub enum Item {
    /// A line, curve or area.
    Path(Path),
    /// A line of words whose baseline begins at the point.
    Text(Point, Text),
    /// A picture whose top left corner is at the point.
    Picture(Point, Picture),
    /// Items that belong together, moved by an offset.
    Group(Group),
}

/// Items that belong together.
#[derive(Debug, Clone, Default)]
pub struct Group {
    /// How far the items are moved.
    pub offset: Point,
    /// What the group is to a reader who can't see it.
    pub label: Label,
    /// The items.
    pub items: Vec<Item>,
}

/// What a group is to a reader who can't see it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Label {
    /// Nothing of its own: it belongs to the group around it.
    #[default]
    None,
    /// A piece of a part of the document: a paragraph's line, a figure. Content under a part and
    /// its nested parts is read in order.
    Part(PartId),
    /// A piece of a figure with a title and a description of its own (a chord box in a row); the
    /// SVG gives them as `<title>` and `<desc>`.
    Words {
        /// Its title.
        title: String,
        /// Its description.
        words: String,
    },
    /// Decoration, which is not read out: rules, page numbers.
    Artifact,
    /// What a page on the screen may hide, by a name; on paper it is nothing of its own.
    Layer(&'static str),
    /// What a page on the screen may mirror from side to side about the group's own origin, its words kept readable; on
    /// paper it is nothing of its own.
    Mirrorable,
}

/// Makes a group of the items of a list from one on, if there are any.
pub fn group_from(items: &mut Vec<Item>, from: usize, label: Label) {
    let inner = items.split_off(from.min(items.len()));
    if !inner.is_empty() {
        items.push(Item::Group(Group { label, items: inner, ..Group::default() }));
    }
}

/// A line, curve or area in black, a shade of grey, or the paper's white.
#[derive(Debug, Clone, PartialEq)]
pub struct Path {
    /// Its course.
    pub segments: Vec<Segment>,
    /// The shade that fills it, 0 black to 1 white; `None` leaves it empty.
    pub fill: Option<f32>,
    /// The line along it.
    pub stroke: Option<Stroke>,
}

/// A line's looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Its width.
    pub width: Pt,
    /// Its shade, 0 black to 1 white.
    pub shade: f32,
    /// Whether its ends and corners are round; they are square-cut otherwise.
    pub round: bool,
    /// Dash and gap; `None` is a whole line.
    pub dash: Option<(Pt, Pt)>,
}

/// A step of a path's course.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Segment {
    /// Begins a new course.
    Move(Point),
    /// A straight line to a point.
    Line(Point),
    /// A cubic curve by two control points to a point.
    Curve(Point, Point, Point),
    /// Back to where the course began.
    Close,
}

/// A picture in prose.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// Its width on paper.
    pub width: Pt,
    /// Its height on paper.
    pub height: Pt,
    /// Its dots a line.
    pub columns: u32,
    /// Its lines of dots.
    pub rows: u32,
    /// Its dots.
    pub data: PictureData,
}

/// The dots of a picture.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum PictureData {
    /// In sRGB, three bytes each, line by line from the top, laid on white.
    Dots(Arc<[u8]>),
    /// Packed as JPEG, in sRGB or shades of it, with nothing in it that doesn't show.
    Jpeg {
        /// The file.
        bytes: Arc<[u8]>,
        /// Whether it has shades only, no colours.
        grey: bool,
    },
}

impl PictureData {
    /// The bytes, whatever they are.
    pub fn bytes(&self) -> &Arc<[u8]> {
        match self {
            PictureData::Dots(bytes) | PictureData::Jpeg { bytes, .. } => bytes,
        }
    }
}

impl Stroke {
    /// A plain black line of a width.
    pub const fn black(width: Pt) -> Stroke {
        Stroke { width, shade: 0.0, round: false, dash: None }
    }
}

/// How far the handles of a cubic stand off that is taken for a quarter of a circle, in parts of its
/// radius: 4/3·(√2 − 1), the usual approximation.
const QUARTER: f32 = 0.552_284_8;

impl Path {
    /// A straight black line.
    pub fn line(from: Point, to: Point, width: Pt) -> Path {
        Path {
            segments: vec![Segment::Move(from), Segment::Line(to)],
            fill: None,
            stroke: Some(Stroke::black(width)),
        }
    }

    /// A filled rectangle.
    pub fn rectangle(corner: Point, width: Pt, height: Pt, shade: f32) -> Path {
        let at = |x: Pt, y: Pt| corner + Point::new(x, y);
        Path {
            segments: vec![
                Segment::Move(at(Pt::ZERO, Pt::ZERO)),
                Segment::Line(at(width, Pt::ZERO)),
                Segment::Line(at(width, height)),
                Segment::Line(at(Pt::ZERO, height)),
                Segment::Close,
            ],
            fill: Some(shade),
            stroke: None,
        }
    }

    /// A circle, filled with a shade or empty, its line centred on the radius.
    pub fn circle(centre: Point, radius: Pt, fill: Option<f32>, stroke: Option<Stroke>) -> Path {
        let (r, k, z) = (radius, radius * QUARTER, Pt::ZERO);
        let at = |x: Pt, y: Pt| centre + Point::new(x, y);
        Path {
            segments: vec![
                Segment::Move(at(r, z)),
                Segment::Curve(at(r, k), at(k, r), at(z, r)),
                Segment::Curve(at(-k, r), at(-r, k), at(-r, z)),
                Segment::Curve(at(-r, -k), at(-k, -r), at(z, -r)),
                Segment::Curve(at(k, -r), at(r, -k), at(r, z)),
                Segment::Close,
            ],
            fill,
            stroke,
        }
    }

    /// A level bar with round ends about two points.
    pub fn pill(left: Point, right: Point, radius: Pt, fill: f32, stroke: Stroke) -> Path {
        let (r, k, z) = (radius, radius * QUARTER, Pt::ZERO);
        let left = |x: Pt, y: Pt| left + Point::new(x, y);
        let right = |x: Pt, y: Pt| right + Point::new(x, y);
        Path {
            segments: vec![
                Segment::Move(left(z, -r)),
                Segment::Line(right(z, -r)),
                Segment::Curve(right(k, -r), right(r, -k), right(r, z)),
                Segment::Curve(right(r, k), right(k, r), right(z, r)),
                Segment::Line(left(z, r)),
                Segment::Curve(left(-k, r), left(-r, k), left(-r, z)),
                Segment::Curve(left(-r, -k), left(-k, -r), left(z, -r)),
                Segment::Close,
            ],
            fill: Some(fill),
            stroke: Some(stroke),
        }
    }
}

impl Item {
    /// The item without its labels, for what is read out elsewhere.
    #[must_use]
    pub fn unlabelled(self) -> Item {
        match self {
            Item::Group(group) => {
                let items = group.items.into_iter().map(Item::unlabelled).collect();
                Item::Group(Group { label: Label::None, items, ..group })
            }
            other => other,
        }
    }
}

impl Drawing {
    /// An empty drawing of a size.
    pub fn new(width: Pt, height: Pt) -> Drawing {
        Drawing { width, height, items: Vec::new() }
    }

    /// Draws a path on top.
    pub fn path(&mut self, path: Path) {
        self.items.push(Item::Path(path));
    }

    /// Writes a line of words whose baseline begins at a point.
    pub fn text(&mut self, at: Point, text: Text) {
        self.items.push(Item::Text(at, text));
    }

    /// Writes a line of words centred about `x`, its baseline at `y`.
    pub fn text_centred(&mut self, x: Pt, y: Pt, text: Text) {
        let left = x - text.width / 2.0;
        self.text(Point::new(left, y), text);
    }

    /// Puts another drawing in at a point, as a group with a label.
    pub fn place(&mut self, at: Point, drawing: Drawing, label: Label) {
        self.items.push(Item::Group(Group { offset: at, label, items: drawing.items }));
    }

    /// Puts another drawing in beneath all that is drawn, some air between them.
    pub fn set_below(&mut self, drawing: Drawing, air: Pt) {
        let height = self.height + air + drawing.height;
        self.width = self.width.max(drawing.width);
        self.place(Point::new(Pt::ZERO, self.height + air), drawing, Label::None);
        self.height = height;
    }
}

/// The rectangle that items lie in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// Its top left corner.
    pub from: Point,
    /// Its bottom right corner.
    pub to: Point,
}

impl Extent {
    /// The smallest rectangle that holds all items, the width of lines left aside and letters taken
    /// to reach from the size of type above their baseline to three tenths of it below; `None` where
    /// nothing is drawn.
    pub fn of(items: &[Item]) -> Option<Extent> {
        items.iter().filter_map(Extent::of_item).reduce(Extent::and)
    }

    fn of_item(item: &Item) -> Option<Extent> {
        match item {
            Item::Path(path) => {
                path.segments.iter().filter_map(Extent::of_segment).reduce(Extent::and)
            }
            Item::Text(at, text) => {
                let size = text.runs.iter().fold(Pt::ZERO, |size, run| size.max(run.style.size));
                let (up, down) = (Point::new(Pt::ZERO, -size), Point::new(text.width, size * 0.3));
                Some(Extent { from: *at + up, to: *at + down })
            }
            Item::Picture(at, picture) => {
                Some(Extent { from: *at, to: *at + Point::new(picture.width, picture.height) })
            }
            Item::Group(group) => {
                let inner = Extent::of(&group.items)?;
                Some(Extent { from: inner.from + group.offset, to: inner.to + group.offset })
            }
        }
    }

    fn of_segment(segment: &Segment) -> Option<Extent> {
        let point = |at: Point| Extent { from: at, to: at };
        match *segment {
            Segment::Move(to) | Segment::Line(to) => Some(point(to)),
            Segment::Curve(a, b, to) => Some(point(a).and(point(b)).and(point(to))),
            Segment::Close => None,
        }
    }

    /// The smallest rectangle that holds both.
    #[must_use]
    pub fn and(self, other: Extent) -> Extent {
        Extent {
            from: Point::new(self.from.x.min(other.from.x), self.from.y.min(other.from.y)),
            to: Point::new(self.to.x.max(other.to.x), self.to.y.max(other.to.y)),
        }
    }
}

impl Drawing {
    /// The drawing so many times as large, its lines and letters too.
    #[must_use]
    pub fn scaled(&self, times: f32) -> Drawing {
        Drawing {
            width: self.width * times,
            height: self.height * times,
            items: self.items.iter().map(|item| item.scaled(times)).collect(),
        }
    }

    /// The drawing with no line thinner than a width.
    #[must_use]
    pub fn sturdy(&self, least: Pt) -> Drawing {
        let items = self.items.iter().map(|item| item.sturdy(least)).collect();
        Drawing { items, ..*self }
    }

    /// The drawing with light for dark, pictures left as they are.
    #[must_use]
    pub fn inverted(&self) -> Drawing {
        let items = self.items.iter().map(Item::inverted).collect();
        Drawing { width: self.width, height: self.height, items }
    }
}

impl Item {
    fn scaled(&self, times: f32) -> Item {
        let moved = |at: Point| Point::new(at.x * times, at.y * times);
        match self {
            Item::Path(path) => Item::Path(path.scaled(times)),
            Item::Text(at, text) => Item::Text(moved(*at), text.scaled(times)),
            Item::Picture(at, picture) => {
                let (width, height) = (picture.width * times, picture.height * times);
                Item::Picture(moved(*at), Picture { width, height, ..picture.clone() })
            }
            Item::Group(group) => Item::Group(Group {
                offset: moved(group.offset),
                label: group.label.clone(),
                items: group.items.iter().map(|item| item.scaled(times)).collect(),
            }),
        }
    }

    fn sturdy(&self, least: Pt) -> Item {
        match self {
            Item::Path(path) => {
                let sturdy = |line: Stroke| Stroke { width: line.width.max(least), ..line };
                Item::Path(Path { stroke: path.stroke.map(sturdy), ..path.clone() })
            }
            Item::Group(group) => Item::Group(Group {
                items: group.items.iter().map(|item| item.sturdy(least)).collect(),
                ..group.clone()
            }),
            Item::Text(..) | Item::Picture(..) => self.clone(),
        }
    }

    fn inverted(&self) -> Item {
        match self {
            Item::Path(path) => Item::Path(Path {
                fill: path.fill.map(|shade| 1.0 - shade),
                stroke: path.stroke.map(|line| Stroke { shade: 1.0 - line.shade, ..line }),
                segments: path.segments.clone(),
            }),
            Item::Text(at, text) => Item::Text(*at, text.inverted()),
            Item::Picture(at, picture) => Item::Picture(*at, picture.clone()),
            Item::Group(group) => Item::Group(Group {
                items: group.items.iter().map(Item::inverted).collect(),
                ..group.clone()
            }),
        }
    }
}

impl Path {
    fn scaled(&self, times: f32) -> Path {
        let moved = |at: Point| Point::new(at.x * times, at.y * times);
        let segment = |segment: &Segment| match *segment {
            Segment::Move(to) => Segment::Move(moved(to)),
            Segment::Line(to) => Segment::Line(moved(to)),
            Segment::Curve(a, b, to) => Segment::Curve(moved(a), moved(b), moved(to)),
            Segment::Close => Segment::Close,
        };
        let stroke = |line: Stroke| Stroke {
            width: line.width * times,
            dash: line.dash.map(|(dash, gap)| (dash * times, gap * times)),
            ..line
        };
        Path {
            segments: self.segments.iter().map(segment).collect(),
            fill: self.fill,
            stroke: self.stroke.map(stroke),
        }
    }
}
