//! Where a riff is broken into systems: of all ways to spread its bars, the one whose springs are least out of
//! shape, taken over the whole riff and not system by system (design section 4), as good typesetters break a
//! paragraph into lines (Knuth and Plass 1981). The costs are assumed, to be measured on proofs; what they are
//! worth to one another stands beside them.

use super::systems::{NEARLY_FULL, Piece};
use crate::ink::{Pt, pt};
use std::ops::Range;

/// A last system that fills less of the width than this looks forgotten.
const LONELY: f32 = 0.7;

/// What it costs to break within a bar: as much as two systems stretched to the double. Only bars that no
/// system holds are in pieces.
const BROKEN_BAR: f32 = 2.0;

/// What it costs to press a system as tight as it may be: as much as to stretch one by three quarters.
const SQUEEZED: f32 = 0.6;

/// A piece that no system holds uses up its slack so many times at most, so that costs stay finite.
const MOST_USED: f32 = 10.0;

/// What it costs for a last system to be as good as empty, by the square of what it lacks to [`LONELY`]: as
/// much as to break a bar.
const FORGOTTEN: f32 = 4.0;

/// The best ranges of pieces, one a system: the sum of what each costs is least. A system holds
/// only so many pieces, so that the work grows with the riff and no faster.
pub(super) fn lines(pieces: &[Piece], room: Pt) -> Vec<Range<usize>> {
    let mut best: Vec<(f32, usize)> = vec![(0.0, 0)];
    for end in 1..=pieces.len() {
        let mut chosen = (f32::INFINITY, end - 1);
        let (mut natural, mut tight) = (Pt::ZERO, Pt::ZERO);
        for (start, piece) in pieces.iter().enumerate().take(end).rev() {
            natural += piece.natural;
            tight += piece.tight;
            if tight > room && start + 1 < end {
                break;
            }
            let before = best.get(start).map_or(f32::INFINITY, |(cost, _)| *cost);
            let last = end == pieces.len();
            let broken = if last || pieces.get(end - 1).is_some_and(|p| p.closes) {
                0.0
            } else {
                BROKEN_BAR
            };
            let cost = before + badness(natural, tight, room, last) + broken;
            if cost < chosen.0 {
                chosen = (cost, start);
            }
        }
        best.push(chosen);
    }
    trace(&best)
}

fn trace(best: &[(f32, usize)]) -> Vec<Range<usize>> {
    let mut lines = Vec::new();
    let mut end = best.len().saturating_sub(1);
    while end > 0 {
        let start = best.get(end).map_or(0, |(_, start)| *start).min(end - 1);
        lines.push(start..end);
        end = start;
    }
    lines.reverse();
    lines
}

/// How far a system's springs are out of shape: the square of the stretch, or of the part of the
/// slack that is used up; by the square, so that two systems a little off are better than one far off. A
/// last system needn't be stretched (design section 4), but the shorter it is, the rather bars are taken
/// over to it from the systems before.
fn badness(natural: Pt, tight: Pt, room: Pt, last: bool) -> f32 {
    if natural > room {
        let slack = (natural - tight).max(pt(0.01));
        let used = ((natural - room) / slack).min(MOST_USED);
        return SQUEEZED * used * used;
    }
    let fill = natural / room;
    if last && fill < NEARLY_FULL {
        let short = (LONELY - fill).max(0.0);
        return FORGOTTEN * short * short;
    }
    let stretch = room / natural.max(pt(1.0)) - 1.0;
    stretch * stretch
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pieces of pseudo-random widths, some of them bars broken in two.
    fn some_pieces(seed: u32, count: usize) -> Vec<Piece> {
        let mut state = seed;
        let mut next = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            f32::from((state >> 20) as u16 % 100)
        };
        let piece = |bar: usize| {
            let natural = 60.0 + 2.0 * next();
            Piece {
                sign: Pt::ZERO,
                bar,
                columns: 0..1,
                opens: true,
                closes: next() > 20.0,
                front: pt(0.0),
                lead: pt(0.0),
                head: pt(0.0),
                trail: pt(0.0),
                bar_air: None,
                natural: pt(natural),
                tight: pt(natural * 0.7),
            }
        };
        (0..count).map(piece).collect()
    }

    fn cost(pieces: &[Piece], lines: &[Range<usize>], room: Pt) -> f32 {
        let line_cost = |line: &Range<usize>| {
            let here = &pieces[line.clone()];
            let tight: Pt = here.iter().map(|piece| piece.tight).sum();
            if tight > room && here.len() > 1 {
                return f32::INFINITY;
            }
            let natural = here.iter().rev().map(|piece| piece.natural).sum();
            let last = line.end == pieces.len();
            let whole = last || here.last().is_some_and(|piece| piece.closes);
            badness(natural, tight, room, last) + if whole { 0.0 } else { BROKEN_BAR }
        };
        lines.iter().map(line_cost).sum()
    }

    /// All ways to break so many pieces: a bit for each place between two.
    fn every_break(count: usize) -> impl Iterator<Item = Vec<Range<usize>>> {
        (0..1_u32 << (count - 1)).map(move |bits| {
            let cuts = (1..count).filter(|cut| bits >> (cut - 1) & 1 == 1).chain([count]);
            let mut start = 0;
            cuts.map(|cut| std::mem::replace(&mut start, cut)..cut).collect()
        })
    }

    #[test]
    fn no_other_break_is_better() {
        for seed in 0..40 {
            let pieces = some_pieces(seed, 9);
            let room = pt(400.0);
            let found = cost(&pieces, &lines(&pieces, room), room);
            let best = every_break(9).map(|lines| cost(&pieces, &lines, room));
            let best = best.fold(f32::INFINITY, f32::min);
            assert!((found - best).abs() < 1e-3, "seed {seed}: {found} against {best}");
        }
    }

    #[test]
    fn every_piece_stands_in_one_line() {
        let pieces = some_pieces(7, 200);
        let lines = lines(&pieces, pt(100.0));
        let mut next = 0;
        for line in lines {
            assert_eq!(line.start, next);
            next = line.end;
        }
        assert_eq!(next, 200);
    }
}
