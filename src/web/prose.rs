//! The lesson's prose as elements, its title block before it and what we say ourselves behind it.

use super::Job;
use super::figures::Figures;
use super::film::{Film, Moment};
use super::markup::Html;
use super::player::Player;
use super::switches;
use crate::blocks::lyrics::Song;
use crate::checks::Elaborated;
use crate::lesson::limits;
use crate::lesson::prose::{Alignment, Inline, Node};
use crate::page::advice::{Caution, rights_in_tune};
use crate::page::inline::{Told, plain_words};
use crate::page::parts::Outline;
use crate::page::sounds;
use crate::words::Lang;
use crate::words::paper::{end, screen, sounds as sound_words, task};
use std::borrow::Cow;

/// The level of the headings in the list of contents.
const LISTED: u8 = 2;
/// How many of them are worth a list; assumed.
const FEWEST_LISTED: usize = 3;

/// The page's body while it is written.
pub struct Prose<'a> {
    pub(super) lesson: &'a Elaborated<'a>,
    pub(super) job: &'a Job<'a>,
    pub(super) html: Html,
    pub(super) figures: Figures<'a>,
    pub(super) player: &'a Player,
    /// The figures whose numbers the paragraph has given.
    pub(super) told: Told,
    /// Whether the words stand in a link.
    pub(super) linked: bool,
    /// How many faults a draft may still word.
    pub(super) faults_left: usize,
    outline: Outline,
    film: Film,
    /// The headings for the list of contents, each with its name in the page.
    contents: Vec<(String, String)>,
    headings: usize,
    caution: Caution,
}

