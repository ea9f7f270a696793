//! When what is written sounds: swung ticks, and ticks as time at a tempo.

use crate::lesson::setting::{Swing, Tempo};
use crate::theory::{Meter, Ticks};
use std::time::Duration;

/// How fast music is played, and how its short notes are swung.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pace {
    /// The tempo; `None` where there is no count, so that no time is known.
    pub tempo: Option<Tempo>,
    /// What is swung.
    pub swing: Swing,
}

impl Pace {
    /// When a moment of a bar in a meter sounds, counted from the bar's beginning. Nothing is swung in
    /// 6/8, 9/8 and 12/8. Swung notes go in pairs from the bar's own beginning, so that in an upbeat of
    /// three eighths the first two are a pair, though they end no beat of the meter (assumed).
    pub fn swung(self, meter: Meter, at: Ticks) -> Ticks {
        match self.swing {
            Swing::None => at,
            _ if meter.is_compound() => at,
            Swing::Eighths => swung(at, Ticks::QUARTER / 2),
            Swing::Sixteenths => swung(at, Ticks::QUARTER / 4),
        }
    }

    /// The time that ticks take, to the nearest nanosecond; none without a tempo.
    pub fn time(self, ticks: Ticks) -> Duration {
        self.tempo.map_or(Duration::ZERO, |tempo| tempo.time(ticks))
    }

    /// The tempo, in words, at which something takes so many times as long; `None` where that is
    /// slower than any music.
    pub fn slower(self, times: f64) -> Option<String> {
        let tempo = self.tempo?;
        let number = (f64::from(tempo.number) / times).floor();
        if number < 20.0 {
            return None;
        }
        let dotted = if tempo.dotted { "dotted " } else { "" };
        Some(format!("{dotted}{number:.0}"))
    }
}

/// A moment swung: of each pair of notes so long the first takes two thirds.
fn swung(at: Ticks, note: Ticks) -> Ticks {
    let within = at % (note * 2);
    let later =
        if within <= note { within * 4 / 3 } else { note * 4 / 3 + within.since(note) * 2 / 3 };
    at.since(within) + later
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_of_a_swung_pair_comes_late() {
        let eighth = Ticks::QUARTER / 2;
        for (at, heard) in [(0, 0), (480, 640), (960, 960), (1440, 1600), (240, 320), (720, 800)] {
            assert_eq!(swung(Ticks(at), eighth), Ticks(heard), "{at}");
        }
    }

    #[test]
    fn big_beats_of_three_are_not_swung() {
        let pace = |swing| Pace { tempo: None, swing };
        let at = Ticks(480);
        for (swing, meter, heard) in [
            (Swing::None, (4, 4), 480),
            (Swing::Eighths, (4, 4), 640),
            (Swing::Eighths, (3, 8), 640),
            (Swing::Eighths, (6, 8), 480),
            (Swing::Sixteenths, (12, 8), 480),
            (Swing::Sixteenths, (4, 4), 480),
        ] {
            let found = Meter::new(meter.0, meter.1).map(|meter| pace(swing).swung(meter, at));
            assert_eq!(found, Some(Ticks(heard)), "{swing:?} {meter:?}");
        }
    }
}
