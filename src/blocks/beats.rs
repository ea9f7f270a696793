//! One grid of beats for all that is told in time: changes, strums, counts and tabs (looks, "Beats").
//!
//! On it equal times are equally wide through all the rows of a figure, and as many bars stand in each row as make
//! rows of one length, so that bars stand under each other.

use crate::ink::Pt;
use crate::theory::Ticks;

/// More bars than these are hard to read in one row (assumed).
pub const MOST_BARS: usize = 8;

/// How wide time is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beats {
    /// The width of a quarter note.
    pub quarter: Pt,
}

impl Beats {
    /// The grid on which so much time fills a width.
    pub fn filling(width: Pt, time: Ticks) -> Beats {
        Beats { quarter: width / Beats::quarters(time.max(Ticks(1))) }
    }

    /// How wide a time is.
    pub fn width(self, time: Ticks) -> Pt {
        self.quarter * Beats::quarters(time)
    }

    #[allow(clippy::cast_precision_loss)] // No row is longer than 2²⁴ ticks.
    fn quarters(time: Ticks) -> f32 {
        time.0 as f32 / Ticks::QUARTER.0 as f32
    }
}

/// What it costs when rows are not by fours, or not even by twos: music goes by fours. The costs are worth to one
/// another what made the rows that were liked best; chosen by eye.
const BY_TWOS: f32 = 1.0;
const BY_ODDS: f32 = 1.5;
/// What it costs for a last row to lack all its bars, in proportion.
const LACKING: f32 = 4.5;
/// What it costs for it to be one bar alone.
const ALONE: f32 = 1.0;
/// What each row costs.
const ROW: f32 = 0.5;

/// How many bars stand in a row, if lines of so many bars are broken where they must be: rows as equal as can be, by
/// fours where there is a choice. `fits` tells whether so many bars can stand in each row; one always can.
pub fn bars_a_row(lines: &[usize], fits: impl Fn(usize) -> bool) -> usize {
    let longest = lines.iter().copied().max().unwrap_or(1).max(1);
    let mut best = (f32::INFINITY, 1);
    for bars in (1..=longest.min(MOST_BARS)).rev() {
        if bars > 1 && !fits(bars) {
            continue;
        }
        let cost: f32 = lines.iter().map(|line| cost(*line, bars)).sum();
        if cost < best.0 {
            best = (cost, bars);
        }
    }
    best.1
}

#[allow(clippy::cast_precision_loss)] // No figure has 2²⁴ bars.
fn cost(line: usize, bars: usize) -> f32 {
    if line <= bars {
        return 0.0;
    }
    let rows = line.div_ceil(bars);
    let last = line - (rows - 1) * bars;
    let groups = match bars {
        _ if bars.is_multiple_of(4) => 0.0,
        _ if bars.is_multiple_of(2) => BY_TWOS,
        _ => BY_ODDS,
    };
    let lacking = LACKING * (bars - last) as f32 / bars as f32;
    let alone = if last == 1 && bars > 1 { ALONE } else { 0.0 };
    groups + lacking + alone + ROW * rows as f32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::pt;

    #[test]
    fn rows_are_as_equal_as_can_be() {
        let rows = [
            (&[4][..], 8, 4),
            (&[7], 6, 4),
            (&[8], 7, 4),
            (&[8], 3, 2),
            (&[12], 7, 4),
            (&[10], 8, 5),
            (&[9], 8, 3),
            (&[6], 5, 3),
            (&[5], 4, 3),
            (&[16], 8, 8),
            (&[4, 3], 8, 4),
            (&[8, 8], 6, 4),
            (&[3], 0, 1),
            (&[], 8, 1),
            (&[100_000], 8, 8),
        ];
        for (lines, most, bars) in rows {
            assert_eq!(bars_a_row(lines, |bars| bars <= most), bars, "{lines:?}, at most {most}");
        }
    }

    #[test]
    fn equal_times_are_equally_wide() {
        let beats = Beats::filling(pt(200.0), Ticks::WHOLE * 2);
        assert_eq!(beats.quarter, pt(25.0));
        assert_eq!(beats.width(Ticks::QUARTER * 3), pt(75.0));
    }
}
