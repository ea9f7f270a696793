//! Marks at the start of a spoken line, which nobody says.

use crate::findings::source::Line;

/// A mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mark {
    /// `-`, `*` or `+` before an item of a list.
    Bullet,
    /// `1.` or `1)` before one of a numbered list.
    Number,
    /// `##` before a heading.
    Heading,
    /// `>` before a line of a quotation.
    Quote,
}

/// The mark that a trimmed line begins with, and what stands behind it. Only `1` begins a numbered list in the
/// midst of words; where nothing is said before, or an item of such a list (`begins`), any number does.
pub(super) fn first(line: Line<'_>, begins: bool) -> Option<(Mark, Line<'_>)> {
    if is_rule(line.text) {
        return None;
    }
    if line.text.starts_with('>') {
        return Some((Mark::Quote, line.split_at(1).1.trimmed()));
    }
    let (word, rest) = line.first_word();
    let digits = word.text.strip_suffix(['.', ')']).filter(|digits| is_number(digits));
    match word.text {
        "-" | "*" | "+" => Some((Mark::Bullet, rest)),
        text if (1..=6).contains(&text.len()) && text.bytes().all(|sign| sign == b'#') => {
            Some((Mark::Heading, without_closing(rest)))
        }
        _ if digits.is_some_and(|digits| begins || digits == "1") => Some((Mark::Number, rest)),
        _ => None,
    }
}

/// Whether some digits may number an item, as CommonMark has it.
fn is_number(digits: &str) -> bool {
    (1..=9).contains(&digits.len()) && digits.bytes().all(|sign| sign.is_ascii_digit())
}

/// A heading without the signs that may close it.
fn without_closing(heading: Line<'_>) -> Line<'_> {
    let (front, last) = heading.last_word();
    if last.text.bytes().all(|sign| sign == b'#') { front } else { heading }
}

/// Whether a line is one that is drawn: between parts, or under a heading.
pub(super) fn is_rule(line: &str) -> bool {
    let signs: Vec<u8> = line.bytes().filter(|sign| *sign != b' ' && *sign != b'\t').collect();
    let drawn = |sign: u8| signs.iter().all(|other| *other == sign);
    signs.len() >= 3 && [b'-', b'*', b'_', b'='].into_iter().any(drawn)
}
