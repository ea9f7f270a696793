//! The document: pages, and what their pieces are to a reader who can't see them.

use super::drawing::Drawing;
use super::units::{Point, Pt};
use std::ops::Range;

/// A finished document.
#[derive(Debug, Clone, Default)]
pub struct Document {
    /// Its title.
    pub title: String,
    /// Who wrote it; empty where nobody is named.
    pub author: String,
    /// Its language as a BCP 47 tag, `en`.
    pub language: String,
    /// Its pages.
    pub pages: Vec<Page>,
    /// Its parts in reading order, each after its parent.
    pub parts: Vec<Part>,
    /// Its bookmarks in reading order.
    pub bookmarks: Vec<Bookmark>,
}

/// One page.
#[derive(Debug, Clone, Default)]
pub struct Page {
    /// What is drawn on it, paper size included.
    pub drawing: Drawing,
    /// The places on it that lead somewhere.
    pub links: Vec<Link>,
    /// Where things of the source text stand on it, from top to bottom.
    pub anchors: Vec<Anchor>,
}

/// A place on a page, and what of the source text stands there.
#[derive(Debug, Clone, PartialEq)]
pub struct Anchor {
    /// The bytes of the source text.
    pub source: Range<usize>,
    /// Its top left corner.
    pub corner: Point,
    /// Its width.
    pub width: Pt,
    /// Its height.
    pub height: Pt,
}

/// A place on a page that leads to an address.
#[derive(Debug, Clone, PartialEq)]
pub struct Link {
    /// The part, of the role [`Role::Link`], that it belongs to; a link that is broken over two lines
    /// is one part with two places.
    pub part: PartId,
    /// Its top left corner.
    pub corner: Point,
    /// Its width.
    pub width: Pt,
    /// Its height.
    pub height: Pt,
    /// Where it leads.
    pub address: String,
}

/// The index of a part in [`Document::parts`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct PartId(pub usize);

/// A part of the document: a heading, a paragraph, a table's cell, a figure. It may lie on several
/// pages: what is drawn under its [`Label::Part`](super::Label::Part) anywhere belongs to it.
///
/// A figure's words are read in place of all that is inside it, so its caption is a part beside it.
/// A line of a paragraph that goes on in the next one ends with its space, or two words are read as
/// one. An empty cell of a table is a part too.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is.
    pub role: Role,
    /// The part around it.
    pub parent: Option<PartId>,
    /// What a figure shows, in words; empty for parts whose own words are on the page.
    pub words: String,
}

/// What a part is (the names follow the standard structure types of ISO 32000-1, 14.8.4).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Role {
    Section,
    Heading(u8),
    Paragraph,
    List,
    ListItem,
    ListLabel,
    ListBody,
    Table,
    TableRow,
    TableHead,
    TableCell,
    Quote,
    Code,
    Figure,
    Caption,
    Link,
    Span,
}

/// An entry in the document's list of contents.
#[derive(Debug, Clone, PartialEq)]
pub struct Bookmark {
    /// Its words.
    pub title: String,
    /// Its depth, 1 outermost.
    pub level: u8,
    /// The page that it leads to, from 0.
    pub page: usize,
    /// How far down that page.
    pub y: Pt,
}
