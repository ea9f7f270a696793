//! Which fret.

use std::fmt;
use std::num::ParseIntError;
use std::str::FromStr;

/// A fret, counted from the capo, or from the nut where there is none; 0 is the open string.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default)]
pub struct Fret(u8);

impl Fret {
    /// No fret: the open string.
    pub const OPEN: Fret = Fret(0);
    /// The fret behind the nut.
    pub const FIRST: Fret = Fret(1);

    /// The fret of a number, 0 the open string.
    #[inline]
    pub const fn new(number: u8) -> Fret {
        Fret(number)
    }

    /// The fret of a number that was worked out; `None` below the nut, and where no number of a fret
    /// is so high.
    #[inline]
    pub fn checked(number: i32) -> Option<Fret> {
        u8::try_from(number).ok().map(Fret)
    }

    /// Its number, 0 for the open string.
    #[inline]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Whether the string is open: no finger presses it.
    #[inline]
    pub const fn is_open(self) -> bool {
        self.0 == 0
    }

    /// Whether a finger presses the string.
    #[inline]
    pub const fn is_pressed(self) -> bool {
        self.0 > 0
    }

    /// How many frets it lies above another one; 0 where it doesn't.
    #[inline]
    pub const fn above(self, other: Fret) -> u8 {
        self.0.saturating_sub(other.0)
    }

    /// How many frets another one is away.
    #[inline]
    pub const fn abs_diff(self, other: Fret) -> u8 {
        self.0.abs_diff(other.0)
    }

    /// The fret so many above it, the highest number there is at most.
    #[inline]
    pub const fn up(self, by: u8) -> Fret {
        Fret(self.0.saturating_add(by))
    }

    /// The fret so many below it, the open string at the least.
    #[inline]
    pub const fn down(self, by: u8) -> Fret {
        Fret(self.0.saturating_sub(by))
    }

    /// The fret so many above it, or below it; `None` below the nut.
    #[inline]
    pub fn moved(self, by: i32) -> Option<Fret> {
        Fret::checked(i32::from(self.0) + by)
    }

    /// The frets from this one up to another, both among them.
    #[inline]
    pub fn to(self, last: Fret) -> impl DoubleEndedIterator<Item = Fret> + Clone {
        (self.0..=last.0).map(Fret)
    }
}

impl fmt::Display for Fret {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// Digits alone.
impl FromStr for Fret {
    type Err = ParseIntError;

    fn from_str(text: &str) -> Result<Fret, ParseIntError> {
        text.parse().map(Fret)
    }
}

/// Its number, wherever it is reckoned with.
macro_rules! numbers {
    ($($number:ty),*) => {$(
        impl From<Fret> for $number {
            #[inline]
            fn from(fret: Fret) -> $number {
                fret.0.into()
            }
        }
    )*};
}

numbers!(u16, u32, u64, usize, i16, i32, i64, f32, f64);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn frets_stay_on_the_neck() {
        let fifth = Fret::new(5);
        assert_eq!((fifth.moved(-5), fifth.moved(-6)), (Some(Fret::OPEN), None));
        assert_eq!((fifth.down(7), fifth.up(255)), (Fret::OPEN, Fret::new(255)));
        assert_eq!((fifth.above(Fret::FIRST), Fret::FIRST.above(fifth)), (4, 0));
        assert_eq!((Fret::checked(255), Fret::checked(256)), (Some(Fret::new(255)), None));
        assert_eq!(Fret::OPEN.to(Fret::new(2)).map(u32::from).collect::<Vec<_>>(), [0, 1, 2]);
        assert!(Fret::OPEN.to(Fret::OPEN).all(Fret::is_open));
        assert_eq!("12".parse(), Ok(Fret::new(12)));
    }
}
