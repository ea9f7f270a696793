//! How much a lesson may ask to be worked out from what stands elsewhere in it or on the neck.
//!
//! A few bytes can ask for much: a name stands for a whole block, a symbol for every shape of its chord.
//! What each block asks for is counted before it is worked out, so that the work stays in proportion to the
//! lesson.

/// What is left of the work that one lesson may ask for, in notes or bars looked at: each takes about a
/// third of a microsecond (measured).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort(u64);

impl Effort {
    /// What a lesson may ask for in all: a book of 300 pages whose every riff is moved twice asks for less
    /// (assumed).
    pub const ALL: Effort = Effort(3_000_000);

    /// A chord that is worked out within a family of shapes on a set of strings (measured).
    pub const CHORD: u64 = 300;

    /// A chord whose shapes near the nut are looked at: a third of all (assumed, to be measured).
    pub const CHORD_NEAR_THE_NUT: u64 = 3_000;

    /// A chord whose every shape is looked at (measured).
    pub const ANY_CHORD: u64 = 10_000;

    /// Takes work away if so much is left.
    pub fn take(&mut self, work: u64) -> bool {
        let enough = work <= self.0;
        self.0 = self.0.saturating_sub(work);
        enough
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_asked_for_is_given_until_nothing_is_left() {
        let mut effort = Effort(5);
        assert!(effort.take(3));
        assert!(effort.take(2));
        assert!(!effort.take(1));
        assert!(effort.take(0));
    }
}
