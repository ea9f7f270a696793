//! What the cells of a row begin with: frets, words, and the signs that join two frets.

/// The highest fret that two digits can mean; longer numbers are two frets that touch.
const HIGHEST: u8 = 24;

/// The letters that are signs of technique; longer words of any others are words.
const LETTERS: &str = "hHpPbBrRtTsSxXvVwWoO";

/// Whether cells begin with the dot of a slide that is written as one from nowhere: `./12`.
pub(super) fn comes_from_nowhere(cells: &[char]) -> bool {
    matches!(cells, ['.', '/' | '\\', fret, ..] if fret.is_ascii_digit() || *fret == '(')
}

/// The word that cells begin with: two letters or more of which one is no sign of technique, or the
/// sign of a trill.
pub(super) fn word(cells: &[char]) -> Option<String> {
    let word: String = cells.iter().take_while(|c| c.is_alphabetic()).collect();
    let signs = word != "tr" && word.chars().all(|c| LETTERS.contains(c));
    (!signs && word.chars().count() > 1).then_some(word)
}

/// The sign that joins two frets: old tabs write one sign for both ways.
pub(super) fn joint(sign: char, from: u8, to: u8) -> char {
    match sign {
        '/' | '\\' | 's' => {
            if to >= from {
                '/'
            } else {
                '\\'
            }
        }
        'h' if to < from => 'p',
        'p' if to > from => 'h',
        other => other,
    }
}

/// How many of the digits that cells begin with are one fret.
pub(super) fn fret_length(cells: &[char]) -> usize {
    let two = cells.get(..2).filter(|two| two.iter().all(char::is_ascii_digit));
    match two {
        Some(two) if two.first() != Some(&'0') && number(two) <= HIGHEST => 2,
        _ => 1,
    }
}

/// The fret that digits are.
pub(super) fn number(digits: &[char]) -> u8 {
    digits
        .iter()
        .filter_map(|digit| digit.to_digit(10))
        .fold(0, |number, digit| u8::try_from(u32::from(number) * 10 + digit).unwrap_or(u8::MAX))
}
