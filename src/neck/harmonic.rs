//! Natural harmonics: where a string is touched, and what it then sounds.

use crate::neck::Fret;

/// Where a natural harmonic is touched, and how many half steps above the open string it sounds: the
/// parts of a string in 2, 3, 4, 5 and 6, each at its node nearest to the nut and at the others that
/// are in use.
pub const NODES: [(Fret, i32); 9] = [
    (Fret::new(12), 12),
    (Fret::new(7), 19),
    (Fret::new(19), 19),
    (Fret::new(5), 24),
    (Fret::new(24), 24),
    (Fret::new(4), 28),
    (Fret::new(9), 28),
    (Fret::new(16), 28),
    (Fret::new(3), 31),
];

/// How many half steps a harmonic sounds above the open string. One over a fret that has no node close
/// by sounds as the fret does.
pub fn above_open(fret: Fret) -> i32 {
    let known = NODES.iter().find(|(node, _)| *node == fret);
    known.map_or(i32::from(fret), |(_, above)| *above)
}
