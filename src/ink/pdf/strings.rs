//! Strings and keyed values of the file.

use crate::ink::units::Pt;
use lopdf::{Dictionary, Object, StringFormat};

/// Words for people: plain where they are plain, otherwise UTF-16 with its mark.
pub(super) fn words(text: &str) -> Object {
    let plain = |c: char| matches!(c, ' '..='~') && !matches!(c, '(' | ')' | '\\');
    if text.chars().all(plain) {
        return Object::String(text.into(), StringFormat::Literal);
    }
    Object::String(utf16(text), StringFormat::Hexadecimal)
}

/// Text in UTF-16, big end first, with its mark.
pub(super) fn utf16(text: &str) -> Vec<u8> {
    std::iter::once(0xFEFF).chain(text.encode_utf16()).flat_map(u16::to_be_bytes).collect()
}

/// Bytes in hexadecimal digits.
pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02X}")).collect()
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
