//! All that is found in a lesson whose words are German is said in German: message, labels, notes and repairs of
//! every finding that our tests raise.

#![allow(clippy::unwrap_used)]

mod fixtures;
mod literals;

use crate::rules;
use fretleaf::findings::report::Counts;
use fretleaf::findings::report::terminal::{self, Colour};
use fretleaf::findings::{Finding, Limit, Span};
use fretleaf::ink::Fonts;
use fretleaf::lesson::limits;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::words::Lang;
use fretleaf::{Checked, compile, web};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

#[test]
fn every_finding_of_every_fixture_is_said_in_german_wholly() {
    let lessons: BTreeSet<String> = fixtures::lessons().collect();
    let english: BTreeMap<String, Finding> =
        lessons.iter().flat_map(|lesson| told(lesson)).collect();
    println!("{} lessons, {} findings", lessons.len(), english.len());
    let (english_only, mut left) = (english_only(), BTreeMap::new());
    for finding in english.into_values() {
        let german = texts(&[finding.clone().said_in(Lang::German)]);
        for (english, german) in texts(&[finding]).into_iter().zip(german) {
            if !is_german(&english, &german, &english_only) {
                left.insert(english, german);
            }
        }
    }
    assert!(left.is_empty(), "{} texts aren't German: {left:#?}", left.len());
}

#[test]
fn a_lesson_is_told_in_its_language() {
    for (_, example, _) in rules::examples() {
        let english = check(&example).findings;
        let german = check(&example.replacen("---\n", "---\nlang: de\n", 1)).findings;
        let said = english.into_iter().map(|finding| finding.said_in(Lang::German));
        assert_eq!(texts(&said.collect::<Vec<Finding>>()), texts(&german), "{example}");
    }
}

#[test]
fn a_report_is_in_the_language_of_its_lesson() {
    let checked = check("---\nlang: de\ntitle: T\n---\n\n~~~ shape\nA x02210\n~~~\n");
    let report =
        terminal::render(&checked.source, &checked.findings, checked.lang, Colour::Without);
    for words in [
        "Fehler[shape-misnamed]: die Bünde ergeben nicht `A`: C# (große Terz) fehlt; C auf Saite 2 ist fremd",
        "= Anmerkung: was klingt, ist `Am`",
        "= Abhilfe: Saite 2 in Bund 2",
    ] {
        assert!(report.contains(words), "{words} isn't in\n{report}");
    }
    let counts = Counts::of(&checked.findings).in_words();
    assert_eq!(Lang::German.reported("counts", &counts), "1 Fehler, kein Zweifel, kein Hinweis");
    assert_eq!(
        Lang::German.reported("tally", &checked.tally.in_words()),
        "keine Takte, keine Töne, 1 Akkord und keine Aussagen geprüft"
    );
}

#[test]
fn a_draft_words_its_faults_in_its_language() {
    let lesson = "---\nlang: de\ntitle: T\ntmepo: 90\n---\n\n~~~ shape\nA x02210\n~~~\n";
    let world = MemoryWorld::default().with_lesson("t.md", lesson);
    let compiled = compile(&world, "t.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let page = compiled.web(&web::Job { template: &template, fonts: &fonts, draft: true });
    for words in [
        "Entwurf mit 2 Fehlern, durch Balken markiert",
        "<b>Fehler: </b>unbekannte Angabe „tmepo“",
        "<b>Fehler\u{a0}a: </b>die Bünde ergeben nicht „A“",
    ] {
        assert!(page.contains(words), "{words} isn't in {page}");
    }
}

#[test]
fn what_a_lesson_may_hold_is_said_in_german() {
    let english_only = english_only();
    for limit in limits::ALL {
        let told: [fn(&Limit, Span) -> Finding; 4] =
            [Limit::ends, Limit::lines_are_left, Limit::rest_is_untold, Limit::block_is_left];
        let english = told.map(|tell| tell(&limit, Span::default()));
        let german = english.clone().map(|finding| finding.said_in(Lang::German));
        for (english, german) in texts(&english).iter().zip(texts(&german)) {
            assert!(is_german(english, &german, &english_only), "{german}");
            assert!(!german.contains(char::is_numeric) || !german.contains(",0"), "{german}");
        }
    }
}

/// Whether a text that stands for an English one is German: another one, where that has words of ours, without a word
/// that only English has.
fn is_german(english: &str, german: &str, english_only: &BTreeSet<String>) -> bool {
    // Frets are written with an `x` each for strings that are silent.
    let is_word = |word: &String| word.len() > 2 && !word.chars().all(|letter| letter == 'x');
    let is_same = english == german && own_words(english).iter().any(is_word);
    !is_same && !own_words(german).iter().any(|word| english_only.contains(word))
}

fn check(lesson: &str) -> Checked {
    let world = MemoryWorld::default().with("lesson-times.csv", "Bridge, 0:40\n");
    fretleaf::check("lesson.md", lesson.as_bytes(), &world)
}

/// What is found in a lesson, each by all that it says.
fn told(lesson: &str) -> impl Iterator<Item = (String, Finding)> {
    let findings = check(lesson).findings.into_iter();
    findings.map(|finding| (texts(std::slice::from_ref(&finding)).join("\n"), finding))
}

/// All that findings say.
fn texts(findings: &[Finding]) -> Vec<String> {
    let said = |finding: &Finding| {
        let labels = finding.labels.iter().map(|label| label.says.clone());
        let fixes = finding.fixes.iter().map(|fix| fix.says.clone());
        let message = std::iter::once(finding.message.clone());
        message.chain(labels).chain(finding.notes.clone()).chain(fixes).collect::<Vec<String>>()
    };
    findings.iter().flat_map(said).collect()
}

/// The words of a text outside of quotations, which are the author's or written in lessons.
fn own_words(text: &str) -> Vec<String> {
    let mut own = String::new();
    for (index, piece) in text.split('`').enumerate() {
        own += if index % 2 == 0 { piece } else { " " };
    }
    words(&own).map(str::to_lowercase).collect()
}

pub fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphabetic()).filter(|word| !word.is_empty())
}

/// The words that the catalogues have in English and not in German, but for the signs of counts.
pub fn english_only() -> BTreeSet<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words/lang/german");
    let (mut english, mut german) = (BTreeSet::new(), BTreeSet::new());
    for entry in fs::read_dir(folder).unwrap() {
        let text = fs::read_to_string(entry.unwrap().path()).unwrap();
        let lines = text.lines().filter(|line| !line.is_empty() && !line.starts_with("# "));
        for (index, line) in lines.enumerate() {
            let of_language = if index % 2 == 0 { &mut english } else { &mut german };
            of_language.extend(own_words(&without_places(line)));
        }
    }
    let is_count = |word: &&String| ["la", "li", "let", "trip", "ta"].contains(&word.as_str());
    let only = english.difference(&german).filter(|word| word.len() > 1 && !is_count(word));
    only.cloned().collect()
}

/// A line of a catalogue without its places for what varies.
fn without_places(line: &str) -> String {
    let line = line
        .strip_prefix('[')
        .and_then(|line| line.split_once("] "))
        .map_or(line, |(_, line)| line);
    let pieces = line.split('{').enumerate();
    let fixed = pieces.map(|(index, piece)| match index {
        0 => piece,
        _ => piece.split_once('}').map_or("", |(_, behind)| behind),
    });
    fixed.collect::<Vec<_>>().join(" ")
}
