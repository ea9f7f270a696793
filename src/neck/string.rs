//! Which string.

/// A string by its place on the neck, 0 the lowest-placed. Players number strings the other way
/// ([`Tuning::number`](super::Tuning::number)).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct StringIndex(usize);

impl StringIndex {
    /// The lowest-placed string.
    pub const LOWEST: StringIndex = StringIndex(0);

    /// The string at an index, 0 the lowest-placed.
    #[inline]
    pub const fn new(index: usize) -> StringIndex {
        StringIndex(index)
    }

    /// The string's place in a list that has an entry for each, the lowest-placed first.
    #[inline]
    pub const fn index(self) -> usize {
        self.0
    }

    /// The string above it.
    #[inline]
    pub const fn next(self) -> StringIndex {
        StringIndex(self.0 + 1)
    }

    /// The string so many above it, or below it; `None` below the lowest-placed.
    pub fn moved(self, by: isize) -> Option<StringIndex> {
        self.0.checked_add_signed(by).map(StringIndex)
    }

    /// How many strings it lies above another one; 0 where it doesn't.
    #[inline]
    pub const fn above(self, other: StringIndex) -> usize {
        self.0.saturating_sub(other.0)
    }

    /// How many strings another one is away.
    #[inline]
    pub const fn abs_diff(self, other: StringIndex) -> usize {
        self.0.abs_diff(other.0)
    }

    /// The strings from this one up to another, both among them.
    pub fn to(self, last: StringIndex) -> impl DoubleEndedIterator<Item = StringIndex> {
        (self.0..=last.0).map(StringIndex)
    }

    /// So many strings, from the lowest-placed.
    pub fn first(count: usize) -> impl DoubleEndedIterator<Item = StringIndex> + ExactSizeIterator {
        (0..count).map(StringIndex)
    }
}

/// The entries of a list that has one for each string, the lowest-placed first, with their strings.
pub fn by_string<T>(
    entries: &[T],
) -> impl DoubleEndedIterator<Item = (StringIndex, &T)> + ExactSizeIterator + Clone {
    entries.iter().enumerate().map(|(index, entry)| (StringIndex(index), entry))
}
