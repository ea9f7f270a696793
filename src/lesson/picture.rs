//! The pictures that the prose names, read from the lesson's folder.

use super::folder::{Folder, Refusal};
use super::prose::PictureLink;
use super::source::Span;
use crate::proof::rules::picture;
use crate::proof::{Finding, Findings};
use std::collections::BTreeMap;
use std::sync::Arc;

/// The pictures named so far; a file that is named twice is read once.
pub(super) struct Pictures<'r> {
    /// In the order in which they stand.
    pub links: Vec<PictureLink>,
    folder: &'r dyn Folder,
    files: BTreeMap<String, Result<Arc<[u8]>, Trouble>>,
}

/// Why a picture can't be printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Trouble {
    Refused(Refusal),
    NoPicture,
}

impl<'r> Pictures<'r> {
    pub fn new(folder: &'r dyn Folder) -> Pictures<'r> {
        Pictures { links: Vec::new(), folder, files: BTreeMap::new() }
    }

    /// Takes a picture in and returns its index. One that can't be printed is a finding.
    pub fn add(
        &mut self,
        path: String,
        words: String,
        span: Span,
        findings: &mut Findings,
    ) -> usize {
        let folder = self.folder;
        let file = self.files.entry(path.clone()).or_insert_with(|| load(folder, &path));
        let bytes = match file {
            Ok(bytes) => Some(Arc::clone(bytes)),
            Err(trouble) => {
                findings.add(not_printed(&path, *trouble, span));
                None
            }
        };
        self.links.push(PictureLink { path, words, span, bytes });
        self.links.len() - 1
    }
}

/// Reads a picture's file under its path as written, else with `%20` and the like taken as the
/// characters they stand for.
fn load(folder: &dyn Folder, path: &str) -> Result<Arc<[u8]>, Trouble> {
    let bytes = match folder.read(path) {
        Err(Refusal::Missing) => folder.read(&unescaped(path)),
        read => read,
    };
    let bytes = bytes.map_err(Trouble::Refused)?;
    if is_picture(&bytes) { Ok(bytes.into()) } else { Err(Trouble::NoPicture) }
}

fn not_printed(path: &str, trouble: Trouble, span: Span) -> Finding {
    let message = match trouble {
        Trouble::Refused(refusal) => format!("the picture `{path}` {refusal}"),
        Trouble::NoPicture => format!("`{path}` is no PNG, JPEG or SVG picture"),
    };
    let finding = Finding::new(&picture::RULE, span, message).note("its words stand in its place");
    match trouble {
        Trouble::Refused(Refusal::Outside) => {
            finding.note("put it in the lesson's folder or below, and write its path from there")
        }
        _ => finding,
    }
}

/// Whether bytes begin as PNG (its specification, section 5.2) or JPEG (ITU-T T.81, annex B) does,
/// or hold an SVG root element.
fn is_picture(bytes: &[u8]) -> bool {
    const PNG: &[u8] = b"\x89PNG\r\n\x1A\n";
    const JPEG: &[u8] = b"\xFF\xD8\xFF";
    const SVG: &[u8] = b"<svg";
    let is_svg = || {
        let text = std::str::from_utf8(bytes).is_ok();
        text && bytes.windows(SVG.len()).any(|window| window == SVG)
    };
    bytes.starts_with(PNG) || bytes.starts_with(JPEG) || is_svg()
}

/// A path with its percent signs resolved (RFC 3986, section 2.1), where that gives text.
fn unescaped(path: &str) -> String {
    let mut bytes = Vec::with_capacity(path.len());
    let mut rest = path.as_bytes();
    while let [first, behind @ ..] = rest {
        let escaped = match rest {
            [b'%', high, low, ..] => hex(*high).zip(hex(*low)),
            _ => None,
        };
        bytes.push(escaped.map_or(*first, |(high, low)| high << 4 | low));
        rest = if escaped.is_some() { rest.get(3..).unwrap_or_default() } else { behind };
    }
    String::from_utf8(bytes).unwrap_or_else(|_| path.to_string())
}

fn hex(digit: u8) -> Option<u8> {
    char::from(digit).to_digit(16).and_then(|value| u8::try_from(value).ok())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::lesson::folder::MemoryFolder;

    #[test]
    fn files_are_told_by_what_they_hold() {
        let folder = MemoryFolder::default()
            .with("a.png", *b"\x89PNG\r\n\x1A\n...")
            .with("b.jpeg", *b"\xFF\xD8\xFF\xE0...")
            .with("c d.svg", *b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg'/>")
            .with("e.png", *b"GIF89a");
        for (path, message) in [
            ("a.png", None),
            ("b.jpeg", None),
            ("c d.svg", None),
            ("c%20d.svg", None),
            ("e.png", Some("`e.png` is no PNG, JPEG or SVG picture")),
            ("f.png", Some("the picture `f.png` is missing")),
            ("%2E%2E/a.png", Some("the picture `%2E%2E/a.png` is outside the lesson's folder")),
            ("../a.png", Some("the picture `../a.png` is outside the lesson's folder")),
            (
                "https://example.org/a.png",
                Some("the picture `https://example.org/a.png` is outside the lesson's folder"),
            ),
        ] {
            let mut findings = Findings::default();
            let mut pictures = Pictures::new(&folder);
            pictures.add(path.into(), "a hand".into(), Span::new(3, 9), &mut findings);
            let told = findings.list().first().map(|finding| finding.message.as_str());
            assert_eq!(told, message, "{path}");
            assert_eq!(pictures.links[0].bytes.is_none(), message.is_some(), "{path}");
        }
    }

    #[test]
    fn a_file_named_twice_is_shared() {
        let folder = MemoryFolder::default().with("a.svg", *b"<svg/>");
        let mut pictures = Pictures::new(&folder);
        for _ in 0..2 {
            pictures.add("a.svg".into(), String::new(), Span::default(), &mut Findings::default());
        }
        let [one, other] = pictures.links.as_slice() else { panic!("two links") };
        assert!(Arc::ptr_eq(one.bytes.as_ref().unwrap(), other.bytes.as_ref().unwrap()));
    }

    #[test]
    fn percent_signs_are_resolved() {
        for (path, plain) in [
            ("a%20b", "a b"),
            ("%C3%BC", "ü"),
            ("100%", "100%"),
            ("%zz%F", "%zz%F"),
            ("%FF", "%FF"),
        ] {
            assert_eq!(unescaped(path), plain);
        }
    }
}
