//! The signs of a chart: bar lines, repeats, slashes, the bar before again.

use crate::blocks::figure::Desk;
use crate::ink::{Drawing, Path, Point, Pt, Stroke, pt};

/// The room that a repeat sign takes from the bar line on.
pub(super) const REPEAT_ROOM: Pt = pt(14.0);

const THIN: Pt = pt(0.8);
const THICK: Pt = pt(2.4);
/// From the middle of a thick line to that of the thin one beside it, and on to the dots.
const TO_THIN: Pt = pt(3.6);
const TO_DOTS: Pt = pt(7.2);
const BETWEEN_DOUBLE: Pt = pt(2.6);
const DOT: Pt = pt(1.2);

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

/// The heights between which bar lines run.
#[derive(Debug, Clone, Copy)]
pub(super) struct Band {
    /// The upper end.
    pub top: Pt,
    /// The lower end.
    pub bottom: Pt,
}

/// Draws a bar line with its signs about `x`.
pub(super) fn bar_line(drawing: &mut Drawing, x: Pt, band: Band, boundary: Boundary) {
    let is_repeat = boundary.ends_repeat || boundary.begins_repeat;
    match boundary {
        _ if is_repeat => upright(drawing, x, band, THICK),
        Boundary { is_double: true, .. } => {
            upright(drawing, x - BETWEEN_DOUBLE, band, THIN);
            upright(drawing, x, band, THIN);
        }
        _ => upright(drawing, x, band, THIN),
    }
    if boundary.ends_repeat {
        upright(drawing, x - TO_THIN, band, THIN);
        dots(drawing, x - TO_DOTS, band);
    }
    if boundary.begins_repeat {
        upright(drawing, x + TO_THIN, band, THIN);
        dots(drawing, x + TO_DOTS, band);
    }
}

fn upright(drawing: &mut Drawing, x: Pt, band: Band, width: Pt) {
    drawing.path(Path::line(Point::new(x, band.top), Point::new(x, band.bottom), width));
}

fn dots(drawing: &mut Drawing, x: Pt, band: Band) {
    let height = band.bottom - band.top;
    for part in [0.36, 0.64] {
        let centre = Point::new(x, band.top + height * part);
        drawing.path(Path::circle(centre, DOT, Some(0.0), None));
    }
}

/// How wide the slash of a held chord is.
pub(super) fn slash_width(desk: &Desk<'_>) -> Pt {
    desk.look.symbol_size * 0.42
}

/// Draws the slash of a held chord, standing on a baseline.
pub(super) fn slash(drawing: &mut Drawing, at: Point, desk: &Desk<'_>) {
    let size = desk.look.symbol_size;
    let top = at + Point::new(slash_width(desk), size * -0.68);
    stroke(drawing, at + Point::new(Pt::ZERO, size * 0.04), top, size * 0.11);
}

/// How wide the sign for the bar before again is.
pub(super) fn again_width(desk: &Desk<'_>) -> Pt {
    desk.look.symbol_size * 1.2
}

/// Draws the sign for the bar before again, centred about a point on the baseline.
pub(super) fn again(drawing: &mut Drawing, at: Point, desk: &Desk<'_>) {
    let size = desk.look.symbol_size;
    let low = at + Point::new(size * -0.36, size * 0.06);
    let high = at + Point::new(size * 0.36, size * -0.76);
    stroke(drawing, low, high, size * 0.15);
    for (x, y) in [(-0.36, -0.58), (0.36, -0.12)] {
        let centre = at + Point::new(size * x, size * y);
        drawing.path(Path::circle(centre, size * 0.11, Some(0.0), None));
    }
}

fn stroke(drawing: &mut Drawing, from: Point, to: Point, width: Pt) {
    let round = Stroke { round: true, ..Stroke::black(width.max(pt(0.8))) };
    drawing.path(Path { stroke: Some(round), ..Path::line(from, to, width) });
}

/// The size of the numbers of a meter, two of which fill the height of a bar line.
pub(super) fn meter_size(desk: &Desk<'_>) -> Pt {
    (desk.look.symbol_size * 0.85).max(desk.look.small_size)
}
