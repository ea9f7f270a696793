//! The signs of tab and rhythm, drawn as paths of our own: flags, rests, arrows, strokes of the
//! pick, waves, slurs.

use crate::ink::{Path, Point, Pt, Segment, Stroke, pt};
use crate::music::tab::Pick;

/// A pen that draws a filled or stroked path about an origin in units of a length.
struct Pen {
    origin: Point,
    unit: Pt,
    segments: Vec<Segment>,
}

impl Pen {
    fn at(x: Pt, y: Pt, unit: Pt) -> Pen {
        Pen { origin: Point::new(x, y), unit, segments: Vec::new() }
    }

    fn point(&self, (x, y): (f32, f32)) -> Point {
        self.origin + Point::new(self.unit * x, self.unit * y)
    }

    fn start(mut self, at: (f32, f32)) -> Pen {
        self.segments.push(Segment::Move(self.point(at)));
        self
    }

    fn to(mut self, at: (f32, f32)) -> Pen {
        self.segments.push(Segment::Line(self.point(at)));
        self
    }

    fn curve(mut self, a: (f32, f32), b: (f32, f32), at: (f32, f32)) -> Pen {
        let curve = Segment::Curve(self.point(a), self.point(b), self.point(at));
        self.segments.push(curve);
        self
    }

    fn filled(mut self) -> Path {
        self.segments.push(Segment::Close);
        Path { segments: self.segments, fill: Some(0.0), stroke: None }
    }

    fn stroked(self, width: Pt) -> Path {
        let stroke = Stroke { round: true, ..Stroke::black(width) };
        Path { segments: self.segments, fill: None, stroke: Some(stroke) }
    }
}

/// A flag at the lower end of a hanging stem, its tip bent back upwards.
pub(super) fn flag(x: Pt, y: Pt, gap: Pt) -> Path {
    Pen::at(x, y, gap)
        .start((0.0, 0.0))
        .curve((0.08, -0.45), (0.72, -0.55), (0.62, -1.35))
        .curve((0.98, -0.72), (0.42, -0.28), (0.0, 0.22))
        .filled()
}

/// A rest of a value (0 whole, 1 half, 2 quarter …) centred at a place.
pub(super) fn rest(halvings: u8, x: Pt, y: Pt, gap: Pt) -> Vec<Path> {
    match halvings {
        0 => block_rest(x, y, gap, 0.0),
        1 => block_rest(x, y, gap, -0.42),
        2 => vec![quarter_rest(x, y, gap)],
        _ => hooked_rest(halvings - 2, x, y, gap),
    }
}

/// A block that hangs from a short line (a whole rest) or sits on it (a half rest).
fn block_rest(x: Pt, y: Pt, gap: Pt, top: f32) -> Vec<Path> {
    let line = Path::line(
        Point::new(x - gap * 0.8, y),
        Point::new(x + gap * 0.8, y),
        (gap * 0.09).max(pt(0.5)),
    );
    let corner = Point::new(x - gap * 0.5, y + gap * top);
    vec![line, Path::rectangle(corner, gap, gap * 0.42, 0.0)]
}

fn quarter_rest(x: Pt, y: Pt, gap: Pt) -> Path {
    Pen::at(x, y, gap)
        .start((-0.22, -1.2))
        .to((0.34, -0.48))
        .curve((0.02, -0.2), (0.02, 0.1), (0.38, 0.5))
        .curve((-0.08, 0.34), (-0.2, 0.62), (0.14, 1.12))
        .curve((-0.52, 0.78), (-0.5, 0.2), (0.06, 0.3))
        .to((-0.36, -0.2))
        .curve((-0.02, -0.5), (0.04, -0.78), (-0.22, -1.2))
        .filled()
}

/// A slanted stroke with as many hooks as the value has flags.
fn hooked_rest(hooks: u8, x: Pt, y: Pt, gap: Pt) -> Vec<Path> {
    let rows = f32::from(hooks);
    let top = -0.5 * rows - 0.2;
    let foot = top + 0.62 * rows + 0.75;
    // The stroke leans by a quarter of its height.
    let lean = |height: f32| 0.36 - 0.27 * (height - top);
    let stem = Pen::at(x, y, gap)
        .start((lean(top), top))
        .to((lean(foot), foot))
        .stroked((gap * 0.12).max(pt(0.6)));
    let mut paths = vec![stem];
    for hook in 0..hooks {
        let height = top + 0.62 * f32::from(hook);
        let tip = lean(height);
        let arm = Pen::at(x, y, gap)
            .start((tip - 0.62, height + 0.06))
            .curve((tip - 0.42, height + 0.36), (tip - 0.16, height + 0.3), (tip, height))
            .stroked((gap * 0.12).max(pt(0.6)));
        let knob = Point::new(x + gap * (tip - 0.58), y + gap * (height + 0.06));
        paths.push(arm);
        paths.push(Path::circle(knob, gap * 0.17, Some(0.0), None));
    }
    paths
}

