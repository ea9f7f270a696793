//! Drawing one chord box: its grid, the signs above it, bars, fingers and labels.

use super::{ChordBox, DIGITS, Measures, share};
use crate::blocks::figure::{Desk, DotLabel, layer};
use crate::ink::{Drawing, Label, Path, Point, Pt, Segment, Stroke, Style, group_from};
use crate::neck::{Finger, Fingering, Fret, StringIndex};

/// Draws one box.
pub(super) struct Pen<'a> {
    pub(super) shape: &'a ChordBox<'a>,
    pub(super) drawing: &'a mut Drawing,
    /// Where the left end of the nut is.
    pub(super) at: Point,
    pub(super) rows: u8,
    pub(super) measures: &'a Measures,
    pub(super) desk: &'a Desk<'a>,
}

impl Pen<'_> {
    pub(super) fn draw(mut self) {
        self.grid();
        self.top();
        self.each(Pen::head);
        for (finger, fret) in fingers_in_use(self.shape.fingering) {
            self.barre(finger, fret);
        }
        self.each(Pen::dot);
        self.as_group(Label::Layer(layer::FINGERS), |pen| pen.each(Pen::sign));
        for (layer, label) in self.measures.label.drawn() {
            self.as_group(layer, |pen| pen.each(|pen, string| pen.foot(string, label)));
        }
    }

    fn each(&mut self, draw: impl Fn(&mut Self, StringIndex)) {
        StringIndex::first(self.shape.strings()).for_each(|string| draw(self, string));
    }

    /// Draws something as a group of its own.
    fn as_group(&mut self, label: Label, draw: impl FnOnce(&mut Self)) {
        let from = self.drawing.items.len();
        draw(self);
        group_from(&mut self.drawing.items, from, label);
    }

    /// So many units.
    fn units(&self, share: f32) -> Pt {
        self.measures.unit * share
    }

    /// A string's distance from the left.
    fn x(&self, string: StringIndex) -> Pt {
        let last = self.shape.strings().saturating_sub(1);
        let index = string.index();
        let place = if self.shape.left_handed { last.saturating_sub(index) } else { index };
        self.at.x + self.measures.gap * place as f32
    }

    /// The height of a fret's wire; of the nut for 0 rows.
    fn wire(&self, row: u8) -> Pt {
        self.at.y + self.measures.row * f32::from(row)
    }

    /// Where a finger on a fret is centred.
    fn place(&self, string: StringIndex, fret: Fret) -> Point {
        let row = fret.above(self.shape.first_fret());
        Point::new(self.x(string), self.wire(row) + self.measures.row / 2.0)
    }

    fn right(&self) -> Pt {
        self.at.x + self.measures.width(self.shape.strings())
    }

    fn grid(&mut self) {
        let (left, right, bottom) = (self.at.x, self.right(), self.wire(self.rows));
        let line = self.measures.line(share::LINE);
        for row in 0..=self.rows {
            let y = self.wire(row);
            self.drawing.path(Path::line(Point::new(left, y), Point::new(right, y), line));
        }
        for string in StringIndex::first(self.shape.strings()) {
            let x = self.x(string);
            // A hair longer at both ends, so that the corners are closed.
            let (top, bottom) = (self.at.y - line / 2.0, bottom + line / 2.0);
            self.drawing.path(Path::line(Point::new(x, top), Point::new(x, bottom), line));
        }
    }

    /// The nut, the capo, or the number of the first fret.
    fn top(&mut self) {
        let (left, right, y) = (self.at.x, self.right(), self.at.y);
        let line = self.measures.line(share::LINE);
        if let Some(number) = self.shape.number(self.desk) {
            let beside = self.shape.beside(self.measures);
            let x = match self.shape.left_handed {
                true => right + beside,
                false => left - beside - number.width,
            };
            let size = self.units(share::NUMBER);
            let cap = self.desk.fonts.measures(DIGITS, size).cap_height;
            let baseline = self.wire(0) + (self.measures.row + cap) / 2.0;
            self.drawing.text(Point::new(x, baseline), number);
            return;
        }
        if self.shape.capo {
            let (over, thick) = (self.units(share::DOT * 0.8), self.measures.line(share::CAPO));
            let y = y - thick * 0.35;
            let mut bar =
                Path::line(Point::new(left - over, y), Point::new(right + over, y), thick);
            bar.stroke = Some(Stroke { round: true, ..Stroke::black(thick) });
            self.drawing.path(bar);
            return;
        }
        let nut = self.measures.line(share::NUT);
        let edge = Point::new(left - line / 2.0, y - nut);
        self.drawing.path(Path::rectangle(edge, right - left + line, nut, 0.0));
    }

    /// The sign above an open or a silent string.
    fn head(&mut self, string: StringIndex) {
        let size = self.units(share::SIGN);
        let above = self.units(share::NUT + share::CLEAR) + size;
        let centre = Point::new(self.x(string), self.at.y - above);
        let corner = |x: f32, y: f32| centre + Point::new(size * x, size * y);
        let line = self.measures.line(share::OUTLINE);
        match self.shape.fingering.frets.get(string.index()) {
            Some(None) if self.shape.blank.is_some() => {}
            Some(None) => {
                for (from, to) in [((-0.9, -0.9), (0.9, 0.9)), ((-0.9, 0.9), (0.9, -0.9))] {
                    let line = Path::line(corner(from.0, from.1), corner(to.0, to.1), line);
                    self.drawing.path(line);
                }
            }
            Some(Some(Fret::OPEN)) if self.shape.is_root(string) => {
                let line = line * 1.5;
                let square = square(centre, size - line / 2.0, None, Some(Stroke::black(line)));
                self.drawing.path(square);
            }
            Some(Some(Fret::OPEN)) => {
                let radius = size - line / 2.0;
                self.drawing.path(Path::circle(centre, radius, None, Some(Stroke::black(line))));
            }
            _ => {}
        }
    }

    /// A bar where a finger presses several strings, from the outermost to the outermost.
    fn barre(&mut self, finger: Finger, fret: Fret) {
        let presses = |string: &StringIndex| {
            let Fingering { fingers, frets } = self.shape.fingering;
            fingers.get(string.index()) == Some(&Some(finger))
                && frets.get(string.index()) == Some(&Some(fret))
        };
        let mut on = StringIndex::first(self.shape.strings()).filter(presses);
        let Some(first) = on.next() else { return };
        let Some(last) = on.next_back() else { return };
        let end =
            |string| End { at: self.place(string, fret), is_round: !self.shape.is_root(string) };
        let (left, right) = match self.shape.left_handed {
            true => (end(last), end(first)),
            false => (end(first), end(last)),
        };
        let outline = self.measures.line(share::OUTLINE);
        let round = Round {
            further: self.units(share::FURTHER),
            across: self.units(share::DOT) - outline / 2.0,
            reach: self.units(share::SQUARE) - outline / 2.0,
        };
        let bar = bar(left, right, round);
        self.drawing.path(Path { stroke: Some(Stroke::black(outline)), ..bar });
    }

    /// The place of the finger on a string.
    fn dot(&mut self, string: StringIndex) {
        let Some(fret) = self.fret(string).filter(|fret| fret.is_pressed()) else { return };
        let centre = self.place(string, fret);
        let is_root = self.shape.is_root(string);
        if is_root {
            self.drawing.path(square(centre, self.units(share::SQUARE), Some(0.0), None));
        } else if !self.shape.is_barred(string) {
            let outline = self.measures.line(share::OUTLINE);
            let radius = self.units(share::DOT) - outline / 2.0;
            let outline = Some(Stroke::black(outline));
            self.drawing.path(Path::circle(centre, radius, Some(1.0), outline));
        }
    }

    /// The finger on a string.
    fn sign(&mut self, string: StringIndex) {
        let Some(fret) = self.fret(string).filter(|fret| fret.is_pressed()) else { return };
        let centre = self.place(string, fret);
        let is_root = self.shape.is_root(string);
        if let Some(finger) = self.finger(string) {
            let (shade, size) =
                if is_root { (1.0, share::ROOT_FINGER) } else { (0.0, share::FINGER) };
            let style = Style { shade, ..Style::new(DIGITS, self.units(size)) };
            let sign = self.desk.words(&finger.sign().to_string(), style);
            let baseline = centre.y + self.measures.finger_cap * (size / share::FINGER) / 2.0;
            self.drawing.text_centred(centre.x, baseline, sign);
        }
    }

    fn fret(&self, string: StringIndex) -> Option<Fret> {
        self.shape.fingering.frets.get(string.index()).copied().flatten()
    }

    fn finger(&self, string: StringIndex) -> Option<Finger> {
        self.shape.fingering.fingers.get(string.index()).copied().flatten()
    }

    /// What the string sounds.
    fn foot(&mut self, string: StringIndex, label: DotLabel) {
        if let Some(label) = self.shape.label(string, label, self.desk) {
            let y = self.wire(self.rows) + self.units(share::FOOT);
            let left = self.x(string) - label.reach().0;
            self.drawing.text(Point::new(left, y), label.text);
        }
    }
}

