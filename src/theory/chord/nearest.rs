//! The symbol that was probably meant by one that can't be read.

use super::read;
use crate::theory::Note;

/// The symbols' suffixes in the order of how often they are written, so that the more usual one
/// is offered where two are equally near.
pub(super) const USUAL: [&str; 41] = [
    "", "m", "7", "m7", "maj7", "sus4", "sus2", "add9", "5", "6", "m6", "9", "m9", "maj9", "dim",
    "dim7", "m7b5", "aug", "aug7", "7sus4", "6/9", "m(maj7)", "7b9", "7#9", "7b5", "7#5", "7#11",
    "maj7#11", "11", "m11", "13", "m13", "maj13", "9sus4", "13sus4", "add11", "add13", "7alt",
    "madd9", "min7", "b5",
];

/// How many letters may be wrong.
const REACH: usize = 2;

/// The nearest symbol to a text, in the house form.
pub(super) fn symbol(text: &str) -> Option<String> {
    if text.len() > super::read::LONGEST {
        return None;
    }
    let capital: String = text.chars().take(1).flat_map(char::to_uppercase).collect();
    let text = capital + text.get(text.chars().next()?.len_utf8()..)?;
    if let Ok(chord) = read::without_advice(&text) {
        return Some(chord.to_string());
    }
    let (root, length) = Note::read(&text)?;
    let (kind, bass) = match text.get(length..)?.rsplit_once('/') {
        Some((kind, bass)) if Note::parse(bass).is_some() => (kind, format!("/{bass}")),
        _ => (text.get(length..)?, String::new()),
    };
    Some(format!("{root}{}{bass}", suffix(kind)?))
}

/// The nearest suffix, in the house form.
pub(super) fn suffix(text: &str) -> Option<String> {
    let wanted = text.to_lowercase();
    // Letters put in, taken out, changed, or swapped with their neighbour.
    let distance = |usual: &&str| strsim::osa_distance(&wanted, usual);
    let length = wanted.chars().count();
    let similar = USUAL.iter().copied().filter(|usual| usual.len().abs_diff(length) <= REACH);
    let near = similar.min_by_key(distance).filter(|usual| distance(usual) <= REACH);
    let house = |text: &str| read::suffix(text).ok().map(|recipe| recipe.suffix());
    near.filter(|usual| !usual.is_empty() || text.chars().count() == 1)
        .and_then(house)
        .or_else(|| longest_readable(text))
}

/// The longest beginning of a suffix that can be read, if there is any.
fn longest_readable(text: &str) -> Option<String> {
    let ends = text.char_indices().map(|(at, _)| at).rev().filter(|at| *at > 0);
    let fronts = ends.filter_map(|at| text.get(..at));
    fronts.map(read::suffix).find_map(Result::ok).map(|recipe| recipe.suffix())
}
