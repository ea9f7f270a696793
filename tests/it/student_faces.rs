//! The faces of the student's page hold every letter that we print ourselves.

#![allow(clippy::unwrap_used)]

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use brotli_decompressor::Decompressor;
use fretleaf::compile;
use fretleaf::help::{pages, reference};
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::web::Job;
use read_fonts::tables::cmap::Cmap;
use read_fonts::{FontData, FontRead};
use std::collections::BTreeSet;
use std::fs;
use std::io::Read as _;
use std::path::Path;

/// Musical words in all signs that chords, notes and numerals are printed with.
const MUSIC: &str = "---\ntitle: Signs\nkey: E minor\n---\n\n`Cmaj7#11`, `CΔ7`, `Bdim7`, `Bm7b5`, `Eb7#9`, `F##`, `Bbb`, \
                     `vii°7`, `iiø7`, `C+`, `C-7`, `bVI`, `#11`, **bold**, *slanted*\n";

/// A lesson's page.
fn page(text: &str) -> String {
    let world = MemoryWorld::default().with_lesson("lesson.md", text);
    let compiled = compile(&world, "lesson.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    compiled.web(&Job { template: &template, fonts: &fonts, draft: true })
}

/// The letters of a page that stand in type.
fn letters(page: &str) -> BTreeSet<char> {
    let body = page.split("<body>").nth(1).unwrap();
    let outside = body.split("<svg").map(|part| part.rsplit("</svg>").next().unwrap());
    outside.flat_map(str::chars).filter(|letter| !letter.is_control()).collect()
}

/// The files of our own words.
fn own_words(folder: &Path) -> String {
    let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    files
        .map(
            |path| if path.is_dir() { own_words(&path) } else { fs::read_to_string(path).unwrap() },
        )
        .collect()
}

/// The faces that stand in a page.
fn faces(page: &str) -> Vec<Vec<u8>> {
    let faces = page.split("url(data:font/woff2;base64,").skip(1);
    faces.map(|rest| BASE64_STANDARD.decode(rest.split(')').next().unwrap()).unwrap()).collect()
}

/// A length as WOFF2 writes it (WOFF 2.0, section 4.1): seven bits a byte, the last without the eighth.
fn length(bytes: &mut impl Iterator<Item = u8>) -> usize {
    let mut length = 0;
    loop {
        let byte = bytes.next().unwrap();
        length = length << 7 | usize::from(byte & 0x7F);
        if byte & 0x80 == 0 {
            return length;
        }
    }
}

/// The table of characters of a font in WOFF2 (sections 4 and 5), none of whose tables is transformed.
fn characters(face: &[u8]) -> Vec<u8> {
    const HEADER: usize = 48;
    const CMAP: u8 = 0;
    const NAMED: u8 = 63;
    assert!(face.starts_with(b"wOF2OTTO"));
    let tables = u16::from_be_bytes([face[12], face[13]]);
    let packed = u32::from_be_bytes([face[20], face[21], face[22], face[23]]);
    let mut directory = face[HEADER..].iter().copied();
    let (mut at, mut place) = (0, None);
    for _ in 0..tables {
        let flags = directory.next().unwrap();
        assert_eq!(flags >> 6, 0);
        if flags == NAMED {
            directory.nth(3).unwrap();
        }
        let length = length(&mut directory);
        if flags == CMAP {
            place = Some(at..at + length);
        }
        at += length;
    }
    let start = face.len() - directory.len();
    let packed = &face[start..start + usize::try_from(packed).unwrap()];
    let mut unpacked = Vec::new();
    Decompressor::new(packed, 4096).read_to_end(&mut unpacked).unwrap();
    unpacked[place.unwrap()].to_vec()
}

/// The letters that a face lacks.
fn lacking(face: &[u8], letters: &BTreeSet<char>) -> String {
    let table = characters(face);
    let table = Cmap::read(FontData::new(&table)).unwrap();
    letters.iter().filter(|letter| table.map_codepoint(**letter).is_none()).collect()
}

#[test]
fn every_letter_that_we_print_ourselves_is_in_every_face() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let demos = fs::read_dir(root.join("lessons")).unwrap().map(|entry| entry.unwrap().path());
    let demos = demos.filter(|path| path.extension().is_some_and(|ending| ending == "md"));
    let mut lessons: Vec<String> = demos.map(|path| fs::read_to_string(path).unwrap()).collect();
    lessons.extend(pages().iter().map(fretleaf::help::Page::lesson));
    lessons.push(reference());
    lessons.push(fs::read_to_string(root.join("templates/starter.md")).unwrap());
    let music = page(MUSIC);
    let mut printed: BTreeSet<char> =
        lessons.iter().flat_map(|text| letters(&page(text))).collect();
    printed.extend(letters(&music));
    // A catalogue writes `⍽` for a space where no line ends.
    let words = own_words(&root.join("src/words")).replace('⍽', "\u{a0}");
    printed.extend(words.chars().filter(|letter| !letter.is_control()));
    printed.extend("♯♭♮𝄪𝄫♩°øΔ–—…‘’“”‚„·×½ÄÖÜäöüß".chars());
    let faces = faces(&music);
    assert_eq!(faces.len(), 3);
    for face in &faces {
        assert_eq!(lacking(face, &printed), "");
    }
    assert_eq!(lacking(&faces[0], &"Aж言".chars().collect()), "ж言");
}

#[test]
fn each_cut_has_the_letters_of_its_list() {
    let list = |name| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("templates/fonts").join(name);
        let list = fs::read_to_string(path).unwrap();
        list.chars().filter(|letter| *letter != '\n').collect::<BTreeSet<char>>()
    };
    let (small, more) = (list("FretleafSerif.txt"), list("FretleafSerif-Latin.txt"));
    assert_eq!(small.intersection(&more).count(), 0);
    let dressed = |words: &str| page(&format!("---\ntitle: T\n---\n\n*{words}* **{words}**\n"));
    for face in faces(&dressed("words")) {
        assert_eq!(lacking(&face, &small), "");
        assert!(!lacking(&face, &more).is_empty());
    }
    for face in faces(&dressed("ř")) {
        assert_eq!(lacking(&face, &(&small | &more)), "");
    }
}
