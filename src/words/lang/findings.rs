//! What is found in a lesson, said in its language: findings, and the words around them in reports.

use super::catalogue::Catalogue;
use super::{GERMAN_TEXTS, Lang};
use std::borrow::Cow;
use std::sync::LazyLock;

/// What findings and reports say in German, by rooms of the library.
pub(super) const GERMAN: [&str; 5] = [
    include_str!("german/findings.txt"),
    include_str!("german/findings-blocks.txt"),
    include_str!("german/findings-lesson.txt"),
    include_str!("german/findings-guessed.txt"),
    include_str!("german/report.txt"),
];

/// Their own entries, and behind them those of all that is printed, for the keys and terms in them.
static IN_GERMAN: LazyLock<Catalogue> = LazyLock::new(|| Catalogue::of(&[&GERMAN, &GERMAN_TEXTS]));

impl Lang {
    /// What a finding says: its message, a label, a note or a repair.
    pub fn finding(self, english: &str) -> Cow<'_, str> {
        self.reported("finding", english)
    }

    /// What a report says beside its findings, by what it is: a `line`, `counts`, a `tally`, a `weight`.
    pub fn reported<'t>(self, what: &str, english: &'t str) -> Cow<'t, str> {
        match self {
            Lang::English => Cow::Borrowed(english),
            Lang::German => IN_GERMAN.said_in(what, english),
        }
    }
}
