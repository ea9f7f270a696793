//! Systems of as many bars, whose bars stand under each other (looks, "Beats"): what a strumming pattern always has,
//! and a tab where no bar of it needs much more room than the others.

use super::breaks;
use super::score::Score;
use super::spacing::{self, Stretch};
use super::stack::Stack;
use super::systems::{Piece, TIGHT};
use crate::blocks::beats;
use crate::ink::Pt;
use std::ops::Range;

/// Beats that are narrower by nature than this are read with pains, so that fewer bars stand in a system; chosen by
/// eye: eighth notes 4.1 mm apart where lines lie 3.0.
const CALM: f32 = 0.8;

/// How the pieces of a riff stand on its systems.
pub(super) struct Layout {
    /// The pieces' ranges, one a system.
    pub rows: Vec<Range<usize>>,
    /// The force that sets all systems, where they have one.
    pub force: Option<f32>,
    /// The systems laid over each other, where their bars stand under each other.
    pub stack: Option<Stack>,
}

/// Puts pieces on systems.
pub(super) fn lines(pieces: &[Piece], score: &Score, room: Pt) -> Layout {
    let each = |rows| Layout { rows, force: None, stack: None };
    if !score.riff.timed || pieces.len() != score.riff.bars.len() {
        return each(breaks::lines(pieces, room));
    }
    let stretches: Vec<Stretch> = pieces.iter().map(|piece| piece.stretch(score)).collect();
    let rows = Rows { pieces, stretches: &stretches, pickup: score.riff.pickup, score, room };
    if score.even {
        let (lines, force) = rows.strummed();
        let stack = Stack::of(score, pieces, &lines);
        return Layout { rows: lines, force, stack };
    }
    let best = breaks::lines(pieces, room);
    // Rather tight than on more systems.
    let even = |force| rows.even(force).filter(|even| even.len() <= best.len());
    let even = even(CALM).or_else(|| even(TIGHT));
    let Some(even) = even else { return each(best) };
    let stack = Stack::of(score, pieces, &even).filter(|_| even.len() > 1);
    let force = stack.as_ref().map(|stack| stack.force(room, score.air));
    Layout { rows: even, force, stack }
}

/// The bars of a riff, to be put on systems.
struct Rows<'a> {
    pieces: &'a [Piece],
    stretches: &'a [Stretch<'a>],
    /// Whether an upbeat stands before the first of them.
    pickup: bool,
    score: &'a Score<'a>,
    room: Pt,
}

