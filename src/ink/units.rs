//! Lengths and places on paper, in points (1/72 inch); x runs to the right, y downwards.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

/// A length on paper in points.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
pub struct Pt(pub f32);

/// A length of so many points.
pub const fn pt(points: f32) -> Pt {
    Pt(points)
}

impl Pt {
    /// No length.
    pub const ZERO: Pt = Pt(0.0);

    /// A length of so many millimetres.
    pub fn mm(millimetres: f32) -> Pt {
        Pt(millimetres * 72.0 / 25.4)
    }

    /// The larger of two lengths.
    pub fn max(self, other: Pt) -> Pt {
        Pt(self.0.max(other.0))
    }

    /// The smaller of two lengths.
    pub fn min(self, other: Pt) -> Pt {
        Pt(self.0.min(other.0))
    }

    /// The length without its sign.
    pub fn abs(self) -> Pt {
        Pt(self.0.abs())
    }
}

impl Add for Pt {
    type Output = Pt;
    fn add(self, other: Pt) -> Pt {
        Pt(self.0 + other.0)
    }
}

impl AddAssign for Pt {
    fn add_assign(&mut self, other: Pt) {
        self.0 += other.0;
    }
}

impl Sub for Pt {
    type Output = Pt;
    fn sub(self, other: Pt) -> Pt {
        Pt(self.0 - other.0)
    }
}

impl SubAssign for Pt {
    fn sub_assign(&mut self, other: Pt) {
        self.0 -= other.0;
    }
}

impl Neg for Pt {
    type Output = Pt;
    fn neg(self) -> Pt {
        Pt(-self.0)
    }
}

impl Mul<f32> for Pt {
    type Output = Pt;
    fn mul(self, times: f32) -> Pt {
        Pt(self.0 * times)
    }
}

impl Div<f32> for Pt {
    type Output = Pt;
    fn div(self, parts: f32) -> Pt {
        Pt(self.0 / parts)
    }
}

/// How many times one length goes into another.
impl Div<Pt> for Pt {
    type Output = f32;
    fn div(self, other: Pt) -> f32 {
        self.0 / other.0
    }
}

impl Sum for Pt {
    fn sum<I: Iterator<Item = Pt>>(lengths: I) -> Pt {
        lengths.fold(Pt::ZERO, Add::add)
    }
}

/// A place on paper.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Point {
    /// To the right.
    pub x: Pt,
    /// Downwards.
    pub y: Pt,
}

impl Point {
    /// The place at `x` and `y`.
    pub const fn new(x: Pt, y: Pt) -> Point {
        Point { x, y }
    }
}

impl Add for Point {
    type Output = Point;
    fn add(self, other: Point) -> Point {
        Point::new(self.x + other.x, self.y + other.y)
    }
}

/// The number of points, as `format!` asks for it.
impl std::fmt::Display for Pt {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}
