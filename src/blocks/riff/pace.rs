//! When what is written sounds: ticks as time, at a tempo, swung or not.

use crate::lesson::Setting;
use crate::lesson::setting::{Swing, Tempo};
use crate::music::tab::{Bar, Riff};
use crate::theory::Ticks;
use std::time::Duration;

/// The tempo of a riff.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pace {
    /// Microseconds of a quarter note; 0 where the riff has no count.
    quarter: u64,
    tempo: Tempo,
    swing: Swing,
}

impl Pace {
    pub fn of(riff: &Riff, setting: &Setting) -> Pace {
        let tempo = setting.tempo;
        let beat = 60_000_000 / u64::from(tempo.number.max(1));
        let quarter = match (riff.timed, tempo.dotted) {
            (false, _) => 0,
            (true, false) => beat,
            (true, true) => beat * 2 / 3,
        };
        Pace { quarter, tempo, swing: setting.swing }
    }

    /// The time from the riff's start to a moment of a bar.
    pub fn time(&self, bar: &Bar, at: Ticks) -> Duration {
        let swung = match self.swing {
            _ if bar.meter.is_compound() => at,
            Swing::None => at,
            Swing::Eighths => swung(at, Ticks::QUARTER / 2),
            Swing::Sixteenths => swung(at, Ticks::QUARTER / 4),
        };
        let ticks = u64::from((bar.start + swung).0);
        Duration::from_micros(ticks * self.quarter / u64::from(Ticks::QUARTER.0))
    }

    /// The tempo, in words, at which something takes so many times as long; `None` where that is
    /// slower than any music.
    pub fn slower(&self, times: f64) -> Option<String> {
        let number = (f64::from(self.tempo.number) / times).floor();
        if number < 20.0 {
            return None;
        }
        let dotted = if self.tempo.dotted { "dotted " } else { "" };
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
}
