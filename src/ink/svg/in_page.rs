//! Drawings that stand together in one HTML page, as few letters as may be: each glyph's outline is in the page once,
//! and so is each size in which it is used, each word that is more than a glyph, and what may be mirrored; drawings have no
//! groups but of what may be hidden. They are drawn in the colours of the words around them, and of lines only what isn't
//! usual is written: the page's style has them in that colour, unfilled, and square-cut but for those of the class `round`.
//! What sounds is told by its moments, so that it can be shown as it sounds.

use super::super::drawing::{Drawing, Group, Item, Label, Path, Picture, Segment, Stroke};
use super::super::face::{Face, Fonts};
use super::super::text::{Run, Style, Text};
use super::super::units::{Point, Pt};
use super::{address, decimals, glyph_id, number, packed, shade};
use harfrust::font::glyph::outline::PathSink;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt::Write;

/// The colour of the page's ground, a custom property that its style sets.
const GROUND: &str = "var(--paper)";

/// The class of what may be mirrored. Words in it are each in a group without a class, so that they stay readable.
pub const MIRRORABLE: &str = "hand";

/// The drawings of a page while they are painted.
pub struct InPage<'a> {
    fonts: &'a Fonts,
    /// The glyphs in use, each with the sizes in which it is, by their bits, and the number of each.
    glyphs: BTreeMap<(Face, u16), BTreeMap<u32, usize>>,
    /// How many sizes of glyphs there are.
    count: usize,
    /// The classes of the groups that are in them.
    classes: BTreeSet<&'static str>,
    /// What may be mirrored, as markup, with the number of each: it is in the page once, however often it shows.
    mirrorable: BTreeMap<String, usize>,
    /// The words of several glyphs, each by its elements, and the number of each.
    words: HashMap<String, usize>,
}

