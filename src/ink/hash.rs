//! A hash that is the same in every run.

const PRIME: u64 = 0x0000_0100_0000_01b3;

/// The 64-bit FNV-1a hash of bytes.
pub(crate) fn of(bytes: &[u8]) -> u64 {
    more(0xcbf2_9ce4_8422_2325, bytes)
}

/// The hash of what was hashed so far and more bytes.
pub(super) fn more(hash: u64, bytes: &[u8]) -> u64 {
    bytes.iter().fold(hash, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(PRIME))
}

/// The same of much, eight bytes at a step; turned, so that the last of eight reach all of the hash.
pub(super) fn more_by_eights(hash: u64, bytes: &[u8]) -> u64 {
    let (eights, rest) = bytes.as_chunks();
    let step = |hash: u64, eight: &[u8; 8]| {
        (hash ^ u64::from_le_bytes(*eight)).wrapping_mul(PRIME).rotate_left(29)
    };
    more(eights.iter().fold(hash, step), rest)
}
