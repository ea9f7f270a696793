//! The phrases of a riff's fence line.

use super::guides::{self, Guides};
use crate::findings::Span;
use crate::findings::rules::block_syntax;
use crate::findings::source::Spanned;
use crate::findings::{Finding, Findings};
use crate::lesson::fence::Fence;

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
    for phrase in &fence.phrases {
        let lower = phrase.value.to_lowercase();
        let words: Vec<&str> = lower.split_whitespace().collect();
        match words.as_slice() {
            ["pickup"] => phrases.pickup = true,
            ["over", ..] => match read_over(phrase) {
                Some(over) => phrases.over = Some(over),
                None => findings.add(
                    fault(phrase, "names no changes that can be read")
                        .note("write `over verse` or `over verse bars 5 to 8`"),
                ),
            },
            _ if guides::is_guide(&words) => {
                phrases.guiding.push(phrase.clone());
                phrases.guides.read(phrase, tuning, findings);
            }
            _ => findings.add(
                block_syntax::no_phrase(phrase.span, &phrase.value, "a riff")
                    .note("a riff knows `over NAME`, `pickup`, `near fret N` and `strings …`"),
            ),
        }
    }
    phrases
}

fn fault(phrase: &Spanned<String>, what: &str) -> Finding {
    block_syntax::at(phrase.span, format!("`{}` {what}", phrase.value))
}

fn read_over(phrase: &Spanned<String>) -> Option<Over> {
    let mut words = phrase.value.split_whitespace().skip(1).peekable();
    words.next_if(|word| word.eq_ignore_ascii_case("the"));
    let name = words.next()?;
    let bars = match words.next() {
        None => None,
        Some(word) if word.eq_ignore_ascii_case("bars") || word.eq_ignore_ascii_case("bar") => {
            Some(read_range(&words.collect::<Vec<_>>().join(" "))?)
        }
        Some(_) => return None,
    };
    // The name is a piece of the phrase, which stands in the lesson as it is written.
    let start = name.as_ptr() as usize - phrase.value.as_ptr() as usize + phrase.span.start;
    let span = Span::new(start, start + name.len());
    Some(Over { name: Spanned { value: name.to_string(), span }, bars, span: phrase.span })
}

/// Reads `5 to 8`, `5-8` or `5`; the first is at least 1 and no greater than the last.
fn read_range(text: &str) -> Option<(usize, usize)> {
    let plain = text.to_lowercase().replace(['–', '—', '-'], " ").replace(" to ", " ");
    let numbers: Option<Vec<usize>> =
        plain.split_whitespace().map(|number| number.parse().ok()).collect();
    let (first, last) = match *numbers?.as_slice() {
        [only] => (only, only),
        [first, last] => (first, last),
        _ => return None,
    };
    (first >= 1 && first <= last).then_some((first, last))
}