impl<'a> InPage<'a> {
    /// No drawings yet.
    pub fn new(fonts: &'a Fonts) -> InPage<'a> {
        InPage {
            fonts,
            glyphs: BTreeMap::new(),
            count: 0,
            classes: BTreeSet::new(),
            mirrorable: BTreeMap::new(),
            words: HashMap::new(),
        }
    }

    /// What a drawing shows, to stand within an `svg` whose words tell it.
    pub fn content(&mut self, drawing: &Drawing) -> Shown {
        let mut content = Content::default();
        self.items(&drawing.items, Point::default(), &mut content);
        content.end_lines();
        Shown { markup: content.markup, moments: content.moments }
    }

    fn items(&mut self, items: &[Item], by: Point, content: &mut Content) {
        for item in items {
            match item {
                Item::Path(path) => content.path(&moved(path, by)),
                Item::Text(at, text) => self.text(text, *at + by, content),
                Item::Picture(at, picture) => content.picture(picture, *at + by),
                Item::Group(group) => self.group(group, group.offset + by, content),
            }
        }
    }

    fn group(&mut self, group: &Group, at: Point, content: &mut Content) {
        match group.label {
            Label::Layer(name) => {
                self.classes.insert(name);
                content.begin_group(name);
                self.items(&group.items, at, content);
                content.end_group();
            }
            Label::Mirrorable => {
                self.classes.insert(MIRRORABLE);
                let mut inner = Content { is_mirrorable: true, ..Content::default() };
                self.items(&group.items, Point::default(), &mut inner);
                inner.end_lines();
                let next = self.mirrorable.len() + 1;
                let number = *self.mirrorable.entry(inner.markup).or_insert(next);
                content.shared(number, at);
            }
            _ => self.items(&group.items, at, content),
        }
    }

    /// Whether there are groups of a class in the drawings so far.
    pub fn has(&self, class: &str) -> bool {
        self.classes.contains(class)
    }

    fn text(&mut self, text: &Text, at: Point, content: &mut Content) {
        content.end_lines();
        if content.is_mirrorable {
            content.markup.push_str("<g>");
        }
        for run in &text.runs {
            let start = Point::new(at.x + run.x, at.y - run.style.rise);
            let glyphs = self.glyphs_of(run);
            let (name, place) = match glyphs.as_slice() {
                [] => continue,
                [(name, place)] => (name.clone(), start + *place),
                glyphs => (self.word(glyphs), start),
            };
            let fill = fill(run.style.shade);
            content.word(text.moment, &format!("{}{fill}", used(&name, place)));
        }
        if content.is_mirrorable {
            content.markup.push_str("</g>");
        }
    }

    /// The glyphs of a run by their names, each with its place from where the run begins; a space has no outline.
    fn glyphs_of(&mut self, run: &Run) -> Vec<(String, Point)> {
        let style = run.style;
        let (mut placed, mut x) = (Vec::new(), Pt::ZERO);
        for (face, glyph) in run
            .word
            .pieces
            .iter()
            .flat_map(|piece| piece.glyphs.iter().map(|glyph| (piece.face, glyph)))
        {
            if &*glyph.characters != " " {
                let (right, up) = glyph.shift;
                let place = Point::new(x + style.size * right, -(style.size * up));
                placed.push((self.named((face, glyph.id), style), place));
            }
            x += style.size * glyph.advance;
        }
        placed
    }

    /// The name of a word of several glyphs.
    fn word(&mut self, glyphs: &[(String, Point)]) -> String {
        let elements = glyphs.iter().map(|(name, place)| format!("{}/>", used(name, *place)));
        let next = self.words.len() + 1;
        let number = self.words.entry(elements.collect()).or_insert(next);
        format!("v{number}")
    }

    /// The name of a glyph in a size; no face's outlines begin with its letter.
    fn named(&mut self, glyph: (Face, u16), style: Style) -> String {
        let sizes = self.glyphs.entry(glyph).or_default();
        let number = sizes.entry(style.size.0.to_bits()).or_insert_with(|| {
            self.count += 1;
            self.count
        });
        format!("u{number}")
    }

    /// The outlines of all glyphs in the drawings so far, for the page to have once.
    pub fn outlines(&self) -> String {
        let mut markup =
            r#"<svg class="outlines" width="0" height="0" aria-hidden="true"><defs>"#.to_owned();
        for (&(face, glyph), sizes) in &self.glyphs {
            let mut outline = GlyphCourse::default();
            self.fonts.draw(face, glyph, &mut outline);
            let (id, course) = (glyph_id(face, glyph), outline.0.data);
            let _ = writeln!(markup, r#"<path id="{id}" d="{course}"/>"#);
            for (size, number) in sizes {
                let scale = f32::from_bits(*size) / self.fonts.units_per_em(face);
                let scale = decimals(scale, 6);
                let _ = writeln!(
                    markup,
                    r##"<use id="u{number}" href="#{id}" transform="scale({scale})"/>"##
                );
            }
        }
        let mut words: Vec<(&String, &usize)> = self.words.iter().collect();
        words.sort_unstable_by_key(|(_, number)| **number);
        for (elements, number) in words {
            let _ = writeln!(markup, r#"<g id="v{number}">{elements}</g>"#);
        }
        for (shared, number) in &self.mirrorable {
            let _ = writeln!(markup, r#"<g id="b{number}" class="{MIRRORABLE}">{shared}</g>"#);
        }
        markup + "</defs></svg>"
    }
}

/// The beginning of an element that shows what has a name at a place.
fn used(name: &str, at: Point) -> String {
    let mut element = format!(r##"<use href="#{name}""##);
    for (axis, length) in [("x", at.x), ("y", at.y)] {
        let length = number(length);
        if length != "0" {
            let _ = write!(element, r#" {axis}="{length}""#);
        }
    }
    element
}

/// What shows in a drawing.
#[derive(Debug, PartialEq)]
pub struct Shown {
    /// Its elements. They hold numbers and names of ours only.
    pub markup: String,
    /// What sounds at each moment: words, by their number among those of the drawing, each a `use` element.
    pub moments: BTreeMap<u32, Vec<usize>>,
}

/// What shows in a drawing, while it is written.
#[derive(Default)]
struct Content {
    markup: String,
    moments: BTreeMap<u32, Vec<usize>>,
    /// How many words there are so far.
    words: usize,
    /// The lines that were drawn last, which have their stroke in common.
    lines: Option<(Stroke, String)>,
    /// Whether what is written may be mirrored.
    is_mirrorable: bool,
}

impl Content {
    /// Draws a path; lines that follow one another and are alike are one.
    fn path(&mut self, path: &Path) {
        let course = Course::of(path);
        match (path.fill, path.stroke) {
            (None, Some(stroke)) => match &mut self.lines {
                Some((last, lines)) if *last == stroke => lines.push_str(&course),
                _ => {
                    self.end_lines();
                    self.lines = Some((stroke, course));
                }
            },
            (None, None) => {}
            (Some(shade), stroke) => {
                self.end_lines();
                let fill = match stroke {
                    Some(_) => format!(r#" fill="{}""#, tint(shade)),
                    None => fill(shade),
                };
                let stroke = stroke.map(drawn).unwrap_or_default();
                let _ = writeln!(self.markup, r#"<path d="{course}"{fill}{stroke}/>"#);
            }
        }
    }

    fn begin_group(&mut self, class: &str) {
        self.end_lines();
        let _ = writeln!(self.markup, r#"<g class="{class}">"#);
    }

    fn end_group(&mut self) {
        self.end_lines();
        self.markup.push_str("</g>\n");
    }

    /// Shows what may be mirrored about a place, by its number.
    fn shared(&mut self, shared: usize, about: Point) {
        self.end_lines();
        let (x, y) = (number(about.x), number(about.y));
        let _ = writeln!(self.markup, r##"<use href="#b{shared}" x="{x}" y="{y}"/>"##);
        self.words += 1;
    }

    /// Adds a word, by its element but for the end, that may sound at a moment.
    fn word(&mut self, moment: Option<u32>, element: &str) {
        self.markup.extend([element, "/>\n"]);
        if let Some(moment) = moment {
            self.moments.entry(moment).or_default().push(self.words);
        }
        self.words += 1;
    }

    /// Writes the lines that were drawn last.
    fn end_lines(&mut self) {
        if let Some((stroke, course)) = self.lines.take() {
            let stroke = drawn(stroke);
            let _ = writeln!(self.markup, r#"<path d="{course}"{stroke}/>"#);
        }
    }

    /// Shows a picture; nothing if its dots don't fill it.
    fn picture(&mut self, picture: &Picture, at: Point) {
        self.end_lines();
        let Some(address) = self::picture(picture) else { return };
        let (x, y) = (number(at.x), number(at.y));
        let (width, height) = (number(picture.width), number(picture.height));
        let _ = writeln!(
            self.markup,
            r#"<image href="{address}" x="{x}" y="{y}" width="{width}" height="{height}"/>"#
        );
    }
}

/// The `viewBox` of a drawing.
pub fn view_box(drawing: &Drawing) -> String {
    format!("0 0 {} {}", number(drawing.width), number(drawing.height))
}

/// A length in a drawing, to a hundredth of a point.
pub fn length(length: Pt) -> String {
    number(length)
}

/// A length in CSS px, to a tenth.
pub fn px(length: f32) -> String {
    decimals(length, 1)
}

/// A picture as an address of its own bytes; nothing if its dots don't fill it.
pub fn picture(picture: &Picture) -> Option<String> {
    let (kind, bytes) = packed(picture)?;
    Some(address(kind, &bytes))
}

/// The way of a path as path data (SVG 2, section 9.3), each step from where the one before ended: in fewer letters
/// than places are. Steps are whole hundredths of a point, so that none is rounded twice.
#[derive(Default)]
struct Course {
    data: String,
    /// Where it has come to, and where it set out from, in hundredths of a point.
    here: (i32, i32),
    start: (i32, i32),
}

impl Course {
    fn of(path: &Path) -> String {
        let mut course = Course::default();
        path.segments.iter().for_each(|segment| course.step(*segment));
        course.data
    }

    fn step(&mut self, segment: Segment) {
        match segment {
            Segment::Move(to) => {
                self.here = (0, 0);
                self.to('M', &[to]);
                self.start = self.here;
            }
            Segment::Line(to) => self.line(to),
            Segment::Curve(a, b, to) => self.to('c', &[a, b, to]),
            Segment::Close => {
                self.data.push('z');
                self.here = self.start;
            }
        }
    }

    fn line(&mut self, to: Point) {
        let (x, y) = hundredths(to);
        if y == self.here.1 {
            self.data.push('h');
            self.number(x - self.here.0);
        } else if x == self.here.0 {
            self.data.push('v');
            self.number(y - self.here.1);
        } else {
            return self.to('l', &[to]);
        }
        self.here = (x, y);
    }

    /// A step through points.
    fn to(&mut self, letter: char, points: &[Point]) {
        self.data.push(letter);
        let from = self.here;
        for &point in points {
            let (x, y) = hundredths(point);
            self.number(x - from.0);
            self.number(y - from.1);
            self.here = (x, y);
        }
    }

    /// A number of hundredths; a minus parts it from the one before, and so does a space.
    fn number(&mut self, hundredths: i32) {
        if hundredths >= 0 && self.data.ends_with(|c: char| c.is_ascii_digit()) {
            self.data.push(' ');
        }
        let (sign, all) = (if hundredths < 0 { "-" } else { "" }, hundredths.unsigned_abs());
        let (whole, part) = (all / 100, all % 100);
        let _ = match part {
            0 => write!(self.data, "{sign}{whole}"),
            _ if part % 10 == 0 => write!(self.data, "{sign}{whole}.{}", part / 10),
            _ => write!(self.data, "{sign}{whole}.{part:02}"),
        };
    }
}

/// The course of a glyph's outline in units of its face, y downwards.
#[derive(Default)]
struct GlyphCourse(Course);

impl GlyphCourse {
    fn to(&mut self, letter: char, points: &[(f32, f32)]) {
        let point = |&(x, y): &(f32, f32)| Point::new(Pt(x), Pt(-y));
        self.0.to(letter, &points.iter().map(point).collect::<Vec<_>>());
    }
}

impl PathSink for GlyphCourse {
    fn move_to(&mut self, x: f32, y: f32) {
        self.0.step(Segment::Move(Point::new(Pt(x), Pt(-y))));
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.0.line(Point::new(Pt(x), Pt(-y)));
    }
    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.to('q', &[(cx0, cy0), (x, y)]);
    }
    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.to('c', &[(cx0, cy0), (cx1, cy1), (x, y)]);
    }
    fn close(&mut self) {
        self.0.step(Segment::Close);
    }
}

/// A place in hundredths of a point.
fn hundredths(at: Point) -> (i32, i32) {
    #[allow(clippy::cast_possible_truncation)] // A figure is a few thousand points wide and high.
    let whole = |length: Pt| (length.0 * 100.0).round() as i32;
    (whole(at.x), whole(at.y))
}

fn moved(path: &Path, by: Point) -> Path {
    let segments = path.segments.iter().map(|segment| match *segment {
        Segment::Move(to) => Segment::Move(to + by),
        Segment::Line(to) => Segment::Line(to + by),
        Segment::Curve(a, b, to) => Segment::Curve(a + by, b + by, to + by),
        Segment::Close => Segment::Close,
    });
    Path { segments: segments.collect(), ..path.clone() }
}

/// The attributes of a line that aren't as usual.
fn drawn(line: Stroke) -> String {
    let mut attributes = format!(r#" stroke-width="{}""#, number(line.width));
    if line.shade > 0.0 {
        let _ = write!(attributes, r#" stroke="{}""#, tint(line.shade));
    }
    if line.round {
        attributes.push_str(r#" class="round""#);
    }
    if let Some((dash, gap)) = line.dash {
        let _ = write!(attributes, r#" stroke-dasharray="{} {}""#, number(dash), number(gap));
    }
    attributes
}

/// The attribute of what is filled with a shade; that of the words around needs none.
fn fill(shade: f32) -> String {
    if shade > 0.0 { format!(r#" fill="{}""#, tint(shade)) } else { String::new() }
}

/// Black is the colour of the words, white that of the ground, whichever is the lighter.
fn tint(level: f32) -> String {
    match level {
        0.0 => "currentColor".to_owned(),
        1.0 => GROUND.to_owned(),
        grey => shade(grey),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ink::pt;

    #[test]
    fn a_course_leads_where_its_path_does() {
        let at = |x: f32, y: f32| Point::new(pt(x), pt(y));
        let segments = vec![
            Segment::Move(at(1.0, 2.5)),
            Segment::Line(at(4.0, 2.5)),
            Segment::Line(at(4.0, 0.25)),
            Segment::Curve(at(3.0, 0.0), at(2.0, 1.0), at(1.5, 1.5)),
            Segment::Close,
            Segment::Line(at(0.0, 0.0)),
        ];
        let path = Path { segments, fill: None, stroke: None };
        assert_eq!(Course::of(&path), "M1 2.5h3v-2.25c-1-0.25-2 0.75-2.5 1.25zl-1-2.5");
    }

    #[test]
    fn what_may_be_hidden_or_mirrored_is_in_groups_and_nothing_else() {
        let fonts = Fonts::new();
        let style = Style::new(Face::Sans, pt(9.0));
        let text = |words| Item::Text(Point::default(), Text::set(&fonts, words, style));
        let group = |x: f32, label, items| {
            Item::Group(Group { offset: Point::new(pt(x), pt(2.0)), label, items })
        };
        let plain = group(1.0, Label::None, vec![text("5")]);
        let layer = group(2.0, Label::Layer("fingers"), vec![text("1"), text("2")]);
        let board = |x| group(x, Label::Mirrorable, vec![text("7"), text("10"), layer.clone()]);
        let mut page = InPage::new(&fonts);
        let items = vec![plain, board(5.0), layer.clone(), board(9.0)];
        let content = page.content(&Drawing { items, ..Drawing::default() }).markup;
        for part in ["href=\"#b1\" x=\"5\" y=\"2\"", "href=\"#b1\" x=\"9\" y=\"2\""] {
            assert_eq!(content.matches(part).count(), 1, "{content}");
        }
        assert_eq!(content.matches("<g").count(), 1, "{content}");
        let outlines = page.outlines();
        let shared = outlines.split("<g id=\"b1\" class=\"hand\">").nth(1).unwrap();
        assert!(!shared.contains("<g id="), "{outlines}");
        let bare = shared.split("<use").map(|part| part.split_once("/>").map_or(part, |it| it.1));
        let bare = bare.collect::<String>().replace('\n', "");
        assert_eq!(bare, "<g></g><g></g><g class=\"fingers\"><g></g><g></g></g></g></defs></svg>");
        assert!(page.has("fingers") && page.has(MIRRORABLE) && !page.has("notes"));
    }

    #[test]
    fn lines_that_are_alike_are_one_and_glyphs_are_drawn_once() {
        let fonts = Fonts::new();
        let mut drawing = Drawing::new(pt(50.0), pt(20.0));
        let at = |x: f32| Point::new(pt(x), Pt::ZERO);
        for x in [1.0, 2.0, 3.0] {
            drawing.items.push(Item::Path(Path::line(at(x), at(x + 9.0), pt(1.0))));
        }
        for style in [Style::new(Face::Sans, pt(9.0)), Style::new(Face::Sans, pt(12.0))] {
            for _ in 0..2 {
                drawing.text(Point::new(pt(3.0), pt(9.0)), Text::set(&fonts, "77", style));
            }
        }
        let mut page = InPage::new(&fonts);
        let content = page.content(&drawing).markup;
        assert_eq!(content.matches("<path").count(), 1, "{content}");
        assert_eq!(content.matches("<use").count(), 4, "{content}");
        assert!(content.contains(r##"<use href="#v1" x="3" y="9"/>"##), "{content}");
        let outlines = page.outlines();
        assert_eq!(outlines.matches("<path").count(), 1, "{outlines}");
        // Each size of it, and twice in the word of each size.
        assert_eq!(outlines.matches("<use").count(), 6, "{outlines}");
        assert_eq!(outlines.matches("<g id").count(), 2, "{outlines}");
        // A plain line is black, and not filled: the style says so.
        assert!(content.contains(" stroke-width=\"1\"/>"), "{content}");
    }

    #[test]
    fn what_sounds_is_told_by_its_moments() {
        let fonts = Fonts::new();
        let mut drawing = Drawing::new(pt(50.0), pt(20.0));
        let style = Style::new(Face::Sans, pt(9.0));
        for (words, moment) in [("a", None), ("12", Some(480)), ("b", None), ("1", Some(480))] {
            let text = Text::set(&fonts, words, style);
            drawing.text(Point::default(), Text { moment, ..text });
        }
        let moments = InPage::new(&fonts).content(&drawing).moments;
        assert_eq!(moments.into_iter().collect::<Vec<_>>(), [(480, vec![1, 3])]);
    }
}
