//! What changed from one build to the next: blocks, pages, findings.

use super::blocks;
use super::build::Built;
use fretleaf::findings::source::LineColumn;
use fretleaf::findings::{Finding, Weight};
use fretleaf::ink::{Extent, Item, Label, Page, Pt, fingerprint};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::path::Path;

/// What changed since the last build.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Change {
    /// What of the text and the files changed, in words: a block's name, `prose`, `header`.
    pub things: Vec<String>,
    /// The pages that look different, from 1.
    pub pages: Vec<usize>,
    /// How many pages there were.
    pub pages_before: usize,
    /// Findings that are new, the worst first.
    pub new: Vec<Told>,
    /// Findings that are gone, the worst first.
    pub gone: Vec<Told>,
    /// The places on the pages that changed.
    pub places: Vec<Changed>,
}

/// A finding as a line tells it.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Its weight.
    pub weight: Weight,
    /// Where it begins.
    pub place: LineColumn,
    /// What is wrong.
    pub message: String,
}

/// A place on a page that changed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Changed {
    /// The page, from 0.
    pub page: usize,
    /// How far down it begins.
    pub top: Pt,
    /// Its height; none where something is gone.
    pub height: Pt,
}

/// What a build's pages look like, in short.
#[derive(Debug, Clone, Default)]
pub struct Looks {
    /// A fingerprint a page.
    pub pages: Vec<u64>,
    pieces: Vec<Piece>,
}

/// A line of words or a strip of a figure.
#[derive(Debug, Clone, Copy)]
struct Piece {
    fingerprint: u64,
    place: Changed,
}

impl Looks {
    /// The looks of a build's pages.
    pub fn of(built: &Built) -> Looks {
        let parts = &built.document.parts;
        let pages = &built.document.pages;
        let fingerprint = |page: &Page| fingerprint::of_drawing(&page.drawing, parts);
        let pieces = pages.iter().enumerate().flat_map(|(number, page)| {
            page.drawing.items.iter().filter_map(move |item| {
                let Item::Group(group) = item else { return None };
                let extent = Extent::of(std::slice::from_ref(item))?;
                let place = Changed {
                    page: number,
                    top: extent.from.y,
                    height: extent.to.y - extent.from.y,
                };
                let fingerprint = fingerprint::of_items(&group.items, parts);
                (group.label != Label::Artifact).then_some(Piece { fingerprint, place })
            })
        });
        Looks { pages: pages.iter().map(fingerprint).collect(), pieces: pieces.collect() }
    }

    /// The places that look different from an older build's, wherever they moved to.
    fn changed_since(&self, old: &Looks) -> Vec<Changed> {
        let same = |(one, other): &(&Piece, &Piece)| one.fingerprint == other.fingerprint;
        let front = self.pieces.iter().zip(&old.pieces).take_while(same).count();
        let rest = |pieces: &[Piece]| pieces.get(front..).unwrap_or_default().to_vec();
        let (mut new, mut gone) = (rest(&self.pieces), rest(&old.pieces));
        let back = new.iter().rev().zip(gone.iter().rev()).take_while(same).count();
        new.truncate(new.len() - back);
        gone.truncate(gone.len() - back);
        let mut kept: BTreeMap<u64, usize> = BTreeMap::new();
        gone.iter().for_each(|piece| *kept.entry(piece.fingerprint).or_default() += 1);
        let is_new = |piece: &&Piece| match kept.get_mut(&piece.fingerprint) {
            Some(count) if *count > 0 => {
                *count -= 1;
                false
            }
            _ => true,
        };
        let places: Vec<Changed> = new.iter().filter(is_new).map(|piece| piece.place).collect();
        if places.is_empty() && !gone.is_empty() {
            return self.seam(front).into_iter().collect();
        }
        places
    }

    /// Where something is gone: above the piece that now stands there, or beneath the last.
    fn seam(&self, index: usize) -> Option<Changed> {
        let above = |piece: &Piece| Changed { height: Pt::ZERO, ..piece.place };
        let beneath = |piece: &Piece| {
            let Changed { page, top, height } = piece.place;
            Changed { page, top: top + height, height: Pt::ZERO }
        };
        self.pieces.get(index).map(above).or(self.pieces.last().map(beneath))
    }
}

/// What changed between two builds.
pub fn between(old: (&Built, &Looks), new: (&Built, &Looks)) -> Change {
    let ((old_built, old_looks), (new_built, new_looks)) = (old, new);
    let pages = new_looks.pages.iter().enumerate();
    let pages = pages.filter(|(index, page)| old_looks.pages.get(*index) != Some(page));
    Change {
        things: things(old_built, new_built),
        pages: pages.map(|(index, _)| index + 1).collect(),
        pages_before: old_looks.pages.len(),
        new: missing(new_built, old_built),
        gone: missing(old_built, new_built),
        places: new_looks.changed_since(old_looks),
    }
}

/// What of the text, and of the files that it names, changed.
fn things(old: &Built, new: &Built) -> Vec<String> {
    let mut things = Vec::new();
    let mut say = |changed: bool, what: &str| {
        if changed {
            things.push(what.to_owned());
        }
    };
    say(old.header() != new.header(), "header");
    say(old.prose() != new.prose(), "prose");
    for block in blocks::changed(&old.blocks, &new.blocks) {
        say(true, &block);
    }
    say(old.template != new.template, "template");
    for (path, bytes) in &new.reads.others {
        let told_already = is_template(path) && old.template != new.template;
        if !told_already && old.reads.others.get(path).is_some_and(|known| known != bytes) {
            let name = path.file_name().unwrap_or_default().to_string_lossy();
            say(true, &name);
        }
    }
    things
}

fn is_template(path: &Path) -> bool {
    path.extension().is_some_and(|ending| ending == "toml")
}

/// The findings of one build that the other hasn't, however far they have moved; the worst first.
fn missing(from: &Built, other: &Built) -> Vec<Told> {
    let mut known: BTreeMap<_, usize> = BTreeMap::new();
    for found in &other.findings {
        *known.entry(identity(other, found)).or_default() += 1;
    }
    let places = from.source.places();
    let mut missing = Vec::new();
    for found in &from.findings {
        match known.get_mut(&identity(from, found)) {
            Some(count) if *count > 0 => *count -= 1,
            _ => missing.push(Told {
                weight: found.weight,
                place: places.at(found.span.start),
                message: found.message.clone(),
            }),
        }
    }
    missing.sort_by_key(|told| Reverse(told.weight));
    missing
}

/// What makes two findings the same one, wherever they stand.
fn identity<'a>(built: &'a Built, found: &'a Finding) -> (&'static str, &'a str, &'a str) {
    (found.rule.name, &found.message, built.source.slice(found.span))
}
