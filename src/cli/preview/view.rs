//! From a build to what the page shows: its sheets as pictures and as words, the findings with their
//! places.

use super::board::Sheets;
use super::script::{self, ScriptView};
use super::student;
use crate::cli::watch::build::Built;
use crate::cli::watch::change::{Change, Changed, Looks};
use fretleaf::findings::Finding;
use fretleaf::findings::Span;
use fretleaf::findings::report::Counts;
use fretleaf::ink::{
    Anchor, Document, Extent, Face, Fonts, Group, Item, Label, Page, PartId, Point, Pt, Role, Text,
    svg,
};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

/// A build that is to be shown.
pub struct Shown<'a> {
    /// The lesson's file.
    pub path: &'a Path,
    /// The build.
    pub built: &'a Built,
    /// What its pages look like, in short.
    pub looks: &'a Looks,
    /// What changed since the last one.
    pub change: &'a Change,
    /// What changed, in words; empty at the first build.
    pub brief: &'a str,
}

/// A page as it is fetched.
#[derive(Debug)]
pub struct Sheet {
    /// The page as SVG.
    pub picture: String,
    /// Its words as JSON.
    pub words: String,
}

/// A lesson as the page shows it.
#[derive(Debug, Default, Serialize)]
pub struct LessonView {
    /// Its title.
    pub title: String,
    /// What changed in the last build, in words.
    brief: String,
    /// Why the last pages stay, if they do.
    pub trouble: Option<String>,
    counts: Counts,
    pages: Vec<PageView>,
    changed: Vec<Area>,
    findings: Vec<FindingView>,
    /// What its student's page is made from, in short; empty where there is none.
    students: String,
    /// Its script.
    #[serde(skip_serializing_if = "Option::is_none")]
    script: Option<ScriptView>,
}

#[derive(Debug, Serialize)]
struct PageView {
    /// The name under which its sheet is fetched.
    sheet: String,
    width: f32,
    height: f32,
}

/// A rectangle on a page, in points.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
struct Area {
    /// The page, from 0.
    page: usize,
    left: f32,
    top: f32,
    width: f32,
    height: f32,
}

#[derive(Debug, Serialize)]
struct FindingView {
    rule: &'static str,
    weight: &'static str,
    line: usize,
    column: usize,
    message: String,
    notes: Vec<String>,
    repairs: Vec<String>,
    place: Area,
}

/// The words of a page: its parts in reading order, those around them before them.
#[derive(Debug, Default, Serialize)]
struct Words {
    parts: Vec<PartView>,
}

#[derive(Debug, Serialize)]
struct PartView {
    role: &'static str,
    /// A heading's level.
    #[serde(skip_serializing_if = "Option::is_none")]
    level: Option<u8>,
    /// The part around it, by its index in the list.
    #[serde(skip_serializing_if = "Option::is_none")]
    parent: Option<usize>,
    /// A figure's description.
    #[serde(skip_serializing_if = "str::is_empty")]
    words: String,
    /// Where a figure lies: left, top, width, height.
    #[serde(skip_serializing_if = "Option::is_none")]
    area: Option<[f32; 4]>,
    /// Its lines.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    lines: Vec<LineView>,
}

#[derive(Debug, Serialize)]
struct LineView {
    left: f32,
    /// The baseline.
    base: f32,
    width: f32,
    size: f32,
    /// Whether its letters are those of prose.
    serif: bool,
    text: String,
}

/// A lesson's name in addresses and messages.
pub fn id_of(path: &Path) -> String {
    format!("{:016x}", crate::cli::watch::build::short(path.to_string_lossy().as_bytes()))
}

/// A lesson's name for a reader.
pub fn name_of(path: &Path) -> String {
    path.file_stem().unwrap_or_default().to_string_lossy().into_owned()
}

/// The sheets of a build; those that look as before are taken over.
pub fn sheets(shown: &Shown<'_>, old: &Sheets, fonts: &Fonts) -> Sheets {
    let document = &shown.built.document;
    let sheet = |index: usize, page: &Page| Sheet {
        picture: svg::page(document, index, fonts),
        // A record of texts and numbers always becomes JSON.
        words: serde_json::to_string(&words(page, document)).unwrap_or_default(),
    };
    let pages = document.pages.iter().zip(&shown.looks.pages).enumerate();
    let pages = pages.map(|(index, (page, fingerprint))| {
        let name = sheet_name(*fingerprint);
        let known = old.get(&name).cloned();
        let sheet = known.unwrap_or_else(|| Arc::new(sheet(index, page)));
        (name, sheet)
    });
    let figures =
        shown.built.script.iter().flat_map(|scripted| script::sheets(scripted, old, fonts));
    pages.chain(figures).collect()
}

