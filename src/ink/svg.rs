//! The SVG painter. Words become outlines, so that no reader needs the fonts; what they say stands
//! in titles and descriptions.

use super::document::{Document, Role};
use super::drawing::{Drawing, Group, Item, Label, Path, Picture, PictureData, Segment, Stroke};
use super::face::{Face, Fonts};
use super::hash;
use super::markup::legal;
use super::shaping::{Glyph, Piece};
use super::text::{Style, Text};
use super::units::{Point, Pt};
use harfrust::font::glyph::outline::PathSink;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use svg::node::element::{self, Element};
use svg::node::{self, Node};

pub mod in_page;

/// A page of a document as an SVG image; an empty one where there is no such page.
pub fn page(document: &Document, index: usize, fonts: &Fonts) -> String {
    let empty = Drawing::default();
    let drawing = document.pages.get(index).map_or(&empty, |page| &page.drawing);
    let title = format!("{}, page {}", document.title, index + 1);
    let painter = Painter {
        fonts,
        document: Some(document),
        glyphs: BTreeSet::new(),
        pictures: BTreeMap::new(),
        names: BTreeMap::new(),
    };
    painter.image(drawing, &title, &words_of(&drawing.items))
}

/// A figure as an SVG image, with a title and a description in words.
pub fn figure(drawing: &Drawing, title: &str, words: &str, fonts: &Fonts) -> String {
    let painter = Painter {
        fonts,
        document: None,
        glyphs: BTreeSet::new(),
        pictures: BTreeMap::new(),
        names: BTreeMap::new(),
    };
    painter.image(drawing, title, words)
}

/// The words on a page, a line each.
fn words_of(items: &[Item]) -> String {
    let mut lines = Vec::new();
    collect_words(items, &mut lines);
    lines.join("\n")
}

fn collect_words(items: &[Item], lines: &mut Vec<String>) {
    for item in items {
        match item {
            Item::Text(_, text) => lines.push(text.characters()),
            Item::Group(group) if group.label != Label::Artifact => {
                collect_words(&group.items, lines);
            }
            _ => {}
        }
    }
}

struct Painter<'a> {
    fonts: &'a Fonts,
    document: Option<&'a Document>,
    /// The glyphs in use, each of which is drawn once.
    glyphs: BTreeSet<(Face, u16)>,
    /// The pictures in use by their names, each of which is embedded once.
    pictures: BTreeMap<String, Element>,
    /// Their names by where their bytes lie.
    names: BTreeMap<usize, String>,
}

