//! Letters that no face of the house has, where they stand in a lesson, and the hint about them.

use super::fence::Fence;
use super::kind::Medium;
use super::{Lesson, entry};
use crate::findings::rules::no_glyph;
use crate::findings::source::{Line, Places, Source, Span, lines};
use crate::findings::{Finding, Findings};
use crate::ink::{Fonts, OwnFont};
use crate::words::listed;
use std::collections::{BTreeMap, BTreeSet};
use unicode_segmentation::UnicodeSegmentation;

/// How many letters, and how many lines, a hint shows.
const SHOWN: usize = 8;

/// The header's keys whose values are printed as they are typed.
const PRINTED_KEYS: [&str; 7] =
    ["title", "subtitle", "composer", "teacher", "series", "date", "rights"];

/// Where letters stand: a block, by its index among the fences, or (`None`) the header or the prose.
type Area = Option<usize>;

/// The letters of a lesson that no face of the house has.
#[derive(Debug, Default)]
pub struct Letters {
    /// Each letter of an area with the place where it stands first, in the order of these places.
    found: BTreeMap<Area, Vec<(String, Span)>>,
}

/// Gathers the letters while a lesson is read.
#[derive(Default)]
pub(super) struct Gathering {
    fonts: Fonts,
    letters: Letters,
    seen: BTreeSet<(Area, String)>,
}

impl Gathering {
    /// Takes in the header's words, of which the lesson's title is one, be it given or not.
    pub fn header(&mut self, source: &Source, end: usize, title: &str) {
        let header = source.text.get(..end).unwrap_or_default();
        for line in lines(header, 0).filter(|line| !entry::is_comment(line.text)) {
            let Some((key, value)) = entry::split(line) else { continue };
            if PRINTED_KEYS.iter().any(|printed| printed.eq_ignore_ascii_case(key.text)) {
                self.hear(value.text, value.whole(), None);
            }
        }
        self.hear(title, Span::default(), None);
    }

    /// Takes in words of the prose that stand at a place.
    pub fn prose(&mut self, words: &str, span: Span) {
        self.hear(words, span, None);
    }

    /// Takes in a block, the one of an index. What isn't printed has no letters; a script has pages of
    /// its own.
    pub fn block(&mut self, fence: &Fence<'_>, head: Line<'_>, index: usize) {
        if !fence.printed && fence.kind.medium != Medium::Script {
            return;
        }
        for line in std::iter::once(&head).chain(&fence.lines) {
            self.hear(line.text, line.whole(), Some(index));
        }
    }

    fn hear(&mut self, words: &str, span: Span, area: Area) {
        if words.is_ascii() {
            return;
        }
        for (at, letter) in words.grapheme_indices(true) {
            if letter.is_ascii() || !self.fonts.lacks(letter) {
                continue;
            }
            if self.seen.insert((area, letter.to_owned())) {
                let start = span.start + at;
                // Where the words are no longer what is written, their place as a whole is told.
                let exact = span.end - span.start == words.len();
                let place = if exact { Span::new(start, start + letter.len()) } else { span };
                self.letters.found.entry(area).or_default().push((letter.to_owned(), place));
            }
        }
    }

    pub fn finish(self) -> Letters {
        self.letters
    }
}

impl Letters {
    /// All of them, some more than once.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        self.found.values().flatten().map(|(letter, _)| letter.as_str())
    }
}

/// The hints about letters that neither the faces of the house nor the lesson's own font have: those
/// about the header and the prose, then those of each block by its index.
pub fn hints(lesson: &Lesson<'_>, findings: &mut Findings) -> BTreeMap<usize, Finding> {
    if lesson.letters.found.is_empty() {
        return BTreeMap::new();
    }
    let fonts = Fonts::new().with(lesson.font.clone());
    let places = lesson.source.places();
    let mut of_blocks = BTreeMap::new();
    for (area, letters) in &lesson.letters.found {
        let lacking: Vec<&(String, Span)> =
            letters.iter().filter(|(letter, _)| fonts.lacks(letter)).collect();
        let Some(hint) = hint(&lacking, lesson.font.as_ref(), &places) else { continue };
        match area {
            Some(index) => drop(of_blocks.insert(*index, hint)),
            None => findings.add(hint),
        }
    }
    of_blocks
}

fn hint(
    lacking: &[&(String, Span)],
    own: Option<&OwnFont>,
    places: &Places<'_>,
) -> Option<Finding> {
    let (_, first) = lacking.first()?;
    let shown: Vec<String> =
        lacking.iter().take(SHOWN).map(|(letter, _)| format!("`{letter}`")).collect();
    let letters = and_more(&shown, lacking.len(), "letter");
    let lines: BTreeSet<usize> =
        lacking.iter().map(|(_, span)| places.at(span.start).line).collect();
    let shown: Vec<String> = lines.iter().take(SHOWN).map(usize::to_string).collect();
    let several = (lines.len() > 1).then(|| and_more(&shown, lines.len(), "line"));
    Some(match own {
        None => no_glyph::no_face(*first, &letters, several.as_deref()),
        Some(_) => no_glyph::no_font(*first, &letters, several.as_deref()),
    })
}

/// `日, 本 and 9 more letters`.
fn and_more(shown: &[String], all: usize, what: &str) -> String {
    let more = match all - shown.len() {
        0 => None,
        1 => Some(format!("one more {what}")),
        more => Some(format!("{more} more {what}s")),
    };
    listed(&shown.iter().cloned().chain(more).collect::<Vec<_>>())
}
