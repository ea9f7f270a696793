//! All examples of the CommonMark specification (0.31.2), each as a lesson's body: they are put on
//! pages, and all their visible words are on paper.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use fretleaf::blocks;
use fretleaf::ink::{Document, Drawing, Fonts, Item};
use fretleaf::lesson::folder::MemoryFolder;
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::{self, Source};
use fretleaf::page::{self, Job, Template};
use fretleaf::proof::Findings;

const SPECIFICATION: &str = include_str!("commonmark/spec.txt");

#[test]
fn every_example_is_printed_with_all_its_words() {
    let examples = examples();
    assert_eq!(examples.len(), 652);
    let fonts = Fonts::new();
    let mut lost = Vec::new();
    for example in &examples {
        let printed = press(&example.markdown, &fonts);
        let on_paper = squeezed(&printed.words);
        let missing: Vec<String> = visible_words(example, &printed)
            .into_iter()
            .filter(|word| !on_paper.contains(&squeezed(word)))
            .collect();
        if !missing.is_empty() {
            lost.push(format!(
                "example {}: {missing:?} not in {:?}",
                example.number, printed.words
            ));
        }
    }
    assert!(lost.is_empty(), "{}", lost.join("\n"));
}

#[test]
fn raw_html_is_left_out_with_its_hint_and_comments_without() {
    let fonts = Fonts::new();
    for (lesson, hints) in [("<b>bold</b>", 1), ("<!-- a note -->", 0), ("<div>\nx\n</div>", 1)] {
        let printed = press(lesson, &fonts);
        let left_out = printed.findings.iter().filter(|rule| **rule == "left-out").count();
        assert_eq!(left_out > 0, hints > 0, "{lesson}");
    }
}

#[test]
fn the_words_of_a_missing_picture_stand_in_its_place() {
    let printed = press("Look: ![the hand over the strings](nowhere.png)", &Fonts::new());
    assert!(printed.words.contains("the hand over the strings"), "{}", printed.words);
    assert!(printed.findings.contains(&"picture"));
}

struct Example {
    number: usize,
    markdown: String,
    html: String,
}

/// The examples: between two lines of 32 backticks, the text and its HTML parted by a dot alone.
fn examples() -> Vec<Example> {
    let fence = "`".repeat(32);
    let open = format!("{fence} example\n");
    let close = format!("\n{fence}\n");
    SPECIFICATION
        .split(&open)
        .skip(1)
        .enumerate()
        .map(|(index, rest)| {
            let body = rest.split(&close).next().unwrap_or_default().replace('→', "\t");
            let body = format!("{body}\n");
            let (markdown, html) = if let Some(html) = body.strip_prefix(".\n") {
                ("", html)
            } else {
                body.split_once("\n.\n").unwrap_or((&body, ""))
            };
            Example { number: index + 1, markdown: format!("{markdown}\n"), html: html.to_owned() }
        })
        .collect()
}

/// What was printed: all characters on the pages in order, and the rules that found something.
struct Printed {
    words: String,
    findings: Vec<&'static str>,
}

fn press(body: &str, fonts: &Fonts) -> Printed {
    let text = format!("---\ntitle: Example\n---\n\n{body}");
    let mut findings = Findings::default();
    let source = Source::new("example.md", text.as_bytes(), &mut findings);
    let lesson = lesson::read(&source, &MemoryFolder::default(), &mut findings);
    let elaborated = blocks::elaborate(lesson, &mut findings);
    let template = Template::load("handout", |_| None).expect("a built-in template");
    let document =
        page::set(&elaborated, &Job { template: &template, paper: Paper::A4, fonts, draft: true });
    Printed {
        words: words_of(&document),
        findings: findings.list().iter().map(|found| found.rule.name).collect(),
    }
}

fn words_of(document: &Document) -> String {
    let mut words = String::new();
    document.pages.iter().for_each(|page| gather(&page.drawing, &mut words));
    words
}

fn gather(drawing: &Drawing, words: &mut String) {
    gather_items(&drawing.items, words);
}

fn gather_items(items: &[Item], words: &mut String) {
    for item in items {
        match item {
            Item::Text(_, text) => {
                words.push_str(&text.characters());
                words.push(' ');
            }
            Item::Group(group) => gather_items(&group.items, words),
            Item::Path(_) | Item::Picture(..) => {}
        }
    }
}

/// The words that a reader of the example's HTML sees. Where the example has raw HTML, which a
/// lesson leaves out, what stands inside its tags can't be told from the HTML alone; there the
/// words are those that the CommonMark reader itself gives as text.
fn visible_words(example: &Example, printed: &Printed) -> Vec<String> {
    if printed.findings.contains(&"left-out") || example.html.contains("<!--") {
        return text_events(&example.markdown);
    }
    let mut text = String::new();
    let mut rest = example.html.as_str();
    while let Some(open) = rest.find('<') {
        text.push_str(&rest[..open]);
        let tag_end = rest[open..].find('>').map_or(rest.len(), |end| open + end + 1);
        let tag = &rest[open..tag_end];
        if let Some(alt) = tag.split("alt=\"").nth(1).and_then(|alt| alt.split('"').next()) {
            text.push_str(alt);
        }
        text.push(' ');
        rest = &rest[tag_end..];
    }
    text.push_str(rest);
    let text = text
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&");
    text.split_whitespace().map(str::to_owned).collect()
}

fn text_events(markdown: &str) -> Vec<String> {
    use pulldown_cmark::Event;
    let mut text = String::new();
    for event in pulldown_cmark::Parser::new(markdown) {
        match event {
            Event::Text(words) | Event::Code(words) => text.push_str(&words),
            Event::InlineHtml(_) | Event::Html(_) => {}
            _ => text.push(' '),
        }
    }
    text.split_whitespace().map(str::to_owned).collect()
}

/// Characters without spaces and in one form: lines may break anywhere on paper, and composed and
/// decomposed letters are the same letter. Apostrophes are printed curved.
fn squeezed(text: &str) -> String {
    use unicode_normalization::UnicodeNormalization;
    let straight = |c| if c == '’' { '\'' } else { c };
    text.chars().filter(|c| !c.is_whitespace()).map(straight).nfc().collect()
}
