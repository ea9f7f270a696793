//! The nearest of several words, for "did you mean".

use crate::proof::Ground;

/// The longest word that can be near another, in letters. Names and keys are far shorter; the limit
/// keeps the comparison of hostile words short.
const LONGEST: usize = 64;

/// How many letters apart two words are, if that is `most` at the most: letters left out, put in,
/// replaced, or swapped with their neighbour (Damerau's distance, no letter being moved twice).
/// Case is ignored.
pub fn distance(one: &str, other: &str, most: usize) -> Option<usize> {
    let (one, other) = (letters(one)?, letters(other)?);
    if one.len().abs_diff(other.len()) > most {
        return None;
    }
    Some(letters_apart(&one, &other)).filter(|apart| *apart <= most)
}

/// The nearest of some words that is at most `most` letters away; of equals the first.
pub fn nearest<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str>,
    most: usize,
) -> Option<&'a str> {
    known
        .into_iter()
        .filter_map(|candidate| Some((distance(word, candidate, most)?, candidate)))
        .min_by_key(|(apart, _)| *apart)
        .map(|(_, candidate)| candidate)
}

/// The words that are nearest to one that is written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Near<'a> {
    /// The words: several where they are equally near, none where all are too far.
    pub words: Vec<&'a str>,
    /// Whether the first is the only one that can be meant: no other is in reach, and no figure differs,
    /// for who writes `verse-2` doesn't mean `verse-1`.
    pub plain: bool,
}

impl Near<'_> {
    /// What speaks for writing the first of the words.
    pub const fn ground(&self) -> Ground {
        if self.plain { Ground::SameMusic } else { Ground::Choice }
    }
}

/// Those of some words that are nearest, at most `most` letters away, and whether it is plain which is
/// meant.
pub fn near<'a>(word: &str, known: impl IntoIterator<Item = &'a str>, most: usize) -> Near<'a> {
    let in_reach = |candidate: &'a str| Some((distance(word, candidate, most)?, candidate));
    let mut near: Vec<(usize, &str)> = known.into_iter().filter_map(in_reach).collect();
    // Of equals the first stays the first.
    near.sort_by_key(|(apart, _)| *apart);
    let mut words: Vec<&str> = Vec::new();
    for (_, candidate) in &near {
        if !words.contains(candidate) {
            words.push(candidate);
        }
    }
    let figures = |word: &str| word.chars().filter(char::is_ascii_digit).collect::<String>();
    let plain = matches!(words.as_slice(), [only] if figures(word) == figures(only));
    let least = near.first().map(|(apart, _)| *apart);
    let nearest = near.iter().take_while(|(apart, _)| Some(*apart) == least).map(|(_, word)| word);
    words.retain(|word| nearest.clone().any(|near| near == word));
    Near { words, plain }
}

/// A word's letters in small, unless it is too long to be near any other.
fn letters(word: &str) -> Option<Vec<char>> {
    let letters: Vec<char> = word.chars().flat_map(char::to_lowercase).take(LONGEST + 1).collect();
    (letters.len() <= LONGEST).then_some(letters)
}

fn letters_apart(one: &[char], other: &[char]) -> usize {
    // Row `i` holds, for each front part of `other`, how far it is from the first `i` letters of
    // `one`; a swap looks two rows back.
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=other.len()).collect();
    let mut last = None;
    for (i, letter) in one.iter().enumerate() {
        let mut row = vec![i + 1];
        let mut left = i + 1;
        let mut last_other = None;
        for (j, wanted) in other.iter().enumerate() {
            let at = |row: &[usize], j: usize| row.get(j).copied().unwrap_or(usize::MAX - 1);
            let replaced = at(&above, j) + usize::from(letter != wanted);
            let mut apart = replaced.min(left + 1).min(at(&above, j + 1) + 1);
            if last == Some(wanted) && last_other == Some(letter) {
                apart = apart.min(at(&before, j.saturating_sub(1)) + 1);
            }
            row.push(apart);
            left = apart;
            last_other = Some(wanted);
        }
        before = std::mem::replace(&mut above, row);
        last = Some(letter);
    }
    above.last().copied().unwrap_or_default()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn letters_apart_are_counted() {
        for (one, other, apart) in [
            ("tempo", "tempo", Some(0)),
            ("Tempo", "tEMPO", Some(0)),
            ("tmepo", "tempo", Some(1)),
            ("temp", "tempo", Some(1)),
            ("tempoo", "tempo", Some(1)),
            ("tembo", "tempo", Some(1)),
            ("temop", "tempo", Some(1)),
            ("timo", "tempo", Some(2)),
            ("swing", "string", Some(2)),
            ("mood", "tempo", None),
            ("", "ab", Some(2)),
            ("", "abc", None),
            ("ÄÖ", "äö", Some(0)),
            ("ca", "abc", None),
        ] {
            assert_eq!(distance(one, other, 2), apart, "{one} {other}");
            assert_eq!(distance(other, one, 2), apart, "{other} {one}");
        }
    }

    #[test]
    fn the_first_of_the_nearest_is_taken() {
        let known = ["verse", "hook", "hooks"];
        assert_eq!(nearest("hok", known, 2), Some("hook"));
        assert_eq!(nearest("hookz", known, 2), Some("hook"));
        assert_eq!(nearest("bridge", known, 2), None);
    }

    #[test]
    fn all_of_the_nearest_are_found() {
        let known = ["verse", "hook", "hooks", "hood", "hook"];
        assert_eq!(near("hoo", known, 2).words, ["hook", "hood"]);
        assert_eq!(near("vrs", known, 2).words, ["verse"]);
        assert_eq!(near("bridge", known, 2), Near::default());
    }

    #[test]
    fn a_word_is_plainly_meant_where_no_other_is_in_reach() {
        for (word, known, plain) in [
            ("vers", &["verse", "hook"][..], true),
            ("vers", &["verse", "verses"][..], false),
            ("verse-3", &["verse-1"][..], false),
            ("verse2", &["verse"][..], false),
            ("verze-1", &["verse-1"][..], true),
        ] {
            let near = near(word, known.iter().copied(), 2);
            assert_eq!((near.words.as_slice(), near.plain), (&known[..1], plain), "{word}");
        }
    }

    #[test]
    fn overlong_words_are_near_to_none() {
        let long = "a".repeat(100_000);
        assert_eq!(distance(&long, &long, 2), None);
    }
}
