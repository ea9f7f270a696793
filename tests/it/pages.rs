//! Every page of every demo lesson against a reference picture, within a tolerance.
//!
//! `UPDATE_PAGES=1 cargo test --test it pages::` makes the references anew; look at each before it is
//! committed.

#![allow(clippy::unwrap_used, clippy::expect_used)]

use fretleaf::compile;
use fretleaf::findings::Source;
use fretleaf::findings::Weight;
use fretleaf::ink::{Document, Fonts, png, svg};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::page::Job;
use resvg::tiny_skia::Pixmap;
use std::fs;
use std::path::{Path, PathBuf};

/// Small pictures: enough to see that a line, a digit or a page break has moved.
const DOTS_PER_INCH: f32 = 50.0;

/// How far a dot's brightness may be from its reference's before it counts as different, of 255.
const TOLERANCE: u8 = 40;

/// How many dots in a thousand may be different: none moves by more than rounding.
const DIFFERENT: f64 = 1.0;

#[test]
fn demo_lessons_look_as_they_did() {
    let fonts = Fonts::new();
    let references = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pages");
    let update = std::env::var_os("UPDATE_PAGES").is_some();
    if update {
        let _ = fs::remove_dir_all(&references);
        fs::create_dir_all(&references).unwrap();
    }
    let mut expected = Vec::new();
    for lesson in demos() {
        let name = lesson.file_stem().unwrap().to_string_lossy().into_owned();
        let document = press(&lesson, &fonts);
        for index in 0..document.pages.len() {
            let file = format!("{name}-{}.png", index + 1);
            let page = svg::page(&document, index, &fonts);
            let picture = png::paint(&page, DOTS_PER_INCH, png::Ground::White).unwrap();
            if update {
                fs::write(references.join(&file), &picture).unwrap();
            } else {
                compare(&file, &picture, &references);
            }
            expected.push(file);
        }
    }
    let mut kept: Vec<String> = fs::read_dir(&references)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    kept.sort();
    expected.sort();
    assert_eq!(kept, expected, "a reference picture without a page, or a page without one");
}

fn demos() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|ending| ending == "md"));
    paths.sort();
    paths
}

fn press(path: &Path, fonts: &Fonts) -> Document {
    let name = path.to_string_lossy();
    let source = Source::new(name.clone(), &fs::read(path).unwrap());
    let world = FolderWorld::new(path.parent().unwrap()).with_lesson(source);
    let compiled = compile(&world, &name).unwrap();
    let worse: Vec<&str> = compiled
        .findings
        .iter()
        .filter(|found| found.weight > Weight::Hint)
        .map(|found| found.message.as_str())
        .collect();
    assert!(worse.is_empty(), "{}: {worse:?}", path.display());
    let template = compiled.template().unwrap();
    compiled.press(&Job { template: &template, paper: Paper::A4, fonts, draft: false })
}

fn compare(file: &str, picture: &[u8], references: &Path) {
    let reference = fs::read(references.join(file))
        .unwrap_or_else(|_| panic!("{file} has no reference picture; make it with UPDATE_PAGES=1"));
    let (now, then) =
        (Pixmap::decode_png(picture).unwrap(), Pixmap::decode_png(&reference).unwrap());
    assert_eq!((now.width(), now.height()), (then.width(), then.height()), "{file}: another size");
    let pairs = now.pixels().iter().zip(then.pixels());
    let different = pairs.filter(|(a, b)| a.green().abs_diff(b.green()) > TOLERANCE).count();
    let share = different as f64 * 1000.0 / f64::from(now.width() * now.height());
    if share > DIFFERENT {
        let seen = Path::new(env!("CARGO_TARGET_TMPDIR")).join(file);
        fs::write(&seen, picture).unwrap();
        panic!("{file} differs in {share:.1} of 1000 dots; see {}", seen.display());
    }
}
