//! Any bytes at all, taken for a lesson, are checked and put on pages without a panic.

#![no_main]

use fretleaf::ink::Fonts;
use fretleaf::lesson::folder::MemoryFolder;
use fretleaf::lesson::{self, Source};
use fretleaf::page::{self, Job, Template};
use fretleaf::proof::Findings;
use fretleaf::{blocks, lesson::header::Paper};
use libfuzzer_sys::fuzz_target;

thread_local! {
    static FONTS: Fonts = Fonts::new();
}

fuzz_target!(|bytes: &[u8]| {
    let mut findings = Findings::default();
    let source = Source::new("fuzz.md", bytes, &mut findings);
    let lesson = lesson::read(&source, &MemoryFolder::default(), &mut findings);
    let elaborated = blocks::elaborate(lesson, &mut findings);
    let Ok(template) = Template::load("handout", |_| None) else { return };
    FONTS.with(|fonts| {
        page::set(&elaborated, &Job { template: &template, paper: Paper::A4, fonts, draft: true });
    });
});