/// Each finger with the fret that it presses, in the order of the fingers.
fn fingers_in_use(fingering: &Fingering) -> Vec<(Finger, Fret)> {
    let pairs = fingering.fingers.iter().zip(&fingering.frets);
    let mut used: Vec<(Finger, Fret)> =
        pairs.filter_map(|(finger, fret)| Some(((*finger)?, (*fret)?))).collect();
    used.sort_unstable();
    used.dedup();
    used
}

/// A square about a centre, from which its sides lie `reach` away.
fn square(centre: Point, reach: Pt, fill: Option<f32>, stroke: Option<Stroke>) -> Path {
    let corner = centre + Point::new(-reach, -reach);
    let square = Path::rectangle(corner, reach * 2.0, reach * 2.0, 0.0);
    Path { fill, stroke, ..square }
}

/// An end of a bar.
#[derive(Clone, Copy)]
struct End {
    /// The middle of its string.
    at: Point,
    /// Whether it goes round the string. Under a root's square it ends on the string, so that the square hides
    /// it.
    is_round: bool,
}

/// The measures of a bar.
struct Round {
    /// How far past its last strings it goes straight on before it is rounded, so that their fingers stand clear.
    further: Pt,
    /// How far its round ends reach out from there.
    across: Pt,
    /// Half its height.
    reach: Pt,
}

