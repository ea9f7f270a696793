//! Lengths that are given from outside, as a template gives them: a type for each kind of length,
//! whose reading checks the range. A bare [`Pt`] can't be read, so that no length goes unchecked.

use super::{Pt, pt};
use serde::de::{Deserialize, Deserializer, Error};

/// A kind of length: its unit and the least and the most that it may be.
pub trait Measure {
    /// The unit in which it is given and told.
    const UNIT: &'static str = "pt";
    /// The least, in its unit.
    const LEAST: f32;
    /// The most, in its unit.
    const MOST: f32;

    /// So many of its units on paper.
    fn on_paper(number: f32) -> Pt {
        pt(number)
    }

    /// Whether it may be so many; what isn't a number may not.
    fn allows(number: f32) -> bool {
        (Self::LEAST..=Self::MOST).contains(&number)
    }

    /// Reads one, for a field's `deserialize_with`.
    ///
    /// # Errors
    ///
    /// Where it is no number, or one that isn't allowed.
    fn read<'de, D: Deserializer<'de>>(value: D) -> Result<Pt, D::Error> {
        let number = f32::deserialize(value)?;
        if Self::allows(number) {
            return Ok(Self::on_paper(number));
        }
        let (unit, least, most) = (Self::UNIT, Self::LEAST, Self::MOST);
        Err(D::Error::custom(format!("{number} {unit} where {least} to {most} {unit} is allowed")))
    }
}

/// The size of type: from the smallest that is printed (the design's own limit, for reading at arm's
/// length) to the largest (assumed, so that a line of any column holds a few letters).
pub enum TypeSize {}

impl Measure for TypeSize {
    const LEAST: f32 = 7.5;
    const MOST: f32 = 72.0;
}

impl TypeSize {
    /// The smallest type that is printed.
    pub const SMALLEST: Pt = pt(Self::LEAST);
}

/// From baseline to baseline: what is right for one hangs on its size of type, see
/// [`Leading::of`].
pub enum Leading {}

impl Measure for Leading {
    const LEAST: f32 = TypeSize::LEAST;
    const MOST: f32 = TypeSize::MOST * Self::WIDEST;
}

impl Leading {
    /// How often the size of type goes into the widest leading at most; assumed.
    const WIDEST: f32 = 3.0;

    /// The leadings that type of a size may have.
    pub fn of(size: f32) -> std::ops::RangeInclusive<f32> {
        size..=size * Self::WIDEST
    }
}

/// A space between things; the most is assumed.
pub enum Gap {}

impl Measure for Gap {
    const LEAST: f32 = 0.0;
    const MOST: f32 = 200.0;
}

/// The distance between drawn strings; assumed.
pub enum StringGap {}

impl Measure for StringGap {
    const LEAST: f32 = 4.0;
    const MOST: f32 = 40.0;
}

/// The width of a line: from the thinnest that is printed (the design's own limit, for a bad laser
/// printer) to the thickest, assumed.
pub enum LineWidth {}

impl Measure for LineWidth {
    const LEAST: f32 = 0.4;
    const MOST: f32 = 4.0;
}

impl LineWidth {
    /// The thinnest line that is printed.
    pub const THINNEST: Pt = pt(Self::LEAST);
}

/// The white along an edge of the paper; assumed: what most printers leave, and half a sheet.
pub enum Margin {}

impl Measure for Margin {
    const UNIT: &'static str = "mm";
    const LEAST: f32 = 10.0;
    const MOST: f32 = 150.0;

    fn on_paper(number: f32) -> Pt {
        Pt::mm(number)
    }
}

/// The width of the column beside the text; 0 where there is none, the most assumed.
pub enum SideWidth {}

impl Measure for SideWidth {
    const UNIT: &'static str = "mm";
    const LEAST: f32 = 0.0;
    const MOST: f32 = 100.0;

    fn on_paper(number: f32) -> Pt {
        Pt::mm(number)
    }
}

/// What is free between two columns; assumed.
pub enum Gutter {}

impl Measure for Gutter {
    const UNIT: &'static str = "mm";
    const LEAST: f32 = 0.0;
    const MOST: f32 = 30.0;

    fn on_paper(number: f32) -> Pt {
        Pt::mm(number)
    }
}
