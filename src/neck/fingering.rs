//! A chord held on the neck: a fret for each string, and the fingers that hold them.

use super::{Fret, StringIndex, by_string};
/// A fretting finger.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Finger {
    Index,
    Middle,
    Ring,
    Little,
    Thumb,
}

impl Finger {
    /// All fingers, each with its sign.
    pub const ALL: [(&'static str, Finger); 5] = [
        ("1", Finger::Index),
        ("2", Finger::Middle),
        ("3", Finger::Ring),
        ("4", Finger::Little),
        ("T", Finger::Thumb),
    ];

    /// The finger that `1`–`4` or `T` writes.
    pub fn from_char(c: char) -> Option<Finger> {
        let is_written = |(sign, _): &&(&str, Finger)| sign.chars().eq([c.to_ascii_uppercase()]);
        Finger::ALL.iter().find(is_written).map(|(_, finger)| *finger)
    }

    /// How the trade writes the finger: `1`–`4`, `T`.
    pub fn sign(self) -> char {
        match self {
            Finger::Index => '1',
            Finger::Middle => '2',
            Finger::Ring => '3',
            Finger::Little => '4',
            Finger::Thumb => 'T',
        }
    }
}

/// A fret or silence for each string, the lowest-placed first, and the finger that holds it.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Fingering {
    /// For each string its fret (0 is open), `None` where it is silent.
    pub frets: Vec<Option<Fret>>,
    /// For each string the finger that presses it; empty where no fingers are known.
    pub fingers: Vec<Option<Finger>>,
}

impl Fingering {
    /// The strings that sound, each with its fret and its finger where it is known, the lowest first.
    pub fn places(&self) -> impl Iterator<Item = (StringIndex, Fret, Option<Finger>)> {
        let fingers = self.fingers.iter().copied().chain(std::iter::repeat(None));
        let strings = by_string(&self.frets).zip(fingers);
        strings.filter_map(|((string, fret), finger)| Some((string, (*fret)?, finger)))
    }
}
