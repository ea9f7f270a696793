//! What stands beside the text.

use super::{Job, Template, set};
use crate::blocks;
use crate::checks;
use crate::findings::{Findings, Source};
use crate::ink::{Document, Fonts, Group, Item, Point, Pt};
use crate::lesson;
use crate::lesson::header::Paper;
use crate::lesson::world::MemoryWorld;

/// A lesson's handout in a template.
pub(super) fn pressed(text: &str, template: &str) -> Document {
    let source = Source::new("a.md", text.as_bytes());
    let mut findings = Findings::default();
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let lesson = checks::elaborate(lesson, &mut findings);
    let (template, fonts) = (Template::load(template, |_| None).unwrap(), Fonts::new());
    set(&lesson, &Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false })
}

/// Words on all pages: the page, where they stand, the words.
pub(super) fn words(document: &Document) -> Vec<(usize, Point, String)> {
    fn walk(items: &[Item], at: Point, page: usize, found: &mut Vec<(usize, Point, String)>) {
        for item in items {
            match item {
                Item::Group(Group { offset, items, .. }) => walk(items, at + *offset, page, found),
                Item::Text(place, text) => found.push((page, at + *place, text.characters())),
                _ => {}
            }
        }
    }
    let mut found = Vec::new();
    for (index, page) in document.pages.iter().enumerate() {
        walk(&page.drawing.items, Point::default(), index, &mut found);
    }
    found
}

/// Where words begin that have others in them.
pub(super) fn place(document: &Document, has: &str) -> (usize, Point) {
    let all = words(document);
    let (page, at, _) = all.iter().find(|(_, _, own)| own.contains(has)).unwrap();
    (*page, *at)
}

fn handout_side() -> (Pt, Pt) {
    let (template, fonts) = (Template::usual().unwrap(), Fonts::new());
    let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false };
    let (left, side) = (template.margins.left, job.side().unwrap());
    (left, left + side.left)
}

const HEAD: &str = "---\ntitle: T\nkey: A major\nteacher: Ines Marlow\n---\n\n";
/// Two lines of prose.
const PROSE: &str = "The whole of it grows from one small idea: a picked chord whose top note sings. Learn the riff \
    first, slowly, and let the chorus open out.\n\n";
/// A figure as wide as both columns.
const WIDE: &str = "~~~ changes\n| A | F#m | D | E |\n~~~\n\n";

#[test]
fn facts_stand_beside_the_first_words_and_above_them_where_there_is_no_room() {
    let (left, side) = handout_side();
    let document = pressed(&format!("{HEAD}{}", PROSE.repeat(3)), "handout");
    let (_, fact) = place(&document, "A major");
    let (_, first) = place(&document, "The whole");
    assert!(fact.x > side && (fact.y - first.y).0.abs() < 0.1, "{fact:?} {first:?}");
    for (text, template) in
        [(format!("{HEAD}{WIDE}"), "handout"), (HEAD.to_owned() + PROSE, "large-print")]
    {
        let document = pressed(&text, template);
        let (_, fact) = place(&document, "A major");
        assert!(fact.x < left + Pt(1.0), "{template}: {fact:?}");
    }
}

#[test]
fn what_changes_stands_beside_the_words_that_lead_to_its_figure() {
    let (left, side) = handout_side();
    let now = "~~~ now\nkey: E major\n~~~\n\n";
    let document =
        pressed(&format!("{HEAD}{}{now}## On\n\n{PROSE}{WIDE}", PROSE.repeat(4)), "handout");
    let ((_, on), (_, key)) = (place(&document, "On"), place(&document, "E major"));
    assert!(key.x > side && (key.y - on.y).0.abs() < 8.0, "{on:?} {key:?}");
    let document = pressed(&format!("{HEAD}{}{WIDE}{now}{WIDE}", PROSE.repeat(4)), "handout");
    assert!(place(&document, "E major").1.x < left + Pt(1.0));
}

#[test]
fn links_say_where_they_lead() {
    let (_, side) = handout_side();
    let link = "Hear [the slow take](https://example.org/ferry/slow/) first.\n\n";
    let text = format!("{HEAD}{}{link}{}", PROSE.repeat(4), PROSE.repeat(4));
    let document = pressed(&text, "handout");
    let (page, address) = place(&document, "example.org/ferry/slow");
    let (own, line) = place(&document, "Hear");
    assert!(page == own && address.x >= side && (address.y - line.y).0.abs() < 0.1);
    // In the text where there is no column beside it; never where the words say it themselves.
    let (_, address) = place(&pressed(&text, "large-print"), "example.org/ferry/slow");
    assert!(address.x < side);
    let bare = "<https://example.org/ferry>\n\n";
    let document = pressed(&format!("{HEAD}{bare}"), "handout");
    assert_eq!(words(&document).iter().filter(|(.., own)| own.contains("example.org")).count(), 1);
}

