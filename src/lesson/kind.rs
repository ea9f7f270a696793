//! What the lesson's reader has to know of the kinds of block. The kinds themselves stand above the lesson and
//! are handed to it as this.

use super::entry::NOW_KEYS;
use crate::findings::nearest::distance;

/// A kind of block, as it stands in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kind {
    /// The word that begins its fence line.
    pub name: &'static str,
    /// Where the reader of the lesson meets it.
    pub medium: Medium,
    /// The words that begin a phrase of its own on the fence line, in small letters: no block can be called
    /// so.
    pub phrases: &'static [&'static str],
}

/// Where a block is met with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Medium {
    /// Its figure stands on the handout.
    Handout,
    /// Its lines are said, with phrases between backticks and cues in square brackets.
    Script,
    /// Nowhere: it does something to the lesson.
    Nowhere,
}

/// The block that the lesson's reader itself obeys.
pub(super) const NOW: Kind = Kind { name: "now", medium: Medium::Nowhere, phrases: &NOW_KEYS };

/// The words that begin a phrase which is none of one kind, besides the keys of `now`.
const COMMON_PHRASES: [&str; 2] = ["instrument", "not"];

/// The kinds that there are.
#[derive(Debug, Clone, Copy)]
pub(super) struct Kinds<'k>(pub &'k [Kind]);

impl Kinds<'_> {
    fn all(&self) -> impl Iterator<Item = &Kind> {
        self.0.iter().chain([&NOW])
    }

    /// The kind that a word names, in any case.
    pub fn named(&self, word: &str) -> Option<Kind> {
        self.all().find(|kind| kind.name.eq_ignore_ascii_case(word)).copied()
    }

    /// The kind that a word very likely was to name: one letter away from a kind of three or four
    /// letters, one or two from a longer one.
    pub fn near(&self, word: &str) -> Option<&'static str> {
        let meant = |kind: &Kind| {
            let most = if kind.name.len() <= 4 { 1 } else { 2 };
            distance(word, kind.name, most).map(|apart| (apart, kind.name))
        };
        self.all().filter_map(meant).min_by_key(|(apart, _)| *apart).map(|(_, name)| name)
    }

    /// Whether a word begins a phrase and so can't be a name.
    pub fn begin_phrases_with(&self, word: &str) -> bool {
        let words = self.all().flat_map(|kind| kind.phrases).chain(&COMMON_PHRASES);
        words.into_iter().any(|known| known.eq_ignore_ascii_case(word))
    }
}
