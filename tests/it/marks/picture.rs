//! The marks of a picture: each line of words and each path with its outline, as far as this program's own SVG
//! goes (groups that are moved, glyphs that are moved and scaled, paths of lines and cubics).

use std::collections::BTreeMap;
use std::fmt;
use svg::node::Attributes;
use svg::node::element::tag::Type;
use svg::parser::Event;

type Point = (f64, f64);

/// Edges that are meant to be level are so within the rounding of the picture's numbers, each of which adds to it.
const LEVEL: f64 = 0.1;

/// How many straight pieces stand for a curve.
const PIECES: u32 = 6;

/// One mark.
pub struct Mark {
    pub shape: Shape,
    courses: Vec<Vec<Point>>,
    /// Half the width of the line along its courses.
    half: f64,
    /// Whether its courses are the outline of what is inked.
    solid: bool,
    from: Point,
    to: Point,
    /// Its place in the order of drawing, the first lowest.
    order: usize,
    /// The order of the dot, square or piece of white that it stands on; what lies below is hidden there.
    pub ground: usize,
}

/// What a mark is.
pub enum Shape {
    /// A line of words: what it says.
    Words(String),
    /// A path.
    Drawn {
        /// The shade that fills it, 0 black to 1 white.
        fill: Option<f64>,
        /// The shade of the line along it.
        line: Option<f64>,
    },
}

impl Mark {
    fn new(shape: Shape, courses: Vec<Vec<Point>>, half: f64) -> Option<Mark> {
        let all = || courses.iter().flatten();
        all().next()?;
        let least = |part: fn(&Point) -> f64| all().map(part).fold(f64::INFINITY, f64::min) - half;
        let most =
            |part: fn(&Point) -> f64| all().map(part).fold(f64::NEG_INFINITY, f64::max) + half;
        let (from, to) = ((least(|p| p.0), least(|p| p.1)), (most(|p| p.0), most(|p| p.1)));
        let solid = matches!(shape, Shape::Words(_) | Shape::Drawn { fill: Some(_), .. });
        Some(Mark { shape, courses, half, solid, from, to, order: 0, ground: 0 })
    }

    pub fn left(&self) -> f64 {
        self.from.0
    }

    pub fn right(&self) -> f64 {
        self.to.0
    }

    /// Whether it is a small dot and another one stands under or over it: both are those of a repeat.
    pub fn repeats_with(&self, other: &Mark) -> bool {
        let size = |mark: &Mark| (mark.to.0 - mark.from.0, mark.to.1 - mark.from.1);
        let ((width, height), (other_width, _)) = (size(self), size(other));
        let black = |mark: &Mark| matches!(mark.shape, Shape::Drawn { fill: Some(fill), line: None } if fill < 0.05);
        let round = (width - height).abs() < LEVEL && (width - other_width).abs() < LEVEL;
        let over = (self.from.0 - other.from.0).abs() < LEVEL
            && (self.from.1 - other.from.1).abs() > width;
        black(self) && black(other) && round && over && width < 6.0
    }

    /// Whether the boxes around two marks are at least so far apart.
    pub fn away(&self, other: &Mark, by: f64) -> bool {
        let across = self.from.0 >= other.to.0 + by || other.from.0 >= self.to.0 + by;
        across || self.from.1 >= other.to.1 + by || other.from.1 >= self.to.1 + by
    }

    /// Whether it is nothing but a piece of white, which knocks out what lies beneath.
    pub fn is_paper(&self) -> bool {
        matches!(self.shape, Shape::Drawn { fill: Some(fill), line: None } if fill > 0.95)
    }

    fn is_filled(&self) -> bool {
        matches!(self.shape, Shape::Words(_) | Shape::Drawn { fill: Some(_), .. })
    }

    /// The order of the last filled shape under a line of words that holds all of it.
    pub fn ground_among(&self, marks: &[Mark]) -> usize {
        let under = marks.iter().take(self.order).filter(|mark| {
            matches!((&self.shape, &mark.shape), (Shape::Words(_), Shape::Drawn { .. }))
                && mark.is_around(self)
        });
        under.map(|mark| mark.order).max().unwrap_or(0)
    }