impl<'a> Prose<'a> {
    /// An empty body.
    pub fn new(lesson: &'a Elaborated<'a>, player: &'a Player, job: &'a Job<'a>) -> Prose<'a> {
        Prose {
            lesson,
            player,
            job,
            html: Html::default(),
            figures: Figures::new(job, lesson.lesson.header.lang),
            told: Told::default(),
            linked: false,
            faults_left: limits::DRAFT_FAULTS.most,
            outline: Outline::default(),
            film: Film::of(lesson),
            contents: Vec::new(),
            headings: 0,
            caution: Caution::default(),
        }
    }

    /// The whole body: title block, contents, the lesson, what stands behind it.
    pub fn whole(mut self) -> String {
        self.title_block();
        let title = std::mem::take(&mut self.html);
        self.html.open("main", &[]);
        self.html.end_line();
        self.lesson_nodes();
        self.chord_page();
        self.sounds();
        self.answers();
        self.html.close("main");
        self.html.end_line();
        self.foot();
        let lang = self.lesson.lesson.header.lang;
        let Prose { html, figures, player, contents, .. } = self;
        let mut whole = title;
        player.notice(lang, &mut whole);
        switches::write(&figures, lang, &mut whole);
        list_contents(&contents, lang, &mut whole);
        whole.put(&html.into_string());
        whole.put(&figures.outlines());
        whole.end_line();
        whole.into_string()
    }

    /// The lesson's own blocks, the caution at the end of the section that calls for it.
    fn lesson_nodes(&mut self) {
        let lesson = self.lesson;
        for node in &lesson.lesson.nodes {
            if matches!(node, Node::Heading { .. }) {
                self.give_caution();
            }
            self.node(node);
            self.caution.listen(node);
        }
        self.give_caution();
    }

    fn give_caution(&mut self) {
        if !self.caution.falls_due() {
            return;
        }
        self.caution.give();
        self.html.open("p", &[("class", "caution")]);
        self.html.words("b", &[], &self.said(end::CAUTION_HEAD));
        self.html.text(&self.said(end::CAUTION));
        self.close("p");
    }

    fn nodes(&mut self, nodes: &[Node]) {
        nodes.iter().for_each(|node| self.node(node));
    }

    fn node(&mut self, node: &Node) {
        match node {
            Node::Heading { level, words, .. } => {
                let moment = self.film.next_heading();
                self.heading_at(*level, words, moment);
            }
            Node::Paragraph(words) => self.paragraph(words),
            Node::List { start, tight, items } => self.list(*start, *tight, items),
            Node::Quote(inner) => {
                self.html.open("blockquote", &[]);
                self.nodes(inner);
                self.close("blockquote");
            }
            Node::Table { columns, head, rows } => self.table(columns, head, rows),
            // The item that it stands in has its box.
            Node::Task(_) => {}
            Node::Rule => {
                self.html.open("hr", &[]);
                self.html.end_line();
            }
            Node::Code(text) => self.code(text),
            Node::NewPage => {
                self.html.open("div", &[("class", "new-page")]);
                self.close("div");
            }
            Node::Music(index) => self.music(*index),
        }
    }

    /// Words of our own in the lesson's language.
    pub(super) fn said<'w>(&self, words: &'w str) -> Cow<'w, str> {
        self.lesson.lesson.header.lang.said(words)
    }

    /// Ends an element and a line of the file.
    pub(super) fn close(&mut self, tag: &str) {
        self.html.close(tag);
        self.html.end_line();
    }

    /// A heading of our own, of a level as it is written, 1 for `#`.
    pub(super) fn heading(&mut self, written: u8, words: &str) {
        self.heading_at(written, &[Inline::Text(words.to_owned())], None);
    }

    /// A heading of a level as it is written, which leads to a moment of the film where it has one there.
    fn heading_at(&mut self, written: u8, words: &[Inline], moment: Option<Moment>) {
        let title = plain_words(words, &self.lesson.phrases);
        if title.is_empty() {
            return;
        }
        let level = self.outline.next(written);
        self.headings += 1;
        let (tag, id) = (format!("h{level}"), format!("section-{}", self.headings));
        self.html.open(&tag, &[("id", &id), ("dir", "auto")]);
        self.told = Told::default();
        self.inlines(words);
        if let Some(Moment { address, time }) = moment {
            self.html.text(" ");
            let label = screen::film_at(&time);
            let label = self.said(&label);
            let attributes = [
                ("class", "time"),
                ("href", &*address),
                ("rel", "noreferrer"),
                ("aria-label", &label),
            ];
            self.html.words("a", &attributes, &time);
        }
        self.close(&tag);
        if level == LISTED {
            self.contents.push((id, title));
        }
    }

    fn paragraph(&mut self, words: &[Inline]) {
        self.told = Told::default();
        self.html.open("p", &[("dir", "auto")]);
        self.inlines(words);
        self.close("p");
    }

    fn list(&mut self, start: Option<u64>, tight: bool, items: &[Vec<Node>]) {
        let tag = if start.is_some() { "ol" } else { "ul" };
        let first = start.filter(|start| *start != 1).map(|start| start.to_string());
        let mut attributes = Vec::new();
        attributes.extend(tight.then_some(("class", "tight")));
        attributes.extend(first.as_deref().map(|first| ("start", first)));
        self.html.open(tag, &attributes);
        self.html.end_line();
        items.iter().for_each(|item| self.item(item));
        self.close(tag);
    }

    fn item(&mut self, item: &[Node]) {
        match item.first() {
            Some(Node::Task(done)) => {
                self.html.open("li", &[("class", "task"), ("dir", "auto")]);
                let (class, words) =
                    if *done { ("box done", task::DONE) } else { ("box", task::TO_DO) };
                let words = self.said(words);
                let attributes = [("class", class), ("role", "img"), ("aria-label", &*words)];
                self.html.words("span", &attributes, "");
            }
            _ => self.html.open("li", &[("dir", "auto")]),
        }
        self.nodes(item);
        self.close("li");
    }

    fn table(&mut self, columns: &[Alignment], head: &[Vec<Inline>], rows: &[Vec<Vec<Inline>>]) {
        self.html.open("table", &[]);
        self.html.end_line();
        if head.iter().any(|cell| !cell.is_empty()) {
            self.html.open("thead", &[]);
            self.row("th", columns, head);
            self.close("thead");
        }
        self.html.open("tbody", &[]);
        rows.iter().for_each(|row| self.row("td", columns, row));
        self.close("tbody");
        self.close("table");
    }

    fn row(&mut self, tag: &str, columns: &[Alignment], cells: &[Vec<Inline>]) {
        self.html.open("tr", &[]);
        for (cell, alignment) in cells.iter().zip(columns) {
            let class = match alignment {
                Alignment::Left => "left",
                Alignment::Centre => "centre",
                Alignment::Right => "right",
            };
            self.told = Told::default();
            self.html.open(tag, &[("class", class), ("dir", "auto")]);
            self.inlines(cell);
            self.html.close(tag);
        }
        self.close("tr");
    }

    /// Text as it stands.
    pub(super) fn code(&mut self, text: &str) {
        self.html.open("pre", &[]);
        self.html.words("code", &[], text);
        self.close("pre");
    }

    /// The table of sounds, where the lesson asks for it.
    fn sounds(&mut self) {
        let rows = sounds::of(self.lesson);
        if !self.lesson.lesson.header.sounds || rows.is_empty() {
            return;
        }
        self.heading(sounds::LEVEL, &self.said(sound_words::TITLE));
        self.table(&[Alignment::Left; 2], &[], &rows);
    }

    /// Whose the tune is, and whose the lesson.
    fn foot(&mut self) {
        let header = &self.lesson.lesson.header;
        let mut printed = self.lesson.blocks.iter().filter(|block| block.printed);
        let sings = printed.any(|block| block.as_a::<Song>().is_some());
        let rights = rights_in_tune(header, sings).map(|rights| header.lang.said(rights));
        let lines = [rights.as_deref(), header.rights.as_deref()];
        if lines.iter().all(Option::is_none) {
            return;
        }
        self.html.open("footer", &[]);
        lines.iter().flatten().for_each(|line| self.html.words("p", &[], line));
        self.close("footer");
    }
}

/// The list of contents; nothing where there is little to find.
fn list_contents(contents: &[(String, String)], lang: Lang, html: &mut Html) {
    if contents.len() < FEWEST_LISTED {
        return;
    }
    html.open("nav", &[("aria-labelledby", "contents")]);
    html.words("p", &[("id", "contents")], &lang.said(screen::CONTENTS));
    html.open("ol", &[]);
    for (id, title) in contents {
        html.open("li", &[]);
        html.words("a", &[("href", &format!("#{id}"))], title);
        html.close("li");
    }
    html.close("ol");
    html.close("nav");
    html.end_line();
}
