//! The bars that a block has, and those that others name of it.

use crate::findings::rules::unknown_name;
use crate::findings::{Finding, Span};

/// The bars that a block has, as they are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bars {
    /// Its kind has none.
    Without,
    /// It could not be read, so nothing is known of them.
    Unread,
    /// Bars 1 to `last`, and bar 0 where there is a pickup.
    Numbered {
        /// The last bar's number.
        last: u32,
        /// Whether there is an upbeat, bar 0.
        pickup: bool,
    },
}

impl Bars {
    /// The bars of a block by the number of its last one, and whether it has an upbeat; without a last
    /// nothing is known of them.
    pub fn up_to(last: Option<usize>, pickup: bool) -> Bars {
        let last = last.and_then(|last| u32::try_from(last).ok());
        last.map_or(Bars::Unread, |last| Bars::Numbered { last, pickup })
    }
}

/// What is wrong with the bars that are named of a block at a place.
pub fn wrong_bars(span: Span, name: &str, has: Bars, (first, last): (u32, u32)) -> Option<Finding> {
    let (end, pickup) = match has {
        Bars::Unread => return None,
        Bars::Without => return Some(unknown_name::no_bars(span, name)),
        Bars::Numbered { last, pickup } => (last, pickup),
    };
    if first > last {
        return Some(unknown_name::backwards(span, first, last));
    }
    let bars = u32::from(!pickup)..=end;
    let beyond = [first, last].into_iter().find(|bar| !bars.contains(bar))?;
    Some(unknown_name::no_bar(span, name, beyond, bars))
}
