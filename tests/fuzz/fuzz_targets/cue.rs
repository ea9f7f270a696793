//! Any text at all can be said: its cues are read, and it has a clock, chapters, captions and pages.

#![no_main]

use fretleaf_fuzz::{SAMPLE, check, elaborated, say};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let lesson = format!("{SAMPLE}\n~~~ say\n{text}\n~~~\n");
    check(lesson.as_bytes());
    elaborated(lesson.as_bytes(), say);
});