impl Painter<'_> {
    /// The whole image.
    fn image(mut self, drawing: &Drawing, title: &str, words: &str) -> String {
        let (width, height) = (number(drawing.width), number(drawing.height));
        let mut image = Element::new("svg");
        image.assign("xmlns", "http://www.w3.org/2000/svg");
        image.assign("width", format!("{width}pt"));
        image.assign("height", format!("{height}pt"));
        image.assign("viewBox", format!("0 0 {width} {height}"));
        describe(&mut image, title, words);
        let content: Vec<Element> =
            drawing.items.iter().filter_map(|item| self.item(item)).collect();
        if !self.glyphs.is_empty() || !self.pictures.is_empty() {
            image.append(self.defined());
        }
        for element in content {
            image.append(element);
        }
        format!("{image}\n")
    }

    /// The outlines of the glyphs in use, in units of their face, and the pictures, a unit wide and
    /// high.
    fn defined(&mut self) -> Element {
        let mut defs = Element::new("defs");
        for &(face, glyph) in &self.glyphs {
            let mut outline = Outline::default();
            self.fonts.draw(face, glyph, &mut outline);
            let mut path = Element::new("path");
            path.assign("id", glyph_id(face, glyph));
            path.assign("d", outline.course);
            defs.append(path);
        }
        for picture in std::mem::take(&mut self.pictures).into_values() {
            defs.append(picture);
        }
        defs
    }

    fn item(&mut self, item: &Item) -> Option<Element> {
        match item {
            Item::Path(path) => Some(path_element(path)),
            Item::Text(at, text) => Some(self.text(*at, text)),
            Item::Picture(at, picture) => self.picture(*at, picture),
            Item::Group(group) => Some(self.group(group)),
        }
    }

    fn group(&mut self, group: &Group) -> Element {
        let mut element = Element::new("g");
        if group.offset != Point::default() {
            element.assign("transform", format!("translate({})", place(group.offset)));
        }
        match &group.label {
            Label::Words { title, words } => describe(&mut element, title, words),
            Label::Part(id) => {
                let part = self.document.and_then(|document| document.parts.get(id.0));
                if let Some(part) = part.filter(|part| part.role == Role::Figure) {
                    describe(&mut element, "figure", &part.words);
                }
            }
            Label::Artifact => element.assign("aria-hidden", "true"),
            Label::None | Label::Layer(_) | Label::Mirrorable => {}
        }
        for item in group.items.iter().filter_map(|item| self.item(item)) {
            element.append(item);
        }
        element
    }

    /// A picture; nothing if its dots don't fill it.
    fn picture(&mut self, at: Point, picture: &Picture) -> Option<Element> {
        let key = picture.data.bytes().as_ptr().addr();
        if !self.names.contains_key(&key) {
            let (name, unit) = unit_picture(picture)?;
            self.pictures.insert(name.clone(), unit);
            self.names.insert(key, name);
        }
        let name = self.names.get(&key)?;
        let (width, height) = (number(picture.width), number(picture.height));
        let mut shown = Element::new("use");
        shown.assign("href", format!("#{name}"));
        shown.assign("transform", format!("translate({}) scale({width} {height})", place(at)));
        Some(shown)
    }

    fn text(&mut self, at: Point, text: &Text) -> Element {
        let mut line = Element::new("g");
        for run in &text.runs {
            let mut start = Point::new(at.x + run.x, at.y - run.style.rise);
            for piece in &run.word.pieces {
                line.append(self.piece(piece, run.style, start));
                let width: f32 = piece.glyphs.iter().map(|glyph| glyph.advance).sum();
                start.x += run.style.size * width;
            }
        }
        line
    }

    /// Glyphs of one face, in units of that face.
    fn piece(&mut self, piece: &Piece, style: Style, start: Point) -> Element {
        let units = self.fonts.units_per_em(piece.face);
        let scale = decimals(style.size.0 / units, 6);
        let mut letters = Element::new("g");
        letters.assign("transform", format!("translate({}) scale({scale})", place(start)));
        if style.shade > 0.0 {
            letters.assign("fill", shade(style.shade));
        }
        let mut along = 0.0;
        for glyph in &piece.glyphs {
            // A space has no outline.
            if &*glyph.characters != " " {
                letters.append(self.glyph(piece.face, glyph, along, units));
            }
            along += glyph.advance;
        }
        letters
    }

    fn glyph(&mut self, face: Face, glyph: &Glyph, along: f32, units: f32) -> Element {
        self.glyphs.insert((face, glyph.id));
        let mut shown = Element::new("use");
        shown.assign("href", format!("#{}", glyph_id(face, glyph.id)));
        let (right, up) = glyph.shift;
        for (name, length) in [("x", along + right), ("y", -up)] {
            let length = decimals(length * units, 0);
            if length != "0" {
                shown.assign(name, length);
            }
        }
        shown
    }
}

/// The name of a glyph's outline; the same glyph has the same name in every image, so images may
/// stand together on one page.
fn glyph_id(face: Face, glyph: u16) -> String {
    match face {
        Face::Own(number) => format!("o{number:x}-{glyph}"),
        face => format!("{}{glyph}", face.short_name()),
    }
}

/// Gives an element a title and a description for whoever listens.
fn describe(element: &mut Element, title: &str, words: &str) {
    let name = format!("f{:016x}", hash_of(title, words));
    element.assign("role", "img");
    let ids: Vec<String> = [("t", "title", title), ("d", "desc", words)]
        .into_iter()
        .filter(|(_, _, content)| !content.is_empty())
        .map(|(suffix, tag, content)| {
            let id = format!("{name}{suffix}");
            let mut child = Element::new(tag);
            child.assign("id", id.as_str());
            child.append(node::Text::new(legal(content)));
            element.append(child);
            id
        })
        .collect();
    if !ids.is_empty() {
        element.assign("aria-labelledby", ids.join(" "));
    }
}

/// A hash of a title and its words: equal ones may share a name, others don't.
fn hash_of(title: &str, words: &str) -> u64 {
    hash::more(hash::of(title.as_bytes()), &[&[0], words.as_bytes()].concat())
}

fn path_element(path: &Path) -> Element {
    let mut element = Element::new("path");
    let mut course = String::new();
    for segment in &path.segments {
        let _ = match *segment {
            Segment::Move(to) => write!(course, "M{}", place(to)),
            Segment::Line(to) => write!(course, "L{}", place(to)),
            Segment::Curve(a, b, to) => write!(course, "C{} {} {}", place(a), place(b), place(to)),
            Segment::Close => write!(course, "Z"),
        };
    }
    element.assign("d", course);
    match path.fill {
        None => element.assign("fill", "none"),
        Some(0.0) => {}
        Some(fill) => element.assign("fill", shade(fill)),
    }
    if let Some(line) = path.stroke {
        stroke(&mut element, line);
    }
    element
}

