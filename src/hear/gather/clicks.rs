//! Where the beats of bars are.

use crate::hear::score::{Click, HeardBar};
use crate::theory::Ticks;

/// The clicks of a bar: its meter's beats, the big ones in 6/8, 9/8 and 12/8; an upbeat has the last of them.
pub(super) fn of_bar(bar: &HeardBar) -> impl Iterator<Item = Click> + use<> {
    let (start, length, beat) = (bar.start, bar.length, bar.meter.felt_beat());
    let begins = if bar.number == 0 { bar.meter.bar().since(length) } else { Ticks::ZERO };
    let beats = (0..bar.meter.felt_beats()).map(move |number| (number, beat * number));
    let within = move |(_, at): &(u32, Ticks)| *at >= begins && at.since(begins) < length;
    beats
        .filter(within)
        .map(move |(number, at)| Click { at: start + at.since(begins), strong: number == 0 })
}
