//! The nearest of several words, for "did you mean".

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

/// All words that are nearest, at most `most` letters away: several where they are equally near.
pub fn all_nearest<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str>,
    most: usize,
) -> Vec<&'a str> {
    let near: Vec<(usize, &str)> = known
        .into_iter()
        .filter_map(|candidate| Some((distance(word, candidate, most)?, candidate)))
        .collect();
    let least = near.iter().map(|(apart, _)| *apart).min();
    let mut names = Vec::new();
    for (_, name) in near.into_iter().filter(|(apart, _)| Some(*apart) == least) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
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
        assert_eq!(all_nearest("hoo", known, 2), ["hook", "hood"]);
        assert_eq!(all_nearest("vrs", known, 2), ["verse"]);
        assert!(all_nearest("bridge", known, 2).is_empty());
    }

    #[test]
    fn overlong_words_are_near_to_none() {
        let long = "a".repeat(100_000);
        assert_eq!(distance(&long, &long, 2), None);
    }
}
