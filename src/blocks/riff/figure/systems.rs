//! Bars broken into systems: of all ways to spread them, the one whose springs are least out of
//! shape, taken over the whole riff and not system by system (design section 4), as good typesetters break a
//! paragraph into lines (Knuth and Plass 1981). The costs are assumed, to be measured on proofs; what they are
//! worth to one another stands beside them.

use super::grid::Grid;
use super::rows;
use super::scale::Scale;
use super::score::Score;
use super::spacing::{self, Stretch};
use crate::blocks::signs::BarLine;
use crate::ink::{Pt, pt};
use crate::theory::Ticks;
use std::ops::Range;

/// The least force that a system is set with where another break can help it: springs somewhat more than a
/// third shorter than by nature.
const TIGHT: f32 = 0.62;

/// A last system that fills so much of the width is stretched to all of it.
const NEARLY_FULL: f32 = 0.82;

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

/// What a bar line adds to the beats before it and behind it, in distances between tab lines, so that a bar's first fret or
/// stroke isn't read as half an eighth from it (1.2 mm where lines lie 3.0 apart; by eye).
const BAR_AIR: f32 = 0.4;

/// One system with the place of everything in it.
pub(in super::super) struct System {
    /// Where its lines begin, behind the strings' letters.
    pub left: Pt,
    /// Where they end.
    pub right: Pt,
    /// Its bars.
    pub bars: Vec<Placed>,
    /// The moments that it holds, counted from the riff's start: the first, and one past the last.
    pub span: Range<Ticks>,
    /// Each moment's axis.
    axes: Vec<(Ticks, Pt)>,
}

/// A bar, or a part of one, in a system.
#[derive(Debug, Clone, Copy)]
pub(in super::super) struct Placed {
    /// Its index in the riff.
    pub bar: usize,
    /// The axis of the bar line before it.
    pub left: Pt,
    /// The axis of the bar line behind it.
    pub right: Pt,
    /// Whether its first moment is the bar's.
    pub opens: bool,
    /// Whether the bar ends with it.
    pub closes: bool,
}

/// A bar, or a part of one that no system can hold whole.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    bar: usize,
    columns: Range<usize>,
    opens: bool,
    /// Whether its bar ends with it.
    pub closes: bool,
    front: Pt,
    lead: Pt,
    head: Pt,
    trail: Pt,
    bar_air: Option<Pt>,
    natural: Pt,
    /// The width at which it is pressed as tight as may be.
    pub tight: Pt,
}

impl System {
    /// Whether a moment lies in it.
    pub fn holds(&self, tick: Ticks) -> bool {
        self.span.contains(&tick)
    }

    /// The axis of the moment, or of the last one before it; the system's ends for what lies
    /// outside.
    pub fn x(&self, tick: Ticks) -> Pt {
        if tick >= self.span.end {
            return self.right;
        }
        let after = self.axes.partition_point(|(moment, _)| *moment <= tick);
        let at = after.checked_sub(1).and_then(|index| self.axes.get(index));
        at.map_or(self.left, |(_, x)| *x)
    }

    /// The bars of which it holds anything, each once.
    pub fn whole_bars(&self) -> impl Iterator<Item = usize> {
        let mut last = None;
        let bars = self.bars.iter().map(|placed| placed.bar);
        bars.filter(move |bar| last.replace(*bar) != Some(*bar))
    }

    /// Where what sounds until a moment ends: just before the next thing in its bar.
    pub fn end_before(&self, tick: Ticks, air: Pt) -> Pt {
        let next = self.axes.partition_point(|(moment, _)| *moment < tick);
        let axis = self.axes.get(next).map_or(self.right, |(_, x)| *x);
        let before = next.checked_sub(1).and_then(|before| self.axes.get(before));
        let from = before.map_or(self.left, |(_, x)| *x);
        let line = self.bars.partition_point(|placed| placed.right <= from);
        let line = self.bars.get(line).map_or(self.right, |placed| placed.right);
        axis.min(line) - air
    }
}

/// Those of a bar's things, which rise in time, whose moments lie in a span. A bar may fill many
/// systems, so that each of them takes its part without passing over the rest.
pub(super) fn within<'a, T>(
    things: &'a [T],
    span: &Range<Ticks>,
    tick: impl Fn(&T) -> Ticks,
) -> &'a [T] {
    let from = things.partition_point(|thing| tick(thing) < span.start);
    let to = things.partition_point(|thing| tick(thing) < span.end);
    things.get(from..to.max(from)).unwrap_or_default()
}

/// The width that a meter's numerals take.
pub(super) fn meter_width(score: &Score, bar: usize, scale: &Scale) -> Pt {
    let Some(bar) = score.riff.bars.get(bar) else { return Pt::ZERO };
    let scales = score.staves.iter().map(|stave| scale.of(stave.lines()));
    let numerals = scales.flat_map(|scale| {
        [bar.meter.beats(), bar.meter.unit()].map(|number| scale.numeral(number))
    });
    numerals.fold(Pt::ZERO, |width, numeral| width.max(numeral.width))
}

