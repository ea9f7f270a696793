//! The bars that a block has, and those that others name of it.

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

/// What is wrong with the bars that are named of a block.
pub fn wrong_bars(name: &str, has: Bars, (first, last): (u32, u32)) -> Option<String> {
    let (end, pickup) = match has {
        Bars::Unread => return None,
        Bars::Without => return Some(format!("`{name}` has no bars")),
        Bars::Numbered { last, pickup } => (last, pickup),
    };
    if first > last {
        return Some(format!("bars {first} to {last} run backwards"));
    }
    let start = u32::from(!pickup);
    let beyond = [first, last].into_iter().find(|bar| *bar < start || *bar > end)?;
    Some(format!("`{name}` has no bar {beyond}, its bars are {start} to {end}"))
}
