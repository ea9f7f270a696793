//! Help pages hold what they say: each example is proofed and raises nothing, and shows what is listed.

#![allow(clippy::unwrap_used)]

use fretleaf::Wishes;
use fretleaf::blocks::KINDS;
use fretleaf::findings::report::terminal::{self, Colour};
use fretleaf::help::{find, pages, reference, reference_template};
use fretleaf::ink::Fonts;
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::page::Job;

/// What a lesson's report says.
fn report(lesson: &str) -> String {
    let checked = fretleaf::check("lesson.md", lesson.as_bytes(), &MemoryWorld::default());
    terminal::render(&checked.source, &checked.findings, checked.lang, Colour::Without)
}

/// The rows of a riff, as its page lists them.
fn rows() -> Vec<String> {
    let riff = find("riff").unwrap();
    let rows = riff.sections.iter().find(|section| section.title == "Rows").unwrap();
    rows.entries.iter().map(|(label, _)| label.clone()).collect()
}

#[test]
fn the_example_of_each_page_raises_nothing() {
    for page in pages().iter().filter(|page| !page.example.is_empty()) {
        assert_eq!(report(&page.lesson()), "", "{}", page.name);
    }
}

#[test]
fn each_page_has_an_example_unless_it_is_prose() {
    for page in pages() {
        assert_eq!(page.example.is_empty(), !page.prose.is_empty(), "{}", page.name);
    }
}

#[test]
fn pages_fit_a_terminal_and_no_two_share_a_name() {
    let mut names: Vec<&str> =
        fretleaf::findings::rules::RULES.iter().map(|rule| rule.name).collect();
    for page in pages() {
        assert!(!names.contains(&page.name), "{}", page.name);
        names.push(page.name);
        assert!(!page.summary().is_empty(), "{}", page.name);
        for line in page.text().lines() {
            assert!(line.chars().count() <= 80, "{}: {line}", page.name);
        }
    }
}

/// What of a page's lists its example has nothing of; those lists are no signs.
const BY_THE_WAY: [&str; 2] = ["Kinds", "Keys"];

#[test]
fn an_example_has_each_sign_that_its_page_lists() {
    let of_blocks = KINDS.iter().map(|kind| kind.written().name).filter(|name| *name != "riff");
    for name in of_blocks.chain(["phrases", "blocks"]) {
        let page = find(name).unwrap();
        let signs = page.sections.iter().filter(|one| !BY_THE_WAY.contains(&one.title.as_str()));
        for (written, _) in signs.flat_map(|section| &section.entries) {
            assert!(page.example.contains(written), "{name}: {written}");
        }
    }
}

#[test]
fn the_examples_of_a_riff_and_the_readme_show_every_row() {
    let readme = include_str!("../../README.md");
    let example = find("riff").unwrap().example;
    for row in rows() {
        let has =
            |text: &str| text.lines().any(|line| line.trim_start().starts_with(&format!("{row} ")));
        assert!(has(&example), "{row}");
        assert!(has(readme), "{row}");
    }
}

#[test]
fn the_sheet_of_all_signs_is_two_pages() {
    let world = MemoryWorld::default().with_lesson("reference", reference());
    for paper in [Paper::A4, Paper::Letter] {
        let template = reference_template().unwrap();
        let wishes = Wishes { template: Some(template), paper: Some(paper), ..Wishes::default() };
        let compiled = wishes.compile(&world, "reference").unwrap();
        let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
        let job = Job { template: &template, paper, fonts: &fonts, draft: false };
        assert_eq!(compiled.press(&job).pages.len(), 2, "{paper:?}");
    }
}

#[test]
fn the_sheet_of_all_signs_raises_nothing() {
    assert_eq!(report(&reference()), "", "{}", reference());
}
