//! The ladder of tempos at which something is played, rung by rung.

use crate::lesson::setting::Tempo;
use crate::theory::Ticks;
use std::time::Duration;

/// A rung of the ladder: all is played so many times at a tempo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub struct Round {
    pub tempo: Tempo,
    pub times: u32,
}

/// How long rounds take one after another, each behind a count-in at its own tempo, of something that is so long once.
pub fn duration(rounds: impl IntoIterator<Item = Round>, count_in: Ticks, once: Ticks) -> Duration {
    let rounds = rounds.into_iter().map(|Round { tempo, times }| {
        let played = tempo.time(once).saturating_mul(times);
        tempo.time(count_in).saturating_add(played)
    });
    rounds.fold(Duration::ZERO, Duration::saturating_add)
}
