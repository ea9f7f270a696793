//! Where the beats of bars are.

use crate::hear::score::{Click, HeardBar};

/// The clicks of a bar: its meter's beats, the big ones in 6/8, 9/8 and 12/8; an upbeat has the last of them.
pub(super) fn of_bar(bar: &HeardBar) -> impl Iterator<Item = Click> + use<> {
    let start = bar.start;
    bar.meter.beats_of(bar.length).map(move |(at, strong)| Click { at: start + at, strong })
}
