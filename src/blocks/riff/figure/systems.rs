//! Systems: their bars made ready in pieces, and each set with the place of everything in it.

use super::grid::Grid;
use super::rows::{self, Layout};
use super::scale::Scale;
use super::score::Score;
use super::spacing::{self, Stretch};
use crate::blocks::signs::BarLine;
use crate::ink::Pt;
use crate::theory::Ticks;
use std::ops::Range;

/// The least force that a system is set with where another break can help it: springs somewhat more than a
/// third shorter than by nature.
pub(super) const TIGHT: f32 = 0.62;

/// A last system that fills so much of the width is stretched to all of it.
pub(super) const NEARLY_FULL: f32 = 0.82;

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
    pub bar: usize,
    pub columns: Range<usize>,
    pub opens: bool,
    /// Whether its bar ends with it.
    pub closes: bool,
    pub front: Pt,
    pub lead: Pt,
    pub head: Pt,
    pub trail: Pt,
    pub bar_air: Option<Pt>,
    pub sign: Pt,
    pub natural: Pt,
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
    let scales = score.lines.iter().map(|lines| scale.of(*lines));
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
    let Layout { rows, force: common, stack } = rows::lines(&pieces, score, room);
    let laid = stack.zip(common).map(|(stack, force)| stack.lay(force, room, score.air));
    let count = rows.len();
    let mut before = None;
    let set = |(index, row): (usize, Range<usize>)| {
        let pieces = pieces.get(row).unwrap_or_default();
        if let Some(laid) = &laid {
            let row = laid.row(score, index, pieces);
            let left = if row.left > Pt::ZERO { front + signs + row.left } else { front };
            return system(score, pieces, (left, front + signs), row.axes, &row.ends);
        }
        let line = Line::of(score, pieces);
        let last = index + 1 == count;
        let force = common.unwrap_or_else(|| line.force(score, room, last, before));
        before = Some(force);
        line.set(score, (front, front + signs), room, force)
    };
    rows.into_iter().enumerate().map(set).collect()
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
        sign: if closes { sign(score, bar, scale) } else { Pt::ZERO },
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

/// How far the dots of a repeat keep from the frets beside them, in distances between tab lines, and at least: one that is
/// nearer is read as a point behind the number (1.5 mm where lines lie 3.0 apart).
const FROM_DOTS: f32 = 0.5;
const FROM_DOTS_AT_LEAST: f32 = 1.5;

fn trail(score: &Score, bar: usize, scale: &Scale) -> Pt {
    let air = match ending_line(score, bar) {
        BarLine::RepeatEnd => scale.gaps(FROM_DOTS).max(Pt::mm(FROM_DOTS_AT_LEAST)),
        _ => scale.gaps(0.26),
    };
    let (before, behind) = end_reach(score, bar, scale);
    before + behind + air
}

/// What the sign behind a bar takes more than a single line.
fn sign(score: &Score, bar: usize, scale: &Scale) -> Pt {
    let (before, behind) = end_reach(score, bar, scale);
    before + behind - BarLine::Single.reach(scale.gap()).0
}

/// How far the sign behind a bar reaches before its axis, and how far before a system's end that axis stands if the bar is the
/// last in it.
fn end_reach(score: &Score, bar: usize, scale: &Scale) -> (Pt, Pt) {
    let behind = match ending_line(score, bar) {
        BarLine::Single => Pt::ZERO,
        line => line.reach(scale.gap()).1,
    };
    (line_after(score, bar).reach(scale.gap()).0, behind)
}

impl Piece {
    /// What it is set as.
    pub fn stretch<'a>(&self, score: &'a Score) -> Stretch<'a> {
        let columns =
            score.bars.get(self.bar).and_then(|bar| bar.columns.get(self.columns.clone()));
        let columns = columns.unwrap_or_default();
        let Piece { front, lead, head, trail, bar_air, sign, .. } = *self;
        Stretch { front, lead, head, columns, trail, bar_air, sign }
    }

    fn measure(&mut self, score: &Score) {
        let stretch = self.stretch(score);
        let (natural, tight) = (stretch.width(1.0, score.air), stretch.width(TIGHT, score.air));
        (self.natural, self.tight) = (natural, tight);
    }
}

/// The pieces of one system, to be set by themselves.
struct Line<'a> {
    pieces: &'a [Piece],
    stretches: Vec<Stretch<'a>>,
}

impl<'a> Line<'a> {
    fn of(score: &'a Score, pieces: &'a [Piece]) -> Line<'a> {
        Line { pieces, stretches: pieces.iter().map(|piece| piece.stretch(score)).collect() }
    }

    /// The force that sets it: the one that fills the width. A last line isn't stretched: it has that of the line before,
    /// so that its notes stand as far apart as theirs, and one alone is filled where it nearly is by nature.
    fn force(&self, score: &Score, room: Pt, last: bool, before: Option<f32>) -> f32 {
        let width = |force| self.stretches.iter().map(|s| s.width(force, score.air)).sum::<Pt>();
        let (calm, most) = before.map_or((1.0, room * NEARLY_FULL), |before| (before, room));
        match last && width(calm) < most {
            true => calm,
            false => spacing::force_for(&self.stretches, room, score.air),
        }
    }

    /// Sets it: its lines begin at the first of two places, its first bar at the second.
    fn set(&self, score: &Score, (left, front): (Pt, Pt), room: Pt, force: f32) -> System {
        let (axes, ends) = spacing::lay_within(&self.stretches, force, room, score.air);
        system(score, self.pieces, (left, front), axes, &ends)
    }
}

/// A system of pieces: its lines begin at the first of two places; axes and ends are counted from the second.
fn system(
    score: &Score,
    pieces: &[Piece],
    (left, front): (Pt, Pt),
    axes: Vec<(Ticks, Pt)>,
    ends: &[Pt],
) -> System {
    let axes = axes.into_iter().map(|(tick, x)| (tick, front + x)).collect();
    let mut next = left;
    let bars = pieces.iter().zip(ends).map(|(piece, end)| {
        let right = front + *end;
        let from = std::mem::replace(&mut next, right);
        Placed { bar: piece.bar, left: from, right, opens: piece.opens, closes: piece.closes }
    });
    let bars: Vec<Placed> = bars.collect();
    let right = ends.last().map_or(front, |end| front + *end);
    System { left, right, bars, span: span(score, pieces), axes }
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
