//! Phrases that say where on the neck notes are to lie: `near fret 7`, `on strings 4 3 2`.

use crate::findings::Findings;
use crate::findings::rules::block_syntax;
use crate::findings::source::Spanned;
use crate::neck::Tuning;
use std::collections::BTreeSet;

/// Where on the neck notes are to lie.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Guides {
    /// The strings that may be used, by index; all where none are named.
    pub strings: Option<BTreeSet<usize>>,
    /// The fret that the index finger is to be near.
    pub near: Option<u8>,
}

/// Whether the words of a phrase, in small letters, begin one that [`Guides::read`] reads.
pub fn is_guide(words: &[&str]) -> bool {
    matches!(words, ["near", ..] | ["on", "string" | "strings", ..] | ["string" | "strings", ..])
}

impl Guides {
    /// Takes in what a phrase says; one that can't be read is reported.
    pub fn read(&mut self, phrase: &Spanned<String>, tuning: &Tuning, findings: &mut Findings) {
        let lower = phrase.value.to_lowercase();
        let words: Vec<&str> = lower.split_whitespace().collect();
        let advice = match words.as_slice() {
            ["near", "fret", number] => {
                let near = number.parse().ok().filter(|fret| *fret <= FARTHEST);
                self.near = near.or(self.near);
                near.is_none().then(|| format!("write a fret from 0 to {FARTHEST}, `near fret 7`"))
            }
            ["on", _, numbers @ ..] | ["string" | "strings", numbers @ ..] => {
                let strings = read_strings(&numbers.join(" "), tuning);
                let unread = strings.is_none();
                self.strings = strings.or(self.strings.take());
                unread.then(|| {
                    format!(
                        "write their numbers, `strings 3 2 1`; this tuning has 1, the highest, to {}",
                        tuning.len()
                    )
                })
            }
            _ => Some("write `near fret 7`".to_string()),
        };
        if let Some(advice) = advice {
            let message = format!("`{}` names no place on this neck", phrase.value);
            findings.add(block_syntax::at(phrase.span, message).note(advice));
        }
    }

    /// Whether a string may be used.
    pub fn allows(&self, string: usize) -> bool {
        self.strings.as_ref().is_none_or(|strings| strings.contains(&string))
    }
}

/// The highest fret of the longest neck of the language.
const FARTHEST: u8 = 36;

/// Reads `4 3 2`, `4-2` or `4 to 2` as strings by their index.
fn read_strings(text: &str, tuning: &Tuning) -> Option<BTreeSet<usize>> {
    let text = text.replace(['–', '—'], "-").replace("--", "-").replace(" to ", "-");
    let mut strings = BTreeSet::new();
    for word in text.split([' ', ',']).filter(|word| !word.is_empty()) {
        let (first, last) = word.split_once('-').unwrap_or((word, word));
        let (first, last) = (tuning.index(first.parse().ok()?)?, tuning.index(last.parse().ok()?)?);
        strings.extend(first.min(last)..=first.max(last));
    }
    (!strings.is_empty()).then_some(strings)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn strings_are_read_by_their_numbers() {
        for (text, wanted) in [
            ("4 3 2", Some(vec![2, 3, 4])),
            ("4-2", Some(vec![2, 3, 4])),
            ("2 to 4", Some(vec![2, 3, 4])),
            ("1–2 6", Some(vec![0, 4, 5])),
            ("7", None),
            ("0", None),
            ("", None),
            ("high", None),
        ] {
            let read = read_strings(text, &Tuning::standard());
            assert_eq!(read, wanted.map(|strings| strings.into_iter().collect()), "{text}");
        }
    }
}
