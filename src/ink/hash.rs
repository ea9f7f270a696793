//! A hash that is the same in every run.

/// The 64-bit FNV-1a hash of bytes.
pub(crate) fn of(bytes: &[u8]) -> u64 {
    more(0xcbf2_9ce4_8422_2325, bytes)
}

/// The hash of what was hashed so far and more bytes.
pub(super) fn more(hash: u64, bytes: &[u8]) -> u64 {
    bytes
        .iter()
        .fold(hash, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3))
}
