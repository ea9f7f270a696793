//! The nearest of several words, for "did you mean".

use crate::findings::Ground;
use std::cell::Cell;

/// The longest word that can be near another, in letters. Names and keys are far shorter; the limit
/// keeps the comparison of hostile words short.
const LONGEST: usize = 64;

/// How many letters apart two words are, if that is `most` at the most: letters left out, put in,
/// replaced, or swapped with their neighbour (Damerau's distance, no letter being moved twice).
/// Case is ignored.
pub fn distance(one: &str, other: &str, most: usize) -> Option<usize> {
    Word::new(one)?.distance(&Word::new(other)?, most)
}

/// The nearest of some words that is at most `most` letters away; of equals the first.
pub fn nearest<'a>(
    word: &str,
    known: impl IntoIterator<Item = &'a str>,
    most: usize,
) -> Option<&'a str> {
    near(word, known, most).words.first().copied()
}

/// The words that are nearest to one that is written.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Near<'a> {
    /// The words: several where they are equally near, none where all are too far.
    pub words: Vec<&'a str>,
    /// Whether the first is the only one that can be meant: no other is in reach, it is one letter or one
    /// transposition away, and no part of it is another one, for who writes `verse-2` or `part-b` doesn't
    /// mean `verse-1` or `part-a`.
    pub plain: bool,
}

impl<'a> Near<'a> {
    /// What speaks for writing the first of the words.
    pub const fn ground(&self) -> Ground {
        if self.plain { Ground::SameMusic } else { Ground::Choice }
    }

    /// The nearest of the words in reach of one, each with its distance.
    fn of(word: &str, in_reach: impl Iterator<Item = (usize, &'a str)>) -> Near<'a> {
        let (mut least, mut reached) = (usize::MAX, 0);
        let mut words: Vec<&str> = Vec::new();
        for (apart, candidate) in in_reach {
            if apart < least {
                least = apart;
                words.clear();
            }
            if words.contains(&candidate) {
                continue;
            }
            reached += 1;
            if apart == least {
                words.push(candidate);
            }
        }
        let is_slip = words.first().is_some_and(|nearest| is_slip(word, nearest));
        Near { plain: reached == 1 && least <= 1 && is_slip, words }
    }
}

/// Whether a word is another one with a letter doubled, with a doubled one written once, or with two
/// neighbours swapped: what fingers do, and what makes no other word of it as a changed letter does.
pub fn is_fumbled(word: &str, meant: &str) -> bool {
    let letters = |word: &str| word.to_lowercase().chars().collect::<Vec<char>>();
    let (word, meant) = (letters(word), letters(meant));
    let same = word.iter().zip(&meant).take_while(|(one, other)| one == other).count();
    let doubled = |long: &[char], short: &[char]| {
        let before = same.checked_sub(1).and_then(|before| long.get(before));
        let letter = long.get(same);
        letter.is_some() && letter == before && long.get(same + 1..) == short.get(same..)
    };
    let swapped = word.get(same).is_some()
        && word.get(same) == meant.get(same + 1)
        && word.get(same + 1) == meant.get(same)
        && word.get(same + 2..) == meant.get(same + 2..);
    doubled(&word, &meant) || doubled(&meant, &word) || swapped
}

/// A part of a word of fewer letters than this that differs is another part, not a slip of the pen: the
/// `b` of `part-b`, the `ii` of `take-ii`. Assumed.
const SHORTEST_SLIP: usize = 3;

/// Whether two words, a letter apart, have the same figures and no part that is another one.
fn is_slip(one: &str, other: &str) -> bool {
    let figures = |word: &str| word.chars().filter(|c| c.is_numeric()).collect::<String>();
    let parts = |word: &str| -> Vec<String> {
        word.split(|c: char| !c.is_alphanumeric()).map(str::to_lowercase).collect()
    };
    let is_roman = |part: &str| part.chars().all(|c| "ivx".contains(c));
    let (own, others) = (parts(one), parts(other));
    let same_parts = match own.len() == others.len() {
        true => own.iter().zip(&others).filter(|(own, other)| own != other).all(|(own, other)| {
            let shorter = own.chars().count().min(other.chars().count());
            shorter >= SHORTEST_SLIP && !(is_roman(own) || is_roman(other))
        }),
        false => own.concat() == others.concat(),
    };
    figures(one) == figures(other) && same_parts
}

/// Those of some words that are nearest, at most `most` letters away, and whether it is plain which is
/// meant.
pub fn near<'a>(word: &str, known: impl IntoIterator<Item = &'a str>, most: usize) -> Near<'a> {
    let Some(letters) = Word::new(word) else { return Near::default() };
    let in_reach = known.into_iter().filter_map(|candidate| {
        let apart = letters.distance(&Word::new(candidate)?, most)?;
        Some((apart, candidate))
    });
    Near::of(word, in_reach)
}

/// Many words of which the nearest to others is looked for.
#[derive(Debug, Clone, Default)]
pub struct Known {
    words: Vec<(String, Option<Word>)>,
    /// What the search may still cost, in pairs of letters that are compared.
    left: Cell<usize>,
}

impl Known {
    /// What all searches among the same words may cost: 30 ms (measured), which is 100 slips in a lesson of
    /// 1,000 names that are all alike.
    const PATIENCE: usize = 10_000_000;

