//! The drawing: lines, curves, words and pictures in groups that carry their role and their words.

use super::document::PartId;
use super::text::Text;
use super::units::{Point, Pt, pt};
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
    /// Its dots in sRGB, three bytes each, line by line from the top, laid on white.
    pub dots: Arc<[u8]>,
    /// The file that it came from, if that shows the same.
    pub jpeg: Option<Jpeg>,
}

/// A JPEG file that may be embedded as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Jpeg {
    /// Its dots a line.
    pub columns: u32,
    /// Its lines of dots.
    pub rows: u32,
    /// Whether it has shades only, no colours.
    pub grey: bool,
    /// The file.
    pub bytes: Arc<[u8]>,
}

impl Stroke {
    /// A plain black line of a width.
    pub const fn black(width: Pt) -> Stroke {
        Stroke { width, shade: 0.0, round: false, dash: None }
    }
}

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
        // The usual approximation of a quarter circle by a cubic: 4/3·(√2 − 1).
        let k = radius * 0.552_284_8;
        let (r, z) = (radius, pt(0.0));
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
}
