//! The pictures that the prose names, read from the lesson's folder.

use super::Lesson;
use super::prose::PictureLink;
use super::world::{Refusal, World};
use crate::findings::rules::picture as picture_rule;
use crate::findings::source::Span;
use crate::findings::{Finding, Findings};
use crate::ink::picture::{self, Budget, PictureError, Raster};
use percent_encoding::percent_decode_str;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The pictures named so far; a file that is named twice is read once.
pub(super) struct Pictures<'r> {
    /// In the order in which they stand.
    pub links: Vec<PictureLink>,
    folder: &'r dyn World,
    files: BTreeMap<String, Result<Arc<Raster>, Trouble>>,
    /// What may still be read.
    budget: Budget,
}

/// Why a picture can't be printed.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Trouble {
    Refused(Refusal),
    Unprintable(PictureError),
}

impl<'r> Pictures<'r> {
    pub fn new(folder: &'r dyn World) -> Pictures<'r> {
        Pictures { links: Vec::new(), folder, files: BTreeMap::new(), budget: Budget::default() }
    }

    /// Takes a picture in and returns its index. One that can't be printed is a finding.
    pub fn add(
        &mut self,
        path: String,
        words: String,
        span: Span,
        findings: &mut Findings,
    ) -> usize {
        let (folder, budget) = (self.folder, &mut self.budget);
        let file = self.files.entry(path.clone()).or_insert_with(|| load(folder, &path, budget));
        let picture = match file {
            Ok(picture) => Some(Arc::clone(picture)),
            Err(trouble) => {
                findings.add(not_printed(&path, trouble, span));
                None
            }
        };
        self.links.push(PictureLink { path, words, span, picture });
        self.links.len() - 1
    }
}

impl Lesson<'_> {
    /// Takes a picture in the lesson's folder for the title block. One that can't be printed is a doubt at the place
    /// that names it.
    pub fn take_logo(
        &mut self,
        path: &str,
        place: Span,
        folder: &dyn World,
        findings: &mut Findings,
    ) {
        match load(folder, path, &mut Budget::default()) {
            Ok(picture) => {
                let (path, words) = (path.to_owned(), String::new());
                self.logo = Some(PictureLink { path, words, span: place, picture: Some(picture) });
            }
            Err(trouble) => {
                let (message, advice) = told(path, &trouble);
                let finding = picture_rule::no_logo(place, message);
                findings.add(advice.into_iter().fold(finding, Finding::note));
            }
        }
    }
}

/// Reads a picture's file under its path as written, else with `%20` and the like taken as the
/// characters they stand for.
fn load(folder: &dyn World, path: &str, budget: &mut Budget) -> Result<Arc<Raster>, Trouble> {
    let bytes = match folder.read(path) {
        Err(Refusal::Missing) => folder.read(&unescaped(path)),
        read => read,
    };
    let bytes = bytes.map_err(Trouble::Refused)?;
    picture::read(&bytes, budget).map(Arc::new).map_err(Trouble::Unprintable)
}

/// Why an address is not looked for, where a path is one.
fn address(path: &str) -> Option<String> {
    let (scheme, _) = path.split_once(':').unwrap_or_default();
    let is = |known: &[&str]| known.iter().any(|known| known.eq_ignore_ascii_case(scheme));
    if is(&["http", "https", "ftp"]) || path.starts_with("//") {
        return Some(format!(
            "the picture `{path}` is on the network, and pictures from there aren't fetched"
        ));
    }
    is(&["data"])
        .then(|| "a picture that is written into the lesson (`data:`) isn't read".to_owned())
}

fn not_printed(path: &str, trouble: &Trouble, span: Span) -> Finding {
    let (message, advice) = told(path, trouble);
    advice.into_iter().fold(picture_rule::not_printed(span, message), Finding::note)
}

/// What is wrong with a picture, and what may be done.
fn told(path: &str, trouble: &Trouble) -> (String, Option<&'static str>) {
    let message = match trouble {
        Trouble::Refused(Refusal::Outside) if let Some(told) = address(path) => told,
        Trouble::Refused(refusal) => format!("the picture `{path}` {refusal}"),
        Trouble::Unprintable(PictureError::Kind) => format!("`{path}` {}", PictureError::Kind),
        Trouble::Unprintable(error) => format!("the picture `{path}` {error}"),
    };
    let advice = match trouble {
        Trouble::Refused(Refusal::Outside) => {
            Some("put it in the lesson's folder or below, and write its path from there")
        }
        Trouble::Refused(_) => None,
        Trouble::Unprintable(error) => error.advice(),
    };
    (message, advice)
}

