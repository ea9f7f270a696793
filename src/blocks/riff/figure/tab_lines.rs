//! The staff: tab lines with gaps for what stands on them, meters, bar lines.

use super::canvas::Canvas;
use super::scale::Scale;
use super::score::Score;
use super::systems::{self, Placed, System};
use crate::blocks::signs::{BarLine, Upright};
use crate::ink::Pt;
use crate::neck::StringIndex;

/// Half the air between the numerals of a meter, in distances between tab lines.
const METER_AIR: f32 = 0.2;

/// No stub of a line is shorter between two frets, in the same: it would be read as a dot (looks, "Tab": 3.5 pt
/// where lines lie 8.5 apart).
const SHORTEST: f32 = 3.5 / 8.5;

/// What is taken along the strings, for each from where to where, the lowest-placed first.
pub(super) struct Gaps {
    /// Where something stands on the line, which is left out there.
    marks: Vec<Vec<(Pt, Pt)>>,
    /// Where the line is left out although nothing stands on it.
    open: Vec<Vec<(Pt, Pt)>>,
    /// Where something stands over the line or crosses it.
    over: Vec<Vec<(Pt, Pt)>>,
}

impl Gaps {
    /// None so far, for so many strings.
    pub fn none(strings: usize) -> Gaps {
        let none = || vec![Vec::new(); strings];
        Gaps { marks: none(), open: none(), over: none() }
    }

    /// Leaves a string's line out between two ends.
    pub fn leave_out(&mut self, string: StringIndex, from: Pt, to: Pt) {
        if let Some(open) = self.open.get_mut(string.index()) {
            open.push((from, to));
        }
    }

    /// Knocks a string's line out between two ends, for what stands there.
    pub fn knock_out(&mut self, string: StringIndex, from: Pt, to: Pt) {
        if let Some(gaps) = self.marks.get_mut(string.index()) {
            gaps.push((from, to));
        }
    }

    /// Takes the space over a string's line, up to the next one.
    pub fn stand_over(&mut self, string: StringIndex, from: Pt, to: Pt) {
        if let Some(over) = self.over.get_mut(string.index()) {
            over.push((from.min(to), from.max(to)));
        }
    }

    /// Takes what an arrow crosses that leads from a string to above the staff.
    pub fn cross_above(&mut self, string: StringIndex, from: Pt, to: Pt) {
        self.over
            .iter_mut()
            .skip(string.index())
            .for_each(|over| over.push((from.min(to), from.max(to))));
    }

    /// Brings what was taken so far into order, so that it can be asked for.
    pub fn sort(&mut self) {
        let all = self.marks.iter_mut().chain(&mut self.over);
        all.for_each(|taken| taken.sort_by(|a, b| a.0.0.total_cmp(&b.0.0)));
    }

    /// Whether anything stands on a string's line between two ends.
    pub fn has_mark(&self, string: usize, ends: (Pt, Pt)) -> bool {
        self.marks.get(string).is_some_and(|marks| takes(marks, ends))
    }

    /// Whether nothing stands on a string's line or over it between two ends.
    pub fn is_free(&self, string: usize, ends: (Pt, Pt)) -> bool {
        !self.has_mark(string, ends) && !self.over.get(string).is_some_and(|over| takes(over, ends))
    }

    /// Draws the lines between the gaps.
    pub fn draw_lines(mut self, canvas: &mut Canvas, system: &System, scale: &Scale) {
        let gaps = self.marks.iter_mut().zip(&mut self.open);
        for (string, (gaps, open)) in StringIndex::first(scale.strings).zip(gaps) {
            gaps.append(open);
            gaps.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
            let y = scale.line_of(string);
            let mut x = system.left;
            for (from, to) in gaps.iter().chain([&(system.right, system.right)]) {
                let between = x > system.left && *from < system.right;
                let shortest = if between { scale.gaps(SHORTEST) } else { Pt::ZERO };
                if *from - x > shortest {
                    canvas.line((x, y), (*from, y), scale.fine());
                }
                x = x.max(*to);
            }
        }
    }
}

