//! How a camera was held: the one thing of a photograph's Exif data that is wanted.

/// The value of Exif's tag 0x0112 in its first directory (Exif 2.3), 1 to 8; 1, upright, where it
/// says nothing.
pub(super) fn orientation(exif: Option<&[u8]>) -> u8 {
    exif.and_then(tag).filter(|value| (1..=8).contains(value)).unwrap_or(1)
}

fn tag(exif: &[u8]) -> Option<u8> {
    let little = exif.starts_with(b"II");
    let short = |at: usize| {
        let bytes = *exif.get(at..)?.first_chunk()?;
        Some(if little { u16::from_le_bytes(bytes) } else { u16::from_be_bytes(bytes) })
    };
    let long = |at: usize| {
        let bytes = *exif.get(at..)?.first_chunk()?;
        Some(if little { u32::from_le_bytes(bytes) } else { u32::from_be_bytes(bytes) })
    };
    let directory = usize::try_from(long(4)?).ok()?;
    let entries = (0..usize::from(short(directory)?)).map(|index| directory + 2 + index * 12);
    let found = entries.into_iter().find(|&entry| short(entry) == Some(0x0112))?;
    short(found + 8)?.try_into().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_orientation_is_found_in_either_byte_order() {
        let big = b"MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0";
        let little = b"II\x2A\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0";
        assert_eq!(orientation(Some(big)), 6);
        assert_eq!(orientation(Some(little)), 6);
        assert_eq!(orientation(Some(b"MM\0\x2A\xFF\xFF\xFF\xFF")), 1);
        assert_eq!(orientation(None), 1);
    }
}
