//! The phrases of a riff's fence line.

use super::guides::{self, Guides};
use super::kind::WRITTEN;
use crate::findings::Span;
use crate::findings::rules::block_syntax;
use crate::findings::source::{Line, Spanned};
use crate::findings::{Finding, Findings};
use crate::lesson::fence::Fence;
use crate::lesson::numbers;

/// What a riff's fence line says.
#[derive(Debug, Default)]
pub(super) struct Phrases {
    /// The changes that the riff is played over.
    pub over: Option<Over>,
    /// Whether the first bar is an upbeat.
    pub pickup: bool,
    /// The phrases that guide a `notes` row: `near fret 7`, `strings 4 3 2`.
    pub guiding: Vec<Spanned<String>>,
    /// What they say.
    pub guides: Guides,
}

/// `over verse bars 5 to 8`.
#[derive(Debug, Clone)]
pub(super) struct Over {
    /// The name of the changes.
    pub name: Spanned<String>,
    /// The first and the last bar that are taken, where they are named.
    pub bars: Option<(usize, usize)>,
    /// The whole phrase.
    pub span: Span,
}

/// Reads the phrases of a riff's fence line.
pub(super) fn read(fence: &Fence, findings: &mut Findings) -> Phrases {
    let tuning = &fence.setting.instrument.tuning;
    let mut phrases = Phrases::default();
    for &phrase in &fence.phrases {
        if phrase.is("pickup") {
            phrases.pickup = true;
        } else if let Some(over) = phrase.after("over") {
            match read_over(phrase, over) {
                Some(over) => phrases.over = Some(over),
                None => findings.add(
                    fault(phrase, "names no changes that can be read")
                        .note("write `over verse` or `over verse bars 5 to 8`"),
                ),
            }
        } else if guides::is_guide(phrase) {
            phrases.guiding.push(phrase.spanned());
            phrases.guides.read(phrase, tuning, findings);
        } else {
            findings.add(block_syntax::no_phrase(phrase, "a riff").note(WRITTEN.fence_knows()));
        }
    }
    phrases
}

fn fault(phrase: Line<'_>, what: &str) -> Finding {
    block_syntax::at(phrase.whole(), format!("`{}` {what}", phrase.text))
}

/// Reads what stands behind `over`: a name, and bars that begin at 1 or later.
fn read_over(phrase: Line<'_>, over: Line<'_>) -> Option<Over> {
    let (name, rest) = numbers::without_the(over).first_word();
    let bars = match rest.text {
        "" => None,
        _ => Some(numbers::bars(rest).filter(|(first, last)| *first >= 1 && first <= last)?),
    };
    let name = Some(name.spanned()).filter(|name| !name.value.is_empty())?;
    Some(Over { name, bars, span: phrase.whole() })
}
