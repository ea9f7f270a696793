//! The tempo that an old tab says, and how it swings.

use super::settings::behind;

/// The tempos that a header takes, in quarter notes a minute.
const TEMPOS: std::ops::RangeInclusive<u16> = 20..=400;

/// The words before a tempo, and whether it must stand behind a colon or a sign of equality.
const TEMPO_WORDS: [(&str, bool); 9] = [
    ("tempo", false),
    ("bpm", false),
    ("♩", false),
    ("mm", true),
    ("m.m.", true),
    ("q.", true),
    ("q", true),
    ("quarter", true),
    ("speed", true),
];

/// Words behind a tempo.
const TO_THE_BEAT: [&str; 3] = [" to the quarter", " to a quarter", " to the dotted quarter"];

/// What says that the beat is a dotted quarter.
const DOTTED: [&str; 3] = ["dotted", "♩.", "q."];

/// Words that say how fast, with those that go with them.
const FEELS: [&str; 31] = [
    "slow",
    "slowly",
    "moderate",
    "moderately",
    "moderato",
    "medium",
    "fast",
    "quick",
    "quickly",
    "lively",
    "brisk",
    "easy",
    "gently",
    "andante",
    "adagio",
    "allegro",
    "allegretto",
    "andantino",
    "vivace",
    "larghetto",
    "grave",
    "swiftly",
    "relaxed",
    "largo",
    "lento",
    "presto",
    "very",
    "fairly",
    "rather",
    "not",
    "too",
];

/// The tempo that a line says, as the header has it.
pub(super) fn read(line: &str) -> Option<String> {
    let digits = |text: &str| -> Option<u16> {
        let digits: String = text
            .chars()
            .skip_while(|c| !c.is_ascii_digit())
            .take_while(char::is_ascii_digit)
            .collect();
        digits.parse().ok().filter(|tempo| TEMPOS.contains(tempo))
    };
    let lower = line.to_ascii_lowercase();
    let before_bpm = || {
        let (front, _) = lower.split_once("bpm")?;
        let word = front.split_whitespace().next_back()?;
        digits(word)
    };
    let after = TEMPO_WORDS.iter().find_map(|(word, by_sign)| {
        let rest = behind(line, word)?;
        let sign = line.get(..line.len() - rest.len())?.trim_end();
        let said = !by_sign || (sign.ends_with([':', '=']) && starts_near(rest));
        said.then(|| digits(rest)).flatten()
    });
    let per_beat = || {
        let (front, _) = TO_THE_BEAT.iter().find_map(|words| lower.split_once(words))?;
        digits(front.rsplit(' ').next()?)
    };
    let felt = || felt(&lower).and_then(digits);
    let tempo = after.or_else(before_bpm).or_else(per_beat).or_else(felt)?;
    let dotted = DOTTED.iter().any(|sign| lower.contains(sign));
    Some(format!("{}{tempo}", if dotted { "dotted " } else { "" }))
}

/// The number behind words that say how fast, where there is nothing else: `Moderately slow, 84`.
fn felt(lower: &str) -> Option<&str> {
    let (front, number) = lower.trim().rsplit_once(' ')?;
    let number = number.trim_matches(['(', ')']);
    let all = front.split_whitespace().all(is_feel) && number.chars().all(|c| c.is_ascii_digit());
    all.then_some(number)
}

/// Whether a word is one for how fast.
pub(super) fn is_feel(word: &str) -> bool {
    let word = word.trim_matches(|c: char| !c.is_alphabetic());
    FEELS.iter().any(|feel| word.eq_ignore_ascii_case(feel))
}

/// Whether a word is a number that may be a tempo.
pub(super) fn is_tempo(word: &str) -> bool {
    word.parse().is_ok_and(|tempo: u16| TEMPOS.contains(&tempo))
}

/// Whether a number is said at once, or after a sign or a word that makes it a rough one.
fn starts_near(rest: &str) -> bool {
    let bare = ["about ", "around ", "roughly ", "ca. ", "ca ", "~"]
        .iter()
        .find_map(|word| rest.strip_prefix(word))
        .unwrap_or(rest);
    bare.trim_start().starts_with(|c: char| c.is_ascii_digit())
}

/// The words for what swings, and how the header says it.
const SWUNG: [(&[&str], &str); 2] = [
    (&["8th", "8ths", "eighth", "eighths"], "eighths"),
    (&["16th", "16ths", "sixteenth", "sixteenths"], "sixteenths"),
];

/// Words that make it another way to play, or none.
const NOT_SWUNG: [&str; 8] = ["no", "not", "don't", "without", "straight", "or", "bar", "bars"];

/// What a line says is swung: `swing the 8ths`.
pub(super) fn swung(line: &str) -> Option<&'static str> {
    let words = line.split(|c: char| !c.is_alphanumeric() && c != '\'' && c != '’');
    let words: Vec<String> = words.map(|word| word.to_lowercase().replace('’', "'")).collect();
    let says = |others: &[&str]| words.iter().any(|word| others.contains(&word.as_str()));
    let swings = says(&["swing", "swung"]) && !says(&NOT_SWUNG) && !line.contains('?');
    SWUNG.iter().find(|(names, _)| swings && says(names)).map(|(_, value)| *value)
}
