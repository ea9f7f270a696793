//! A compiler for guitar lessons: one plain-text lesson in, a checked and printed handout out.
//!
//! The way of a lesson, one direction only:
//!
//! ```text
//! text ─▶ lesson ─▶ elaborated lesson ─▶ findings
//!                          └─▶ figures ─▶ pages ─▶ SVG · PDF · PNG
//! ```
//!
//! [`Source::new`] takes a file's bytes in, [`lesson::read`] makes a lesson of it,
//! [`checks::elaborate()`] works out and checks everything that it says, [`page::set`] puts it on
//! pages, and the painters in [`ink`] put the pages into files. Each step gives a result even where
//! there are faults, and tells the faults beside it.

pub mod blocks;
pub mod chart;
pub mod checks;
pub mod findings;
pub mod ink;
pub mod lesson;
pub mod neck;
pub mod page;
pub mod paste;
pub mod script;
pub mod theory;
pub mod words;

use findings::report::Tally;
use findings::{Finding, Findings, Source};
use lesson::Lesson;
use lesson::folder::Folder;

/// A lesson that was checked.
#[derive(Debug)]
pub struct Checked {
    /// Its text.
    pub source: Source,
    /// What was found, in the order of the places.
    pub findings: Vec<Finding>,
    /// How much there was to check.
    pub tally: Tally,
}

/// Checks the bytes of a lesson's file. `folder` is where its pictures and its template are looked
/// for.
pub fn check(name: &str, bytes: &[u8], folder: &dyn Folder) -> Checked {
    let mut findings = Findings::default();
    let source = Source::new(name, bytes, &mut findings);
    let mut lesson: Lesson<'_> = lesson::read(&source, folder, &mut findings);
    if lesson.header.template.is_some() {
        match page::chosen::template(&lesson, folder) {
            Ok(template) => template.lend_font(&mut lesson, folder, &mut findings),
            Err(fault) => findings.add(*fault),
        }
    }
    let tally = checks::elaborate(lesson, &mut findings).tally();
    Checked { findings: findings.sorted(), tally, source }
}
