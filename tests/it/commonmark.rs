//! All examples of the CommonMark specification (0.31.2), each as a lesson's body: they are put on
//! pages, and all their visible words are on paper.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use fretleaf::compile;
use fretleaf::ink::{Document, Drawing, Fonts, Item};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::page::{Job, Template};

const SPECIFICATION: &str = include_str!("../commonmark/spec.txt");

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
    for (lesson, words, hints) in [
        ("<b>bold</b>", "bold", 1),
        ("<!-- a note -->", "", 0),
        ("<div>\nx\n</div>", "x", 1),
        ("one <!-- a\nnote --> two", "onetwo", 0),
        ("<p>Fish &amp; chips<style>p {}</style></p>", "Fish&chips", 1),
        ("<table><tr><td>5</td><td>A</td></tr></table>", "5A", 1),
    ] {
        let printed = press(lesson, &fonts);
        let left_out = printed.findings.iter().filter(|rule| **rule == "left-out").count();
        assert_eq!(left_out, hints, "{lesson}");
        let standard = squeezed("standard tuning");
        let on_paper = squeezed(&printed.words);
        let (_, behind) = on_paper.split_once(&standard).unwrap();
        assert!(behind.starts_with(words), "{lesson}: {behind}");
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
    let world = MemoryWorld::default().with_lesson("example.md", text);
    let compiled = compile(&world, "example.md").expect("a lesson in memory");
    // In large print all stands in one column, in its order.
    let template = Template::load("large-print", |_| None).expect("a built-in template");
    let document =
        compiled.press(&Job { template: &template, paper: Paper::A4, fonts, draft: true });
    Printed {
        words: words_of(&document),
        findings: compiled.findings.iter().map(|found| found.rule.name).collect(),
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

/// The words that a reader of the example's HTML sees: those between its tags, raw HTML's too, but not
/// comments, scripts and style sheets. A picture's words are seen where the lesson's own sign for
/// pictures stands.
fn visible_words(example: &Example, printed: &Printed) -> Vec<String> {
    let raw = printed.findings.contains(&"left-out") || example.html.contains("<!--");
    let mut text = String::new();
    let mut rest = example.html.as_str();
    while let Some(open) = rest.find('<') {
        text.push_str(&rest[..open]);
        let (tag, behind) = rest[open..].split_at(markup_length(&rest[open..]));
        if let Some(alt) = tag.split("alt=\"").nth(1).and_then(|alt| alt.split('"').next())
            && !raw
        {
            text.push_str(alt);
        }
        text.push(' ');
        rest = behind;
    }
    text.push_str(rest);
    html_escape::decode_html_entities(&text).split_whitespace().map(str::to_owned).collect()
}

/// How much of a text that begins with `<` a reader doesn't see. A tag that never ends hides the rest of
/// its line.
fn markup_length(text: &str) -> usize {
    let lower = text.to_lowercase();
    for (begin, end) in [
        ("<!--", "-->"),
        ("<![cdata[", "]]>"),
        ("<?", "?>"),
        ("<script", "</script>"),
        ("<style", "</style>"),
    ] {
        if lower.starts_with(begin) {
            return lower.find(end).map_or(text.len(), |at| at + end.len());
        }
    }
    let mut quote = None;
    for (at, c) in text.char_indices() {
        match (quote, c) {
            (None, '>') => return at + 1,
            (None, '"' | '\'') => quote = Some(c),
            (Some(open), c) if open == c => quote = None,
            _ => {}
        }
    }
    text.find('>').map_or(text.find('\n').unwrap_or(text.len()), |at| at + 1)
}

/// Characters without spaces and in one form: lines may break anywhere on paper, and composed and
/// decomposed letters are the same letter. Apostrophes are printed curved.
fn squeezed(text: &str) -> String {
    use unicode_normalization::UnicodeNormalization;
    let straight = |c| if c == '’' { '\'' } else { c };
    text.chars().filter(|c| !c.is_whitespace()).map(straight).nfc().collect()
}