/// Half the width of a hollow head, in distances between tab lines.
pub(super) const HALF_HEAD: f32 = 0.44;

/// The hollow head of a half or whole note, centred at a place.
pub(super) fn hollow_head(x: Pt, y: Pt, gap: Pt) -> Path {
    let stroke = Stroke::black((gap * 0.14).max(pt(0.8)));
    let mut path = Pen::at(x, y, gap)
        .start((-0.44, 0.08))
        .curve((-0.4, -0.3), (0.36, -0.42), (0.44, -0.08))
        .curve((0.4, 0.3), (-0.36, 0.42), (-0.44, 0.08))
        .filled();
    path.fill = None;
    path.stroke = Some(stroke);
    path
}

/// A dot that lengthens a note.
pub(super) fn dot(x: Pt, y: Pt, gap: Pt) -> Path {
    Path::circle(Point::new(x, y), (gap * 0.15).max(pt(0.8)), Some(0.0), None)
}

/// A beam, `thick` high, its upper edge given.
pub(super) fn beam(from: Pt, to: Pt, upper: Pt, thick: Pt) -> Path {
    Path::rectangle(Point::new(from, upper), to - from, thick, 0.0)
}

/// A slur or tie: a sickle from point to point, thickest in its middle, that rises by a height
/// (or sinks, where that is negative).
pub(super) fn slur(from: (Pt, Pt), to: (Pt, Pt), rise: Pt, thick: Pt) -> Path {
    let width = to.0 - from.0;
    let bow = |rise: Pt| {
        let lift = rise * 4.0 / 3.0;
        let (a, b) = (from.0 + width * 0.25, to.0 - width * 0.25);
        (Point::new(a, from.1 - lift), Point::new(b, to.1 - lift))
    };
    let (outer, inner) = (bow(rise), bow(rise - thick * rise.0.signum()));
    let (from, to) = (Point::new(from.0, from.1), Point::new(to.0, to.1));
    let segments = vec![
        Segment::Move(from),
        Segment::Curve(outer.0, outer.1, to),
        Segment::Curve(inner.1, inner.0, from),
        Segment::Close,
    ];
    // The thin ends are never finer than the finest line.
    Path { segments, fill: Some(0.0), stroke: Some(Stroke::black(pt(0.4))) }
}

/// Which way an arrow's head points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Up,
    Down,
}

/// An arrow's open head of two slim strokes, its tip at a place.
pub(super) fn arrow_head(x: Pt, y: Pt, gap: Pt, way: Way) -> Path {
    let back = if way == Way::Up { 0.58 } else { -0.58 };
    let pen = Pen::at(x, y, gap).start((-0.3, back)).to((0.0, 0.0)).to((0.3, back));
    pen.stroked((gap * 0.1).max(pt(0.6)))
}

/// The curved shaft of a bend or a release: level first, then steep.
pub(super) fn bend(from: (Pt, Pt), to: (Pt, Pt), width: Pt) -> Path {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let segments = vec![
        Segment::Move(Point::new(from.0, from.1)),
        Segment::Curve(
            Point::new(from.0 + dx * 0.8, from.1),
            Point::new(to.0, from.1 + dy * 0.36),
            Point::new(to.0, to.1),
        ),
    ];
    Path { segments, fill: None, stroke: Some(Stroke::black(width)) }
}

/// A wavy line of whole waves between two ends, about a height.
pub(super) fn wave(from: Pt, to: Pt, y: Pt, gap: Pt) -> Path {
    let length = gap * 0.62;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // Positive and small.
    let waves = ((to - from) / length).clamp(2.0, 400.0) as u16;
    let mut pen = Pen::at(from, y, gap).start((0.0, 0.0));
    for wave in 0..waves {
        let x = f32::from(wave) * 0.62;
        pen = pen.curve((x + 0.1, -0.28), (x + 0.21, -0.28), (x + 0.31, 0.0)).curve(
            (x + 0.41, 0.28),
            (x + 0.52, 0.28),
            (x + 0.62, 0.0),
        );
    }
    pen.stroked((gap * 0.15).max(pt(0.8)))
}

/// Half the height of an accent with its stroke, in distances between tab lines.
pub(in super::super) const HALF_ACCENT: f32 = 0.37;

/// An accent, centred at a place.
pub(in super::super) fn accent(x: Pt, y: Pt, gap: Pt) -> Path {
    Pen::at(x, y, gap)
        .start((-0.5, -0.3))
        .to((0.5, 0.0))
        .to((-0.5, 0.3))
        .stroked((gap * 0.13).max(pt(0.7)))
}