/// So much of a quarter of a circle's radius lies between its ends and the points that pull its curve.
const QUARTER: f32 = 0.552;

/// A white bar, without its line.
fn bar(left: End, right: End, round: Round) -> Path {
    let Round { further, across, reach } = round;
    let mut segments = vec![Segment::Move(left.at + Point::new(Pt::ZERO, -reach))];
    // Downwards at the right end, upwards at the left.
    for (end, way) in [(right, 1.0), (left, -1.0)] {
        let at = |x: Pt, y: f32| end.at + Point::new(x * way, reach * (y * way));
        if !end.is_round {
            segments.push(Segment::Line(at(Pt::ZERO, -1.0)));
            segments.push(Segment::Line(at(Pt::ZERO, 1.0)));
            continue;
        }
        let (bent, out) = (further + across * QUARTER, further + across);
        segments.push(Segment::Line(at(further, -1.0)));
        segments.push(Segment::Curve(at(bent, -1.0), at(out, -QUARTER), at(out, 0.0)));
        segments.push(Segment::Curve(at(out, QUARTER), at(bent, 1.0), at(further, 1.0)));
        segments.push(Segment::Line(at(Pt::ZERO, 1.0)));
    }
    segments.push(Segment::Close);
    Path { segments, fill: Some(1.0), stroke: None }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ink::pt;

    #[test]
    fn a_bar_goes_straight_past_its_strings_and_then_round_within_its_reach() {
        let end = |x: f32, is_round| End { at: Point::new(pt(x), pt(0.0)), is_round };
        let round = Round { further: pt(1.0), across: pt(4.0), reach: pt(3.0) };
        let bar = bar(end(0.0, false), end(50.0, true), round);
        let ends = bar.segments.iter().flat_map(|segment| match *segment {
            Segment::Move(to) | Segment::Line(to) => vec![to.x.0],
            Segment::Curve(one, other, to) => vec![one.x.0, other.x.0, to.x.0],
            Segment::Close => vec![],
        });
        let ends: Vec<f32> = ends.collect();
        assert!(ends.contains(&51.0), "{ends:?}");
        assert!(ends.iter().all(|x| (0.0..=55.0).contains(x)) && ends.contains(&55.0), "{ends:?}");
    }
}