    /// Whether another lies beneath the ground that it stands on.
    pub fn hides(&self, other: &Mark) -> bool {
        other.order < self.ground
    }

    /// Whether it is filled and another lies wholly within the box around it.
    pub fn is_around(&self, other: &Mark) -> bool {
        self.is_filled() && self.frames(other, 0.0)
    }

    fn frames(&self, other: &Mark, slack: f64) -> bool {
        let across = self.from.0 <= other.from.0 + slack && other.to.0 <= self.to.0 + slack;
        across && self.from.1 <= other.from.1 + slack && other.to.1 <= self.to.1 + slack
    }

    /// Whether both are filled shapes as large as a dot and one lies over a part of the other.
    pub fn covers_a_part_of(&self, other: &Mark) -> bool {
        let is_dot = |mark: &Mark| {
            let (width, height) = (mark.to.0 - mark.from.0, mark.to.1 - mark.from.1);
            mark.is_filled() && width.min(height) > 4.0
        };
        let apart = !self.frames(other, LEVEL) && !other.frames(self, LEVEL);
        is_dot(self) && is_dot(other) && apart && !self.ends_a_bar(other) && !other.ends_a_bar(self)
    }

    /// Whether it is a root's square over the end of a barre that is as high: both make one outline, since the bar ends
    /// on the square's middle and its edges lie under the square's.
    fn ends_a_bar(&self, bar: &Mark) -> bool {
        let black = matches!(self.shape, Shape::Drawn { fill: Some(fill), .. } if fill < 0.05);
        let open =
            matches!(bar.shape, Shape::Drawn { fill: Some(fill), line: Some(_) } if fill > 0.95);
        let level =
            (self.from.1 - bar.from.1).abs() < LEVEL && (self.to.1 - bar.to.1).abs() < LEVEL;
        let middle = (self.from.0 + self.to.0) / 2.0;
        let ends = |end: f64| (end - middle).abs() < 1.0;
        black && open && level && self.order > bar.order && (ends(bar.from.0) || ends(bar.to.0))
    }

    /// How far two marks are apart; 0 or less where they meet.
    pub fn distance(&self, other: &Mark) -> f64 {
        if self.holds_a_point_of(other) || other.holds_a_point_of(self) {
            return 0.0;
        }
        let mut least = f64::INFINITY;
        for (a, b) in self.pieces() {
            for (c, d) in other.pieces() {
                least = least.min(between((a, b), (c, d)));
            }
        }
        least - self.half - other.half
    }

    fn pieces(&self) -> impl Iterator<Item = (Point, Point)> {
        self.courses
            .iter()
            .flat_map(|course| course.iter().copied().zip(course.iter().skip(1).copied()))
    }

    /// Whether the first point of another lies in what it fills (by the even-odd rule).
    fn holds_a_point_of(&self, other: &Mark) -> bool {
        let Some(&(x, y)) = other.courses.iter().flatten().next() else { return false };
        let crossed = |((ax, ay), (bx, by)): (Point, Point)| {
            (ay > y) != (by > y) && x < ax + (y - ay) / (by - ay) * (bx - ax)
        };
        self.solid && self.pieces().filter(|piece| crossed(*piece)).count() % 2 == 1
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.shape {
            Shape::Words(words) => write!(f, "“{words}”")?,
            Shape::Drawn { fill: Some(_), .. } => write!(f, "a shape")?,
            Shape::Drawn { .. } => write!(f, "a line")?,
        }
        write!(f, " ({:.1} {:.1} to {:.1} {:.1})", self.from.0, self.from.1, self.to.0, self.to.1)
    }
}

/// How far two pieces of line are apart.
fn between((a, b): (Point, Point), (c, d): (Point, Point)) -> f64 {
    let side = |p: Point, q: Point, r: Point| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0);
    let cross = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
    if cross {
        return 0.0;
    }
    from_piece(a, (c, d))
        .min(from_piece(b, (c, d)))
        .min(from_piece(c, (a, b)))
        .min(from_piece(d, (a, b)))
}

