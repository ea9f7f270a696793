//! The signs of a chart: bar lines, repeats, a chord held over, the bar before again.

use super::{line_width, mm};
use crate::blocks::figure::Desk;
use crate::ink::{Drawing, Path, Point, Pt, Segment, Stroke};

/// What stands on a bar line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Boundary {
    /// A repeat ends here.
    pub ends_repeat: bool,
    /// A repeat begins here.
    pub begins_repeat: bool,
    /// A double bar.
    pub is_double: bool,
}

/// The heights between which bar lines run, and of the rule that they cross.
#[derive(Debug, Clone, Copy)]
pub(super) struct Band {
    /// The upper end.
    pub top: Pt,
    /// The rule.
    pub rule: Pt,
    /// The lower end.
    pub bottom: Pt,
}

/// Draws a bar line with its signs about `x`. The dots of a repeat sit on both sides of the rule.
pub(super) fn bar_line(
    drawing: &mut Drawing,
    x: Pt,
    band: Band,
    boundary: Boundary,
    desk: &Desk<'_>,
) {
    let (thin, thick) = (line_width(desk, 0.4), mm(desk, 0.9));
    let mut upright = |x: Pt, width: Pt| {
        drawing.path(Path::line(Point::new(x, band.top), Point::new(x, band.bottom), width));
    };
    let sides = [(boundary.ends_repeat, -1.0_f32), (boundary.begins_repeat, 1.0)];
    let sides = || sides.iter().filter(|(has, _)| *has).map(|(_, side)| *side);
    match boundary {
        _ if boundary.ends_repeat || boundary.begins_repeat => upright(x, thick),
        Boundary { is_double: true, .. } => {
            upright(x - mm(desk, 0.5), thin);
            upright(x + mm(desk, 0.5), thin);
        }
        _ => upright(x, thin),
    }
    for side in sides() {
        upright(x + mm(desk, 1.05) * side, thin);
    }
    for side in sides() {
        for rise in [-1.0, 1.0] {
            let centre = Point::new(x + mm(desk, 2.05) * side, band.rule + mm(desk, 1.0) * rise);
            drawing.path(Path::circle(centre, mm(desk, 0.45), Some(0.0), None));
        }
    }
}

/// Draws the sign that the bar before is played again, centred about a point on the names' baseline.
pub(super) fn again(drawing: &mut Drawing, at: Point, desk: &Desk<'_>) {
    let by = |x: f32, y: f32| at + Point::new(mm(desk, x), mm(desk, y));
    stroke(drawing, by(-1.5, 0.1), by(1.5, -3.1), mm(desk, 0.7));
    for (x, y) in [(-1.6, -2.4), (1.6, -0.6)] {
        drawing.path(Path::circle(by(x, y), mm(desk, 0.5), Some(0.0), None));
    }
}

/// Draws the tie with which a bar takes a chord over from the one before, in the place of a name: swollen in its
/// middle, so that it stays in copies.
pub(super) fn held(drawing: &mut Drawing, from: Pt, to: Pt, baseline: Pt, desk: &Desk<'_>) {
    let reach = to - from;
    if reach <= mm(desk, 1.0) {
        return;
    }
    let foot = baseline - mm(desk, 0.9);
    let at = |part: f32, rise: f32| Point::new(from + reach * part, foot - mm(desk, rise));
    drawing.path(Path {
        segments: vec![
            Segment::Move(at(0.0, 0.0)),
            Segment::Curve(at(0.25, 1.9), at(0.75, 1.9), at(1.0, 0.0)),
            Segment::Curve(at(0.75, 1.2), at(0.25, 1.2), at(0.0, 0.0)),
            Segment::Close,
        ],
        fill: Some(0.0),
        stroke: Some(Stroke { round: true, ..Stroke::black(line_width(desk, 0.2)) }),
    });
}

fn stroke(drawing: &mut Drawing, from: Point, to: Point, width: Pt) {
    let round = Stroke { round: true, ..Stroke::black(width) };
    drawing.path(Path { stroke: Some(round), ..Path::line(from, to, width) });
}
