//! The content of a page: its drawing as operators, in marked pieces of the document's parts.

use super::operators::{self as op, hundredths, lengths, number, to_hundredths};
use super::packing::{Packing, Ticket};
use super::pictures::Pictures;
use super::type_in_use::Glyphs;
use super::{strings, structure};
use crate::ink::document::{Part, PartId, Role};
use crate::ink::drawing::{Drawing, Group, Item, Label, Path, Picture, Segment, Stroke};
use crate::ink::face::Face;
use crate::ink::shaping::{Glyph, Piece, Way};
use crate::ink::text::{Run, Style, Text};
use crate::ink::units::{Point, Pt};
use std::collections::BTreeMap;

/// A page's content.
pub(super) struct Content {
    /// Its operators, which are being packed.
    pub(super) operators: Ticket,
    /// The parts of the marked pieces, by the pieces' numbers.
    pub(super) marks: Vec<PartId>,
    /// Where the figures are.
    pub(super) figures: BTreeMap<PartId, Area>,
}

/// An upright area in the page's own coordinates, y upwards from the bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area {
    pub(super) left: Pt,
    pub(super) bottom: Pt,
    pub(super) right: Pt,
    pub(super) top: Pt,
}

impl Area {
    fn point(at: Point) -> Area {
        Area { left: at.x, bottom: at.y, right: at.x, top: at.y }
    }

    fn with(self, other: Area) -> Area {
        Area {
            left: self.left.min(other.left),
            bottom: self.bottom.min(other.bottom),
            right: self.right.max(other.right),
            top: self.top.max(other.top),
        }
    }
}

/// Writes a page.
pub(super) fn write(
    drawing: &Drawing,
    parts: &[Part],
    glyphs: &mut Glyphs,
    pictures: &mut Pictures,
    packing: &Packing,
) -> Content {
    let mut writer = Writer {
        height: drawing.height,
        parts,
        glyphs,
        pictures,
        operators: Vec::new(),
        marks: Vec::new(),
        figures: BTreeMap::new(),
        open: None,
        looks: Looks::default(),
    };
    // Corners as sharp as in SVG, whose limit is 4 where nothing is said.
    writer.operators.extend(b"4 M\n");
    writer.items(&drawing.items, Point::default(), Owner::default());
    writer.close();
    let Writer { operators, marks, figures, .. } = writer;
    Content { operators: packing.put(operators), marks, figures }
}

/// To what an item belongs.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Owner {
    /// The part; `None` is decoration.
    part: Option<PartId>,
    /// The figure around it.
    figure: Option<PartId>,
}

/// What the page's next lines, areas and words look like as long as nothing else is said.
struct Looks {
    fill: i32,
    line: i32,
    width: i32,
    round: bool,
    dash: Option<(i32, i32)>,
    /// Face, and size in hundredths of a point.
    face: Option<(Face, i32)>,
}

impl Default for Looks {
    /// A page begins so (ISO 32000-1, 8.4.1).
    fn default() -> Looks {
        Looks { fill: 0, line: 0, width: 100, round: false, dash: None, face: None }
    }
}

struct Writer<'a, 'f> {
    height: Pt,
    parts: &'a [Part],
    glyphs: &'a mut Glyphs<'f>,
    pictures: &'a mut Pictures,
    operators: Vec<u8>,
    marks: Vec<PartId>,
    figures: BTreeMap<PartId, Area>,
    /// The place of the marked piece that is being written.
    open: Option<Option<PartId>>,
    looks: Looks,
}

impl Writer<'_, '_> {
    fn items(&mut self, items: &[Item], offset: Point, place: Owner) {
        for item in items {
            match item {
                Item::Path(path) => self.path(path, offset, place),
                Item::Text(at, text) => self.text(text, offset + *at, place),
                Item::Picture(at, picture) => self.picture(picture, offset + *at, place),
                Item::Group(group) => self.group(group, offset, place),
            }
        }
    }

