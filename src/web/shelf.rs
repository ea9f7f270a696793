//! The list of a folder's lessons, to be searched in the page: what each is called, what is played in it, how long it is.

use super::markup::Html;
use super::{STYLE, policy};
use crate::checks::Elaborated;
use crate::music::tab::{Joint, Sound};
use crate::page::title::{facts, level};
use crate::words::Lang;
use crate::words::counted;
use crate::words::paper::shelf as words;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde::{Deserialize, Serialize};

/// Hides the lessons that have not all the words that are looked for.
const SCRIPT: &str = include_str!("../../templates/web/shelf.js");

/// What stands in a link in another way than in a name (RFC 3986, section 2.3).
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'_').remove(b'.');

/// What the list says of a lesson.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Card {
    lang: Lang,
    title: String,
    /// What it has, each beside what that is called.
    facts: Vec<(String, String)>,
}

impl Card {
    /// What is said of a lesson.
    pub fn of(lesson: &Elaborated<'_>) -> Card {
        let header = facts(&lesson.lesson).into_iter().chain(level(&lesson.lesson));
        let lang = lesson.lesson.header.lang;
        let said = |words: &str| lang.said(words).into_owned();
        let header = header.filter_map(|fact| Some((said(fact.label?), fact.value)));
        let bars = lesson.tally().bars;
        let length = if bars > 0 { said(&counted(bars, "bar")) } else { String::new() };
        let techniques: Vec<String> = techniques(lesson).into_iter().map(said).collect();
        let own = [
            (words::CHORDS, chords(lesson).join(", ")),
            (words::TECHNIQUES, techniques.join(", ")),
            (words::LENGTH, length),
        ];
        let own = own.into_iter().filter(|(_, value)| !value.is_empty());
        let facts = header.chain(own.map(|(label, value)| (said(label), value))).collect();
        Card { lang, title: lesson.lesson.header.title.clone(), facts }
    }
}

/// The chords of a lesson, each once, in the order in which they come.
fn chords(lesson: &Elaborated<'_>) -> Vec<String> {
    let music = lesson.blocks.iter().filter_map(|block| block.music.as_ref());
    let mut names: Vec<String> = Vec::new();
    for (_, chord) in music.flat_map(|music| music.chords()) {
        let name = chord.printed().text();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// The techniques that are played in a lesson.
fn techniques(lesson: &Elaborated<'_>) -> Vec<&'static str> {
    let tabs = lesson.blocks.iter().filter_map(|block| block.music.as_ref()?.tab());
    let events = tabs.flat_map(|tab| &tab.riff.bars).flat_map(|bar| &bar.events);
    let notes: Vec<_> = events.flat_map(|event| &event.notes).collect();
    let joined = |joint: Joint| notes.iter().any(|note| note.joined == Some(joint));
    let harmonics = notes.iter().any(|note| matches!(note.sound, Sound::Harmonic(_)));
    let found = [
        (joined(Joint::HammerOn), words::HAMMER_ONS),
        (joined(Joint::PullOff), words::PULL_OFFS),
        (joined(Joint::Slide), words::SLIDES),
        (joined(Joint::Bend), words::BENDS),
        (joined(Joint::Tap), words::TAPPING),
        (harmonics, words::HARMONICS),
    ];
    found.into_iter().filter(|(is_played, _)| *is_played).map(|(_, name)| name).collect()
}

/// The language of all lessons; English where they have several.
fn common(mut langs: impl Iterator<Item = Lang>) -> Lang {
    let first = langs.next().unwrap_or_default();
    if langs.all(|lang| lang == first) { first } else { Lang::English }
}

/// The list as a page: of each lesson its page, from the list on with `/` between the names, and what is said of it.
pub fn page<'c>(lessons: impl Iterator<Item = (String, &'c Card)>) -> String {
    let lessons: Vec<(String, &Card)> = lessons.collect();
    let lang = common(lessons.iter().map(|(_, card)| card.lang));
    let mut html = Html::default();
    html.put("<!doctype html>\n");
    html.open("html", &[("lang", lang.tag())]);
    super::head(&lang.said(words::TITLE), &policy::with_script(STYLE, SCRIPT), STYLE, &mut html);
    html.open("body", &[]);
    html.open("main", &[]);
    html.words("h1", &[], &lang.said(words::TITLE));
    html.open("p", &[("id", "search"), ("hidden", "")]);
    html.open("label", &[]);
    html.text(&lang.said(words::SEARCH));
    html.put(" ");
    html.open("input", &[("type", "search")]);
    html.close("label");
    html.put(" ");
    html.words("output", &[], "");
    html.close("p");
    html.end_line();
    lessons.iter().for_each(|(path, card)| entry(path, card, &mut html));
    html.close("main");
    html.open("script", &[]);
    html.put(SCRIPT);
    html.close("script");
    html.close("body");
    html.close("html");
    html.end_line();
    html.into_string()
}

fn entry(path: &str, card: &Card, html: &mut Html) {
    html.open("section", &[]);
    html.open("h2", &[("dir", "auto")]);
    html.words("a", &[("href", &address(path))], &card.title);
    html.close("h2");
    html.open("dl", &[]);
    for (label, value) in &card.facts {
        html.open("div", &[]);
        html.words("dt", &[], label);
        html.words("dd", &[("dir", "auto")], value);
        html.close("div");
    }
    html.close("dl");
    html.close("section");
    html.end_line();
}

/// A path as a link has it: a name is never taken for a scheme or a query.
fn address(path: &str) -> String {
    let parts = path.split('/').map(|part| utf8_percent_encode(part, ENCODED).to_string());
    parts.collect::<Vec<_>>().join("/")
}
