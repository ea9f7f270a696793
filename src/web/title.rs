//! The title block: what the lesson is called, what holds in it, who made it.

use super::prose::Prose;
use super::words::PX;
use crate::ink::svg::in_page::{self, px};
use crate::ink::{Pt, pt};
use crate::page::title::{Fact, credits, facts, level};
use crate::words::paper::{screen, title as words};

/// A logo is no higher and no wider; as on paper.
const LOGO: (Pt, Pt) = (pt(140.0), pt(51.0));

impl Prose<'_> {
    /// Writes the title block.
    pub(super) fn title_block(&mut self) {
        let lesson = self.lesson;
        let header = &lesson.lesson.header;
        self.html.open("header", &[]);
        self.html.end_line();
        self.logo();
        let line = |prose: &mut Self, tag, class, words: &str| {
            prose.html.open(tag, &[("class", class), ("dir", "auto")]);
            prose.html.text(words);
            prose.close(tag);
        };
        header.series.iter().for_each(|series| line(self, "p", "series", series));
        line(self, "h1", "title", &header.title);
        header.subtitle.iter().for_each(|subtitle| line(self, "p", "subtitle", subtitle));
        let setting = self.job.template.title.setting;
        let facts = if setting { facts(&lesson.lesson) } else { Vec::new() };
        let level = level(&lesson.lesson);
        self.facts(
            &facts.into_iter().chain(level).chain(credits(&lesson.lesson)).collect::<Vec<_>>(),
        );
        self.film();
        self.title_remarks();
        self.close("header");
    }

    /// What holds and who made it, each beside what it is called.
    fn facts(&mut self, facts: &[Fact]) {
        let (named, bare): (Vec<&Fact>, Vec<&Fact>) =
            facts.iter().partition(|fact| fact.label.is_some());
        let lang = self.lesson.lesson.header.lang;
        if !named.is_empty() {
            self.html.open("dl", &[]);
            for fact in named {
                self.html.open("div", &[]);
                self.html.words("dt", &[], &lang.said(fact.label.unwrap_or_default()));
                self.html.words("dd", &[("dir", "auto")], &fact.value);
                self.html.close("div");
            }
            self.close("dl");
        }
        for fact in bare {
            self.html.words("p", &[("class", "address"), ("dir", "auto")], &fact.value);
        }
    }

    /// What leads to the film.
    fn film(&mut self) {
        let Some(address) = &self.lesson.lesson.header.video else { return };
        self.html.open("p", &[("class", "film")]);
        self.html.words("a", &[("href", address), ("rel", "noreferrer")], &self.said(screen::FILM));
        self.close("p");
    }

    fn logo(&mut self) {
        let lesson = &self.lesson.lesson;
        let raster = lesson.logo.as_ref().and_then(|logo| logo.picture.as_ref());
        let Some(picture) = raster.map(|raster| raster.printed(LOGO.0, LOGO.1)) else { return };
        let Some(address) = in_page::picture(&picture) else { return };
        let alt = words::logo(lesson.header.teacher.as_deref());
        let alt = lesson.header.lang.said(&alt);
        let (width, height) = (px(picture.width.0 * PX), px(picture.height.0 * PX));
        let size = [("width", width.as_str()), ("height", height.as_str())];
        let shown = [("class", "logo"), ("src", address.as_str()), ("alt", alt.as_ref())];
        self.html.open("img", &[shown.as_slice(), &size].concat());
    }
}
