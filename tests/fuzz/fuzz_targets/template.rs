//! Any text at all is a template or is refused; with what is a template a lesson is printed.

#![no_main]

use fretleaf::page::Template;
use fretleaf_fuzz::{SAMPLE, elaborated, press};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    // A template that says nothing of what it is based on is refused at once.
    for text in [text, &format!("based-on = \"handout\"\n{text}")] {
        if let Ok(template) = Template::parse(text) {
            elaborated(SAMPLE.as_bytes(), |lesson, _| press(lesson, &template));
        }
    }
});
