//! The phrases of a song's fence line.

use super::kind::WRITTEN;
use crate::findings::rules::block_syntax;
use crate::findings::source::{Line, Spanned};
use crate::findings::{Finding, Findings, Span};
use crate::lesson::fence::Fence;
use crate::lesson::numbers;
use crate::theory::interval::{Interval, IntervalName};

/// What a song's fence line says.
#[derive(Debug, Default)]
pub(super) struct Phrases {
    /// The changes that its chords are to follow.
    pub over: Option<Over>,
    /// The block whose chords its dots place.
    pub model: Option<Spanned<String>>,
    /// How many half steps higher it is sung, lower below 0.
    pub sing: i32,
    /// The capo that it names.
    pub capo: Option<Spanned<Capo>>,
}

/// `over verse bars 5 to 8`.
#[derive(Debug, Clone)]
pub(super) struct Over {
    /// The name of the changes.
    pub name: Spanned<String>,
    /// The first and the last bar that are taken, where they are named.
    pub bars: Option<(u32, u32)>,
    /// The whole phrase.
    pub span: Span,
}

/// Where a capo is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Capo {
    /// On a fret; 0 is none.
    At(u8),
    /// Where the most chords have open shapes.
    Best,
}

/// Reads the phrases of a song's fence line.
pub(super) fn read(fence: &Fence<'_>, findings: &mut Findings) -> Phrases {
    let mut phrases = Phrases::default();
    let mut sung = false;
    for &phrase in &fence.phrases {
        let told = if let Some(over) = phrase.after("over") {
            read_over(phrase, over).map(|over| phrases.over.replace(over).is_some())
        } else if let Some(name) = phrase.after("as") {
            read_model(phrase, name).map(|name| phrases.model.replace(name).is_some())
        } else if let Some(capo) = phrase.after("capo") {
            let last = fence.setting.instrument.frets.saturating_sub(1);
            read_capo(phrase, capo, last).map(|capo| phrases.capo.replace(capo).is_some())
        } else if let Some(way) = phrase.after("sing") {
            read_sing(phrase, way).map(|way| {
                phrases.sing = way;
                std::mem::replace(&mut sung, true)
            })
        } else {
            let finding = block_syntax::no_phrase(phrase, "a `lyrics` block");
            Err(Box::new(finding.note(WRITTEN.fence_knows())))
        };
        match told {
            Ok(false) => {}
            Ok(true) => findings.add(fault(phrase, "stands beside another phrase of its kind")),
            Err(finding) => findings.add(*finding),
        }
    }
    phrases
}

fn fault(phrase: Line<'_>, what: &str) -> Finding {
    block_syntax::at(phrase.whole(), format!("`{}` {what}", phrase.text))
}

fn read_over(phrase: Line<'_>, over: Line<'_>) -> Result<Over, Box<Finding>> {
    let (name, rest) = numbers::without_the(over).first_word();
    let bars = match rest.text {
        "" => Some(None),
        _ => numbers::bars(rest).filter(|(first, last)| *first >= 1 && first <= last).map(Some),
    };
    match bars.filter(|_| !name.text.is_empty()) {
        Some(bars) => Ok(Over { name: name.spanned(), bars, span: phrase.whole() }),
        None => Err(Box::new(
            fault(phrase, "names no changes that can be read")
                .note("write `over verse` or `over verse bars 5 to 8`"),
        )),
    }
}

fn read_model(phrase: Line<'_>, name: Line<'_>) -> Result<Spanned<String>, Box<Finding>> {
    let name = numbers::without_the(name);
    match name.words().count() {
        1 => Ok(name.spanned()),
        _ => Err(Box::new(
            fault(phrase, "names no block that can be read").note("write `as verse-1`"),
        )),
    }
}

/// The name behind `as`, for whoever has to know it before.
pub(super) fn model(fence: &Fence<'_>) -> Option<String> {
    let mut names = fence.phrases.iter().filter_map(|phrase| phrase.after("as"));
    names.next_back().map(|name| numbers::without_the(name).text.to_owned())
}

fn read_capo(phrase: Line<'_>, capo: Line<'_>, last: u8) -> Result<Spanned<Capo>, Box<Finding>> {
    let fret = capo.after("on").unwrap_or(capo);
    let fret = fret.after("fret").unwrap_or(fret);
    let value = match fret.text {
        text if text.eq_ignore_ascii_case("best") => Some(Capo::Best),
        text if text.eq_ignore_ascii_case("none") => Some(Capo::At(0)),
        text => text.parse().ok().filter(|fret| *fret <= last).map(Capo::At),
    };
    value.map(|value| Spanned { value, span: phrase.whole() }).ok_or_else(|| {
        let note = format!("write `capo best`, or a fret from 1 to {last}: `capo 2`");
        Box::new(fault(phrase, "names no place for a capo").note(note))
    })
}

/// So many half steps, up to an octave, or an interval.
fn read_sing(phrase: Line<'_>, way: Line<'_>) -> Result<i32, Box<Finding>> {
    let up = way.after("up").map(|far| (1, far));
    let far = up.or_else(|| way.after("down").map(|far| (-1, far)));
    let form = "write half steps or an interval: `sing up 2`, `sing down a minor third`";
    let Some((sign, far)) = far else {
        return Err(Box::new(fault(phrase, "doesn't say which way").note(form)));
    };
    let (number, unit) = far.first_word();
    let is_unit = matches!(
        unit.text.to_ascii_lowercase().as_str(),
        "" | "half step" | "half steps" | "semitone" | "semitones"
    );
    let steps = number.text.parse::<i32>().ok().filter(|steps| is_unit && (1..=12).contains(steps));
    let interval = || Interval::parse(far.text).map(|interval| interval.semitones);
    steps.or_else(interval).map(|steps| sign * steps).ok_or_else(|| {
        let note = match IntervalName::parse(far.text) {
            Some(IntervalName::Number(_)) => "say which one: `sing up a minor third`",
            _ => form,
        };
        Box::new(fault(phrase, "doesn't say how far").note(note))
    })
}
