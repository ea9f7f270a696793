//! The parts of a line in which several settings stand beside each other, wide gaps or signs between them.

use std::ops::Range;

/// Signs that part one setting from the next.
const SIGNS: [char; 5] = ['|', ';', '•', '·', '¦'];

/// The fewest dots behind a word that lead to its value, before a colon and without one.
const LEADERS_BEFORE_COLON: usize = 2;
const LEADERS: usize = 4;

/// A sign that parts settings where spaces stand around it and no number follows, of which it would be one of
/// two: `Capo: 2 / 4`.
const SLASH: &str = " / ";

/// The parts of a line, each without the spaces around it. A gap behind a colon, or behind the first word
/// of a part, may only stand before a value, so the part goes on there if a number or a note follows.
pub(super) fn of(line: &str) -> Vec<Range<usize>> {
    let mut parts: Vec<Range<usize>> = Vec::new();
    for piece in pieces(line) {
        let text = line.get(piece.clone()).unwrap_or_default();
        let goes_on = parts.last().is_some_and(|last| {
            let before = line.get(last.clone()).unwrap_or_default();
            let gap = line.get(last.end..piece.start).unwrap_or_default();
            gap.trim().is_empty() && awaits(before, text)
        });
        match parts.last_mut().filter(|_| goes_on) {
            Some(last) => last.end = piece.end,
            None => parts.push(piece),
        }
    }
    parts
}

/// What stands between the gaps and signs of a line.
fn pieces(line: &str) -> Vec<Range<usize>> {
    let mut pieces: Vec<Range<usize>> = Vec::new();
    let mut open = false;
    let mut spaces = 0;
    for (at, character) in line.char_indices() {
        if character == ' ' {
            spaces += 1;
            continue;
        }
        let parted = std::mem::take(&mut spaces) > 1;
        if SIGNS.contains(&character) || is_parting_slash(line, at) {
            open = false;
            continue;
        }
        let end = at + character.len_utf8();
        match pieces.last_mut().filter(|_| open && !parted) {
            Some(piece) => piece.end = end,
            None => pieces.push(at..end),
        }
        open = true;
    }
    pieces
}

/// Whether the character at a byte is a slash that parts one setting from the next.
fn is_parting_slash(line: &str, at: usize) -> bool {
    let from = at.checked_sub(1).and_then(|from| line.get(from..));
    let behind = from.and_then(|rest| rest.strip_prefix(SLASH));
    let next = behind.and_then(|behind| behind.split_whitespace().next());
    next.is_some_and(|word| !word.chars().all(|c| c.is_ascii_digit()))
}

/// Whether words wait for their value, and others can be it.
fn awaits(before: &str, value: &str) -> bool {
    let single = !before.contains(' ') && before.chars().all(char::is_alphabetic);
    let is_value =
        value.starts_with(|c: char| c.is_ascii_digit()) || !value.contains(char::is_lowercase);
    before.ends_with([':', '=']) || (single && is_value)
}

/// A line without one of its parts, and without the gap or the sign before it, or behind it where it is
/// the first.
pub(super) fn without(line: &str, part: Range<usize>) -> String {
    let is_gap = |c: char| matches!(c, ' ' | '/') || SIGNS.contains(&c);
    let front = line.get(..part.start).unwrap_or_default().trim_end_matches(is_gap);
    let behind = line.get(part.end..).unwrap_or_default();
    match front {
        "" => behind.trim_start_matches(is_gap).to_string(),
        _ => format!("{front}{}", if behind.chars().all(is_gap) { "" } else { behind }),
    }
}

/// A line with a colon for the dots that lead from a word to its value: `Title....: Slow`.
pub(super) fn without_leaders(line: &str) -> String {
    let Some(from) = line.find("..") else { return line.to_string() };
    let (front, rest) = line.split_at_checked(from).unwrap_or((line, ""));
    let behind = rest.trim_start_matches('.');
    let value = behind.trim_start();
    let fewest = if value.starts_with(':') { LEADERS_BEFORE_COLON } else { LEADERS };
    match rest.len() - behind.len() >= fewest && !front.contains(':') {
        true => format!("{}: {}", front.trim_end(), value.trim_start_matches([':', ' '])),
        false => line.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_parted_by_gaps_and_signs() {
        for (line, expected) in [
            ("Capo II      Tuning DADGBE   slow, 84", "Capo II/Tuning DADGBE/slow, 84"),
            ("| Key: G | Capo: 2 |", "Key: G/Capo: 2"),
            ("Tempo:    84;in 3/4", "Tempo:    84/in 3/4"),
            ("Capo     2     Tuning     DADGBE", "Capo     2/Tuning     DADGBE"),
            ("all of it  twice", "all of it/twice"),
            ("no capo / 3/4 time", "no capo/3/4 time"),
            ("Capo: 2 / 4", "Capo: 2 / 4"),
        ] {
            let parts = of(line).into_iter().filter_map(|part| line.get(part));
            assert_eq!(parts.collect::<Vec<_>>().join("/"), expected);
        }
    }

    #[test]
    fn what_is_left_of_a_line_keeps_its_gaps() {
        for (line, part, expected) in [
            ("one   two   three", "one", "two   three"),
            ("one   two   three", "two", "one   three"),
            ("one | two", "two", "one"),
            ("| one |", "one", ""),
        ] {
            let at = line.find(part).map_or(0..0, |at| at..at + part.len());
            assert_eq!(without(line, at), expected, "{line}");
        }
    }

    #[test]
    fn dots_lead_to_a_value() {
        for (line, expected) in [
            ("Title....: Slow Ferry", "Title: Slow Ferry"),
            ("Title ..... Slow Ferry", "Title: Slow Ferry"),
            ("song... and so on", "song... and so on"),
            ("Title: so..: on", "Title: so..: on"),
        ] {
            assert_eq!(without_leaders(line), expected);
        }
    }
}
