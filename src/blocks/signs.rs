//! Signs that tabs and charts share: bar lines and the dots of repeats.

use crate::ink::{Path, Point, Pt, pt};

/// What stands at the end of a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BarLine {
    /// Nothing: a bar that goes on in the next line, or a line's open beginning.
    Open,
    /// One thin line.
    Single,
    /// Two thin lines.
    Double,
    /// A thin and a thick line: the end.
    Final,
    /// A thick and a thin line with dots behind them.
    RepeatStart,
    /// Dots, a thin and a thick line.
    RepeatEnd,
    /// A repeat ends and another begins.
    RepeatBoth,
}

/// Where a bar line stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Upright {
    /// Its axis.
    pub x: Pt,
    /// Its upper end.
    pub top: Pt,
    /// Its lower end.
    pub bottom: Pt,
    /// The length that its thickness and its gaps follow: the distance of tab lines, or a fifth of
    /// a chart's line height.
    pub unit: Pt,
    /// How far the dots of a repeat stand above and below the middle.
    pub dots: Pt,
}

impl BarLine {
    /// The line between two bars: how the first ends, and whether a repeat begins with the second.
    pub fn between(end: BarLine, repeat_starts: bool) -> BarLine {
        match (end, repeat_starts) {
            (BarLine::RepeatEnd, true) => BarLine::RepeatBoth,
            (_, true) => BarLine::RepeatStart,
            _ => end,
        }
    }

    /// How far the sign reaches to the left and to the right of its axis.
    pub fn reach(self, unit: Pt) -> (Pt, Pt) {
        let (thin, dotted) = (thin(unit) / 2.0, unit * 1.15);
        match self {
            BarLine::Open => (Pt::ZERO, Pt::ZERO),
            BarLine::Single => (thin, thin),
            BarLine::Double => (unit * 0.4 + thin, thin),
            BarLine::Final => (unit * FINAL + thin, thick(unit) / 2.0),
            BarLine::RepeatStart => (thick(unit) / 2.0, dotted),
            BarLine::RepeatEnd => (dotted, thick(unit) / 2.0),
            BarLine::RepeatBoth => (dotted, dotted),
        }
    }

    /// The sign's paths.
    pub fn draw(self, at: Upright) -> Vec<Path> {
        let unit = at.unit;
        let line = |shift: Pt, width: Pt| {
            let x = at.x + shift;
            Path::line(Point::new(x, at.top), Point::new(x, at.bottom), width)
        };
        let middle = (at.top + at.bottom) / 2.0;
        let dot = |shift: Pt, rise: Pt| {
            let centre = Point::new(at.x + shift, middle + rise);
            Path::circle(centre, unit * 0.17, Some(0.0), None)
        };
        let beside = |side: f32| {
            let (near, far) = (unit * 0.5 * side, unit * 0.98 * side);
            [line(near, thin(unit)), dot(far, at.dots), dot(far, -at.dots)]
        };
        match self {
            BarLine::Open => Vec::new(),
            BarLine::Single => vec![line(Pt::ZERO, thin(unit))],
            BarLine::Double => vec![line(unit * -0.4, thin(unit)), line(Pt::ZERO, thin(unit))],
            BarLine::Final => vec![line(unit * -FINAL, thin(unit)), line(Pt::ZERO, thick(unit))],
            _ => {
                let mut paths = vec![line(Pt::ZERO, thick(unit))];
                if self != BarLine::RepeatStart {
                    paths.extend(beside(-1.0));
                }
                if self != BarLine::RepeatEnd {
                    paths.extend(beside(1.0));
                }
                paths
            }
        }
    }
}

/// How far the axes of the two lines at the end stand apart, in units: white of 0.8 mm between them where tab lines
/// lie 3.0 apart (by eye).
const FINAL: f32 = 0.46;

/// The width of a thin bar line: over that of the lines it crosses, so that a copy of a copy shows each; by eye, on
/// blurred prints.
fn thin(unit: Pt) -> Pt {
    (unit * 0.14).max(pt(0.6))
}

/// The width of a thick one (looks, "Tab": 0.9 mm where lines lie 3.0 apart).
pub fn thick(unit: Pt) -> Pt {
    (unit * 0.3).max(pt(2.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_between_bars_join_what_ends_and_what_begins() {
        let rows = [
            (BarLine::Single, false, BarLine::Single),
            (BarLine::Single, true, BarLine::RepeatStart),
            (BarLine::Double, false, BarLine::Double),
            (BarLine::RepeatEnd, false, BarLine::RepeatEnd),
            (BarLine::RepeatEnd, true, BarLine::RepeatBoth),
        ];
        for (end, starts, joined) in rows {
            assert_eq!(BarLine::between(end, starts), joined);
        }
    }

    #[test]
    fn no_sign_reaches_beyond_what_it_says() {
        let at =
            Upright { x: pt(50.0), top: pt(0.0), bottom: pt(40.0), unit: pt(8.0), dots: pt(8.0) };
        for sign in [
            BarLine::Single,
            BarLine::Double,
            BarLine::Final,
            BarLine::RepeatStart,
            BarLine::RepeatBoth,
        ] {
            let (left, right) = sign.reach(at.unit);
            for path in sign.draw(at) {
                let half = path.stroke.map_or(Pt::ZERO, |stroke| stroke.width / 2.0);
                for segment in path.segments {
                    let points = match segment {
                        crate::ink::Segment::Move(a) | crate::ink::Segment::Line(a) => vec![a],
                        crate::ink::Segment::Curve(a, b, c) => vec![a, b, c],
                        crate::ink::Segment::Close => vec![],
                    };
                    for point in points {
                        assert!(point.x - half >= at.x - left - pt(0.01), "{sign:?}");
                        assert!(point.x + half <= at.x + right + pt(0.01), "{sign:?}");
                    }
                }
            }
        }
    }
}
