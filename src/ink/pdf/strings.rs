//! Strings and keyed values of the file.

use crate::ink::units::Pt;
use lopdf::{Dictionary, Object, StringFormat};

/// Words for people: plain where they are plain, otherwise UTF-16 with its mark. They stand as bytes where none of
/// these has to be escaped, which is half as long as digits, and in digits elsewhere.
pub(super) fn words(text: &str) -> Object {
    let is_plain = text.chars().all(|c| matches!(c, ' '..='~'));
    let bytes = if is_plain { text.as_bytes().to_vec() } else { utf16(text) };
    let format = match stands_in_brackets(&bytes) {
        true => StringFormat::Literal,
        false => StringFormat::Hexadecimal,
    };
    Object::String(bytes, format)
}

/// Whether bytes may stand between round brackets as they are: their own brackets come in pairs (ISO 32000-1,
/// 7.3.4.2).
pub(super) fn stands_in_brackets(bytes: &[u8]) -> bool {
    let depth = bytes.iter().try_fold(0_usize, |depth, byte| match byte {
        b'(' => Some(depth + 1),
        b')' => depth.checked_sub(1),
        b'\\' | b'\r' => None,
        _ => Some(depth),
    });
    depth == Some(0)
}

/// Text in UTF-16, big end first, with its mark.
pub(super) fn utf16(text: &str) -> Vec<u8> {
    std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(u16::to_be_bytes).collect()
}

/// Bytes in hexadecimal digits.
pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] =
        ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'A', 'B', 'C', 'D', 'E', 'F'];
    let digit = |number: u8| DIGITS.get(usize::from(number)).copied().unwrap_or_default();
    bytes.iter().flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}

/// A name.
pub(super) fn name(name: &str) -> Object {
    Object::Name(name.into())
}

/// A whole number.
pub(super) fn count(number: usize) -> Object {
    Object::Integer(i64::try_from(number).unwrap_or(i64::MAX))
}

/// A length in points; one that isn't a number is none.
pub(super) fn length(length: Pt) -> Object {
    Object::Real(if length.0.is_finite() { length.0 } else { 0.0 })
}

/// The four sides of an upright rectangle.
pub(super) fn sides(sides: [Pt; 4]) -> Object {
    Object::Array(sides.map(length).to_vec())
}

/// Keyed values.
pub(super) fn dictionary<const N: usize>(entries: [(&str, Object); N]) -> Dictionary {
    entries.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn brackets_in_pairs_stand_as_they_are() {
        for (text, stands) in
            [("", true), ("(a) b", true), ("a) b (", false), ("(", false), ("a\\", false)]
        {
            assert_eq!(stands_in_brackets(text.as_bytes()), stands, "{text}");
        }
        assert!(matches!(words("F♯ (open)"), Object::String(_, StringFormat::Literal)));
        assert!(matches!(words("F♯ (open"), Object::String(_, StringFormat::Hexadecimal)));
    }

    #[test]
    fn bytes_become_two_digits_each() {
        assert_eq!(hexadecimal(&[0x00, 0x2F, 0xA0]), "002FA0");
    }
}