/// A path with its percent signs resolved (RFC 3986, section 2.1), where that gives text.
fn unescaped(path: &str) -> Cow<'_, str> {
    percent_decode_str(path).decode_utf8().unwrap_or(Cow::Borrowed(path))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::findings::Source;
    use crate::lesson::world::MemoryWorld;
    use resvg::tiny_skia::Pixmap;

    const SVG: &[u8] = b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg' \
        width='9' height='9'><rect width='9' height='9'/></svg>";

    fn png() -> Vec<u8> {
        Pixmap::new(4, 4).unwrap().encode_png().unwrap()
    }

    fn jpeg() -> Vec<u8> {
        let mut bytes = Vec::new();
        let encoder = jpeg_encoder::Encoder::new(&mut bytes, 90);
        encoder.encode(&[9; 192], 8, 8, jpeg_encoder::ColorType::Rgb).unwrap();
        bytes
    }

    /// A PNG that says how large it is, and nothing more.
    fn of_size(columns: u32, rows: u32) -> Vec<u8> {
        let mut bytes = Vec::new();
        png::Encoder::new(&mut bytes, columns, rows).write_header().unwrap();
        bytes
    }

    /// What is told of one file, with the notes beneath it.
    fn told(path: &str, bytes: &[u8]) -> (String, Vec<String>) {
        let folder = MemoryWorld::default().with(path, bytes);
        let mut findings = Findings::default();
        let mut pictures = Pictures::new(&folder);
        pictures.add(path.into(), "a hand".into(), Span::new(3, 9), &mut findings);
        assert!(pictures.links[0].picture.is_none());
        let finding = findings.list()[0].clone();
        (finding.message, finding.notes)
    }

    #[test]
    fn files_are_told_by_what_they_hold() {
        let folder = MemoryWorld::default()
            .with("a.png", png())
            .with("b.jpeg", jpeg())
            .with("c d.svg", SVG)
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
                Some(
                    "the picture `https://example.org/a.png` is on the network, and pictures from \
                     there aren't fetched",
                ),
            ),
            (
                "DATA:image/png;base64,AAAA",
                Some("a picture that is written into the lesson (`data:`) isn't read"),
            ),
        ] {
            let mut findings = Findings::default();
            let mut pictures = Pictures::new(&folder);
            pictures.add(path.into(), "a hand".into(), Span::new(3, 9), &mut findings);
            let told = findings.list().first().map(|finding| finding.message.as_str());
            assert_eq!(told, message, "{path}");
            assert_eq!(pictures.links[0].picture.is_none(), message.is_some(), "{path}");
        }
    }

    #[test]
    fn a_picture_that_would_vanish_is_told_with_a_way_out() {
        let (png, jpeg) = (png(), jpeg());
        let again = "copy it again from where it came from, or save it anew";
        let outlines = "turn the words into outlines (paths) where it was drawn";
        let simpler = "simplify it, or save it as PNG";
        let smaller = "save it smaller: a picture across the page needs 2400 dots at most";
        let svg = |inner: &str| {
            format!("<svg xmlns='http://www.w3.org/2000/svg' width='99' height='99'>{inner}</svg>")
        };
        for (path, bytes, message, advice) in [
            (
                "f.webp",
                b"RIFF\0\0\0\0WEBP".to_vec(),
                "is no PNG, JPEG or SVG picture",
                "save it as PNG or JPEG: pictures of other kinds, such as GIF and WebP, aren't printed",
            ),
            (
                "g.png",
                of_size(9000, 8000),
                "has 72.0 million dots; a picture has at most 64 million",
                smaller,
            ),
            (
                "h.png",
                of_size(70_000, 2),
                "has 70000 dots along a side; a picture has at most 65535",
                smaller,
            ),
            ("a.png", png[..png.len() / 2].to_vec(), "breaks off before its end", again),
            ("b.jpg", jpeg[..jpeg.len() / 2].to_vec(), "breaks off before its end", again),
            (
                "c.svg",
                svg("<text>a</text>").into(),
                "has words in it that can't be drawn",
                outlines,
            ),
            (
                "d.svg",
                svg(&("<g>".repeat(2000) + &"</g>".repeat(2000))).into(),
                "nests deeper than 100 groups, or has a part that is made of itself",
                simpler,
            ),
            (
                "e.svg",
                svg(&"<rect width='99' height='99' opacity='.5'/>".repeat(20_000)).into(),
                "is too much to draw: its shapes, layers and effects colour over 120 million dots",
                simpler,
            ),
        ] {
            let picture = if path == "f.webp" { "" } else { "the picture " };
            let expected = format!("{picture}`{path}` {message}");
            let notes = ["its words stand in its place", advice].map(str::to_owned).to_vec();
            assert_eq!(told(path, &bytes), (expected, notes));
        }
    }

    #[test]
    fn one_picture_too_many_is_told() {
        let large = [b"<svg", vec![b' '; 44 << 20].as_slice()].concat();
        let mut folder = MemoryWorld::default().with("c.svg", large.clone());
        folder = folder.with("a.svg", large.clone()).with("b.svg", large);
        let mut findings = Findings::default();
        let mut pictures = Pictures::new(&folder);
        for path in ["a.svg", "b.svg", "c.svg", "c.svg"] {
            pictures.add(path.into(), String::new(), Span::default(), &mut findings);
        }
        let told: Vec<&str> =
            findings.list().iter().map(|finding| finding.message.as_str()).collect();
        let too_many = "the picture `c.svg` is one too many: the pictures of a lesson have at most \
                        240 million dots and 128 MiB together";
        let too_long = |name: &str| format!("the picture `{name}` is an SVG of more than 4 MiB");
        assert_eq!(told, [&too_long("a.svg"), &too_long("b.svg"), too_many, too_many]);
    }

    #[test]
    fn a_file_named_often_is_read_once() {
        let folder = Counting { files: MemoryWorld::default().with("a.svg", SVG), reads: 0.into() };
        let mut pictures = Pictures::new(&folder);
        for _ in 0..1000 {
            pictures.add("a.svg".into(), String::new(), Span::default(), &mut Findings::default());
        }
        assert_eq!(folder.reads.get(), 1);
        let [one, .., other] = pictures.links.as_slice() else { panic!("two links") };
        assert!(Arc::ptr_eq(one.picture.as_ref().unwrap(), other.picture.as_ref().unwrap()));
    }

    struct Counting {
        files: MemoryWorld,
        reads: std::cell::Cell<u32>,
    }

    impl World for Counting {
        fn source(&self, name: &str) -> Result<&Source, Refusal> {
            self.files.source(name)
        }

        fn read(&self, path: &str) -> Result<Vec<u8>, Refusal> {
            self.reads.set(self.reads.get() + 1);
            self.files.read(path)
        }
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
