//! Text for a terminal: characters that it would obey, made visible.

use std::borrow::Cow;

/// A text in which nothing is left that a terminal obeys but line ends and tabs: control characters
/// are shown by their pictures (Unicode's block "Control Pictures"), those that have none and the
/// ones that turn the direction of reading (UAX #9, section 2) by `�`.
pub fn visible(text: &str) -> Cow<'_, str> {
    if text.contains(is_obeyed) {
        text.chars().map(shown).collect::<String>().into()
    } else {
        text.into()
    }
}

/// The same on one line: line ends and tabs become spaces.
pub fn on_one_line(text: &str) -> String {
    text.chars().map(|c| if matches!(c, '\n' | '\r' | '\t') { ' ' } else { shown(c) }).collect()
}

/// Whether a character is one of the second set of control characters (ECMA-48, section 5.3), which
/// some terminals obey as they do escape sequences.
pub fn is_high_control(c: char) -> bool {
    ('\u{80}'..='\u{9F}').contains(&c)
}

fn is_obeyed(c: char) -> bool {
    (c.is_control() && !matches!(c, '\n' | '\t'))
        || matches!(c, '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}')
}

fn shown(c: char) -> char {
    match c {
        c if !is_obeyed(c) => c,
        '\u{7F}' => '␡',
        '\0'..='\u{1F}' => char::from_u32(0x2400 + u32::from(c)).unwrap_or('�'),
        _ => '�',
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_a_terminal_obeys_is_left() {
        for (text, seen) in [
            ("a\nb\tc é 𝄞", "a\nb\tc é 𝄞"),
            ("\u{1B}[31mred\u{7}\r", "␛[31mred␇␍"),
            ("\u{9B}2J\u{7F}\u{85}", "�2J␡�"),
            ("a\u{202E}b\u{2066}", "a�b�"),
        ] {
            assert_eq!(visible(text), seen);
        }
        assert_eq!(on_one_line("a\nb\t\u{1B}c"), "a b ␛c");
    }
}
