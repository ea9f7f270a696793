//! The phrases of a `move` block.

use super::kind::WRITTEN;
use crate::blocks::tab::guides::{self, Guides};
use crate::findings::rules::block_syntax;
use crate::findings::source::{Line, Spanned};
use crate::findings::{Finding, Findings};
use crate::lesson::fence::Fence;
use crate::lesson::numbers::without_the;
use crate::theory::interval::{Interval, IntervalName};
use crate::theory::{Key, Names};

/// What a `move` asks for.
#[derive(Debug, Default)]
pub(super) struct Phrases {
    /// Where on the neck.
    pub guides: Guides,
    /// `up` or `down`, where it is written.
    pub way: Option<Way>,
    /// How far.
    pub distance: Option<Spanned<Distance>>,
    /// To which key.
    pub key: Option<Spanned<Target>>,
}

/// Which way the pitches go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Way {
    Up,
    Down,
}

/// An interval, and octaves on top of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Distance {
    pub interval: Interval,
    pub octaves: i32,
}

/// A key to move to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Target {
    pub key: Key,
    /// Whether only its tonic is named, so that its mode is that of the riff.
    pub tonic_only: bool,
}

/// More octaves than any instrument has.
const MOST_OCTAVES: i32 = 4;

/// The name behind `from`.
pub(super) fn source<'a>(fence: &Fence<'a>) -> Option<Line<'a>> {
    all(fence).find_map(|phrase| {
        let name = without_the(phrase.after("from")?);
        (name.words().count() == 1).then_some(name)
    })
}

/// All phrases, those of the fence line first.
fn all<'a>(fence: &Fence<'a>) -> impl Iterator<Item = Line<'a>> {
    let written = fence.lines.iter().flat_map(|line| line.parts(','));
    fence.phrases.iter().copied().chain(written)
}

/// Reads what a `move` asks for.
pub(super) fn read(fence: &Fence, findings: &mut Findings) -> Phrases {
    let tuning = &fence.setting.instrument.tuning;
    let mut phrases = Phrases::default();
    let mut sources = 0;
    for phrase in all(fence) {
        let lower = phrase.text.to_lowercase();
        let words: Vec<&str> = lower.split_whitespace().collect();
        match words.as_slice() {
            ["from", _] | ["from", "the", _] => {
                sources += 1;
                if sources > 1 {
                    findings.add(fault(phrase, "stands beside another `from`"));
                }
            }
            _ if guides::is_guide(phrase) => phrases.guides.read(phrase, tuning, findings),
            words => {
                if let Err(finding) = phrases.read_way(phrase, words, tuning.names_of_notes()) {
                    findings.add(*finding);
                }
            }
        }
    }
    phrases
}

fn fault(phrase: Line<'_>, what: &str) -> Finding {
    block_syntax::at(phrase.whole(), format!("`{}` {what}", phrase.text))
}

impl Phrases {
    /// Reads `up an octave`, `down to E`, `to E minor`, or `up` alone.
    fn read_way(
        &mut self,
        phrase: Line<'_>,
        words: &[&str],
        names: Names,
    ) -> Result<(), Box<Finding>> {
        let (way, rest) = match words {
            ["up", rest @ ..] => (Some(Way::Up), rest),
            ["down", rest @ ..] => (Some(Way::Down), rest),
            rest => (None, rest),
        };
        match rest {
            ["to", ..] => self.set_key(phrase, read_target(phrase.text, names))?,
            [] if way.is_some() => {}
            _ if way.is_some() => self.set_distance(phrase, read_distance(rest))?,
            _ => {
                return Err(Box::new(
                    fault(phrase, "is no phrase of a `move`").note(WRITTEN.knows()),
                ));
            }
        }
        self.way = way.or(self.way);
        Ok(())
    }

    fn set_key(&mut self, phrase: Line<'_>, key: Option<Target>) -> Result<(), Box<Finding>> {
        let Some(value) = key else {
            let finding = fault(phrase, "names no key").note("write `to E`, `to F# minor`");
            return Err(Box::new(finding));
        };
        if self.distance.is_some() || self.key.is_some() {
            return Err(Box::new(fault(phrase, TWICE)));
        }
        self.key = Some(Spanned { value, span: phrase.whole() });
        Ok(())
    }

    fn set_distance(
        &mut self,
        phrase: Line<'_>,
        distance: Result<Distance, String>,
    ) -> Result<(), Box<Finding>> {
        let value = distance
            .map_err(|advice| Box::new(fault(phrase, "doesn't say how far").note(advice)))?;
        if self.distance.is_some() || self.key.is_some() {
            return Err(Box::new(fault(phrase, TWICE)));
        }
        self.distance = Some(Spanned { value, span: phrase.whole() });
        Ok(())
    }
}

const TWICE: &str = "stands beside another phrase that says how far";

/// Reads the key behind `to`.
fn read_target(phrase: &str, names: Names) -> Option<Target> {
    let mut words = phrase.split_whitespace().skip_while(|word| !word.eq_ignore_ascii_case("to"));
    words.next()?;
    let words: Vec<&str> = words.collect();
    let words = words.strip_prefix(&["the", "key", "of"]).unwrap_or(&words);
    let text = words.join(" ");
    Some(Target { key: names.key(&text)?, tonic_only: names.note(&text).is_some() })
}

/// Reads `an octave`, `two octaves`, `a minor third`; says what to write where it can't be read.
fn read_distance(words: &[&str]) -> Result<Distance, String> {
    let octaves = match words {
        [number, "octaves"] => match *number {
            "two" => Some(2),
            "three" => Some(3),
            digits => digits.parse().ok().filter(|octaves| (1..=MOST_OCTAVES).contains(octaves)),
        },
        _ => None,
    };
    if let Some(octaves) = octaves {
        return Ok(Distance { interval: Interval::OCTAVE, octaves: octaves - 1 });
    }
    let text = words.join(" ");
    let interval = Interval::parse(&text);
    interval.map(|interval| Distance { interval, octaves: 0 }).ok_or_else(|| {
        match IntervalName::parse(&text) {
            Some(IntervalName::Number(_)) => {
                let number = words.last().copied().unwrap_or_default();
                format!("a {number} is minor or major: write `minor {number}` or `major {number}`")
            }
            _ => "write an interval: `up an octave`, `down a minor third`".to_string(),
        }
    })
}