/// Whether any of what is taken, rising, lies between two ends. What begins far before them is short: no mark is
/// wider than a few distances, and slurs and arrows that are wider are few.
fn takes(taken: &[(Pt, Pt)], (from, to): (Pt, Pt)) -> bool {
    let begun = taken.partition_point(|(begins, _)| *begins < to);
    taken
        .get(..begun)
        .unwrap_or_default()
        .iter()
        .rev()
        .take(MOST_LOOKED_AT)
        .any(|(_, ends)| *ends > from)
}

/// How many of what begins before a place are asked whether they reach it.
const MOST_LOOKED_AT: usize = 8;

/// Draws the bar lines of a system and the meters that begin in it.
pub(super) fn draw_bars(
    canvas: &mut Canvas,
    gaps: &mut Gaps,
    score: &Score,
    system: &System,
    scale: &Scale,
) {
    draw_first_line(canvas, score, system, scale);
    for (index, placed) in system.bars.iter().enumerate() {
        if placed.closes {
            let last = index + 1 == system.bars.len();
            let line = match last {
                true => systems::ending_line(score, placed.bar),
                false => systems::line_after(score, placed.bar),
            };
            // A system's last line stands within its lines.
            let within = system.right - line.reach(scale.gap()).1;
            draw_line(canvas, line, placed.right.min(within), scale);
        }
        if placed.opens && systems::shows_meter(score, placed.bar) {
            draw_meter(canvas, gaps, score, placed, scale);
        }
    }
}

/// The line before a system's first bar; what goes on from the system before has none.
fn draw_first_line(canvas: &mut Canvas, score: &Score, system: &System, scale: &Scale) {
    let Some(first) = system.bars.first().filter(|placed| placed.opens) else { return };
    let repeat = systems::starts_repeat(score, first.bar);
    if repeat && !systems::shows_meter(score, first.bar) {
        let inset = BarLine::RepeatStart.reach(scale.gap()).0;
        draw_line(canvas, BarLine::RepeatStart, system.left + inset, scale);
    } else {
        draw_line(canvas, BarLine::Single, system.left, scale);
    }
}

fn draw_line(canvas: &mut Canvas, line: BarLine, x: Pt, scale: &Scale) {
    // The dots stand in the spaces next to the middle: a space, or a line where strings are odd.
    let dots = if scale.strings.is_multiple_of(2) { 1.0 } else { 0.5 };
    let half = scale.fine() / 2.0;
    let at = Upright {
        x,
        top: -half,
        bottom: scale.staff_height() + half,
        unit: scale.gap(),
        dots: scale.gaps(dots),
    };
    line.draw(at).into_iter().for_each(|path| canvas.path(path));
}

/// The numerals of a meter, one above the other about the staff's middle, and the sign of a repeat
/// that begins behind them.
fn draw_meter(canvas: &mut Canvas, gaps: &mut Gaps, score: &Score, placed: &Placed, scale: &Scale) {
    let Some(meter) = score.riff.bars.get(placed.bar).map(|bar| bar.meter) else { return };
    let width = systems::meter_width(score, placed.bar, scale);
    let left = placed.left + BarLine::Single.reach(scale.gap()).1 + scale.gaps(0.45);
    let (axis, middle) = (left + width / 2.0, scale.staff_height() / 2.0);
    let air = scale.gaps(METER_AIR);
    let height = scale.cap_height(scale.meter_size());
    canvas.text_centred(axis, middle - air, scale.numeral(meter.beats()));
    canvas.text_centred(axis, middle + air + height, scale.numeral(meter.unit()));
    for string in StringIndex::first(scale.strings) {
        if (scale.line_of(string) - middle).abs() < height + scale.gaps(0.25) {
            gaps.knock_out(string, placed.left, left + width + scale.gaps(0.2));
        }
    }
    if systems::starts_repeat(score, placed.bar) {
        let x = placed.left + systems::repeat_after_meter(score, placed.bar, scale);
        draw_line(canvas, BarLine::RepeatStart, x, scale);
    }
}
