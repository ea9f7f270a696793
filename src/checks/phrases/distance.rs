//! Intervals between two notes: `C# to E is a minor third`.

use super::Check;
use crate::findings::rules::interval;
use crate::findings::{Finding, Span};
use crate::lesson::phrase::{NoteName, Part, Way};
use crate::theory::interval::IntervalName;
use crate::theory::{Interval, Pitch};
use crate::words::with_article;

impl Check<'_> {
    /// Checks that two notes lie as far apart as is said.
    pub(super) fn distance(
        &mut self,
        from: &Part<NoteName>,
        to: &Part<NoteName>,
        name: &Part<IntervalName>,
        way: Way,
    ) {
        let (low, high) = match way {
            Way::Up => (from.value, to.value),
            Way::Down => (to.value, from.value),
        };
        if let Some(finding) = against_octaves(self.phrase.text.span, from.value, to.value, way) {
            return self.raise(finding);
        }
        let actual = Interval::between(low.note, high.note);
        if name.value.covers(actual) {
            return;
        }
        let (first, last) = (from.value.note, to.value.note);
        let word = if way == Way::Up { "up" } else { "down" };
        let said = self.text().get(name.place.clone()).unwrap_or_default();
        let right = with_article(&actual.to_string());
        let span = self.span(&name.place);
        let not = with_article(bare(said));
        let finding = interval::another(span, first, word, last, &right, &not);
        let replace = if bare(said) == said { actual.to_string() } else { right };
        let finding = self.fix(finding, &name.place, replace);
        let turned = Interval::between(high.note, low.note);
        let finding = match name.value.covers(turned) {
            true => self.other_way(finding, name, way),
            false => finding,
        };
        self.raise(finding);
    }

    /// The finding with the interval that is right the other way round said so.
    fn other_way(&self, finding: Finding, name: &Part<IntervalName>, way: Way) -> Finding {
        let said = self.text().get(name.place.clone()).unwrap_or_default();
        let behind = self.text().get(name.place.end..).unwrap_or_default();
        match way {
            Way::Up if behind.is_empty() => self.fix(finding, &name.place, format!("{said} down")),
            Way::Down if behind.trim() == "down" => {
                let place = name.place.start..self.text().len();
                self.fix(finding, &place, said)
            }
            _ => finding,
        }
    }
}

/// Notes with octaves say by themselves which way they lie.
fn against_octaves(span: Span, from: NoteName, to: NoteName, way: Way) -> Option<Finding> {
    let pitch = |name: NoteName| Some(Pitch::new(name.note, name.octave?));
    let (from, to) = (pitch(from)?, pitch(to)?);
    match way {
        Way::Up if to.midi() < from.midi() => Some(interval::not_above(span, from, to)),
        Way::Down if to.midi() > from.midi() => Some(interval::not_below(span, from, to)),
        _ => None,
    }
}

/// Words without the article before them.
fn bare(words: &str) -> &str {
    let articles = ["a ", "an ", "the "];
    articles.iter().find_map(|article| words.strip_prefix(article)).unwrap_or(words).trim_start()
}
