//! The bookmarks, one inside the other by their levels (ISO 32000-1, 12.3.3).

use super::strings::{count, dictionary, length, name, words};
use crate::ink::document::{Bookmark, Document};
use lopdf::{Object, ObjectId};

/// A bookmark's place among the others; 0 is the list itself.
#[derive(Debug, Clone, Default, PartialEq)]
struct Links {
    parent: usize,
    previous: Option<usize>,
    next: Option<usize>,
    first: Option<usize>,
    last: Option<usize>,
    /// How many bookmarks it holds, at any depth.
    inside: usize,
}

/// Puts the bookmarks into the file; `None` if there are none.
pub(super) fn put(
    document: &Document,
    pages: &[ObjectId],
    file: &mut lopdf::Document,
) -> Option<ObjectId> {
    let bookmarks: Vec<&Bookmark> =
        document.bookmarks.iter().filter(|bookmark| bookmark.page < pages.len()).collect();
    if bookmarks.is_empty() {
        return None;
    }
    let links = links(&bookmarks);
    let ids: Vec<ObjectId> = links.iter().map(|_| file.new_object_id()).collect();
    for (index, (links, &id)) in links.iter().zip(&ids).enumerate() {
        let id_of = |other: usize| ids.get(other).map_or(Object::Null, |&id| Object::Reference(id));
        let mut entry = match index.checked_sub(1).and_then(|index| bookmarks.get(index)) {
            None => dictionary([("Type", name("Outlines"))]),
            Some(bookmark) => dictionary([
                ("Title", words(&bookmark.title)),
                ("Parent", id_of(links.parent)),
                ("Dest", destination(document, bookmark, pages)),
            ]),
        };
        let others = [
            ("Prev", links.previous),
            ("Next", links.next),
            ("First", links.first),
            ("Last", links.last),
        ];
        for (key, other) in others {
            if let Some(other) = other {
                entry.set(key, id_of(other));
            }
        }
        if links.inside > 0 {
            entry.set("Count", count(links.inside));
        }
        file.set_object(id, entry);
    }
    ids.first().copied()
}

/// A place on a page; the width of the view and its size stay.
fn destination(document: &Document, bookmark: &Bookmark, pages: &[ObjectId]) -> Object {
    let page = pages.get(bookmark.page).map_or(Object::Null, |&id| Object::Reference(id));
    let height = document.pages.get(bookmark.page).map(|page| page.drawing.height);
    let top = height.map_or(Object::Null, |height| length(height - bookmark.y));
    Object::Array(vec![page, name("XYZ"), Object::Null, top, Object::Null])
}

/// How the bookmarks hang together: each inside the nearest one before it of a smaller level.
fn links(bookmarks: &[&Bookmark]) -> Vec<Links> {
    let mut all = vec![Links::default()];
    // The bookmarks around the next one, with their levels.
    let mut around: Vec<(usize, u8)> = Vec::new();
    for (index, bookmark) in (1..).zip(bookmarks) {
        while around.pop_if(|(_, level)| *level >= bookmark.level).is_some() {}
        let parent = around.last().map_or(0, |&(parent, _)| parent);
        let mut own = Links { parent, ..Links::default() };
        if let Some(parent) = all.get_mut(parent) {
            own.previous = parent.last.replace(index);
            parent.first.get_or_insert(index);
        }
        if let Some(previous) = own.previous.and_then(|previous| all.get_mut(previous)) {
            previous.next = Some(index);
        }
        all.push(own);
        for outer in std::iter::once(0).chain(around.iter().map(|&(outer, _)| outer)) {
            if let Some(outer) = all.get_mut(outer) {
                outer.inside += 1;
            }
        }
        around.push((index, bookmark.level));
    }
    all
}
