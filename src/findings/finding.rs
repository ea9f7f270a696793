//! The finding, and the rule that it falls under.

use super::limit::FINDINGS;
use super::nearest::Near;
use super::source::Span;
use crate::words::Lang;

/// How bad a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Weight {
    /// Worth a look.
    Hint,
    /// Very likely not what was meant.
    Doubt,
    /// Wrong, or can't be read.
    Fault,
}

impl Weight {
    /// The word for the weight, as reports write it.
    pub const fn name(self) -> &'static str {
        match self {
            Weight::Hint => "hint",
            Weight::Doubt => "doubt",
            Weight::Fault => "fault",
        }
    }
}

/// A rule that a lesson can break.
#[derive(Debug, PartialEq, Eq)]
pub struct Rule {
    /// Its name, as reports and `meant` lines write it.
    pub name: &'static str,
    /// How bad it is to break it, where a finding doesn't weigh otherwise.
    pub weight: Weight,
    /// The source of the rule's own file, whose `//!` lines are its documentation.
    pub source: &'static str,
}

impl Rule {
    /// What the rule means, in one paragraph.
    pub fn summary(&self) -> String {
        let lines = self.documentation().take_while(|line| !line.is_empty());
        lines.collect::<Vec<_>>().join(" ")
    }

    /// The rule's page: its name and weight, then its documentation.
    pub fn page(&self) -> String {
        let head = format!("# {} ({})\n\n", self.name, self.weight.name());
        self.documentation().fold(head, |page, line| page + line + "\n")
    }

    /// The lines of the rule's documentation.
    fn documentation(&self) -> impl Iterator<Item = &'static str> {
        self.source
            .lines()
            .map_while(|line| line.strip_prefix("//!"))
            .map(|line| line.strip_prefix(' ').unwrap_or(line))
    }
}

/// One thing that is wrong in a lesson.
#[derive(Debug, Clone)]
pub struct Finding {
    /// The rule.
    pub rule: &'static Rule,
    /// How bad it is: as bad as the rule says, unless more or less speaks for it here.
    pub weight: Weight,
    /// Where.
    pub span: Span,
    /// What is wrong: one sentence, small letter first, no full stop.
    pub message: String,
    /// Other places that the message speaks of, each with its own words.
    pub labels: Vec<Label>,
    /// What more there is to say, and advice; a line each.
    pub notes: Vec<String>,
    /// Changes of the text, each of which alone makes it right; the best first.
    pub fixes: Vec<Fix>,
}

/// A second place that a finding speaks of.
#[derive(Debug, Clone)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What is to be seen there.
    pub says: String,
}

/// A change of the text that makes a finding right.
#[derive(Debug, Clone)]
pub struct Fix {
    /// The change in words: "string 2 at fret 2".
    pub says: String,
    /// What is replaced.
    pub span: Span,
    /// What stands there afterwards.
    pub replace: String,
    /// What speaks for it.
    pub ground: Ground,
}

/// What speaks for a fix, which decides whether it may be made unasked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// Every chord, fret, note and count that was read stays what it was; only the way it is written
    /// changes: a label, a column, a header's key.
    SameMusic,
    /// The author's choice: other music sounds, another reading is as likely, or what was meant is told by
    /// likeness alone.
    Choice,
}

impl Ground {
    /// Whether a fix may be made unasked.
    pub const fn holds_unasked(self) -> bool {
        matches!(self, Ground::SameMusic)
    }
}

impl Finding {
    /// A finding with a message and nothing else yet. Each rule has its own in its file.
    pub(super) fn new(rule: &'static Rule, span: Span, message: impl Into<String>) -> Finding {
        Finding {
            rule,
            weight: rule.weight,
            span,
            message: message.into(),
            labels: Vec::new(),
            notes: Vec::new(),
            fixes: Vec::new(),
        }
    }

    /// The finding with a weight of its own.
    #[must_use]
    pub fn weighing(mut self, weight: Weight) -> Finding {
        self.weight = weight;
        self
    }

    /// The finding with where it is in the music before its message: "bar 2, beat 1".
    #[must_use]
    pub fn heard_at(mut self, place: &str) -> Finding {
        self.message = format!("{place}: {}", self.message);
        self
    }

    /// The finding with all that it says said in a language.
    #[must_use]
    pub fn said_in(mut self, lang: Lang) -> Finding {
        if lang == Lang::English {
            return self;
        }
        let said = |words: &mut String| *words = lang.finding(words).into_owned();
        said(&mut self.message);
        self.labels.iter_mut().for_each(|label| said(&mut label.says));
        self.notes.iter_mut().for_each(said);
        self.fixes.iter_mut().for_each(|fix| said(&mut fix.says));
        self
    }

