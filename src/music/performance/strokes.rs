//! What is played moment by moment.

use super::{Pass, Performance};
use crate::music::tab::Event;
use crate::theory::Ticks;

/// What is played at one moment.
#[derive(Debug, Clone, Copy)]
pub struct Stroke<'r> {
    /// Its bar, this time.
    pub pass: Pass<'r>,
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
        self.passes().flat_map(move |pass| {
            let events = pass.bar.events.iter().enumerate();
            events.map(move |(index, event)| {
                let start = self.moment(&pass, event.at);
                Stroke { pass, index, event, start }
            })
        })
    }
}
