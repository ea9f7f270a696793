//! Systems of as many bars, whose bars stand under each other (looks, "Beats"): what a strumming pattern always has,
//! and a tab where no bar of it needs much more room than the others.

use super::score::Score;
use super::spacing::{self, Stretch};
use super::systems::{self, Piece};
use crate::blocks::beats;
use crate::ink::Pt;
use crate::music::tab::Form;
use std::ops::Range;

/// Beats that are narrower by nature than this are read with pains, so that fewer bars stand in a system; chosen by
/// eye: eighth notes 4.1 mm apart where lines lie 3.0.
const CALM: f32 = 0.8;

/// The ranges of pieces, one a system, and the force that sets them all where they have one.
pub(super) fn lines(pieces: &[Piece], score: &Score, room: Pt) -> (Vec<Range<usize>>, Option<f32>) {
    if !score.riff.timed || pieces.len() != score.riff.bars.len() {
        return (systems::lines(pieces, room), None);
    }
    let stretches: Vec<Stretch> = pieces.iter().map(|piece| piece.stretch(score)).collect();
    let rows = Rows { stretches: &stretches, pickup: score.riff.pickup, score, room };
    match score.riff.form {
        Form::Strum(_) => rows.strummed(),
        Form::Tab | Form::Words => {
            let best = systems::lines(pieces, room);
            let even = rows.even().filter(|even| even.len() <= best.len());
            (even.unwrap_or(best), None)
        }
    }
}

/// The bars of a riff, to be put on systems.
struct Rows<'a> {
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

    /// Systems with as many bars in each, none of them crowded.
    fn even(&self) -> Option<Vec<Range<usize>>> {
        let fits = |bars: usize| self.of(bars).iter().all(|row| self.width(row, CALM) <= self.room);
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
