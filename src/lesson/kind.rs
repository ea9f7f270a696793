//! What the lesson's reader has to know of the kinds of block. The kinds themselves stand above the lesson and
//! are handed to it as this.

use super::entry::NOW_KEYS;
use crate::findings::nearest::distance;
use crate::words::help::{self, Sign, sign};
use crate::words::kinds;

/// A kind of block, as it stands in the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kind {
    /// The word that begins its fence line.
    pub name: &'static str,
    /// What a block of it without a name is called where one tells of it, as in "Bridge, what is said".
    pub called: &'static str,
    /// Where the reader of the lesson meets it.
    pub medium: Medium,
    /// The phrases of its own.
    pub phrases: &'static [Phrase],
}

/// A phrase that a block may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Phrase {
    /// The words that begin it on the fence line, in small letters: no block can be called so.
    pub begins: &'static [&'static str],
    /// It as it is written, and what it says.
    pub sign: Sign,
}

impl Phrase {
    /// A phrase that begins with some words.
    pub const fn new(
        begins: &'static [&'static str],
        written: &'static str,
        says: &'static str,
    ) -> Phrase {
        Phrase { begins, sign: sign(written, says) }
    }
}

/// The strings that something is looked for on.
pub const ON_STRINGS: Phrase =
    Phrase::new(&["on", "strings"], "on strings 3 2 1", "on these strings; 1 is the highest");
/// Where it is looked for.
pub const NEAR_FRET: Phrase =
    Phrase::new(&["near"], "near fret 5", "as near to that fret as can be");
/// A first bar that is an upbeat.
pub const PICKUP: Phrase = Phrase::new(&["pickup"], "pickup", "the first bar is an upbeat");

impl Kind {
    /// The words that begin its phrases where they stand behind something else, in small letters.
    pub fn first_words(&self) -> impl Iterator<Item = &'static str> {
        let written = |phrase: &Phrase| phrase.sign.written.split(' ').next();
        self.phrases.iter().flat_map(move |one| one.begins.iter().copied().chain(written(one)))
    }

    /// Whether a word begins a phrase of its own.
    pub(super) fn begins_phrase(&self, word: &str) -> bool {
        let mut words = self.phrases.iter().flat_map(|phrase| phrase.begins);
        words.any(|known| known.eq_ignore_ascii_case(word))
    }

    /// All its phrases as a message names them, and where more is said of them.
    pub fn knows(&self) -> String {
        self.told(&[])
    }

    /// The same of its fence line, where those stand too that every block knows.
    pub fn fence_knows(&self) -> String {
        self.told(&IN_EVERY_BLOCK)
    }

    fn told(&self, more: &[Sign]) -> String {
        let phrases = self.phrases.iter().map(|phrase| &phrase.sign).chain(more);
        format!("a `{}` block knows {}; {}", self.name, help::named(phrases), help::see(self.name))
    }
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
pub(super) const NOW: Kind =
    Kind { name: "now", called: kinds::NOW, medium: Medium::Nowhere, phrases: &[] };

/// What keeps a block off the handout.
pub const NOT_PRINTED: Phrase =
    Phrase::new(&["not"], "not printed", "kept for other blocks to name");

/// What the fence line of every block may say, as the help page has it.
pub const IN_EVERY_BLOCK: [Sign; 7] = [
    NOT_PRINTED.sign,
    sign("blank", "its frame alone, for a student to fill in; stands behind a name or a comma"),
    sign("blank, answered", "filled in at the lesson's end too, under “Answers”"),
    sign("answer to find-roots", "printed there, under the number of that block's figure"),
    sign("key E minor", "a key of `now`, for this block alone"),
    sign("-- The verse", "the caption"),
    sign("caption \"The verse\"", "the same, or `title`; phrases may follow"),
];

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
        let phrases = self.all().flat_map(|kind| kind.phrases).chain([&NOT_PRINTED]);
        let words = phrases.flat_map(|phrase| phrase.begins).chain(&NOW_KEYS);
        words.into_iter().any(|known| known.eq_ignore_ascii_case(word))
    }
}
