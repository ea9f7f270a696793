//! Writing the operators of a page's content (ISO 32000-1, annex A).

use crate::ink::units::Pt;

/// Appends a number to a hundredth, without needless zeros.
pub(super) fn number(out: &mut Vec<u8>, number: f32) {
    hundredths(out, to_hundredths(number));
}

/// A length in whole hundredths of a point; lengths beyond any paper are cut.
pub(super) fn to_hundredths(number: f32) -> i32 {
    let hundredths = (number * 100.0).clamp(-1e8, 1e8);
    // The library's own rounding is a call for each number on a page.
    #[allow(clippy::cast_possible_truncation)] // Clamped: what isn't a number becomes 0.
    let whole = (hundredths + 0.5_f32.copysign(hundredths)) as i32;
    whole
}

/// Appends a count of hundredths as a number.
pub(super) fn hundredths(out: &mut Vec<u8>, count: i32) {
    Sign::default().hundredths(count).put(out);
}

/// The letters of a number, found from the last to the first; the first of them is the lowest byte.
#[derive(Clone, Copy, Default)]
struct Sign {
    letters: u128,
    count: usize,
}

impl Sign {
    /// With a letter before the others.
    fn before(self, letter: u8) -> Sign {
        Sign { letters: self.letters << 8 | u128::from(letter), count: self.count + 1 }
    }

    /// With a count of hundredths before the others; it has eleven letters at most.
    fn hundredths(mut self, count: i32) -> Sign {
        let whole = count.unsigned_abs();
        let (mut whole, part) = (whole / 100, whole % 100);
        if part % 10 > 0 {
            self = self.before(digit(part));
        }
        if part > 0 {
            self = self.before(digit(part / 10)).before(b'.');
        }
        if whole == 0 && part == 0 {
            self = self.before(b'0');
        }
        while whole > 0 {
            self = self.before(digit(whole));
            whole /= 10;
        }
        if count < 0 { self.before(b'-') } else { self }
    }

    /// Appends the letters: all there could be, of which those that aren't there are taken back, so that as many are
    /// copied each time.
    fn put(self, out: &mut Vec<u8>) {
        let end = out.len() + self.count;
        out.extend_from_slice(&self.letters.to_le_bytes());
        out.truncate(end);
    }
}

/// The last digit of a number.
fn digit(number: u32) -> u8 {
    b"0123456789".get(number as usize % 10).copied().unwrap_or(b'0')
}

/// Appends lengths, a space behind each.
pub(super) fn lengths(out: &mut Vec<u8>, lengths: &[Pt]) {
    for length in lengths {
        Sign::default().before(b' ').hundredths(to_hundredths(length.0)).put(out);
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_to_the_hundredth() {
        for (number, written) in [
            (0.0, "0"),
            (0.05, ".05"),
            (0.5, ".5"),
            (-0.25, "-.25"),
            (3.0, "3"),
            (10.1, "10.1"),
            (-120.07, "-120.07"),
            (100.0, "100"),
            (-1e9, "-1000000"),
            (f32::NAN, "0"),
        ] {
            let mut out = Vec::new();
            super::number(&mut out, number);
            assert_eq!(String::from_utf8(out).as_deref(), Ok(written));
        }
        let mut out = Vec::new();
        lengths(&mut out, &[Pt(1.5), Pt(-0.1)]);
        assert_eq!(out, b"1.5 -.1 ");
    }
}
