//! Where frets stand on a drawn neck, which have inlays, and how a neck is parted.

use crate::ink::{Pt, pt};
use crate::neck::Fret;
use std::ops::RangeInclusive;

/// The frets of an octave that have an inlay; the octave itself has two.
const INLAYS: [u8; 5] = [0, 3, 5, 7, 9];

/// So many frets at most stand in a row, chosen by eye: of more, marks nearly fill the highest.
const MOST_IN_A_ROW: u8 = 17;
/// The fret with the open strings' notes.
const OCTAVE: i16 = 12;
/// A neck of two rows is parted at the octave where that is no further from its middle; chosen by eye.
const NEAR_OCTAVE: i16 = 3;

/// In how many rows at least so many frets stand.
pub(super) fn least_rows(frets: u8) -> u8 {
    frets.div_ceil(MOST_IN_A_ROW).max(1)
}

/// Whether a fret, counted from a capo, has an inlay. They come again with every octave.
pub(super) fn has_inlay(fret: Fret, capo: u8) -> bool {
    let place = fret.number() + capo;
    place > 0 && INLAYS.contains(&(place % 12))
}

/// Whether it has two.
pub(super) fn has_two_inlays(fret: Fret, capo: u8) -> bool {
    has_inlay(fret, capo) && (fret.number() + capo).is_multiple_of(12)
}

/// Frets in so many parts, two of them parted at the octave where that is near the middle; the open strings stand
/// before the first fret.
pub(super) fn parted(frets: &RangeInclusive<Fret>, count: u8) -> Vec<RangeInclusive<Fret>> {
    let before = u16::from(*frets.start()).max(1) - 1;
    let all = u16::from(*frets.end()).saturating_sub(before);
    let octave = |end: u8| count == 2 && (i16::from(end) - OCTAVE).abs() <= NEAR_OCTAVE;
    let end = |part: u8| {
        let even = (before + all * u16::from(part) / u16::from(count.max(1))) as u8;
        Fret::new(if part == 1 && octave(even) { OCTAVE as u8 } else { even })
    };
    let part = |number: u8| match number {
        1 => *frets.start()..=if count <= 1 { *frets.end() } else { end(1) },
        _ => end(number - 1).up(1)..=end(number),
    };
    (1..=count.max(1)).map(part).collect()
}

/// The width of the narrowest fret between edges.
pub(super) fn narrowest(edges: &[Pt]) -> Pt {
    let widths = edges.iter().zip(edges.iter().skip(1)).map(|(from, to)| *to - *from);
    widths.reduce(Pt::min).unwrap_or_default()
}

/// The width of a fret, the nut's being 1. A real neck's frets shrink to half at the twelfth (2^(−n/12), hand note
/// section 1); half of that is kept, so that the high ones stay legible.
pub(super) fn width_of(fret: Fret) -> f32 {
    0.5 + 0.5 * (-f32::from(fret) / 12.0).exp2()
}

/// The scale to which frets between edges are drawn, the first of them given.
pub(super) fn scale_of(edges: &[Pt], first: Fret) -> Option<Pt> {
    match edges {
        [from, to, ..] => Some((*to - *from) / width_of(first)),
        _ => None,
    }
}

/// Where the frets from the first to the last begin and end between two edges, none wider than so
/// much.
pub(super) fn fret_edges(
    (left, right): (Pt, Pt),
    (first, last): (Fret, Fret),
    widest: Pt,
) -> Vec<Pt> {
    let total: f32 = first.to(last).map(width_of).sum();
    let unit = ((right - left).max(pt(1.0)) / total).min(widest / width_of(first));
    let mut edges = vec![left];
    let mut x = left;
    for fret in first.to(last) {
        x += unit * width_of(fret);
        edges.push(x);
    }
    edges
}
