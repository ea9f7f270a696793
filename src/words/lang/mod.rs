//! The languages that our own words are printed in. English stands in the code and is the key: what a catalogue has
//! no entry for is told in English.

mod around;
mod catalogue;
mod findings;
mod pattern;
#[cfg(test)]
mod tests;

use crate::theory::Printed;
pub use around::Around;
use catalogue::{Catalogue, PART};
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::sync::LazyLock;

/// A language that our own words are printed in (language section 2, `lang`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum Lang {
    /// As the words stand in the code.
    #[default]
    English,
    /// By the catalogues in `german`.
    German,
}

/// What is said in German, by where it is printed.
static GERMAN: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::of(&[&GERMAN_TEXTS]));

/// The texts that the German catalogue is made of.
const GERMAN_TEXTS: [&str; 3] = [
    include_str!("german/music.txt"),
    include_str!("german/figures.txt"),
    include_str!("german/paper.txt"),
];

impl Lang {
    /// All of them.
    pub const ALL: [Lang; 2] = [Lang::English, Lang::German];

    /// The language of a tag (BCP 47), in any case.
    pub fn parse(text: &str) -> Option<Lang> {
        Lang::ALL.into_iter().find(|lang| text.trim().eq_ignore_ascii_case(lang.tag()))
    }

    /// Its tag (BCP 47).
    pub const fn tag(self) -> &'static str {
        match self {
            Lang::English => "en",
            Lang::German => "de",
        }
    }

    /// What is told of a figure in English, in this language: sentences, and within them what colons, semicolons and
    /// commas part, each by itself where there are no words for the whole. What stands in quotation marks is left as it is.
    pub fn told(self, english: &str) -> Cow<'_, str> {
        match self {
            Lang::English => Cow::Borrowed(english),
            Lang::German => Cow::Owned(GERMAN.told(english, PART)),
        }
    }

    /// A checked phrase of a lesson, which is written in English.
    pub fn phrase(self, english: &str) -> Cow<'_, str> {
        match self {
            Lang::English => Cow::Borrowed(english),
            Lang::German => Cow::Owned(GERMAN.told(english, "phrase")),
        }
    }

    /// The same of words among which musical ones are raised; these stay as they are, wherever they come to stand.
    pub fn printed(self, english: Printed) -> Printed {
        if self == Lang::English {
            return english;
        }
        let mut around = Around::default();
        for run in english.runs {
            match run.raised {
                true => around.keep(Printed::default().then(run.text, true)),
                false => around.words.push_str(&run.text),
            }
        }
        around.filled(&self.told(&around.words))
    }

    /// The marks around a quotation.
    pub const fn quotes(self) -> [char; 2] {
        match self {
            Lang::English => ['“', '”'],
            Lang::German => ['„', '“'],
        }
    }

    /// What is said in English, in this language, line by line; English where the language has no words for it.
    pub fn said(self, english: &str) -> Cow<'_, str> {
        match self {
            Lang::English => Cow::Borrowed(english),
            Lang::German => GERMAN.said(english),
        }
    }

    /// The same of what stands in a place of a name, for which entries may be meant: "R" is a degree in one alone.
    pub fn said_in<'t>(self, place: &str, english: &'t str) -> Cow<'t, str> {
        match self {
            Lang::English => Cow::Borrowed(english),
            Lang::German => GERMAN.said_in(place, english),
        }
    }
}
