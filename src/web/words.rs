//! The pieces of a paragraph as elements: words, phrases of music as they are printed, links, pictures.

use super::prose::Prose;
use crate::ink::svg::in_page::{self, px};
use crate::ink::{Pt, pt};
use crate::lesson::prose::Inline;
use crate::page::inline::{is_safe, unparted, with_apostrophes};
use crate::theory::Printed;
use crate::words::paper::screen;

/// The widest and highest picture: the widest column, and as much of a screen's height as leaves room for a line of
/// words; assumed.
const WIDEST_PICTURE: Pt = pt(480.0);
const HIGHEST_PICTURE: Pt = pt(480.0);
/// Points to CSS px (CSS Values 3, section 6.2).
pub(super) const PX: f32 = 96.0 / 72.0;

impl Prose<'_> {
    /// Words in their dress.
    pub(super) fn inlines(&mut self, words: &[Inline]) {
        words.iter().for_each(|inline| self.inline(inline));
    }

    fn inline(&mut self, inline: &Inline) {
        match inline {
            Inline::Text(words) => self.html.text(&with_apostrophes(words)),
            Inline::Space => self.html.text(" "),
            Inline::Break => self.html.open("br", &[]),
            Inline::Emphasis(inner) => self.within("em", inner),
            Inline::Strong(inner) => self.within("strong", inner),
            Inline::Code(words) => self.html.words("code", &[], words),
            Inline::Phrase(index) => self.phrase(*index),
            Inline::Link { address, words } => self.link(address, words),
            Inline::Picture(index) => self.picture(*index),
        }
    }

    fn within(&mut self, tag: &str, words: &[Inline]) {
        self.html.open(tag, &[]);
        self.inlines(words);
        self.html.close(tag);
    }

    /// A checked phrase; one that refers to a figure leads there.
    fn phrase(&mut self, index: usize) {
        let lesson = self.lesson;
        let Some(phrase) = lesson.phrases.get(index) else { return };
        let printed = self.told.printed(phrase);
        let figure = phrase.refers_to.and_then(|block| lesson.blocks.get(block)?.number);
        let goal = figure.filter(|_| !self.linked).map(|number| format!("#figure-{number}"));
        let faulty = phrase.faulty && self.job.draft;
        let class = if faulty { "music faulty" } else { "music" };
        match &goal {
            Some(goal) => self.html.open("a", &[("class", class), ("href", goal)]),
            None => self.html.open("span", &[("class", class)]),
        }
        self.printed(&printed);
        self.html.close(if goal.is_some() { "a" } else { "span" });
    }

    /// A musical word, its raised runs raised.
    pub(super) fn printed(&mut self, printed: &Printed) {
        for run in &printed.runs {
            let words = unparted(&run.text);
            match run.raised {
                true => self.html.words("sup", &[], &words),
                false => self.html.text(&words),
            }
        }
    }

    /// Words that lead somewhere; those of an address that isn't safe are plain.
    fn link(&mut self, address: &str, words: &[Inline]) {
        if self.linked || !is_safe(address) {
            return self.inlines(words);
        }
        self.linked = true;
        self.html.open("a", &[("href", address), ("rel", "noreferrer")]);
        self.inlines(words);
        self.html.close("a");
        self.linked = false;
    }

    /// A picture, or its words where it can't be shown.
    fn picture(&mut self, index: usize) {
        let Some(link) = self.lesson.lesson.pictures.get(index) else { return };
        let shown = link.picture.as_ref().and_then(|raster| {
            let picture = raster.printed(WIDEST_PICTURE, HIGHEST_PICTURE);
            Some((in_page::picture(&picture)?, picture.width, picture.height))
        });
        let Some((address, width, height)) = shown else {
            return self.html.words("strong", &[], &format!("[{}]", link.words));
        };
        let words = Some(link.words.as_str()).filter(|words| !words.trim().is_empty());
        let (width, height) = (px(width.0 * PX), px(height.0 * PX));
        let picture = self.said(screen::PICTURE);
        let words = words.unwrap_or(&picture);
        let attributes =
            [("src", &*address), ("alt", words), ("width", &width), ("height", &height)];
        self.html.open("img", &attributes);
    }
}