/// The end of a run's line: a small wedge that hangs from it and points to where the run ends.
pub(super) fn run_end(x: Pt, y: Pt, gap: Pt) -> Path {
    Pen::at(x, y, gap).start((-0.36, 0.0)).to((0.0, 0.0)).to((0.0, 0.42)).filled()
}

/// A pointed bracket of a harmonic: `reach` wide to the left (or right, where negative), as high
/// as the figures.
pub(super) fn pointed_bracket(x: Pt, y: Pt, reach: Pt, height: Pt) -> Path {
    let half = height / 2.0;
    let segments = vec![
        Segment::Move(Point::new(x, y - half)),
        Segment::Line(Point::new(x - reach, y)),
        Segment::Line(Point::new(x, y + half)),
    ];
    let stroke = Stroke { round: true, ..Stroke::black((height * 0.11).max(pt(0.6))) };
    Path { segments, fill: None, stroke: Some(stroke) }
}

/// A strum across the strings in a lane from top to bottom: a wedge that points where the hand goes,
/// filled downwards and open upwards; choked a cross.
pub(super) fn strum(stroke: Pick, x: Pt, (top, bottom): (Pt, Pt), half: Pt) -> Vec<Path> {
    let firm = (half * 0.32).max(pt(0.9));
    let inner = firm / 2.0;
    let wedge = |base: Pt, tip: Pt| {
        let segments = vec![
            Segment::Move(Point::new(x - half, base)),
            Segment::Line(Point::new(x + half, base)),
            Segment::Line(Point::new(x, tip)),
            Segment::Close,
        ];
        let stroke = Stroke { round: true, ..Stroke::black(firm) };
        Path { segments, fill: None, stroke: Some(stroke) }
    };
    match stroke {
        Pick::Down => {
            vec![Path { fill: Some(0.0), ..wedge(top + inner, bottom - inner) }]
        }
        Pick::Up => vec![wedge(bottom - inner, top + inner)],
        Pick::Choked => {
            let middle = (top + bottom) / 2.0;
            let arm = half * 1.15;
            let leg = |down: f32| {
                let from = Point::new(x - arm, middle - arm * down);
                let mut line =
                    Path::line(from, Point::new(x + arm, middle + arm * down), firm * 1.3);
                line.stroke = Some(Stroke { round: true, ..Stroke::black(firm * 1.3) });
                line
            };
            vec![leg(1.0), leg(-1.0)]
        }
    }
}

/// A stroke of the pick as the trade draws it, standing on a baseline: down a bridge with a heavy
/// top, up a wedge on its point, choked a cross.
pub(super) fn pick(stroke: Pick, x: Pt, baseline: Pt, size: Pt) -> Vec<Path> {
    let firm = (size * 0.09).max(pt(0.7));
    let pen = || Pen::at(x, baseline, size);
    match stroke {
        Pick::Down => vec![
            pen()
                .start((-0.3, 0.0))
                .to((-0.3, -0.62))
                .to((0.3, -0.62))
                .to((0.3, 0.0))
                .stroked(firm),
            Path::rectangle(
                Point::new(x - size * 0.3, baseline - size * 0.68),
                size * 0.6,
                size * 0.24,
                0.0,
            ),
        ],
        Pick::Up => {
            vec![pen().start((-0.27, -0.68)).to((0.0, 0.0)).to((0.27, -0.68)).stroked(firm)]
        }
        Pick::Choked => vec![
            pen().start((-0.24, -0.06)).to((0.24, -0.56)).stroked(firm),
            pen().start((-0.24, -0.56)).to((0.24, -0.06)).stroked(firm),
        ],
    }
}

/// A stroke of the pick that strikes nothing: in brackets, as notes are that needn't be played.
pub(super) fn air_pick(stroke: Pick, x: Pt, baseline: Pt, size: Pt) -> Vec<Path> {
    let brackets = [-1.0, 1.0].map(|side| round_bracket(x, baseline, size, side));
    pick(stroke, x, baseline, size).into_iter().chain(brackets).collect()
}

/// A bracket beside a stroke of the pick, on its left where the side is -1 and on its right where it is 1.
pub(super) fn round_bracket(x: Pt, baseline: Pt, size: Pt, side: f32) -> Path {
    let at = |out: f32, up: f32| (side * out, -up);
    Pen::at(x, baseline, size)
        .start(at(0.48, 0.82))
        .curve(at(0.66, 0.56), at(0.66, 0.12), at(0.48, -0.14))
        .stroked((size * 0.07).max(pt(0.5)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_head_of_an_arrow_is_two_open_strokes() {
        let head = arrow_head(Pt::ZERO, Pt::ZERO, pt(8.5), Way::Up);
        assert!(head.fill.is_none() && head.stroke.is_some());
        assert_eq!(head.segments.len(), 3);
    }
}
