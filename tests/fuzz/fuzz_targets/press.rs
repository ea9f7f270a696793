//! Any bytes at all, taken for a lesson, are printed without a panic: as PDF, and as SVG by the page and
//! by the figure.

#![no_main]

use fretleaf_fuzz::{elaborated, handout, press};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| elaborated(bytes, |lesson, _| press(lesson, &handout())));