    fn group(&mut self, group: &Group, offset: Point, place: Owner) {
        let place = match group.label {
            Label::None | Label::Words { .. } | Label::Layer(_) | Label::Mirrorable => place,
            Label::Artifact => Owner::default(),
            Label::Part(id) => self.place_in(id, place),
        };
        self.items(&group.items, offset + group.offset, place);
    }

    /// The place inside a part; a part that isn't in the document is decoration.
    fn place_in(&self, id: PartId, around: Owner) -> Owner {
        match self.parts.get(id.0) {
            None => Owner::default(),
            Some(part) if part.role == Role::Figure => Owner { part: Some(id), figure: Some(id) },
            Some(_) => Owner { part: Some(id), ..around },
        }
    }

    /// Makes sure that the marked piece of a place is open, and that a figure's area is known.
    fn mark(&mut self, place: Owner, area: Area) {
        if let Some(figure) = place.figure {
            let known = self.figures.entry(figure).or_insert(area);
            *known = known.with(area);
        }
        self.open(place.part, "");
    }

    /// Opens the marked piece of a part unless it is open; more properties make it a piece apart,
    /// called a span: some readers look for a text of its own in spans only.
    fn open(&mut self, part: Option<PartId>, properties: &str) {
        if self.open == Some(part) && properties.is_empty() {
            return;
        }
        self.close();
        self.open = Some(part);
        let out = &mut self.operators;
        let Some(id) = part else { return out.extend(b"/Artifact BMC\n") };
        let role = self.parts.get(id.0).map_or(Role::Span, |part| part.role);
        let tag = if properties.is_empty() { structure::tag(role) } else { "Span" };
        let mark = self.marks.len();
        out.extend(format!("/{tag} <</MCID {mark}{properties}>> BDC\n").bytes());
        self.marks.push(id);
    }

    fn close(&mut self) {
        if self.open.take().is_some() {
            self.operators.extend(b"EMC\n");
        }
    }

    /// A point of the drawing in the page's own coordinates.
    fn flip(&self, point: Point) -> Point {
        Point::new(point.x, self.height - point.y)
    }

    fn path(&mut self, path: &Path, offset: Point, place: Owner) {
        let Some(area) = self.area_of(path, offset) else { return };
        let painting: &[u8] = match (path.fill, path.stroke) {
            (None, None) => return,
            (Some(_), None) => b"f\n",
            (None, Some(_)) => b"S\n",
            (Some(_), Some(_)) => b"B\n",
        };
        self.mark(place, area);
        if let Some(shade) = path.fill {
            self.fill(shade);
        }
        if let Some(stroke) = path.stroke {
            self.stroke(stroke);
        }
        for segment in &path.segments {
            self.segment(segment, offset);
        }
        self.operators.extend(painting);
    }

    /// The area of a path's points, its line's width around it; `None` for a path without points.
    fn area_of(&self, path: &Path, offset: Point) -> Option<Area> {
        let points = path.segments.iter().flat_map(|segment| match *segment {
            Segment::Move(to) | Segment::Line(to) => [Some(to), None, None],
            Segment::Curve(a, b, to) => [Some(a), Some(b), Some(to)],
            Segment::Close => [None; 3],
        });
        let areas = points.flatten().map(|point| Area::point(self.flip(offset + point)));
        let area = areas.reduce(Area::with)?;
        let half = path.stroke.map_or(Pt::ZERO, |stroke| stroke.width / 2.0);
        Some(Area {
            left: area.left - half,
            bottom: area.bottom - half,
            right: area.right + half,
            top: area.top + half,
        })
    }

    fn segment(&mut self, segment: &Segment, offset: Point) {
        let at = |point: Point| self.flip(offset + point);
        let (points, operator): ([Option<Point>; 3], &[u8]) = match *segment {
            Segment::Move(to) => ([Some(at(to)), None, None], b"m\n"),
            Segment::Line(to) => ([Some(at(to)), None, None], b"l\n"),
            Segment::Curve(a, b, to) => ([Some(at(a)), Some(at(b)), Some(at(to))], b"c\n"),
            Segment::Close => ([None; 3], b"h\n"),
        };
        let out = &mut self.operators;
        for point in points.into_iter().flatten() {
            lengths(out, &[point.x, point.y]);
        }
        out.extend(operator);
    }

