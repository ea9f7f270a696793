//! The PDF painter: a tagged file (PDF 1.7, ISO 32000-1; PDF/UA-1, ISO 14289-1) with its fonts.
//!
//! Page content is written by `content` straight from the drawings; the glyphs that it uses are
//! numbered on the way by `type_in_use`. Their faces are subset and embedded, and what is written is made small, by
//! `packing` on a thread of its own. `structure` makes
//! the tree of parts, `outline` the bookmarks, `assembly` puts everything together, and `file` writes it.
//!
//! A wrapped line must end with its space (set as part of the line's [`Text`](super::Text)), or
//! whoever listens hears two words as one.

mod assembly;
mod content;
mod file;
mod metadata;
mod operators;
mod outline;
mod packing;
mod pictures;
mod strings;
mod structure;
mod type_in_use;

#[cfg(test)]
mod tests;

use super::document::Document;
use super::face::Fonts;
use packing::Effort;
use std::fmt;

/// Why there is no file. None of these follows from what a document says, unless a lesson's own font
/// is broken in a way that only its use shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PdfError {
    /// A face can't be embedded: its name, and the reason.
    Face(String, String),
    /// The file can't be put together; the reason.
    Assembly(String),
}

impl fmt::Display for PdfError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PdfError::Face(name, why) => write!(f, "the face {name} can't be embedded: {why}"),
            PdfError::Assembly(why) => write!(f, "the PDF can't be put together: {why}"),
        }
    }
}

impl std::error::Error for PdfError {}

/// Whether glyphs of a font, by their numbers in it, can be embedded in a file.
pub(super) fn can_embed(bytes: &[u8], name: &str, glyphs: &[u16]) -> bool {
    type_in_use::can_embed(bytes, name, glyphs)
}

/// The document as a PDF file; the same document gives the same bytes.
///
/// # Errors
///
/// Where a face can't be embedded, or the file can't be put together.
pub fn paint(document: &Document, fonts: &Fonts) -> Result<Vec<u8>, PdfError> {
    painted(document, fonts, Effort::KEPT)
}

/// The same, in less time and somewhat larger, for a file that is soon made anew.
///
/// # Errors
///
/// As for [`paint`].
pub fn sketch(document: &Document, fonts: &Fonts) -> Result<Vec<u8>, PdfError> {
    painted(document, fonts, Effort::PASSING)
}

fn painted(document: &Document, fonts: &Fonts, effort: Effort) -> Result<Vec<u8>, PdfError> {
    packing::beside(document.pages.len(), effort, |packing| {
        let mut glyphs = type_in_use::Glyphs::new(fonts);
        let mut pictures = pictures::Pictures::default();
        let pages = document.pages.iter().map(|page| {
            content::write(&page.drawing, &document.parts, &mut glyphs, &mut pictures, packing)
        });
        let pages: Vec<content::Content> = pages.collect();
        assembly::file(document, pages, &glyphs, &pictures, packing)
    })
}