/// Whether the meter stands at the beginning of a bar.
pub(super) fn shows_meter(score: &Score, index: usize) -> bool {
    let changes = score.riff.bars.get(index).is_some_and(|bar| bar.meter_changes);
    score.riff.timed && (index == 0 || changes)
}

/// How a bar ends, if nothing begins behind it.
pub(super) fn ending_line(score: &Score, index: usize) -> BarLine {
    match score.riff.bars.get(index) {
        Some(bar) if bar.repeat_end.is_some() => BarLine::RepeatEnd,
        Some(_) if index + 1 == score.riff.bars.len() && score.riff.ends => BarLine::Final,
        Some(bar) if bar.double_end => BarLine::Double,
        _ => BarLine::Single,
    }
}

/// The line between a bar and the next one in the same system. A repeat whose meter changes begins
/// behind the meter and leaves the line as it is.
pub(super) fn line_after(score: &Score, index: usize) -> BarLine {
    let repeat = starts_repeat(score, index + 1) && !shows_meter(score, index + 1);
    BarLine::between(ending_line(score, index), repeat)
}

/// Whether a repeat begins with a bar.
pub(super) fn starts_repeat(score: &Score, index: usize) -> bool {
    score.riff.bars.get(index).is_some_and(|bar| bar.repeat_start)
}

/// Breaks a riff into systems and sets each of them. The meter of the first bar and the sign of a repeat there stand
/// before the first column, so that bars of later systems stand under those of the first.
pub(super) fn systems(score: &Score, front: Pt, scale: &Scale) -> Vec<System> {
    let sign = if starts_repeat(score, 0) { BarLine::RepeatStart } else { BarLine::Open };
    let sign = sign.reach(scale.gap()).1;
    let signs = bar_front(score, 0, scale) + sign;
    // Even a column that the letters fill leaves room for something.
    let room = (scale.desk.width - front - signs).max(scale.gaps(4.0));
    let mut pieces = pieces(score, room, scale);
    if let Some(first) = pieces.first_mut() {
        first.front = Pt::ZERO;
        first.lead -= sign;
        first.measure(score);
    }
    let (lines, common) = rows::lines(&pieces, score, room);
    let count = lines.len();
    let mut force = 1.0;
    let set = |(index, line): (usize, Range<usize>)| {
        let line = Line::of(score, pieces.get(line).unwrap_or_default());
        force = common
            .unwrap_or_else(|| line.force(score, room, (index + 1 == count).then_some(force)));
        line.set(score, (front, front + signs), room, force)
    };
    lines.into_iter().enumerate().map(set).collect()
}

fn pieces(score: &Score, room: Pt, scale: &Scale) -> Vec<Piece> {
    let bars = 0..score.bars.len();
    bars.flat_map(|bar| {
        let whole = piece(score, bar, 0..usize::MAX, scale);
        if whole.tight > room { beats(score, bar, scale) } else { vec![whole] }
    })
    .collect()
}

/// The parts of a bar that is too wide for any system.
fn beats(score: &Score, index: usize, scale: &Scale) -> Vec<Piece> {
    let (Some(bar), Some(ready)) = (score.riff.bars.get(index), score.bars.get(index)) else {
        return Vec::new();
    };
    let grid = Grid::of(bar.meter, bar.length);
    let starts: Vec<usize> = if score.riff.timed {
        let column = |at| ready.columns.partition_point(|c| c.tick < bar.start + at);
        grid.group_starts().map(column).collect()
    } else {
        (1..ready.columns.len()).collect()
    };
    let mut cuts: Vec<usize> = [0].into_iter().chain(starts).chain([ready.columns.len()]).collect();
    cuts.dedup();
    let parts = cuts.iter().zip(cuts.iter().skip(1));
    parts.map(|(from, to)| piece(score, index, *from..*to, scale)).collect()
}

fn piece(score: &Score, bar: usize, columns: Range<usize>, scale: &Scale) -> Piece {
    let all = score.bars.get(bar).map_or(0, |ready| ready.columns.len());
    let columns = columns.start..columns.end.min(all);
    let (opens, closes) = (columns.start == 0, columns.end == all);
    // Where there is a clock, room for a fret of one figure or a stroke stands before each bar, so that first beats are as
    // far from the last ones before them as others are.
    let head = if score.riff.timed { scale.gaps(0.36) } else { Pt::ZERO };
    let mut piece = Piece {
        bar,
        columns,
        opens,
        closes,
        front: if opens { bar_front(score, bar, scale) } else { Pt::ZERO },
        lead: if opens { lead(score, bar, scale) } else { scale.gaps(0.3) } + head,
        head,
        trail: if closes { trail(score, bar, scale) } else { scale.gaps(0.2) },
        bar_air: score.riff.timed.then(|| {
            let sides = f32::from(u8::from(opens)) + f32::from(u8::from(closes));
            scale.gaps(BAR_AIR * sides)
        }),
        natural: Pt::ZERO,
        tight: Pt::ZERO,
    };
    piece.measure(score);
    piece
}