    fn fill(&mut self, shade: f32) {
        let shade = to_hundredths(shade);
        if self.looks.fill != shade {
            self.looks.fill = shade;
            hundredths(&mut self.operators, shade);
            self.operators.extend(b" g\n");
        }
    }

    fn stroke(&mut self, stroke: Stroke) {
        let out = &mut self.operators;
        let shade = to_hundredths(stroke.shade);
        if self.looks.line != shade {
            self.looks.line = shade;
            hundredths(out, shade);
            out.extend(b" G\n");
        }
        let width = to_hundredths(stroke.width.0);
        if self.looks.width != width {
            self.looks.width = width;
            hundredths(out, width);
            out.extend(b" w\n");
        }
        if self.looks.round != stroke.round {
            self.looks.round = stroke.round;
            out.extend(if stroke.round { b"1 J 1 j\n" } else { b"0 J 0 j\n" });
        }
        let dash = stroke.dash.map(|(dash, gap)| (to_hundredths(dash.0), to_hundredths(gap.0)));
        // All gaps and no dashes is no pattern.
        let dash = dash.filter(|&(dash, gap)| dash > 0 && gap > 0);
        if self.looks.dash != dash {
            self.looks.dash = dash;
            out.push(b'[');
            if let Some((dash, gap)) = dash {
                hundredths(out, dash);
                out.push(b' ');
                hundredths(out, gap);
            }
            out.extend(b"] 0 d\n");
        }
    }

    fn picture(&mut self, picture: &Picture, at: Point, place: Owner) {
        let Some(index) = self.pictures.number(picture) else { return };
        let low = self.flip(at + Point::new(Pt::ZERO, picture.height));
        let high = low + Point::new(picture.width, picture.height);
        self.mark(place, Area::point(low).with(Area::point(high)));
        let out = &mut self.operators;
        out.extend(b"q ");
        lengths(out, &[picture.width, Pt::ZERO, Pt::ZERO, picture.height, low.x, low.y]);
        out.extend(format!("cm /P{index} Do Q\n").bytes());
    }

    fn text(&mut self, text: &Text, at: Point, place: Owner) {
        if text.runs.is_empty() {
            return;
        }
        let at = self.flip(at);
        let size = text.runs.iter().map(|run| run.style.size).fold(Pt::ZERO, Pt::max);
        // No face of the house reaches further up or down.
        let low = Point::new(at.x, at.y - size * 0.25);
        let high = Point::new(at.x + text.width, at.y + size * 0.95);
        self.mark(place, Area::point(low).with(Area::point(high)));
        let mut line = Line::default();
        for run in &text.runs {
            let start = Point::new(at.x + run.x, at.y + run.style.rise);
            self.word(run, start, place.part, &mut line);
        }
        line.end(&mut self.operators);
    }

    /// Writes a word's letters in the order in which they are read, as those do who take the text out.
    fn word(&mut self, run: &Run, mut start: Point, part: Option<PartId>, line: &mut Line) {
        let size = run.style.size;
        let glyphs = run.word.pieces.iter().map(|piece| piece.glyphs.len()).sum();
        let mut clusters = Vec::with_capacity(glyphs);
        for piece in &run.word.pieces {
            for cluster in piece.clusters() {
                clusters.push((piece, start, cluster));
                let width: f32 = cluster.iter().map(|glyph| glyph.advance).sum();
                start.x += size * width;
            }
        }
        if run.word.way() == Way::Left {
            clusters.reverse();
        }
        for (piece, at, cluster) in clusters {
            self.letter_looks(piece, run.style, line);
            self.cluster(piece.face, size, at, cluster, part, line);
        }
    }

    /// Makes the next letters look as they should.
    fn letter_looks(&mut self, piece: &Piece, style: Style, line: &mut Line) {
        let face = Some((piece.face, to_hundredths(style.size.0)));
        if (self.looks.face, self.looks.fill) == (face, to_hundredths(style.shade)) {
            return;
        }
        line.end_string(&mut self.operators);
        self.fill(style.shade);
        let out = &mut self.operators;
        if self.looks.face != face {
            self.looks.face = face;
            out.extend(format!("/{} ", piece.face.short_name()).bytes());
            number(out, style.size.0);
            out.extend(b" Tf\n");
        }
    }

