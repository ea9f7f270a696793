//! Words that speak of what a header says and that nobody could read: told, since the header then says
//! what the text may not.

use super::capo;
use super::lines::{Kind, Line};
use super::lines_beside;
use super::meter;
use super::parts;
use super::settings::{self, Said, Settings};
use super::tempo;
use crate::theory::Key;
use std::collections::HashSet;

/// Whether words, in small letters, speak of a key of the header.
type Speaks = fn(&[String]) -> bool;

/// What tells it of each key.
const SPEAKS: [(&str, Speaks); 6] = [
    ("key", of_key),
    ("tempo", of_tempo),
    ("swing", of_swing),
    ("tuning", of_tuning),
    ("capo", of_capo),
    ("meter", of_meter),
];

/// How many words may stand with one that is a word of songs and stories too.
const SHORT: usize = 5;

/// Words that say that nothing is changed.
const NONE: [&str; 7] = ["no", "without", "standard", "std", "usual", "normal", "regular"];

/// The header's lines about what the lines of a text, and its title, speak of and nobody read.
pub(super) fn told(lines: &[Line], said: &Settings) -> String {
    let texts = lines.iter().filter_map(|line| match &line.kind {
        Kind::Words | Kind::Section(_) => Some(line.text.as_str()),
        _ => None,
    });
    let mut seen = HashSet::new();
    let parts = texts.chain(said.title.as_deref()).flat_map(|text| {
        let parts = parts::of(text).into_iter().filter_map(move |part| text.get(part));
        parts.filter(|part| lines_beside::times(part).is_none())
    });
    let parts = parts.filter(|part| seen.insert(*part));
    parts.flat_map(|part| unheeded(part, &said.taken)).collect()
}

/// A line for each key of the header that words speak of and that was not read from them, nor is the same.
fn unheeded(part: &str, taken: &[(Said, String)]) -> Vec<String> {
    let words = words(part);
    let is_taken = |key: &str| {
        let mut same = taken.iter().filter(|(said, _)| said.key == key);
        same.any(|(said, from)| from == part || settings::says(part, said))
    };
    let spoken = SPEAKS.iter().filter(|(key, speaks)| speaks(&words) && !is_taken(key));
    spoken
        .map(|(key, _)| format!("# guessed: no {key} is taken from the words `{part}`\n"))
        .collect()
}

/// The words of a part in small letters, without the signs around them.
fn words(part: &str) -> Vec<String> {
    let is_end = |c: char| !c.is_alphanumeric() && c != '♩' && c != '#';
    let words = part.split([' ', ':', '=', ',', ';', '(', ')', '-']);
    let words = words.map(|word| word.trim_matches(is_end).to_lowercase());
    words.filter(|word| !word.is_empty()).collect()
}

fn has(words: &[String], wanted: &[&str]) -> bool {
    words.iter().any(|word| wanted.contains(&word.as_str()))
}

/// The places of a word that no word before it takes back.
fn at<'w>(words: &'w [String], wanted: &'w [&str]) -> impl Iterator<Item = usize> + 'w {
    let is = move |at: &usize| words.get(*at).is_some_and(|word| wanted.contains(&word.as_str()));
    let before = |at: usize| at.checked_sub(1).and_then(|before| words.get(before));
    let stands = move |at: &usize| before(*at).is_none_or(|word| !NONE.contains(&word.as_str()));
    (0..words.len()).filter(is).filter(stands)
}

/// `key of …`, or `in E` at the end of a few words.
fn of_key(words: &[String]) -> bool {
    let is_key = |words: &[String]| {
        let mut name = words.join(" ");
        if let Some(letter) = name.get_mut(..1) {
            letter.make_ascii_uppercase();
        }
        Key::parse(&name).is_some()
    };
    let named = at(words, &["key"]).any(|at| {
        let behind = words.get(at + 1..).unwrap_or_default();
        let behind = behind.strip_prefix(&["of".to_string()]).unwrap_or(behind);
        (1..=2).any(|length| behind.get(..length).is_some_and(is_key))
    });
    let last = at(words, &["in"]).last().and_then(|at| words.get(at + 1..));
    named || last.is_some_and(|key| key != ["a"] && words.len() <= SHORT && is_key(key))
}

/// A number beside a word for how fast.
fn of_tempo(words: &[String]) -> bool {
    let number = words.iter().any(|word| tempo::is_tempo(word.trim_end_matches("bpm")));
    let felt = words.iter().any(|word| tempo::is_feel(word)) && words.len() <= SHORT;
    number
        && (felt
            || has(words, &["tempo", "bpm", "♩"])
            || words.iter().any(|word| word.ends_with("bpm")))
}

fn of_swing(words: &[String]) -> bool {
    words.len() <= SHORT
        && at(words, &["swing", "swung", "swinging", "shuffle", "shuffled"]).next().is_some()
}

fn of_tuning(words: &[String]) -> bool {
    let tuned = at(words, &["tuning", "tuned", "detuned"]).next().is_some();
    tuned && !has(words, &NONE)
}

fn of_capo(words: &[String]) -> bool {
    let is = |at: Option<usize>, wanted: &[&str]| {
        at.and_then(|at| words.get(at)).is_some_and(|word| wanted.contains(&word.as_str()))
    };
    let none = |at: usize| is(Some(at + 1), &["0", "none"]) && words.len() == at + 2;
    let other = |at: usize| is(at.checked_sub(1), &["da"]) || none(at);
    at(words, &[capo::WORD]).any(|at| !other(at))
}

/// A meter, or a few words that name one.
fn of_meter(words: &[String]) -> bool {
    let named = has(words, &["waltz", "jig"]) && words.len() <= SHORT;
    let cut = words.windows(2).any(
        |two| matches!(two, [a, b] if (a == "cut" && b == "time") || (a == "alla" && b == "breve")),
    );
    named || cut || words.iter().any(|word| meter::read(word).is_some())
}

#[cfg(test)]
mod tests {
    use crate::paste;

    #[test]
    fn what_speaks_of_a_setting_and_is_none_is_told() {
        for (words, told) in [
            ("a sort of 6/8 with a limp", "meter"),
            ("cut time", "meter"),
            ("Grey Waltz", "meter"),
            ("capo somewhere up there", "capo"),
            ("tuned a bit flat", "tuning"),
            ("fairly slow: 80 or so", "tempo"),
            ("swing feel", "swing"),
            ("Slow air in E minor", "key"),
            ("Bridge (6/8)", "meter"),
            ("[Bridge - 6/8]", "meter"),
            ("no capo, standard tuning", ""),
            ("the capo helps", "capo"),
            ("da capo al fine", ""),
            ("Capo 0", ""),
            ("Capo: none / 2 live", "capo"),
            ("1/2 of it is in the wrist", ""),
            ("the key to it is patience", ""),
            ("he tuned out and sang in a waltz time of his own making", "tuning"),
            ("Capo 3\n\nla\n\ncapo 3", ""),
            ("Capo 3\n\nla\n\nnow capo 5", "capo"),
        ] {
            let lesson = paste::lesson("A", &format!("Boats\n{words}\n\nE|-0-3-|\n")).text;
            let mark = |line: &str| {
                let rest = line.strip_prefix("# guessed: no ")?;
                Some(rest.split(' ').next()?.to_string())
            };
            let keys: Vec<String> = lesson.lines().filter_map(mark).collect();
            assert_eq!(keys.join(" "), told, "{words}: {lesson}");
        }
    }
}
