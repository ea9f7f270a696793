//! Pitches as they sound, whatever they are called: the numbers of the MIDI 1.0 specification.

use std::ops::{Add, Sub};

/// The number that the MIDI 1.0 specification gives a pitch: middle C (C4) is 60, E2 is 40. Numbers
/// beyond its 0 to 127 are pitches too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Midi(i32);

impl Midi {
    /// The pitch of a number.
    #[inline]
    pub const fn new(number: i32) -> Midi {
        Midi(number)
    }

    /// The pitch's number.
    #[inline]
    pub const fn number(self) -> i32 {
        self.0
    }

    /// The pitch class, 0 (C) to 11 (B).
    #[inline]
    pub const fn class(self) -> u8 {
        self.0.rem_euclid(12) as u8
    }
}

/// So many half steps higher.
impl Add<i32> for Midi {
    type Output = Midi;

    #[inline]
    fn add(self, half_steps: i32) -> Midi {
        Midi(self.0 + half_steps)
    }
}

/// How many half steps lie between two pitches, below 0 where the second is the higher.
impl Sub for Midi {
    type Output = i32;

    #[inline]
    fn sub(self, other: Midi) -> i32 {
        self.0 - other.0
    }
}
