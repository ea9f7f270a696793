//! Musical time in whole ticks, and meters.

use serde::Serialize;
use std::fmt;
use std::ops::{Add, AddAssign, Div, Mul, Rem, Sub};

/// A length or a moment in musical time, in whole ticks; [`Ticks::QUARTER`] to the quarter note.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize)]
pub struct Ticks(pub u32);

impl Ticks {
    /// Nothing; the beginning of a bar.
    pub const ZERO: Ticks = Ticks(0);
    /// A quarter note. 960 divides by thirds, sixths and eighths of every beat down to a 32nd.
    pub const QUARTER: Ticks = Ticks(960);
    /// A whole note.
    pub const WHOLE: Ticks = Ticks(3840);

    /// The time from `earlier` to this moment, nothing where `earlier` is later.
    pub fn since(self, earlier: Ticks) -> Ticks {
        Ticks(self.0.saturating_sub(earlier.0))
    }
}

impl Add for Ticks {
    type Output = Ticks;
    fn add(self, other: Ticks) -> Ticks {
        Ticks(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Ticks {
    fn add_assign(&mut self, other: Ticks) {
        *self = *self + other;
    }
}

impl Sub for Ticks {
    type Output = Ticks;
    fn sub(self, other: Ticks) -> Ticks {
        self.since(other)
    }
}

impl Mul<u32> for Ticks {
    type Output = Ticks;
    fn mul(self, times: u32) -> Ticks {
        Ticks(self.0.saturating_mul(times))
    }
}

impl Div<u32> for Ticks {
    type Output = Ticks;
    fn div(self, parts: u32) -> Ticks {
        Ticks(self.0.checked_div(parts).unwrap_or(0))
    }
}

impl Rem for Ticks {
    type Output = Ticks;
    fn rem(self, other: Ticks) -> Ticks {
        Ticks(self.0.checked_rem(other.0).unwrap_or(0))
    }
}

/// A meter such as 4/4: how many beats a bar has, and which note is the beat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Meter {
    beats: u8,
    unit: u8,
}

impl Meter {
    /// 4/4.
    pub const COMMON: Meter = Meter { beats: 4, unit: 4 };

    /// A meter of 1 to 32 beats over 1, 2, 4, 8, 16 or 32; nothing else is a meter.
    pub fn new(beats: u8, unit: u8) -> Option<Meter> {
        let sound = (1..=32).contains(&beats) && unit <= 32 && unit.is_power_of_two();
        sound.then_some(Meter { beats, unit })
    }

    /// Reads `4/4`, `12/8`.
    pub fn parse(text: &str) -> Option<Meter> {
        let (beats, unit) = text.split_once('/')?;
        Meter::new(beats.trim().parse().ok()?, unit.trim().parse().ok()?)
    }

    /// The upper number.
    pub fn beats(self) -> u8 {
        self.beats
    }

    /// The lower number.
    pub fn unit(self) -> u8 {
        self.unit
    }

    /// One beat of the lower number: an eighth in 6/8.
    pub fn beat(self) -> Ticks {
        Ticks::WHOLE / u32::from(self.unit)
    }

    /// A whole bar.
    pub fn bar(self) -> Ticks {
        self.beat() * u32::from(self.beats)
    }

    /// Whether the meter is felt in big beats of three: 6/8, 9/8 and 12/8.
    pub fn is_compound(self) -> bool {
        self.unit == 8 && matches!(self.beats, 6 | 9 | 12)
    }

    /// The beat that is felt: a dotted quarter in 6/8, 9/8 and 12/8, else the lower number's note.
    pub fn felt_beat(self) -> Ticks {
        if self.is_compound() { self.beat() * 3 } else { self.beat() }
    }

    /// How many felt beats a bar has.
    pub fn felt_beats(self) -> u32 {
        self.bar().0 / self.felt_beat().0
    }

    /// Whether a moment of a whole bar is one of its strong beats: the first, and where four or six beats are felt that in
    /// the middle too.
    ///
    /// ```
    /// use fretleaf::theory::{Meter, Ticks};
    ///
    /// let strong = |meter: &str, beat: u32| {
    ///     let meter = Meter::parse(meter).unwrap();
    ///     meter.is_strong(meter.felt_beat() * beat)
    /// };
    /// assert_eq!([0, 1, 2, 3].map(|beat| strong("4/4", beat)), [true, false, true, false]);
    /// assert_eq!([0, 1, 2].map(|beat| strong("3/4", beat)), [true, false, false]);
    /// assert!(strong("12/8", 2) && !strong("6/8", 1));
    /// ```
    pub fn is_strong(self, at: Ticks) -> bool {
        let middle = matches!(self.felt_beats(), 4 | 6).then(|| self.bar() / 2);
        at == Ticks::ZERO || Some(at) == middle
    }

    /// The felt beats of a bar so long, each from its beginning, and whether it is the meter's first: a bar shorter than
    /// the meter's is an upbeat, which has the last of them.
    ///
    /// ```
    /// use fretleaf::theory::{Meter, Ticks};
    ///
    /// let (meter, eighth) = (Meter::parse("6/8").unwrap(), Ticks::QUARTER / 2);
    /// let beats = |eighths: u32| meter.beats_of(eighth * eighths).collect::<Vec<_>>();
    /// assert_eq!(beats(6), [(Ticks::ZERO, true), (eighth * 3, false)]);
    /// assert_eq!(beats(4), [(eighth, false)]);
    /// ```
    pub fn beats_of(self, length: Ticks) -> impl Iterator<Item = (Ticks, bool)> + use<> {
        let (before, beat) = (self.bar().since(length), self.felt_beat());
        let beats = (0..self.felt_beats()).map(move |number| (beat * number, number == 0));
        beats.filter(move |(at, _)| *at >= before).map(move |(at, first)| (at.since(before), first))
    }
}

impl fmt::Display for Meter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.beats, self.unit)
    }
}
