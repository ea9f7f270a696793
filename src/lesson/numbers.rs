//! Strings, frets and bars as phrases, cues and the command line name them: `on strings 4 3 2`, `near fret 5`,
//! `frets 5-8`, `bars 3 – 4 of the hook`.

use crate::findings::source::Line;
use crate::neck::{StringIndex, Tuning};
use std::collections::BTreeSet;
use std::str::FromStr;

/// The numbers behind `strings` or `on strings`; `None` where the phrase begins otherwise.
pub fn on_strings(phrase: Line<'_>) -> Option<Line<'_>> {
    let strings = phrase.after("on").unwrap_or(phrase);
    strings.after("strings").or_else(|| strings.after("string"))
}

/// The strings of a tuning that are named by their numbers, 1 the highest: `3 2 1`, `1-3`, `4, 3 to 1`.
/// From the lowest-placed, each once; `None` where there are none, or one that the tuning hasn't.
pub fn strings(text: &str, tuning: &Tuning) -> Option<Vec<StringIndex>> {
    let mut found = BTreeSet::new();
    for piece in joined(text).split([' ', ',']).filter(|piece| !piece.is_empty()) {
        let (one, other) = ends(piece)?;
        let (one, other) = (tuning.string(one)?, tuning.string(other)?);
        found.extend(one.min(other).to(one.max(other)));
    }
    (!found.is_empty()).then(|| found.into_iter().collect())
}

/// How the strings of a tuning are named, as advice.
pub fn strings_form(tuning: &Tuning) -> String {
    format!(
        "write their numbers, `strings 3 2 1`; this tuning has 1, the highest, to {}",
        tuning.len()
    )
}

/// The word behind `near fret`; `None` where the phrase is another, or has no word there or several.
pub fn near_fret(phrase: Line<'_>) -> Option<Line<'_>> {
    let fret = phrase.after("near")?.after("fret")?;
    (fret.words().count() == 1).then_some(fret)
}

/// The first and the last bar in `bar 2`, `bars 1 to 2`, `bars 3–4`, as they are written: the last may be the
/// lower one.
pub fn bars<N: FromStr>(line: Line<'_>) -> Option<(N, N)> {
    let numbers = line.after("bars").or_else(|| line.after("bar"))?;
    range(numbers.text)
}

/// The bars in `bars 1 to 2 of the hook`, and the words behind `of`.
pub fn bars_of(line: Line<'_>) -> Option<((u32, u32), Line<'_>)> {
    let of = line.words().find(|word| word.is("of"))?;
    let (named, name) = line.around(of);
    Some((bars(named)?, name))
}

/// A name without the article before it: that of `the hook`.
pub fn without_the(name: Line<'_>) -> Line<'_> {
    name.after("the").filter(|rest| !rest.text.is_empty()).unwrap_or(name)
}

/// The two numbers of `5 to 8`, `5-8`, `5 – 8` or `5 8`; a number alone is both.
pub fn range<N: FromStr>(text: &str) -> Option<(N, N)> {
    ends(&joined(text))
}

/// A text in single spaces, in which one hyphen joins two numbers, whatever joined them.
fn joined(text: &str) -> String {
    let is_to = |word: &str| word.eq_ignore_ascii_case("to");
    let words = text.split_whitespace().map(|word| if is_to(word) { "-" } else { word });
    let text = words.collect::<Vec<_>>().join(" ").replace(['–', '—'], "-").replace("--", "-");
    text.replace(" -", "-").replace("- ", "-")
}

fn ends<N: FromStr>(text: &str) -> Option<(N, N)> {
    let (first, last) = text.split_once(['-', ' ']).unwrap_or((text, text));
    Some((first.parse().ok()?, last.parse().ok()?))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(text: &str) -> Line<'_> {
        Line { text, start: 0 }
    }

    #[test]
    fn strings_are_read_by_their_numbers() {
        for (text, wanted) in [
            ("4 3 2", Some(vec![2, 3, 4])),
            ("4,3, 2", Some(vec![2, 3, 4])),
            ("4-2", Some(vec![2, 3, 4])),
            ("2 to 4", Some(vec![2, 3, 4])),
            ("2 TO 4", Some(vec![2, 3, 4])),
            ("4 – 2", Some(vec![2, 3, 4])),
            ("4—2", Some(vec![2, 3, 4])),
            ("4 --2", Some(vec![2, 3, 4])),
            ("1–2 6 6", Some(vec![0, 4, 5])),
            ("3", Some(vec![3])),
            ("7", None),
            ("1-7", None),
            ("0", None),
            ("1-", None),
            ("-", None),
            ("1-2-3", None),
            ("99999999999999999999", None),
            ("", None),
            (" , ", None),
            ("high", None),
        ] {
            let wanted = wanted.map(|strings| strings.into_iter().map(StringIndex::new).collect());
            assert_eq!(strings(text, &Tuning::standard()), wanted, "{text}");
        }
    }

    #[test]
    fn the_words_before_numbers_are_told_from_others() {
        for (text, numbers) in [
            ("on strings 4 3 2", Some("4 3 2")),
            ("Strings 4-2", Some("4-2")),
            ("string 1", Some("1")),
            ("on string  1", Some("1")),
            ("strings", Some("")),
            ("on", None),
            ("stringsets 1", None),
        ] {
            assert_eq!(on_strings(line(text)).map(|numbers| numbers.text), numbers, "{text}");
        }
        assert_eq!(near_fret(line("Near fret  5")).map(|fret| fret.text), Some("5"));
        for text in ["near 5", "near fret", "near fret 5 6", "fret 5"] {
            assert_eq!(near_fret(line(text)), None, "{text}");
        }
    }

    #[test]
    fn two_numbers_are_joined_in_many_ways() {
        for text in ["5 to 8", "5-8", "5 - 8", "5 – 8", "5—8", "5--8", "5 8", " 5 -8 "] {
            assert_eq!(range::<u8>(text), Some((5, 8)), "{text}");
        }
        assert_eq!(range::<u8>("5"), Some((5, 5)));
        assert_eq!(range::<u8>("8 to 5"), Some((8, 5)));
        for text in ["", "-", "5-", "-5", "5 to", "5 6 7", "5-6-7", "300", "five"] {
            assert_eq!(range::<u8>(text), None, "{text}");
        }
    }

    #[test]
    fn bars_are_named_of_a_block() {
        for (text, wanted) in [
            ("bar 2 of the hook", Some(((2, 2), "the hook"))),
            ("bars 2 of hook", Some(((2, 2), "hook"))),
            ("Bars 1 to 2 of hook", Some(((1, 2), "hook"))),
            ("bar 1–2 OF  hook", Some(((1, 2), "hook"))),
            ("bars 4 to 3 of hook", Some(((4, 3), "hook"))),
            ("bars of hook", None),
            ("bars 1 to 2", None),
            ("hook of bar 2", None),
        ] {
            let read = bars_of(line(text)).map(|(bars, name)| (bars, name.text));
            assert_eq!(read, wanted, "{text}");
        }
    }

    #[test]
    fn an_article_is_no_part_of_a_name() {
        for (text, name) in [("The  hook", "hook"), ("hook", "hook"), ("the", "the")] {
            assert_eq!(without_the(line(text)).text, name);
        }
    }
}
