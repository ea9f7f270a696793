//! Writing the operators of a page's content (ISO 32000-1, annex A).

use crate::ink::units::Pt;

/// Appends a number to a hundredth, without needless zeros.
pub(super) fn number(out: &mut Vec<u8>, number: f32) {
    hundredths(out, to_hundredths(number));
}

/// A length in whole hundredths of a point; lengths beyond any paper are cut.
pub(super) fn to_hundredths(number: f32) -> i32 {
    #[allow(clippy::cast_possible_truncation)] // Clamped: what isn't a number becomes 0.
    let whole = (number * 100.0).round().clamp(-1e8, 1e8) as i32;
    whole
}

/// Appends a count of hundredths as a number.
pub(super) fn hundredths(out: &mut Vec<u8>, count: i32) {
    if count < 0 {
        out.push(b'-');
    }
    let count = count.unsigned_abs();
    let (whole, part) = (count / 100, count % 100);
    if whole > 0 || part == 0 {
        integer(out, whole);
    }
    if part > 0 {
        out.push(b'.');
        out.push(digit(part / 10));
        if part % 10 > 0 {
            out.push(digit(part % 10));
        }
    }
}

/// Appends a whole number.
pub(super) fn integer(out: &mut Vec<u8>, number: u32) {
    if number >= 10 {
        integer(out, number / 10);
    }
    out.push(digit(number % 10));
}

fn digit(digit: u32) -> u8 {
    b"0123456789".get(digit as usize).copied().unwrap_or(b'0')
}

/// Appends lengths, a space behind each.
pub(super) fn lengths(out: &mut Vec<u8>, lengths: &[Pt]) {
    for length in lengths {
        number(out, length.0);
        out.push(b' ');
    }
}

/// Appends a glyph's code, two bytes of a string in brackets.
pub(super) fn code(out: &mut Vec<u8>, code: u16) {
    for byte in code.to_be_bytes() {
        match byte {
            b'(' | b')' | b'\\' => out.extend([b'\\', byte]),
            // A bare return would be read as a line feed.
            b'\r' => out.extend(b"\\r"),
            byte => out.push(byte),
        }
    }
}