    /// Writes the glyphs of a cluster, the first of which has its characters.
    fn cluster(
        &mut self,
        face: Face,
        size: Pt,
        mut at: Point,
        cluster: &[Glyph],
        part: Option<PartId>,
        line: &mut Line,
    ) {
        let Some(first) = cluster.first() else { return };
        let Some(used) = self.glyphs.use_glyph(face, first.id, &first.characters) else { return };
        let plain = cluster.len() == 1 && used.characters == first.characters;
        // A later glyph of a cluster is an accent, the last of its characters.
        let last = first.characters.char_indices().last().map_or(0, |(at, _)| at);
        let mark = first.characters.get(last..).unwrap_or_default();
        let apart = part.is_some() && !plain;
        if apart {
            line.end(&mut self.operators);
            let said = strings::hexadecimal(&strings::utf16(&first.characters));
            self.open(part, &format!(" /ActualText <{said}>"));
        } else if self.open != Some(part) {
            line.end(&mut self.operators);
            self.open(part, "");
        }
        for glyph in cluster {
            let (right, up) = glyph.shift;
            let place = at + Point::new(size * right, size * up);
            let characters = if glyph.characters.is_empty() { mark } else { &glyph.characters };
            if let Some(used) = self.glyphs.use_glyph(face, glyph.id, characters) {
                line.glyph(&mut self.operators, place, size, used.code, used.width);
            }
            at.x += size * glyph.advance;
        }
        if apart {
            line.end(&mut self.operators);
            self.close();
        }
    }
}

/// A line of words that is being written.
#[derive(Default)]
struct Line {
    /// Whether a text object is open.
    begun: bool,
    /// Where the text object's coordinates begin, in hundredths of a point.
    origin: (i32, i32),
    /// Where the next glyph would stand.
    pen: Pt,
    /// The baseline of the string that is being written, in hundredths of a point.
    baseline: Option<i32>,
}

/// How far a glyph may stand from its place, in thousandths of the size of type, before its place
/// is corrected: at most a hundredth of a millimetre in body type.
const SLACK: f32 = 2.5;

impl Line {
    /// Writes a glyph at a place.
    fn glyph(&mut self, out: &mut Vec<u8>, at: Point, size: Pt, code: u16, width: u16) {
        let baseline = to_hundredths(at.y.0);
        if self.baseline != Some(baseline) {
            self.end_string(out);
            self.begin_string(out, to_hundredths(at.x.0), baseline);
        }
        let off = (at.x - self.pen) / size * 1000.0;
        if off.abs() > SLACK {
            let back = -off.round();
            out.push(b')');
            number(out, back);
            out.push(b'(');
            self.pen += size * (-back / 1000.0);
        }
        op::code(out, code);
        self.pen += size * (f32::from(width) / 1000.0);
    }

    fn begin_string(&mut self, out: &mut Vec<u8>, x: i32, y: i32) {
        if !self.begun {
            self.begun = true;
            self.origin = (0, 0);
            out.extend(b"BT\n");
        }
        hundredths(out, x - self.origin.0);
        out.push(b' ');
        hundredths(out, y - self.origin.1);
        out.extend(b" Td[(");
        self.origin = (x, y);
        #[allow(clippy::cast_precision_loss)] // Places on paper are small numbers.
        let pen = Pt(x as f32 / 100.0);
        self.pen = pen;
        self.baseline = Some(y);
    }

    fn end_string(&mut self, out: &mut Vec<u8>) {
        if self.baseline.take().is_some() {
            out.extend(b")]TJ\n");
        }
    }

    /// Ends the text object.
    fn end(&mut self, out: &mut Vec<u8>) {
        self.end_string(out);
        if std::mem::take(&mut self.begun) {
            out.extend(b"ET\n");
        }
    }
}