fn stroke(element: &mut Element, line: Stroke) {
    element.assign("stroke", shade(line.shade));
    element.assign("stroke-width", number(line.width));
    if line.round {
        element.assign("stroke-linecap", "round");
        element.assign("stroke-linejoin", "round");
    }
    if let Some((dash, gap)) = line.dash {
        element.assign("stroke-dasharray", format!("{} {}", number(dash), number(gap)));
    }
}

/// A picture's kind and its bytes as a file has them; nothing if its dots don't fill it.
fn packed(picture: &Picture) -> Option<(&'static str, Vec<u8>)> {
    Some(match &picture.data {
        PictureData::Jpeg { bytes, .. } => ("jpeg", bytes.to_vec()),
        PictureData::Dots(dots) => {
            ("png", super::picture::encoded(picture.columns, picture.rows, dots)?)
        }
    })
}

/// A picture's bytes as an address.
fn address(kind: &str, bytes: &[u8]) -> String {
    format!("data:image/{kind};base64,{}", base64(bytes))
}

/// A picture a unit wide and high, with its name; nothing if its dots don't fill it.
fn unit_picture(picture: &Picture) -> Option<(String, Element)> {
    let (kind, bytes) = packed(picture)?;
    let name = format!("p{:016x}", hash::of(&bytes));
    let mut element: Element = element::Image::new().into();
    element.assign("id", name.as_str());
    element.assign("width", "1");
    element.assign("height", "1");
    element.assign("preserveAspectRatio", "none");
    element.assign("href", address(kind, &bytes));
    Some((name, element))
}

/// Bytes in base 64 (RFC 4648, section 4).
pub(super) fn base64(bytes: &[u8]) -> String {
    const DIGITS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let digit = |bits: u32| DIGITS.get(bits as usize & 63).map_or('=', |&digit| char::from(digit));
    let mut text = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |at: usize| chunk.get(at).map_or(0, |&byte| u32::from(byte));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        let padded = |present: bool, digit: char| if present { digit } else { '=' };
        text.push(digit(bits >> 18));
        text.push(digit(bits >> 12));
        text.push(padded(chunk.len() > 1, digit(bits >> 6)));
        text.push(padded(chunk.len() > 2, digit(bits)));
    }
    text
}

/// A glyph's outline as path data, y downwards.
#[derive(Default)]
struct Outline {
    course: String,
}

impl Outline {
    fn step(&mut self, letter: char, points: &[(f32, f32)]) {
        self.course.push(letter);
        for (at, &(x, y)) in points.iter().enumerate() {
            let gap = if at > 0 { " " } else { "" };
            let _ = write!(self.course, "{gap}{} {}", decimals(x, 1), decimals(-y, 1));
        }
    }
}

impl PathSink for Outline {
    fn move_to(&mut self, x: f32, y: f32) {
        self.step('M', &[(x, y)]);
    }
    fn line_to(&mut self, x: f32, y: f32) {
        self.step('L', &[(x, y)]);
    }
    fn quad_to(&mut self, cx0: f32, cy0: f32, x: f32, y: f32) {
        self.step('Q', &[(cx0, cy0), (x, y)]);
    }
    fn curve_to(&mut self, cx0: f32, cy0: f32, cx1: f32, cy1: f32, x: f32, y: f32) {
        self.step('C', &[(cx0, cy0), (cx1, cy1), (x, y)]);
    }
    fn close(&mut self) {
        self.course.push('Z');
    }
}

fn place(point: Point) -> String {
    format!("{} {}", number(point.x), number(point.y))
}

/// A length to a hundredth of a point.
fn number(length: Pt) -> String {
    decimals(length.0, 2)
}

/// A number with at most so many decimals and no needless zeros.
fn decimals(number: f32, places: usize) -> String {
    let number = if number.is_finite() { number } else { 0.0 };
    let text = format!("{number:.places$}");
    let short = if places > 0 { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    if short == "-0" { "0".into() } else { short.into() }
}

/// A shade as a colour.
fn shade(shade: f32) -> String {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Clamped to a byte.
    let level = (shade.clamp(0.0, 1.0) * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

#[cfg(test)]
mod tests;