fn from_piece(p: Point, (a, b): (Point, Point)) -> f64 {
    let (along, up) = (b.0 - a.0, b.1 - a.1);
    let long = along * along + up * up;
    let part = if long > 0.0 { ((p.0 - a.0) * along + (p.1 - a.1) * up) / long } else { 0.0 };
    let part = part.clamp(0.0, 1.0);
    (p.0 - a.0 - part * along).hypot(p.1 - a.1 - part * up)
}

/// A group that is open: how far it moves what is in it, and how much larger it makes that.
struct Open {
    at: Point,
    scale: f64,
    /// Whether it holds glyphs, in units of their face.
    letters: bool,
    /// The outlines of the words in it, where it is a line of words.
    words: Vec<Vec<Point>>,
    has_letters: bool,
}

/// The marks of a picture of ours; `words` says what its lines of words say, in order.
pub fn marks(picture: &str, words: &[String]) -> Vec<Mark> {
    let mut words = words.iter();
    let mut glyphs: BTreeMap<String, Vec<Vec<Point>>> = BTreeMap::new();
    let mut open = vec![Open {
        at: (0.0, 0.0),
        scale: 1.0,
        letters: false,
        words: vec![],
        has_letters: false,
    }];
    let mut marks = Vec::new();
    for event in svg::read(picture).unwrap() {
        let Event::Tag(tag, kind, attributes) = event else { continue };
        match (tag, kind) {
            ("g", Type::Start | Type::Empty) => {
                let inner = open.last().unwrap().inner(&attributes);
                open.last_mut().unwrap().has_letters |= inner.letters;
                if !matches!(kind, Type::Empty) {
                    open.push(inner);
                }
            }
            ("g", Type::End) => {
                let done = open.pop().unwrap();
                if done.letters {
                    open.last_mut().unwrap().words.extend(done.words);
                } else if done.has_letters {
                    let says = words.next().unwrap().clone();
                    marks.extend(Mark::new(Shape::Words(says), done.words, 0.0));
                }
            }
            ("use", _) => {
                let group = open.last_mut().unwrap();
                let length = |name: &str| attributes.get(name).map_or(0.0, |v| v.parse().unwrap());
                let moved = Open { at: group.place((length("x"), length("y"))), ..group.alike() };
                let outline = &glyphs[attributes["href"].trim_start_matches('#')];
                group.words.extend(outline.iter().map(|course| moved.places(course)));
            }
            ("path", _) if attributes.contains_key("id") => {
                glyphs.insert(attributes["id"].to_string(), courses(&attributes["d"]));
            }
            ("path", _) => marks.extend(drawn(&attributes, open.last().unwrap())),
            _ => {}
        }
    }
    assert!(words.next().is_none(), "words that are not in the picture");
    for (order, mark) in marks.iter_mut().enumerate() {
        mark.order = order;
    }
    marks
}

impl Open {
    fn alike(&self) -> Open {
        Open {
            at: self.at,
            scale: self.scale,
            letters: self.letters,
            words: vec![],
            has_letters: false,
        }
    }

    fn inner(&self, attributes: &Attributes) -> Open {
        let Some(transform) = attributes.get("transform") else {
            return Open { letters: false, ..self.alike() };
        };
        let numbers: Vec<f64> = transform
            .split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-'))
            .filter_map(|number| number.parse().ok())
            .collect();
        let letters = transform.contains("scale");
        let scale = if letters { numbers[2] } else { 1.0 };
        Open {
            at: self.place((numbers[0], numbers[1])),
            scale: self.scale * scale,
            letters,
            ..self.alike()
        }
    }

    fn place(&self, (x, y): Point) -> Point {
        (self.at.0 + x * self.scale, self.at.1 + y * self.scale)
    }

    fn places(&self, course: &[Point]) -> Vec<Point> {
        course.iter().map(|point| self.place(*point)).collect()
    }
}

