//! Any bytes at all, taken for a lesson, are checked, reported and mended without a panic.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| fretleaf_fuzz::check(bytes));