pub(super) fn sheet_name(fingerprint: u64) -> String {
    format!("{fingerprint:016x}")
}

/// What the page shows of a build.
pub fn lesson(shown: &Shown<'_>) -> LessonView {
    let built = shown.built;
    let pages = built.document.pages.iter().zip(&shown.looks.pages);
    let page = |(page, fingerprint): (&Page, &u64)| PageView {
        sheet: sheet_name(*fingerprint),
        width: page.drawing.width.0,
        height: page.drawing.height.0,
    };
    LessonView {
        title: built.title.clone(),
        brief: shown.brief.to_owned(),
        trouble: None,
        counts: Counts::of(&built.findings),
        pages: pages.map(page).collect(),
        changed: shown
            .change
            .places
            .iter()
            .filter_map(|place| strip(place, &built.document))
            .collect(),
        findings: findings(built),
        students: student::version(shown),
        script: built.script.as_ref().map(|scripted| script::view(scripted, &built.source)),
    }
}

/// A place that changed, over the page's whole width.
fn strip(place: &Changed, document: &Document) -> Option<Area> {
    let width = document.pages.get(place.page)?.drawing.width;
    let (top, height) = (place.top.0, place.height.0);
    Some(Area { page: place.page, left: 0.0, top, width: width.0, height })
}

fn findings(built: &Built) -> Vec<FindingView> {
    let places = built.source.places();
    let anchors = Anchors::of(&built.document);
    let view = |found: &Finding| {
        let place = places.at(found.span.start);
        FindingView {
            rule: found.rule.name,
            weight: found.weight.name(),
            line: place.line,
            column: place.column,
            message: found.message.clone(),
            notes: found.notes.clone(),
            repairs: found.fixes.iter().map(|fix| fix.says.clone()).collect(),
            place: anchors.place(found.span),
        }
    };
    built.findings.iter().map(view).collect()
}

/// Where stretches of the text stand on the pages, in the order of the text.
struct Anchors<'a> {
    /// Each anchor with its page.
    list: Vec<(usize, &'a Anchor)>,
    /// For each of them the furthest end among those up to it.
    top: Area,
}

impl<'a> Anchors<'a> {
    fn of(document: &'a Document) -> Anchors<'a> {
        let pages = document.pages.iter().enumerate();
        let mut list: Vec<(usize, &Anchor)> = pages
            .flat_map(|(number, page)| page.anchors.iter().map(move |anchor| (number, anchor)))
            .collect();
        list.sort_by_key(|(page, anchor)| (anchor.source.start, anchor.source.end, *page));
        let width = document.pages.first().map_or(0.0, |page| page.drawing.width.0);
        Anchors { list, top: Area { page: 0, left: 0.0, top: 24.0, width, height: 24.0 } }
    }

    /// Where a span stands: with what holds its beginning, else with what stands before it in the
    /// text, else at the top of the first page.
    fn place(&self, span: Span) -> Area {
        let before = self.list.partition_point(|(_, anchor)| anchor.source.start <= span.start);
        let before = self.list.get(..before).unwrap_or_default();
        let Some((page, nearest)) = before.last() else { return self.top };
        // What begins last before the span holds it, or nothing does: stretches don't overlap.
        let same = before.iter().rev().take_while(|(_, anchor)| anchor.source == nearest.source);
        let pages: Vec<_> = same.collect();
        let first = pages.iter().map(|(page, _)| *page).min().unwrap_or(*page);
        let boxes =
            pages.iter().filter(|(page, _)| *page == first).map(|(_, anchor)| extent(anchor));
        boxes.reduce(Extent::and).map_or(self.top, |whole| area(first, whole))
    }
}

fn extent(anchor: &Anchor) -> Extent {
    let size = Point::new(anchor.width, anchor.height);
    Extent { from: anchor.corner, to: anchor.corner + size }
}

fn area(page: usize, extent: Extent) -> Area {
    let (width, height) = (extent.to.x - extent.from.x, extent.to.y - extent.from.y);
    Area { page, left: extent.from.x.0, top: extent.from.y.0, width: width.0, height: height.0 }
}

/// The words of a page.
fn words(page: &Page, document: &Document) -> Words {
    let mut gathered = Gathered::default();
    gathered.items(&page.drawing.items, Point::default(), None, document);
    gathered.into_words(document)
}

/// What is drawn for each part on a page.
#[derive(Default)]
struct Gathered {
    lines: BTreeMap<PartId, Vec<LineView>>,
    figures: BTreeMap<PartId, Extent>,
}

impl Gathered {
    fn items(&mut self, items: &[Item], at: Point, part: Option<PartId>, document: &Document) {
        for item in items {
            match item {
                Item::Text(from, text) => {
                    if let Some(part) = part {
                        let lines = self.lines.entry(part).or_default();
                        add_line(lines, at + *from, text);
                    }
                }
                Item::Group(group) => self.group(group, at, part, document),
                Item::Path(_) | Item::Picture(..) => {}
            }
        }
    }