fn drawn(attributes: &Attributes, group: &Open) -> Option<Mark> {
    let shade = |name: &str| match attributes.get(name).map(|value| value.to_string()) {
        Some(none) if none == "none" => None,
        Some(shade) => Some(f64::from(u8::from_str_radix(&shade[1..3], 16).unwrap()) / 255.0),
        None => Some(0.0),
    };
    let line = attributes.contains_key("stroke").then(|| shade("stroke")).flatten();
    let half =
        attributes.get("stroke-width").map_or(0.0, |width| width.parse::<f64>().unwrap() / 2.0);
    let mut courses: Vec<Vec<Point>> =
        courses(&attributes["d"]).iter().map(|course| group.places(course)).collect();
    let fill = shade("fill");
    if fill.is_some() || attributes.contains_key("stroke-linecap") {
        return Mark::new(Shape::Drawn { fill, line }, courses, half);
    }
    // A straight line with blunt ends is a narrow rectangle.
    if let [course] = &courses[..]
        && let [from, to] = course[..]
    {
        let rectangle = vec![blunt(from, to, half)];
        let mark = Mark::new(Shape::Drawn { fill, line }, rectangle, 0.0)?;
        return Some(Mark { solid: true, ..mark });
    }
    courses.iter_mut().for_each(|course| cut_back(course, half));
    Mark::new(Shape::Drawn { fill, line }, courses, half)
}

/// The outline of a line with blunt ends.
fn blunt(from: Point, to: Point, half: f64) -> Vec<Point> {
    let long = (to.0 - from.0).hypot(to.1 - from.1).max(f64::MIN_POSITIVE);
    let (x, y) = (-(to.1 - from.1) / long * half, (to.0 - from.0) / long * half);
    let at = |(px, py): Point, side: f64| (px + x * side, py + y * side);
    vec![at(from, 1.0), at(to, 1.0), at(to, -1.0), at(from, -1.0), at(from, 1.0)]
}

/// Cuts an open course with blunt ends back by half its width, so that what is as near as that to it is the line.
fn cut_back(course: &mut [Point], half: f64) {
    if course.first() == course.last() {
        return;
    }
    let shorter = |end: Point, next: Point| {
        let long = (next.0 - end.0).hypot(next.1 - end.1).max(f64::MIN_POSITIVE);
        let part = (half / long).min(1.0);
        (end.0 + (next.0 - end.0) * part, end.1 + (next.1 - end.1) * part)
    };
    if let [first, second, ..] = course {
        *first = shorter(*first, *second);
    }
    if let [.., before, last] = course {
        *last = shorter(*last, *before);
    }
}

/// The courses of path data, their curves as straight pieces.
fn courses(data: &str) -> Vec<Vec<Point>> {
    let mut courses: Vec<Vec<Point>> = Vec::new();
    let mut rest = data;
    while let Some(letter) = rest.chars().next() {
        let end =
            rest[1..].find(|c: char| c.is_ascii_alphabetic()).map_or(rest.len(), |end| end + 1);
        let numbers: Vec<f64> =
            rest[1..end].split_whitespace().map(|n| n.parse().unwrap()).collect();
        let points: Vec<Point> = numbers.chunks(2).map(|pair| (pair[0], pair[1])).collect();
        match letter {
            'M' => courses.push(points),
            'L' => courses.last_mut().unwrap().extend(points),
            'Q' | 'C' => {
                let course = courses.last_mut().unwrap();
                let start = *course.last().unwrap();
                course.extend(
                    (1..=PIECES).map(|k| bent(start, &points, f64::from(k) / f64::from(PIECES))),
                );
            }
            'Z' => {
                let course = courses.last_mut().unwrap();
                course.push(course[0]);
            }
            other => panic!("{other} in a path"),
        }
        rest = &rest[end..];
    }
    courses
}

/// The point of a curve at a part of its course (de Casteljau).
fn bent(start: Point, points: &[Point], part: f64) -> Point {
    let mut row: Vec<Point> = std::iter::once(start).chain(points.iter().copied()).collect();
    while row.len() > 1 {
        let mix = |a: f64, b: f64| a + (b - a) * part;
        row = row
            .windows(2)
            .map(|pair| (mix(pair[0].0, pair[1].0), mix(pair[0].1, pair[1].1)))
            .collect();
    }
    row[0]
}
