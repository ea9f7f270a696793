//! All that a lesson whose words are German prints beside the author's is German: paper, words, web page and script.

#![allow(clippy::unwrap_used)]

use crate::german_findings::{english_only, words};
use fretleaf::blocks::figure::Desk;
use fretleaf::ink::{Document, Fonts, Item};
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::page::told;
use fretleaf::script::{chapters, figures, shots, text};
use fretleaf::{Compiled, compile, page, script, web};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// A header for what has none.
const HEAD: &str = "---\ntitle: T\nkey: A major\n---\n\n";

#[test]
fn all_that_is_printed_beside_the_authors_words_is_german() {
    let (english_only, mut left) = (english_only(), BTreeSet::new());
    let (mut lessons, fonts) = (0, Fonts::new());
    for lesson in lessons_in_german() {
        lessons += 1;
        let authored: BTreeSet<String> = words(&lesson).map(str::to_lowercase).collect();
        let world = MemoryWorld::default().with_lesson("t.md", &lesson);
        let compiled = compile(&world, "t.md").unwrap();
        for line in printed(&compiled, &fonts).lines() {
            let own = words(line).map(str::to_lowercase);
            let english =
                own.filter(|word| english_only.contains(word) && !authored.contains(word));
            left.extend(english.map(|word| (word, line.to_owned())));
        }
    }
    assert!(lessons > 40, "{lessons}");
    assert!(left.is_empty(), "{} words aren't German: {left:#?}", left.len());
}

/// The signs of tabs, which are the same in all languages.
const SIGNS: [&str; 3] = ["h", "p", "t"];

#[test]
fn all_fixed_words_of_paper_and_screen_have_german_ones() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = fs::read_to_string(root.join("src/words/paper.rs")).unwrap();
    let own = own.split("\\\n").map(str::trim_start).collect::<String>();
    let catalogue = ["music", "figures", "paper"].map(|name| {
        fs::read_to_string(root.join(format!("src/words/lang/german/{name}.txt"))).unwrap()
    });
    let english: BTreeSet<String> = catalogue.iter().flat_map(|text| keys(text)).collect();
    let fixed: Vec<&str> = own.split("pub const ").skip(1).filter_map(fixed).collect();
    assert!(fixed.len() > 90, "{}", fixed.len());
    let left =
        fixed.iter().filter(|words| !SIGNS.contains(words) && !english.contains(&key(words)));
    assert_eq!(left.collect::<Vec<_>>(), Vec::<&&str>::new());
}

/// The text that a constant holds; none where it is no single text.
fn fixed(constant: &str) -> Option<&str> {
    let (declared, text) = constant.split_once('"')?;
    declared.trim_end().ends_with(": &str =").then(|| text.split('"').next()).flatten()
}

/// The English lines of a catalogue.
fn keys(catalogue: &str) -> impl Iterator<Item = String> {
    let lines = catalogue.lines().filter(|line| !line.is_empty() && !line.starts_with("# "));
    let unplaced = |line: &str| match line.strip_prefix('[').and_then(|line| line.split_once("] "))
    {
        Some((_, line)) => key(line),
        None => key(line),
    };
    lines.step_by(2).map(unplaced)
}

/// Words as they are looked up, however a sentence has them.
fn key(words: &str) -> String {
    words.trim().trim_end_matches(['.', ':']).to_lowercase()
}

/// The demos, the riffs that we tune by and the examples of blocks, in German.
fn lessons_in_german() -> impl Iterator<Item = String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folders = ["lessons", "tests/riffs/tuned", "tests/german"].into_iter();
    let files = folders.flat_map(move |folder| entries(&root.join(folder)));
    let examples = entries(&root.join("src/blocks")).into_iter();
    let examples = examples.map(|folder| folder.join("example.md")).filter(|file| file.is_file());
    let is_lesson = |file: &PathBuf| file.extension().is_some_and(|ending| ending == "md");
    files.chain(examples).filter(is_lesson).map(|file| {
        let text = fs::read_to_string(file).unwrap();
        let text = if text.starts_with("---\n") { text } else { HEAD.to_owned() + &text };
        match text.contains("\nlang: de\n") {
            true => text,
            false => text.replacen("---\n", "---\nlang: de\n", 1),
        }
    })
}

fn entries(folder: &Path) -> Vec<PathBuf> {
    fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect()
}

/// All words of a lesson's paper, its page for screens and its script.
fn printed(compiled: &Compiled<'_>, fonts: &Fonts) -> String {
    let (template, lang) = (compiled.template().unwrap(), compiled.lang());
    let paper = compiled.paper(&template);
    let handout = compiled.press(&page::Job { template: &template, paper, fonts, draft: true });
    let screen = compiled.web(&web::Job { template: &template, fonts, draft: true });
    let script = compiled.script();
    let desk = Desk { lang, fonts, look: &template.figure, width: script::page::measure(paper) };
    let beside = figures::beside(&compiled.lesson, &script, &desk);
    let job = script::page::Job { figures: &beside, paper, faults: 0, fonts };
    let scripted = script::page::set(&script, &job);
    let texts = [
        told::text(&handout),
        drawn(&handout),
        shown(&screen),
        drawn(&scripted),
        text::write(&script),
        chapters::list(&script),
        shots::write(&script),
    ];
    texts.join("\n")
}

/// What is drawn in a document, a line a text.
fn drawn(document: &Document) -> String {
    let mut words = String::new();
    document.pages.iter().for_each(|page| gather(&page.drawing.items, &mut words));
    words
}

fn gather(items: &[Item], words: &mut String) {
    for item in items {
        match item {
            Item::Text(_, text) => *words += &(text.characters() + "\n"),
            Item::Group(group) => gather(&group.items, words),
            Item::Path(_) | Item::Picture(..) => {}
        }
    }
}

/// What a page shows and says: the words between its tags, and those of tags that are read aloud or shown.
fn shown(page: &str) -> String {
    let mut words = String::new();
    let page = without("style", &without("script", page));
    for element in page.split('<') {
        let Some((tag, text)) = element.split_once('>') else { continue };
        for name in ["aria-label=\"", "title=\"", "alt=\"", "data-said=\""] {
            let said = tag.split_once(name).and_then(|(_, value)| value.split('"').next());
            words.extend(said.map(|said| said.to_owned() + "\n"));
        }
        words += &(text.to_owned() + "\n");
    }
    words
}

/// A page without its elements of a name.
fn without(name: &str, page: &str) -> String {
    let (begin, end) = (format!("<{name}"), format!("</{name}>"));
    let mut pieces = page.split(&begin);
    let first = pieces.next().unwrap_or_default().to_owned();
    first + &pieces.filter_map(|piece| Some(piece.split_once(&end)?.1)).collect::<String>()
}