impl Rows<'_> {
    /// Systems of so many bars; an upbeat stands with the first.
    fn of(&self, bars: usize) -> Vec<Range<usize>> {
        let (all, upbeat) = (self.stretches.len(), usize::from(self.pickup));
        let mut rows = Vec::with_capacity(all / bars + 1);
        let mut from = 0;
        while from < all {
            let first = if from == 0 { upbeat } else { 0 };
            let to = (from + first + bars).min(all);
            rows.push(from..to);
            from = to;
        }
        rows
    }

    fn row(&self, row: &Range<usize>) -> &[Stretch<'_>] {
        self.stretches.get(row.clone()).unwrap_or_default()
    }

    fn width(&self, row: &Range<usize>, force: f32) -> Pt {
        self.row(row).iter().map(|stretch| stretch.width(force, self.score.air)).sum()
    }

    /// The number of whole bars.
    fn bars(&self) -> usize {
        self.stretches.len() - usize::from(self.pickup).min(self.stretches.len())
    }

    /// Systems with as many bars in each, none of them set with less than a force.
    fn even(&self, least: f32) -> Option<Vec<Range<usize>>> {
        let fits = |bars: usize| {
            let rows = self.of(bars);
            match Stack::of(self.score, self.pieces, &rows) {
                Some(stack) => stack.width(least, self.score.air) <= self.room,
                None => rows.iter().all(|row| self.width(row, least) <= self.room),
            }
        };
        fits(1).then(|| self.of(beats::bars_a_row(&[self.bars()], fits)))
    }

    /// Systems with as many bars in each, one force for all, at which beats are equally wide.
    fn strummed(&self) -> (Vec<Range<usize>>, Option<f32>) {
        let fits = |bars: usize| {
            let rows = self.of(bars);
            let force = self.force(&rows);
            force >= CALM && rows.iter().all(|row| self.is_equal(row, force))
        };
        let rows = self.of(beats::bars_a_row(&[self.bars()], fits));
        let filling = self.force(&rows);
        // One row that is shorter than the measure isn't pulled apart.
        let calm = rows.len() == 1 && filling > 1.0;
        let force = match calm && rows.iter().all(|row| self.is_equal(row, 1.0)) {
            true => 1.0,
            false => filling,
        };
        (rows, Some(force))
    }

    /// The force at which the widest of some systems fills the room.
    fn force(&self, rows: &[Range<usize>]) -> f32 {
        let force = |row| spacing::force_for(self.row(row), self.room, self.score.air);
        rows.iter().map(force).fold(f32::INFINITY, f32::min)
    }

    /// Whether nothing pushes the moments of a system apart but the springs.
    fn is_equal(&self, row: &Range<usize>, force: f32) -> bool {
        let row = self.row(row);
        let keeps = |(index, stretch): (usize, &Stretch)| {
            stretch.keeps_time(force, self.score.air, index + 1 == row.len())
        };
        row.iter().enumerate().all(keeps)
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::super::super::testing::Reading;
    use super::super::tests::{each_item, figure};
    use crate::ink::{Drawing, Item, Point, Pt};
    use crate::music::tab::Riff;

    /// The middles of the counts of a strip, rising.
    fn counts(strip: &Drawing) -> Vec<f32> {
        let mut words: Vec<(Point, Pt, String)> = Vec::new();
        each_item(&strip.items, Point::default(), &mut |item, offset| {
            if let Item::Text(at, text) = item {
                words.push((*at + offset, text.width, text.characters()));
            }
        });
        let row = words.iter().find(|(_, _, words)| words == "&").unwrap().0.y;
        let here = words.iter().filter(|(at, _, words)| at.y == row && words != "count");
        here.map(|(at, width, _)| (at.x + *width / 2.0).0).collect()
    }

    fn rows(riff: &Riff, gap: f32, width: f32) -> Vec<Vec<f32>> {
        figure(riff, gap, width).strips.iter().map(counts).collect()
    }

    /// The steps from count to count, those within bars of so many counts and those over bar lines.
    fn steps(rows: &[Vec<f32>], counts: usize) -> (Vec<f32>, Vec<f32>) {
        let steps = rows.iter().flat_map(|row| row.windows(2).enumerate());
        let (turns, beats): (Vec<_>, Vec<_>) =
            steps.partition(|(index, _)| (index + 1) % counts == 0);
        let step = |(_, pair): (usize, &[f32])| pair[1] - pair[0];
        (beats.into_iter().map(step).collect(), turns.into_iter().map(step).collect())
    }

    fn strum(bars: usize) -> Riff {
        let text = format!(
            "~~~ riff over tune\ncount {}\npick  {}\n",
            "1 & 2 & 3 & 4 & |".repeat(bars),
            "d   d u   u d u |".repeat(bars),
        );
        let chords = ["Am", "F", "C", "G"].into_iter().cycle().take(bars);
        let chords = chords.collect::<Vec<_>>().join("|");
        Reading::of(Box::leak(text.into_boxed_str())).over("tune", &chords).clean()
    }

    #[test]
    fn strums_stand_at_equal_beats_and_under_each_other() {
        for (bars, gap, width) in [
            (4, 8.5, 470.0),
            (7, 8.5, 470.0),
            (12, 8.5, 470.0),
            (8, 8.5, 312.0),
            (4, 8.5, 200.0),
            (7, 13.6, 493.0),
        ] {
            let rows = rows(&strum(bars), gap, width);
            let (beats, turns) = steps(&rows, 8);
            let ends = |steps: &[f32]| {
                let least = steps.iter().copied().fold(f32::MAX, f32::min);
                (least, steps.iter().copied().fold(0.0, f32::max))
            };
            let (least, most) = ends(&beats);
            assert!(most <= least * 1.02, "{bars} bars in {width}: {rows:?}");
            assert!(least >= Pt::mm(3.2).0 * gap / 8.6, "{bars} bars in {width}: {least}");
            // Over a bar line it is further, as much each time.
            let air = gap * 0.8;
            for turn in turns {
                assert!((turn - least - air).abs() < 0.3, "{bars} bars in {width}: {turn}");
            }
            for row in &rows {
                assert!(row.iter().zip(&rows[0]).all(|(x, first)| (x - first).abs() < 0.2));
            }
        }
        assert_eq!(rows(&strum(7), 8.5, 470.0).iter().map(Vec::len).collect::<Vec<_>>(), [32, 24]);
    }

    #[test]
    fn a_tab_s_counts_keep_apart_and_its_beats_are_equal_but_for_density() {
        let bar = |counts: &str, string: &str| (counts.to_owned(), string.to_owned());
        let plain = bar("1   &   2   &   3   &   4   &   |", "0-------2-------3-------5-------|");
        let dense = bar("1 e & a 2   &   3   &   4   &   |", "0-2-3-5-12--10--3-------5-------|");
        let text = |bars: [&(String, String); 4]| {
            let counts: String = bars.iter().map(|bar| bar.0.as_str()).collect();
            let string: String = bars.iter().map(|bar| bar.1.as_str()).collect();
            format!("~~~ riff\ncount {counts}\nG     {string}\n")
        };
        let equal = text([&plain, &plain, &plain, &plain]);
        let (beats, _) = steps(&rows(&Reading::of(&equal).clean(), 8.5, 470.0), 8);
        assert!(beats.iter().all(|one| (one / beats[0] - 1.0).abs() < 0.02), "{beats:?}");
        let dense = text([&plain, &dense, &plain, &plain]);
        for row in rows(&Reading::of(&dense).clean(), 8.5, 470.0) {
            let steps: Vec<f32> = row.windows(2).map(|pair| pair[1] - pair[0]).collect();
            assert!(steps.iter().all(|one| *one >= Pt::mm(3.2).0 - 0.01), "{steps:?}");
        }
    }
    #[test]
    fn a_tab_s_rows_stand_under_each_other_whatever_is_in_them() {
        let plain = ("1   &   2   &   3   &   |", "0-------2-------3-------|");
        let dense = ("1 e & a 2   &   3   &   |", "0-2-3-5-12h15p12h15-----|");
        let bars = [plain, plain, dense, plain, plain, plain, plain];
        let of = |part: fn(&(&'static str, &'static str)) -> &'static str| {
            bars.iter().map(part).collect::<String>()
        };
        let (counts, string) = (of(|bar| bar.0), of(|bar| bar.1));
        for upbeat in [false, true] {
            let (fence, count, fret) =
                if upbeat { (", pickup", "3   &   |", "5-------|") } else { ("", "", "") };
            let text = format!(
                "~~~ riff{fence}\nmeter 3/4\ncount {count}{counts}\nG     {fret}{string}\n"
            );
            for width in [470.0, 420.0] {
                let rows = rows(&Reading::of(&text).clean(), 8.5, width);
                assert!(rows.len() > 1, "{rows:?}");
                // The last system is no wider than its bars are above it.
                let first = &rows[0][if upbeat { 2 } else { 0 }..];
                for row in &rows[1..] {
                    let off = row.iter().filter(|x| first.iter().all(|one| (*x - one).abs() > 0.2));
                    let dense = row.len() > 6 * (row.len() / 6);
                    assert!(
                        off.count() <= usize::from(dense) * 2,
                        "upbeat {upbeat}, {width}: {rows:?}"
                    );
                }
            }
        }
    }
}
