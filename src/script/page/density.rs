//! How far apart lines and what is said stand, and what it costs to bring them closer.

/// From line to line, as a share of the size of type.
pub(super) const LEADING: f32 = 1.36;
/// The same where a page, or a hole at a page's foot, may be saved (chosen by eye).
const CLOSE_LEADING: f32 = 1.3;
const CLOSER_LEADING: f32 = 1.25;

/// How far apart lines and what is said stand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Density {
    Usual,
    Close,
    /// So close that a page may be saved.
    Closer,
}

impl Density {
    /// A share of the usual air.
    pub(super) fn air(self) -> f32 {
        match self {
            Density::Usual => 1.0,
            Density::Close => 0.75,
            Density::Closer => 0.5,
        }
    }

    /// From line to line, as a share of the size of type.
    pub(super) fn leading(self) -> f32 {
        match self {
            Density::Usual => LEADING,
            Density::Close => CLOSE_LEADING,
            Density::Closer => CLOSER_LEADING,
        }
    }

    /// What it costs, as a share of a page: so much is gained by what stands closer, or it doesn't (assumed).
    pub(super) fn cost(self) -> f32 {
        match self {
            Density::Usual => 0.0,
            Density::Close => 0.1,
            Density::Closer => 0.2,
        }
    }
}