    fn group(&mut self, group: &Group, at: Point, part: Option<PartId>, document: &Document) {
        let at = at + group.offset;
        match &group.label {
            Label::Artifact => {}
            Label::Part(id) if is_figure(*id, document) => {
                let Some(inner) = Extent::of(&group.items) else { return };
                let whole = Extent { from: inner.from + at, to: inner.to + at };
                self.figures
                    .entry(*id)
                    .and_modify(|known| *known = known.and(whole))
                    .or_insert(whole);
            }
            Label::Part(id) => self.items(&group.items, at, Some(*id), document),
            Label::None | Label::Words { .. } | Label::Layer(_) | Label::Mirrorable => {
                self.items(&group.items, at, part, document);
            }
        }
    }

    /// The parts that have something on the page, and those around them.
    fn into_words(mut self, document: &Document) -> Words {
        let mut shown = BTreeSet::new();
        for id in self.lines.keys().chain(self.figures.keys()) {
            let mut next = Some(*id);
            while let Some(id) = next.filter(|id| shown.insert(*id)) {
                next = document.parts.get(id.0).and_then(|part| part.parent);
            }
        }
        let index: BTreeMap<PartId, usize> =
            shown.iter().enumerate().map(|(index, id)| (*id, index)).collect();
        let parts = shown.iter().filter_map(|id| {
            let part = document.parts.get(id.0)?;
            let (role, level) = role(part.role);
            Some(PartView {
                role,
                level,
                parent: part.parent.and_then(|parent| index.get(&parent).copied()),
                words: part.words.clone(),
                area: self.figures.get(id).map(|extent| {
                    let Area { left, top, width, height, .. } = area(0, *extent);
                    [left, top, width, height]
                }),
                lines: self.lines.remove(id).unwrap_or_default(),
            })
        });
        Words { parts: parts.collect() }
    }
}

fn is_figure(id: PartId, document: &Document) -> bool {
    document.parts.get(id.0).is_some_and(|part| part.role == Role::Figure)
}

fn add_line(lines: &mut Vec<LineView>, at: Point, text: &Text) {
    let Some(first) = text.runs.first() else { return };
    let size = text.runs.iter().fold(Pt::ZERO, |size, run| size.max(run.style.size));
    let serif = matches!(
        first.style.face,
        Face::Serif
            | Face::SerifSemibold
            | Face::SerifBold
            | Face::SerifItalic
            | Face::SerifBoldItalic
    );
    lines.push(LineView {
        left: at.x.0,
        base: at.y.0,
        width: text.width.0,
        size: size.0,
        serif,
        text: text.characters(),
    });
}

/// A role as the page knows it, and a heading's level.
fn role(role: Role) -> (&'static str, Option<u8>) {
    match role {
        Role::Heading(level) => ("heading", Some(level)),
        Role::Section => ("group", None),
        Role::Paragraph => ("paragraph", None),
        Role::List => ("list", None),
        Role::ListItem => ("listitem", None),
        Role::Table => ("table", None),
        Role::TableRow => ("row", None),
        Role::TableHead => ("columnheader", None),
        Role::TableCell => ("cell", None),
        Role::Quote => ("blockquote", None),
        Role::Code => ("code", None),
        Role::Figure => ("figure", None),
        Role::Caption => ("caption", None),
        Role::ListLabel | Role::ListBody | Role::Link | Role::Span => ("words", None),
    }
}
