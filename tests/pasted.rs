//! Old tabs come through `new --from` whole: every fret on its string and in its order, every word kept,
//! every lesson sound enough to press.

#![allow(clippy::unwrap_used)]

use fretleaf::blocks::riff::Riff;
use fretleaf::blocks::riff::model::{Note, Sound};
use fretleaf::blocks::{self, Music};
use fretleaf::lesson::folder::MemoryFolder;
use fretleaf::lesson::{self, Source};
use fretleaf::paste;
use fretleaf::proof::{Findings, Weight};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The tabs, in the order of their names.
fn tabs() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pasted");
    let paths = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut tabs: Vec<PathBuf> = paths.filter(|path| path.extension().unwrap() == "txt").collect();
    tabs.sort();
    assert_eq!(tabs.len(), 20);
    tabs
}

fn lesson_of(tab: &Path) -> String {
    paste::lesson("A tab", &paste::decoded(&fs::read(tab).unwrap()))
}

#[test]
fn every_fret_stands_on_its_string_and_in_its_order() {
    for tab in tabs() {
        let lesson = lesson_of(&tab);
        let expected = fs::read_to_string(tab.with_extension("frets")).unwrap();
        assert_eq!(frets(&lesson), expected, "{}:\n{lesson}", tab.display());
    }
}

/// The frets of all riffs of a lesson, a line a string, as the `.frets` files have them.
fn frets(text: &str) -> String {
    let mut findings = Findings::default();
    let source = Source::new("tab.md", text.as_bytes(), &mut findings);
    let lesson = lesson::read(&source, &MemoryFolder::default(), &mut findings);
    let strings = lesson.header.setting.instrument.tuning.len();
    let elaborated = blocks::elaborate(lesson, &mut findings);
    let mut found: BTreeMap<usize, String> =
        (1..=strings).map(|number| (number, String::new())).collect();
    for block in elaborated.blocks {
        let Some(Music::Riff(riff)) = block.music else { continue };
        for note in notes(&riff) {
            let line = found.get_mut(&(strings - note.string)).unwrap();
            let graces = note.graces.iter().map(|grace| grace.fret);
            let own = match note.sound {
                Sound::Fret(fret) | Sound::Harmonic(fret) => Some(fret),
                Sound::Muted => None,
            };
            graces.chain(own).for_each(|fret| line.push_str(&format!(" {fret}")));
        }
    }
    found.iter().map(|(number, frets)| format!("{number}:{frets}\n")).collect()
}

fn notes(riff: &Riff) -> impl Iterator<Item = &Note> {
    riff.bars.iter().flat_map(|bar| &bar.events).flat_map(|event| &event.notes)
}

#[test]
fn every_word_is_kept() {
    for tab in tabs() {
        let lesson = words(&lesson_of(&tab));
        for (word, times) in words(&fs::read_to_string(&tab).unwrap()) {
            let kept = lesson.get(&word).copied().unwrap_or(0);
            assert!(kept >= times, "{}: `{word}` is lost", tab.display());
        }
    }
}

/// The words of three letters and more, and how often each stands there.
fn words(text: &str) -> BTreeMap<String, usize> {
    let mut words = BTreeMap::new();
    for word in text.split(|c: char| !c.is_alphabetic()).filter(|word| word.chars().count() > 2) {
        *words.entry(word.to_string()).or_insert(0) += 1;
    }
    words
}

#[test]
fn the_lessons_pass_without_a_fault() {
    let mut sound = 0;
    for tab in tabs() {
        let lesson = lesson_of(&tab);
        let checked = fretleaf::check("tab.md", lesson.as_bytes(), &MemoryFolder::default());
        let faults = checked.findings.iter().filter(|finding| finding.weight == Weight::Fault);
        sound += usize::from(faults.count() == 0);
    }
    assert!(sound >= 15, "only {sound} pass");
}

#[test]
fn the_lessons_press_as_drafts() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pasted");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    let run = |arguments: &[&std::ffi::OsStr]| {
        let output = Command::new(env!("CARGO_BIN_EXE_fretleaf"))
            .args(arguments)
            .current_dir(&folder)
            .output()
            .unwrap();
        (output.status.code(), String::from_utf8_lossy(&output.stderr).into_owned())
    };
    for tab in tabs() {
        let made = run(&["new".as_ref(), "--from".as_ref(), tab.as_os_str()]);
        assert_eq!(made, (Some(0), String::new()), "{}", tab.display());
        let lesson = PathBuf::from(tab.file_name().unwrap()).with_extension("md");
        let (status, said) = run(&["press".as_ref(), "--draft".as_ref(), lesson.as_os_str()]);
        assert!(matches!(status, Some(0 | 1)), "{}: {said}", tab.display());
        assert!(folder.join(lesson).with_extension("pdf").exists(), "{}: {said}", tab.display());
    }
}

#[test]
fn a_lesson_from_a_tab_overwrites_nothing_and_takes_the_name_given() {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pasted-names");
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    fs::write(
        folder.join("old.txt"),
        "e|-0---1-|\nB|-1---1-|\nG|-0---2-|\nD|-----3-|\nA|-3-----|\nE|-------|\n",
    )
    .unwrap();
    let run = |arguments: &[&str]| {
        let command = Command::new(env!("CARGO_BIN_EXE_fretleaf"))
            .args(arguments)
            .current_dir(&folder)
            .output();
        command.unwrap().status.code()
    };
    assert_eq!(run(&["new", "--from", "old.txt", "two-chords"]), Some(0));
    assert!(
        fs::read_to_string(folder.join("two-chords.md")).unwrap().contains("title: Two chords")
    );
    assert_eq!(run(&["new", "--from", "old.txt", "two-chords"]), Some(2));
    assert_eq!(run(&["new", "--from", "missing.txt"]), Some(2));
    assert_eq!(run(&["new"]), Some(2));
}
