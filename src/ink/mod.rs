//! Ink: what is drawn, and the painters that put it into files. Knows no music.

pub(crate) mod bidi;
pub(crate) mod cores;
pub mod document;
pub mod drawing;
pub mod face;
pub mod fingerprint;
pub(crate) mod hash;
pub mod markup;
pub mod measure;
pub mod own_font;
pub mod pdf;
pub mod picture;
pub mod png;
pub mod shaping;
mod signs;
pub mod svg;
pub mod text;
pub mod units;

pub use document::{Anchor, Bookmark, Document, Link, Page, Part, PartId, Role};
pub use drawing::{
    Drawing, Extent, Group, Item, Label, Path, Picture, PictureData, Segment, Stroke, group_from,
};
pub use face::{Face, Fonts, Measures};
pub use own_font::{FontTrouble, OwnFont};
pub use shaping::{Glyph, Piece, Way, Word};
pub use text::{Run, Style, Text};
pub use units::{Point, Pt, pt};
