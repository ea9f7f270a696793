//! How large the lines, marks and airs of a neck are: shares of the distance between strings, and of
//! the labels' size. So a chart for the wall and large print are drawn as heavy as they are large.

use crate::blocks::figure::Look;
use crate::ink::measure::LineWidth;
use crate::ink::{Path, Point, Pt, Stroke};

/// The least distance between strings, in parts of the labels' size: marks above each other need it.
const GAP: f32 = 1.38;
/// The height of a mark, its outline included, in parts of the distance between strings: as a chord
/// box's dot (looks, "Boxes": 3.4 mm at 3.9 mm).
const MARK: f32 = 0.87;
/// A fret is at most so many of a chord box's gaps wide: 16 mm in a handout, 28 in large print (looks, "Necks").
const WIDEST_FRET: f32 = 4.1;
/// Half the width of a mark, its outline included, is at most this share of the narrowest fret (looks,
/// "Necks").
const WIDEST_HALF: f32 = 0.85 / 2.0;
/// Lines in parts of the gap: a fret and the nut as a chord box has them (0.34 and 1.0 mm at 3.9 mm), the thinnest and the thickest string, and outlines; the last four chosen by eye.
const WIRE: f32 = 0.087;
const NUT: f32 = 0.256;
const STRING: f32 = 0.06;
const THICKER: f32 = 0.05;
const OUTLINE: f32 = 0.08;
const HEAVY_OUTLINE: f32 = 0.13;
/// The least radius of a mark, the air beside its label, the least air, and the air between two
/// numbers, in parts of the labels' size; chosen by eye.
const LEAST_RADIUS: f32 = 0.5;
const AIR: f32 = 0.16;
const LEAST_AIR: f32 = 0.1;
const BETWEEN_NUMBERS: f32 = 0.3;
/// A square is so much lower than a round mark and looks as large.
const SQUARE: f32 = 0.92;
/// A capital's height in parts of its size, in the face of labels.
const CAP: f32 = 0.66;

/// The measures of a board.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measures {
    /// The size of the labels.
    pub(super) size: Pt,
    /// The distance between strings.
    pub(super) gap: Pt,
    /// A fret is never drawn wider.
    pub(super) widest_fret: Pt,
    /// Half the height of a round mark without half of its outline.
    pub(super) radius: Pt,
    /// The air beside a label, as far as the outline's middle.
    pub(super) air: Pt,
}

impl Measures {
    /// What a template's looks come to where frets are wide enough.
    pub(super) fn natural(look: &Look) -> Measures {
        let size = look.small_size;
        let gap = look.box_gap.max(size * GAP);
        let radius = gap * (MARK - OUTLINE) / 2.0;
        Measures { size, gap, widest_fret: look.box_gap * WIDEST_FRET, radius, air: size * AIR }
    }

    /// Half the width that a mark may have on a fret, as far as its outline's middle.
    pub(super) fn room(&self, fret: Pt) -> Pt {
        fret * WIDEST_HALF - self.outline() / 2.0
    }

    /// Half the width of a mark as far as its outline's middle: its label needs air beside it.
    pub(super) fn half_width(&self, label: Pt) -> Pt {
        (label / 2.0 + self.air).max(self.radius)
    }

    pub(super) fn least_radius(&self) -> Pt {
        self.size * LEAST_RADIUS
    }

    pub(super) fn least_air(&self) -> Pt {
        self.size * LEAST_AIR
    }

    pub(super) fn between_numbers(&self) -> Pt {
        self.size * BETWEEN_NUMBERS
    }

    /// The least width of the column of open strings.
    pub(super) fn least_open(&self) -> Pt {
        self.gap * (MARK + NUT) + self.apart()
    }

    /// The air between the strings' letters, open strings' marks and the nut, taken together.
    pub(super) fn apart(&self) -> Pt {
        self.gap * 0.75
    }

    /// How far strings go on where the neck does.
    pub(super) fn overhang(&self) -> Pt {
        self.gap * 0.3
    }

    pub(super) fn wire(&self) -> Pt {
        self.line(WIRE)
    }

    pub(super) fn nut(&self) -> Pt {
        self.line(NUT)
    }

    /// The thickness of a string, 0 the highest-placed, 1 the lowest.
    pub(super) fn string(&self, down: f32) -> Pt {
        self.line(STRING + THICKER * down)
    }

    fn outline(&self) -> Pt {
        self.line(OUTLINE)
    }

    fn line(&self, share: f32) -> Pt {
        (self.gap * share).max(LineWidth::THINNEST)
    }

    /// The height of a label's capitals.
    pub(super) fn cap(&self) -> Pt {
        self.size * CAP
    }

    /// From the lowest-placed string down to the numbers' baseline.
    pub(super) fn to_numbers(self) -> Pt {
        self.gap * 0.5 + self.size * 0.4 + self.cap()
    }

    /// From the numbers' baseline to the inlays' middle.
    pub(super) fn to_inlay(self) -> Pt {
        self.size * 0.46
    }

    /// The radius of an inlay.
    pub(super) fn inlay(&self) -> Pt {
        self.size * 0.17
    }

    /// What a board reaches beneath its numbers' baseline.
    pub(super) fn below_numbers(&self) -> Pt {
        self.to_inlay() + self.inlay() + self.size * 0.1
    }

    /// A mark about its centre, half its width given.
    pub(super) fn shape(&self, centre: Point, half: Pt, root: bool, filled: bool) -> Path {
        let shade = if filled { 0.0 } else { 1.0 };
        let outline = Stroke::black(self.outline());
        if !root {
            return round(centre, half, self.radius, shade, outline);
        }
        // A heavy line is drawn inwards.
        let heavy = Stroke::black(if filled { outline.width } else { self.line(HEAVY_OUTLINE) });
        let inwards = (heavy.width - outline.width) / 2.0;
        let (half, rise) = (half * SQUARE - inwards, self.radius * SQUARE - inwards);
        oblong(centre, half, rise, shade, heavy)
    }
}

/// A mark without a label, for a key beside words of a size: its path about a point, and its width.
pub fn sign(centre: Point, look: &Look, root: bool, filled: bool) -> (Path, Pt) {
    let natural = Measures::natural(look);
    let radius = natural.size * 0.42;
    let small = Measures { radius, ..natural };
    (small.shape(centre, radius, root, filled), radius * 2.0 + small.outline())
}

/// An oblong about a centre, half its sides given.
fn oblong(centre: Point, half: Pt, rise: Pt, shade: f32, line: Stroke) -> Path {
    let corner = centre + Point::new(-half, -rise);
    Path { stroke: Some(line), ..Path::rectangle(corner, half * 2.0, rise * 2.0, shade) }
}

/// A circle about a centre, drawn out sideways where half its width is more than its radius.
fn round(centre: Point, half: Pt, radius: Pt, shade: f32, line: Stroke) -> Path {
    let out = half - radius;
    if out <= Pt::ZERO {
        return Path::circle(centre, radius, Some(shade), Some(line));
    }
    let beside = |out: Pt| centre + Point::new(out, Pt::ZERO);
    Path::pill(beside(-out), beside(out), radius, shade, line)
}
