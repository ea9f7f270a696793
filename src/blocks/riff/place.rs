//! How messages name a place in a riff: "bar 3, the & of 2, fourth string".

use crate::music::tab::{Bar, Riff};
use crate::neck::StringIndex;
use crate::theory::{Meter, Ticks};
use crate::words::ordinal;

/// The beat that the numbers of a count row name.
pub(super) fn beat(meter: Meter, big_beats: bool) -> Ticks {
    if big_beats { meter.felt_beat() } else { meter.beat() }
}

/// The time from the beginning of the meter's bar to that of an upbeat; nothing in a whole bar.
pub(super) fn upbeat(bar: &Bar) -> Ticks {
    if bar.number == 0 { bar.meter.bar().since(bar.length) } else { Ticks::ZERO }
}

/// "bar 3".
pub(super) fn bar(bar: &Bar) -> String {
    format!("bar {}", bar.number)
}

/// "beat 2", "the & of 2", "the ta after the la of 2": a moment by the count that stands there, or
/// where none does by the beat that it falls in.
pub(super) fn count(bar: &Bar, at: Ticks, big_beats: bool) -> String {
    let name = short_count(bar, at, big_beats);
    if name.starts_with("the ") { name } else { format!("beat {name}") }
}

fn short_count(bar: &Bar, at: Ticks, big_beats: bool) -> String {
    let beat = beat(bar.meter, big_beats);
    let from_bar = upbeat(bar) + at;
    let number = from_bar.0 / beat.0.max(1) + 1;
    if from_bar % beat == Ticks::ZERO {
        return number.to_string();
    }
    let index = bar.counts.partition_point(|count| count.at < at);
    let Some(count) = bar.counts.get(index).filter(|count| count.at == at) else {
        return number.to_string();
    };
    let before = index.checked_sub(1).and_then(|before| bar.counts.get(before));
    match before.filter(|_| follows(&count.sign)) {
        Some(before) if follows(&before.sign) => format!("the {} of {number}", count.sign),
        Some(before) => {
            format!("the {} after {}", count.sign, short_count(bar, before.at, big_beats))
        }
        None => format!("the {} of {number}", count.sign),
    }
}

fn follows(sign: &str) -> bool {
    matches!(sign, "ta" | "'" | "’")
}

/// "fourth string": strings are numbered as players do.
pub(super) fn string(number: usize) -> String {
    format!("{} string", ordinal(number))
}

impl Riff {
    /// Names a moment of a bar, by its index, and a string, by its index: "bar 3, the & of 2,
    /// fourth string". In a riff without a count only bar and string are named.
    pub fn place(&self, bar: usize, at: Ticks, string: Option<StringIndex>) -> String {
        let Some(bar) = self.bars.get(bar) else { return String::new() };
        let mut parts = vec![self::bar(bar)];
        if self.timed {
            parts.push(count(bar, at, self.big_beats));
        }
        parts.extend(string.map(|index| self::string(self.instrument.tuning.number(index))));
        parts.join(", ")
    }
}
