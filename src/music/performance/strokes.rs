//! What is played moment by moment.

use super::{Pass, Passes, Performance};
use crate::music::tab::Event;
use crate::theory::Ticks;
use std::iter;

/// What is played at one moment.
#[derive(Debug, Clone)]
pub struct Stroke<'r> {
    /// Its bar, this time.
    pub pass: Pass<'r>,
    /// What is played behind that bar.
    pub(super) following: Passes<'r>,
    /// Its index in the bar.
    pub index: usize,
    /// What it is.
    pub event: &'r Event,
    /// When it is played.
    pub start: Ticks,
}

impl<'r> Performance<'r> {
    /// What is played, one moment after the other.
    pub fn strokes(&self) -> impl Iterator<Item = Stroke<'r>> + use<'r, '_> {
        let mut passes = self.passes();
        let bars = iter::from_fn(move || Some((passes.next()?, passes.clone())));
        bars.flat_map(move |(pass, following)| {
            let events = pass.bar.events.iter().enumerate();
            events.map(move |(index, event)| {
                let start = self.moment(&pass, event.at);
                Stroke { pass, following: following.clone(), index, event, start }
            })
        })
    }
}
