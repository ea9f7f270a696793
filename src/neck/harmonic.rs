//! Natural harmonics: where a string is touched, and what it then sounds.

/// Where a natural harmonic is touched, and how many half steps above the open string it sounds: the
/// parts of a string in 2, 3, 4, 5 and 6, each at its node nearest to the nut and at the others that
/// are in use.
pub const NODES: [(u8, i32); 9] =
    [(12, 12), (7, 19), (19, 19), (5, 24), (24, 24), (4, 28), (9, 28), (16, 28), (3, 31)];

/// How many half steps a harmonic sounds above the open string. One over a fret that has no node close
/// by sounds as the fret does.
pub fn above_open(fret: u8) -> i32 {
    let known = NODES.iter().find(|(node, _)| *node == fret);
    known.map_or(i32::from(fret), |(_, above)| *above)
}
