//! A position: the frets that a hand plays without moving, one finger a fret.

use super::{Finger, Fret};
use std::ops::RangeInclusive;

/// A position is at most so many frets wide: one a finger, and a stretch, which index and little finger
/// reach by one fret each (hand note section 3.2).
pub const WIDEST: u8 = 5;
/// How many frets the fingers stand on without a stretch.
const FINGERS: u8 = 4;

/// A hand in a position.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Position {
    /// The fret that the index finger stands on.
    index: Fret,
}

impl Position {
    /// The hand on some frets of the neck, where it plays places each given by its fret. A position that is
    /// a stretch wide is taught so that the fewest places are stretched to; among equals the index finger
    /// reaches back, since ring and little finger are less independent of one another (Lang and Schieber
    /// 2004). `None` where the frets are wider than a position.
    pub fn of(
        frets: &RangeInclusive<Fret>,
        places: impl Iterator<Item = Fret> + Clone,
    ) -> Option<Position> {
        let (lowest, last) = ((*frets.start()).max(Fret::FIRST), *frets.end());
        if last.above(lowest) >= WIDEST {
            return None;
        }
        let highest = last.up(1).down(FINGERS).max(lowest);
        let stretched = |index: Fret| {
            let stands = index..index.up(FINGERS);
            places.clone().filter(|fret| fret.is_pressed() && !stands.contains(fret)).count()
        };
        let index = lowest.to(highest).rev().min_by_key(|index| stretched(*index))?;
        Some(Position { index })
    }

    /// The finger for a fret; none for an open string.
    pub fn finger(self, fret: Fret) -> Option<Finger> {
        fret.is_pressed().then(|| match fret.above(self.index) {
            0 => Finger::Index,
            1 => Finger::Middle,
            2 => Finger::Ring,
            _ => Finger::Little,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn position(frets: RangeInclusive<u8>, places: &[u8]) -> Option<Position> {
        let frets = Fret::new(*frets.start())..=Fret::new(*frets.end());
        Position::of(&frets, places.iter().copied().map(Fret::new))
    }

    #[test]
    fn there_is_one_finger_a_fret_and_the_fewest_places_are_stretched_to() {
        for (frets, places, fingers) in [
            (5..=8, &[5, 8, 5, 7, 5, 7, 5, 7, 5, 8, 5, 8][..], "141313131414"),
            (2..=5, &[3, 5, 3, 5, 2, 5, 2, 5, 3, 5, 3, 5], "242414142424"),
            // As little is stretched to below as above: the index finger reaches back.
            (9..=13, &[10, 12, 10, 12, 10, 12, 9, 12, 10, 13, 10, 12], "131313131413"),
            // C major at the fifth fret.
            (4..=8, &[5, 7, 8, 5, 7, 8, 5, 7, 4, 5, 7, 5, 6, 8, 5, 7, 8], "13413413113124134"),
            // A major at the ninth.
            (9..=13, &[9, 10, 12, 9, 11, 12, 9, 11, 13], "124134134"),
            (0..=3, &[0, 1, 2, 3], "-123"),
            (0..=5, &[0, 1, 3, 4], "-134"),
            (5..=6, &[5, 6], "12"),
        ] {
            let position =
                position(frets.clone(), places).unwrap_or(Position { index: Fret::OPEN });
            let sign = |fret: &u8| position.finger(Fret::new(*fret)).map_or('-', Finger::sign);
            assert_eq!(places.iter().map(sign).collect::<String>(), fingers, "{frets:?}");
        }
        assert_eq!(position(0..=6, &[1]), None);
        assert_eq!(position(3..=8, &[3]), None);
    }
}
