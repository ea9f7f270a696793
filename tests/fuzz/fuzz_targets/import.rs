//! Any bytes at all, taken for an old tab, become a lesson that can be checked and printed.

#![no_main]

use fretleaf::paste;
use fretleaf_fuzz::{check, elaborated, handout, press};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let pasted = paste::lesson("Fuzz", &paste::decoded(bytes));
    check(pasted.text.as_bytes());
    elaborated(pasted.text.as_bytes(), |lesson, _| press(lesson, &handout()));
});
