//! The capo that an old tab says.

/// The highest fret that a capo is looked for on.
const HIGHEST: u8 = 12;

/// The Roman numerals up to that fret.
const ROMAN: [&str; 12] =
    ["I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"];

/// The word for it, in small letters.
pub(super) const WORD: &str = "capo";

/// Words that may stand between the capo and its fret.
const BETWEEN: [&str; 7] = ["on", "at", "the", "fret", "is", "in", "position"];

/// Words that make a capo none or only one way to play.
const DOUBTS: [&str; 12] = [
    "none",
    "no",
    "not",
    "without",
    "optional",
    "or",
    "maybe",
    "either",
    "if",
    "try",
    "da",
    "sometimes",
];

/// The fret of the capo, and how it is written, if a line says it and leaves no doubt: its fret alone,
/// right behind the word.
pub(super) fn read(line: &str) -> Option<(u8, String)> {
    let words = words(line);
    let is =
        |word: &str, others: &[&str]| others.iter().any(|other| word.eq_ignore_ascii_case(other));
    let doubtful =
        line.contains('?') || words.iter().any(|(word, _)| *word == "/" || is(word, &DOUBTS));
    let at = words.iter().position(|(word, _)| is(word, &[WORD])).filter(|_| !doubtful)? + 1;
    let behind = words.get(at..)?;
    let between = behind.iter().take_while(|(word, _)| is(word, &BETWEEN)).count();
    let (written, rest) = *behind.get(between)?;
    let next = behind.get(between + 1);
    let ends = next.is_none_or(|(word, _)| is(word, &["fret"])) || ends_clause(rest);
    let fret = arabic(written).or_else(|| roman(written).filter(|_| ends))?;
    let others = behind.get(between + 1..)?.iter().any(|(word, _)| arabic(word).is_some());
    (!others).then(|| (fret, written.to_string()))
}

/// The words of a line, each with all that stands behind it.
fn words(line: &str) -> Vec<(&str, &str)> {
    let is_sign = |c: char| !c.is_alphanumeric() && c != '/';
    let mut rest = line.trim_start_matches(is_sign);
    let mut words = Vec::new();
    while !rest.is_empty() {
        let (word, behind) = rest.split_at(rest.find(is_sign).unwrap_or(rest.len()));
        words.push((word, behind));
        rest = behind.trim_start_matches(is_sign);
    }
    words
}

/// Whether what stands behind a numeral parts it from the next word: `I` alone is a word too.
fn ends_clause(behind: &str) -> bool {
    behind.trim_start().starts_with([',', '.', ';', '(', ')'])
}

/// A fret in figures: `3`, `3rd`.
fn arabic(word: &str) -> Option<u8> {
    let digits = word.trim_end_matches(char::is_alphabetic);
    digits.parse().ok().filter(|fret| (1..=HIGHEST).contains(fret))
}

fn roman(word: &str) -> Option<u8> {
    let place = ROMAN.iter().position(|numeral| *numeral == word)?;
    u8::try_from(place + 1).ok()
}