/// The room of a meter at a bar's beginning.
fn bar_front(score: &Score, bar: usize, scale: &Scale) -> Pt {
    if shows_meter(score, bar) { meter_room(score, bar, scale) } else { Pt::ZERO }
}

/// From a bar line to what follows the meter behind it.
fn meter_room(score: &Score, bar: usize, scale: &Scale) -> Pt {
    repeat_after_meter(score, bar, scale) - BarLine::Single.reach(scale.gap()).1
}

fn lead(score: &Score, bar: usize, scale: &Scale) -> Pt {
    let gap = scale.gap();
    let repeat = if starts_repeat(score, bar) { BarLine::RepeatStart } else { BarLine::Open };
    // Where bar lines take no time, they stand in the middle between notes.
    let air = if score.riff.timed { 0.26 + BAR_AIR } else { 0.55 };
    BarLine::Single.reach(gap).1 + repeat.reach(gap).1 + scale.gaps(air)
}

/// How far behind a bar's beginning the axis of a repeat's sign stands that follows a meter.
pub(super) fn repeat_after_meter(score: &Score, bar: usize, scale: &Scale) -> Pt {
    let line = BarLine::Single.reach(scale.gap()).1;
    let sign = if starts_repeat(score, bar) { scale.gaps(0.15) } else { Pt::ZERO };
    line + scale.gaps(0.45) + meter_width(score, bar, scale) + scale.gaps(0.45) + sign
}

fn trail(score: &Score, bar: usize, scale: &Scale) -> Pt {
    line_after(score, bar).reach(scale.gap()).0 + scale.gaps(0.26)
}

impl Piece {
    /// What it is set as.
    pub fn stretch<'a>(&self, score: &'a Score) -> Stretch<'a> {
        let columns =
            score.bars.get(self.bar).and_then(|bar| bar.columns.get(self.columns.clone()));
        let columns = columns.unwrap_or_default();
        let Piece { front, lead, head, trail, bar_air, .. } = *self;
        Stretch { front, lead, head, columns, trail, bar_air }
    }

    fn measure(&mut self, score: &Score) {
        let stretch = self.stretch(score);
        let (natural, tight) = (stretch.width(1.0, score.air), stretch.width(TIGHT, score.air));
        (self.natural, self.tight) = (natural, tight);
    }
}

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

/// The pieces of one system, to be set.
struct Line<'a> {
    pieces: &'a [Piece],
    stretches: Vec<Stretch<'a>>,
}

impl<'a> Line<'a> {
    fn of(score: &'a Score, pieces: &'a [Piece]) -> Line<'a> {
        Line { pieces, stretches: pieces.iter().map(|piece| piece.stretch(score)).collect() }
    }

    /// The force that sets it: the one that fills the width, or, for a last line that stays short
    /// with it, that of the line before, so that its notes stand as far apart as theirs.
    fn force(&self, score: &Score, room: Pt, last: Option<f32>) -> f32 {
        let width = |force| self.stretches.iter().map(|s| s.width(force, score.air)).sum::<Pt>();
        match last.filter(|before| width(*before) < room * NEARLY_FULL) {
            Some(before) => before,
            None => spacing::force_for(&self.stretches, room, score.air),
        }
    }

    /// Sets it: its lines begin at the first of two places, its first bar at the second.
    fn set(&self, score: &Score, (left, front): (Pt, Pt), room: Pt, force: f32) -> System {
        let (axes, ends) = spacing::lay_within(&self.stretches, force, room, score.air);
        let axes = axes.into_iter().map(|(tick, x)| (tick, front + x)).collect();
        let mut next = left;
        let bars = self.pieces.iter().zip(&ends).map(|(piece, end)| {
            let right = front + *end;
            let from = std::mem::replace(&mut next, right);
            Placed { bar: piece.bar, left: from, right, opens: piece.opens, closes: piece.closes }
        });
        let bars: Vec<Placed> = bars.collect();
        let right = ends.last().map_or(front, |end| front + *end);
        System { left, right, bars, span: span(score, self.pieces), axes }
    }
}

/// From a system's first moment to the next one's first.
fn span(score: &Score, pieces: &[Piece]) -> Range<Ticks> {
    let column = |bar: usize, index: usize| {
        let columns = &score.bars.get(bar)?.columns;
        columns.get(index).map(|column| column.tick)
    };
    let bar_end = |piece: &Piece| {
        let bar = score.riff.bars.get(piece.bar)?;
        Some(bar.start + bar.length)
    };
    let from = pieces.first().and_then(|piece| column(piece.bar, piece.columns.start));
    let to =
        pieces.last().and_then(|last| column(last.bar, last.columns.end).or_else(|| bar_end(last)));
    from.unwrap_or_default()..to.unwrap_or_default()
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
