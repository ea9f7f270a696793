//! The file is not plain text in UTF-8, so it can't be read as a lesson.
//!
//! ## Why it matters
//!
//! A file saved by a word processor, or in an old encoding, shows wrong signs or nothing at all. The
//! finding gives the byte at which reading stopped. Save the file as plain text, UTF-8, and try again.

use crate::findings::{Finding, Rule, Span, Weight};

/// The rule `not-text`.
pub static RULE: Rule =
    Rule { name: "not-text", weight: Weight::Fault, source: include_str!("not_text.rs") };

/// A file that is larger than a lesson can be.
pub fn too_large(size: usize, most: usize) -> Finding {
    let message = format!("this file has {size} bytes; a lesson has at most {most}");
    Finding::new(&RULE, Span::default(), message)
}

/// A file that is not UTF-8: its first byte that is no text, counted from the file's begin.
pub fn not_utf8(place: Span, offset: usize, byte: u8) -> Finding {
    let message = format!("this file is not UTF-8: byte {offset} (0x{byte:02X}) is no text");
    Finding::new(&RULE, place, message).note("save the file as UTF-8")
}
