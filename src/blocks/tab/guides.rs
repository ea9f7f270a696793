//! Phrases that say where on the neck notes are to lie: `near fret 7`, `on strings 4 3 2`.

use crate::findings::Findings;
use crate::findings::rules::block_syntax;
use crate::findings::source::Line;
use crate::lesson::numbers;
use crate::neck::{Fret, StringIndex, Tuning};
use std::collections::BTreeSet;

/// Where on the neck notes are to lie.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Guides {
    /// The strings that may be used, by index; all where none are named.
    pub strings: Option<BTreeSet<StringIndex>>,
    /// The fret that the index finger is to be near.
    pub near: Option<Fret>,
}

/// Whether a phrase is one that [`Guides::read`] reads.
pub fn is_guide(phrase: Line<'_>) -> bool {
    phrase.after("near").is_some() || numbers::on_strings(phrase).is_some()
}

impl Guides {
    /// Takes in what a phrase says; one that can't be read is reported.
    pub fn read(&mut self, phrase: Line<'_>, tuning: &Tuning, findings: &mut Findings) {
        let advice = if let Some(named) = numbers::on_strings(phrase) {
            let strings = numbers::strings(named.text, tuning);
            let unread = strings.is_none();
            self.strings = strings.map(BTreeSet::from_iter).or(self.strings.take());
            unread.then(|| numbers::strings_form(tuning))
        } else if let Some(fret) = numbers::near_fret(phrase) {
            let near = fret.text.parse().ok().filter(|fret| *fret <= FARTHEST);
            self.near = near.or(self.near);
            near.is_none().then(|| format!("write a fret from 0 to {FARTHEST}, `near fret 7`"))
        } else {
            Some("write `near fret 7`".to_string())
        };
        if let Some(advice) = advice {
            let message = format!("`{}` names no place on this neck", phrase.text);
            findings.add(block_syntax::at(phrase.whole(), message).note(advice));
        }
    }

    /// Whether a string may be used.
    pub fn allows(&self, string: StringIndex) -> bool {
        self.strings.as_ref().is_none_or(|strings| strings.contains(&string))
    }
}

/// The highest fret of the longest neck of the language.
const FARTHEST: Fret = Fret::new(36);
