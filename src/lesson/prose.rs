//! Prose as a tree: CommonMark with pipe tables, its code spans told apart as checked phrases.

use crate::findings::source::{Span, Spanned};
use crate::ink::picture::Raster;
use std::sync::Arc;

/// A block of prose, or the place of a block of music.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    /// A heading of level 1 to 6.
    Heading {
        /// 1 to 6.
        level: u8,
        /// Its words.
        words: Vec<Inline>,
        /// Where it stands.
        span: Span,
    },
    /// A paragraph.
    Paragraph(Vec<Inline>),
    /// A list.
    List {
        /// The first item's number; `None` for bullets.
        start: Option<u64>,
        /// Whether its items stand close together.
        tight: bool,
        /// Its items.
        items: Vec<Vec<Node>>,
    },
    /// A quotation.
    Quote(Vec<Node>),
    /// A table.
    Table {
        /// How each column is set.
        columns: Vec<Alignment>,
        /// The cells of the head.
        head: Vec<Vec<Inline>>,
        /// The rows of cells.
        rows: Vec<Vec<Vec<Inline>>>,
    },
    /// The box before a task, which is the first thing in a list's item: whether it is ticked.
    Task(bool),
    /// A line across the page.
    Rule,
    /// Text that is printed as it stands.
    Code(String),
    /// `[new page]`.
    NewPage,
    /// A block of music, by its index in the lesson's fences.
    Music(usize),
}

/// How a table's column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Alignment {
    Left,
    Centre,
    Right,
}

/// A piece of a paragraph.
#[derive(Debug, Clone, PartialEq)]
pub enum Inline {
    /// Words.
    Text(String),
    /// A space at a line's end in the source.
    Space,
    /// A line that ends here on paper too.
    Break,
    /// Stressed words.
    Emphasis(Vec<Inline>),
    /// Strong words.
    Strong(Vec<Inline>),
    /// Printed as it stands, never music.
    Code(String),
    /// A checked phrase, by its index in the lesson's phrases.
    Phrase(usize),
    /// Words that lead to an address.
    Link {
        /// Where to.
        address: String,
        /// The words.
        words: Vec<Inline>,
    },
    /// A picture, by its index in the lesson's pictures.
    Picture(usize),
}

/// A picture in the prose.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureLink {
    /// The path as written.
    pub path: String,
    /// What stands in its place where it can't be printed.
    pub words: String,
    /// Where it is named.
    pub span: Span,
    /// The picture, once it was found inside the lesson's folder and read; places that name the
    /// same file share it.
    pub picture: Option<Arc<Raster>>,
}

/// A code span that is to be read as music.
pub type PhraseText = Spanned<String>;