    /// Takes the words in, the first of equals first.
    pub fn new(words: impl IntoIterator<Item = String>) -> Known {
        let words = words.into_iter().map(|word| {
            let letters = Word::new(&word);
            (word, letters)
        });
        Known { words: words.collect(), left: Cell::new(Known::PATIENCE) }
    }

    /// Whether a word is among them, whatever its case.
    pub fn has(&self, word: &str) -> bool {
        self.words.iter().any(|(known, _)| known.eq_ignore_ascii_case(word))
    }

    /// Those that are nearest, at most `most` letters away. None is found any more once that took too
    /// long.
    pub fn near(&self, word: &str, most: usize) -> Near<'_> {
        let Some(letters) = Word::new(word).filter(|_| self.left.get() > 0) else {
            return Near::default();
        };
        let alike = self.words.iter().filter_map(|(known, other)| {
            let other = other.as_ref().filter(|other| letters.can_be_near(other, most))?;
            Some((known.as_str(), other))
        });
        let in_reach = alike.filter_map(|(known, other)| {
            let left = self.left.get().checked_sub(letters.count * other.count);
            self.left.set(left.unwrap_or_default());
            left.and_then(|_| Some((letters.distance(other, most)?, known)))
        });
        let near = Near::of(word, in_reach);
        // A search that was broken off may have missed a nearer word.
        if self.left.get() == 0 { Near::default() } else { near }
    }
}

/// A word in small letters.
#[derive(Debug, Clone)]
struct Word {
    letters: String,
    count: usize,
    /// A bit for each letter that it has, several letters sharing one.
    has: u64,
}

impl Word {
    /// Nothing where the word is too long to be near any other.
    fn new(word: &str) -> Option<Word> {
        let letters: Vec<char> =
            word.chars().flat_map(char::to_lowercase).take(LONGEST + 1).collect();
        let has = letters.iter().fold(0, |has, letter| has | 1 << (u32::from(*letter) % 64));
        let count = letters.len();
        (count <= LONGEST).then(|| Word { letters: letters.into_iter().collect(), count, has })
    }

    /// Whether two words can be near each other by their lengths and letters: each letter that is put
    /// in or left out changes one bit at most, each that is replaced two.
    fn can_be_near(&self, other: &Word, most: usize) -> bool {
        let bits = (self.has ^ other.has).count_ones() as usize;
        self.count.abs_diff(other.count) <= most && bits <= most * 2
    }

    fn distance(&self, other: &Word, most: usize) -> Option<usize> {
        let near = self.can_be_near(other, most);
        near.then(|| strsim::osa_distance(&self.letters, &other.letters))
            .filter(|apart| *apart <= most)
    }
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
            ("vers", &["verses", "verse"][..], false),
            ("verse-3", &["verse-1"][..], false),
            ("verse2", &["verse"][..], false),
            ("verze-1", &["verse-1"][..], true),
            ("evrse", &["verse"][..], true),
            ("verse_1", &["verse-1"][..], true),
            ("verse1", &["verse-1"][..], true),
            ("vase", &["verse"][..], false),
            ("outro", &["intro"][..], false),
            ("part-b", &["part-a"][..], false),
            ("part_b", &["part_a"][..], false),
            ("part-", &["part-a"][..], false),
            ("b", &["a"][..], false),
            ("take-ii", &["take-i"][..], false),
            ("take-iii", &["take-ii"][..], false),
            ("verse٢", &["verse٣"][..], false),
        ] {
            assert_eq!(near(word, known.iter().copied(), 2).plain, plain, "{word}");
        }
    }

    #[test]
    fn the_nearest_of_known_words_are_the_nearest_of_all() {
        let words = ["verse", "Hook", "hooks", "bridge", "verse-2", "", "ärger"];
        let known = Known::new(words.map(str::to_owned));
        for word in ["hok", "hookz", "bridge", "vers", "verse2", "nothing", "", "ARGER", "kooh"] {
            for most in 0..4 {
                assert_eq!(known.near(word, most), near(word, words, most), "{word} {most}");
            }
        }
        assert!(known.has("HOOK") && !known.has("hok"));
    }

    #[test]
    fn the_search_among_known_words_ends() {
        let known = Known::new((0..3_000).map(|number| format!("melody-{number}")));
        let finds = |word: &str| !known.near(word, 2).words.is_empty();
        assert!(finds("melodie-17"));
        let slips = (0..10_000).filter(|number| finds(&format!("mleody-{number}"))).count();
        assert!((20..3_000).contains(&slips), "{slips}");
        assert!(!finds("melodie-17"), "patience is at its end");
    }

    #[test]
    fn fingers_double_letters_and_swap_neighbours() {
        for (word, meant, fumbled) in [
            ("tunning", "tuning", true),
            ("tempoo", "tempo", true),
            ("Tmepo", "tempo", true),
            ("mter", "meter", false),
            ("metre", "meter", true),
            ("ttempo", "tempo", true),
            ("band", "hand", false),
            ("capos", "capo", false),
            ("tunin", "tuning", false),
            ("tempo", "tempo", false),
            ("", "", false),
        ] {
            assert_eq!(is_fumbled(word, meant), fumbled, "{word}");
        }
    }

    #[test]
    fn overlong_words_are_near_to_none() {
        let long = "a".repeat(100_000);
        assert_eq!(distance(&long, &long, 2), None);
    }
}