    /// The finding with a second place marked.
    #[must_use]
    pub fn label(mut self, span: Span, says: impl Into<String>) -> Finding {
        self.labels.push(Label { span, says: says.into() });
        self
    }

    /// The finding with a further note.
    #[must_use]
    pub fn note(mut self, note: impl Into<String>) -> Finding {
        self.notes.push(note.into());
        self
    }

    /// The finding with one more way to repair it.
    #[must_use]
    pub fn fix(
        mut self,
        says: impl Into<String>,
        span: Span,
        replace: impl Into<String>,
        ground: Ground,
    ) -> Finding {
        self.fixes.push(Fix { says: says.into(), span, replace: replace.into(), ground });
        self
    }

    /// The finding with each of the names near what stands at a place as a repair: what `put` makes of
    /// it stands there. Which block is meant is the author's to say, for another is other music.
    #[must_use]
    pub fn offer(self, near: &Near<'_>, place: Span, put: impl Fn(&str) -> String) -> Finding {
        near.words.iter().fold(self, |finding, word| {
            finding.fix(format!("`{word}`"), place, put(word), Ground::Choice)
        })
    }
}

/// The findings gathered while a lesson is read and checked.
#[derive(Debug, Default)]
pub struct Findings {
    list: Vec<Finding>,
}

impl Findings {
    /// Beyond so many findings nothing that takes long is looked for: the lesson has other worries, and its
    /// author shall not wait.
    pub const PATIENCE: usize = 200;

    /// The finding with repairs and advice that take long to find, while there is patience for it.
    pub fn helped(&self, finding: Finding, help: impl FnOnce(Finding) -> Finding) -> Finding {
        if self.are_fewer_than(Findings::PATIENCE) { help(finding) } else { finding }
    }

    /// Whether there are fewer findings than so many.
    pub fn are_fewer_than(&self, many: usize) -> bool {
        self.list.len() < many
    }

    /// Whether nothing was found.
    pub fn is_empty(&self) -> bool {
        self.list.is_empty()
    }

    /// Takes in all of others, behind those that there are.
    pub fn append(&mut self, others: Findings) {
        others.list.into_iter().for_each(|finding| self.add(finding));
    }

    /// Takes a finding in. Of more than a lesson can have those beyond are left out, which is a finding
    /// itself.
    pub fn add(&mut self, finding: Finding) {
        let room = FINDINGS.most.saturating_sub(self.list.len());
        match room {
            0 => {}
            1 => self.list.push(FINDINGS.rest_is_untold(finding.span)),
            _ => self.list.push(finding),
        }
    }

    /// All findings so far, in the order they were taken in.
    pub fn list(&self) -> &[Finding] {
        &self.list
    }

    /// The findings in the order of their places, doubles dropped.
    pub fn sorted(mut self) -> Vec<Finding> {
        self.list.sort_by(|a, b| (a.span, a.rule.name).cmp(&(b.span, b.rule.name)));
        self.list.dedup_by(|a, b| a.span == b.span && a.rule == b.rule && a.message == b.message);
        self.list
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::rules::{block_syntax, fret_range, unknown_chord};
    use crate::neck::Instrument;
    use crate::theory::Chord;

    #[test]
    fn what_takes_long_is_looked_for_while_there_is_patience() {
        let mut findings = Findings::default();
        let advised = |findings: &Findings| {
            let finding = block_syntax::at(Span::default(), "something");
            !findings.helped(finding, |finding| finding.note("advice")).notes.is_empty()
        };
        for at in 0..Findings::PATIENCE {
            assert!(advised(&findings), "{at}");
            findings.add(block_syntax::at(Span::new(at, at), "something"));
        }
        assert!(!advised(&findings));
    }

    #[test]
    fn a_symbol_that_may_be_meant_is_put_as_the_place_wants_it() {
        let error = Chord::parse("Dmoj7").unwrap_err();
        let put = |meant: &str| format!("marking {meant}");
        let finding = unknown_chord::unread(Span::default(), "Dmoj7", &error, put);
        let fixes: Vec<&str> = finding.fixes.iter().map(|fix| fix.replace.as_str()).collect();
        assert_eq!(fixes, ["marking Dmaj7"]);
    }

    #[test]
    fn frets_behind_a_capo_are_said_to_be_counted_from_it() {
        let instrument = Instrument { capo: 2, ..Instrument::guitar() };
        let finding = fret_range::off_the_neck(Span::default(), 21, &instrument);
        let message = "fret 21 is off the neck, which ends at fret 20 counted from the capo";
        assert_eq!(finding.message, message);
    }
}