#[test]
fn nothing_beside_the_text_meets_another_or_a_figure_or_leaves_the_page() {
    let link =
        |n: usize| format!("See [the page {n}](https://example.org/a/rather/long/way/to/{n}). ");
    for lines in 0..60 {
        let links: String = (0..8).map(link).collect();
        let text = format!(
            "{HEAD}{}Practise this. {links}\n\n{PROSE}{WIDE}{links}\n\n{WIDE}{}",
            "A line.\n\n".repeat(lines),
            PROSE.repeat(2)
        );
        let document = pressed(&text, "handout");
        let (_, side) = handout_side();
        let mut beside: Vec<(usize, Point, String)> =
            words(&document).into_iter().filter(|(_, at, _)| at.x >= side - Pt(0.1)).collect();
        // The feet and the heads of pages are no part of it.
        let bottom = document.pages[0].drawing.height - Pt::mm(27.0);
        beside.retain(|(_, at, _)| at.y > Pt::mm(22.0) && at.y < bottom + Pt::mm(5.0));
        assert!(beside.iter().all(|(_, at, _)| at.y <= bottom), "{lines} lines: {beside:?}");
        let addresses = beside.iter().filter(|(_, _, own)| own.contains("example.org"));
        let mut places: Vec<(usize, Pt)> = addresses.map(|(page, at, _)| (*page, at.y)).collect();
        places.sort_by(|one, other| one.partial_cmp(other).unwrap());
        let near =
            |pair: &[(usize, Pt)]| pair[0].0 == pair[1].0 && pair[1].1 - pair[0].1 < Pt(10.0);
        assert!(!places.windows(2).any(near), "{lines} lines: {places:?}");
    }
}

#[test]
fn titles_have_no_lone_last_word() {
    let title = "A rather long title for a lesson that needs two lines of it all";
    let document = pressed(&format!("---\ntitle: {title}\n---\n\nWords.\n"), "handout");
    let all = words(&document);
    let lines: Vec<&(usize, Point, String)> =
        all.iter().filter(|(_, _, own)| title.contains(own.trim())).collect();
    let last = lines.iter().rfind(|(_, _, own)| !own.trim().is_empty()).unwrap();
    assert!(lines.len() >= 2 && last.2.split_whitespace().count() > 2, "{lines:?}");
}

#[test]
fn five_levels_of_headings_look_five_ways() {
    let headings = Template::usual().unwrap().headings;
    let looks: Vec<_> = (1..=5).map(|level| headings.of_level(level)).collect();
    for (index, look) in looks.iter().enumerate() {
        let same =
            |other: &super::template::Heading| (other.face, other.size) == (look.face, look.size);
        assert!(!looks.iter().skip(index + 1).any(same), "level {}", index + 1);
    }
    assert_eq!(headings.of_level(6), headings.fifth);
}

#[test]
fn a_line_for_the_name_stands_above_the_title_where_the_template_says_so() {
    let text = "based-on = \"chart\"\n[title]\nname-line = true\n";
    let template = Template::parse(text).unwrap();
    let (source, fonts) = (Source::new("a.md", HEAD.as_bytes()), Fonts::new());
    let mut findings = Findings::default();
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let lesson = checks::elaborate(lesson, &mut findings);
    let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: false };
    let document = set(&lesson, &job);
    let first = words(&document)
        .into_iter()
        .min_by(|(_, one, _), (_, other, _)| one.y.0.total_cmp(&other.y.0));
    assert_eq!(first.unwrap().2.trim(), "Name");
    assert!(!words(&pressed(HEAD, "chart")).iter().any(|(.., own)| own.trim() == "Name"));
}

#[test]
fn a_key_is_given_once_by_the_first_figure_that_needs_it() {
    let line = "C F G : triads on strings 3 2 1\n";
    let body = format!("~~~ voicings\n{line}~~~\n\nOnce more.\n\n~~~ voicings\n{line}~~~\n");
    for template in ["handout", "large-print"] {
        let document = pressed(&format!("---\ntitle: Keys\nkey: C major\n---\n\n{body}"), template);
        let said: String = words(&document).into_iter().map(|(_, _, words)| words).collect();
        assert_eq!(said.matches("A heavy line").count(), 1, "{template}: {said}");
    }
}
