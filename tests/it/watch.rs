//! `watch` as a user runs it: every way of saving, whatever a lesson reads, and what is said of it.

#![cfg(unix)]
#![allow(clippy::unwrap_used)]

use crate::support::watching::{Holdings, Place, Running, WAYS, is_whole, save, says, until};
use std::fs::{self, File};
use std::io::Write;
use std::os::unix::fs::symlink;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant};

fn lesson(title: &str) -> String {
    format!(
        "---\ntitle: {title}\nkey: A major\n---\n\n## Verse\n\n~~~ shape home\nAadd9  x 0 2 4 2 0\n~~~\n\nThe tune is called {title}.\n"
    )
}

const SQUARE: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><rect width='9' height='9'/></svg>";

#[test]
fn no_way_of_saving_is_missed_and_no_reader_sees_a_part() {
    let place = Place::new("watch-ways");
    place.write("a.md", lesson("Save 0"));
    let running = Running::start(&place, &["--script", "a.md"]);
    let (pdf, over) = (place.path("a.pdf"), Arc::new(AtomicBool::new(false)));
    let reader = thread::spawn({
        let (pdfs, over) = ([pdf.clone(), place.path("a-script.pdf")], Arc::clone(&over));
        move || {
            let mut reads = 0;
            while !over.load(Ordering::Relaxed) {
                for pdf in &pdfs {
                    assert!(is_whole(&fs::read(pdf).unwrap()), "a reader saw a part");
                    reads += 1;
                }
                thread::sleep(Duration::from_micros(200));
            }
            reads
        }
    });
    for (number, way) in (1..=50).flat_map(|round| WAYS.map(|way| (round, way))) {
        let title = format!("Save {number} {way:?}");
        save(&place.path("a.md"), &lesson(&title), way);
        until(&title, || says(&fs::read(&pdf).unwrap(), &title));
        running.line("page 1 of 1");
    }
    over.store(true, Ordering::Relaxed);
    assert!(reader.join().unwrap() > 200);
    assert_eq!(running.interrupt(), Some(0));
    let script = ["a-chapters.txt", "a-cues.csv", "a-script.pdf", "a-script.txt", "a-shots.txt"];
    let others = ["a.md", "a.md~", "a.pdf", "a.vtt"];
    assert_eq!(place.files(), [&script[..], &others].concat(), "nothing half-written is left");
}

#[test]
fn the_line_says_what_changed_and_what_is_wrong() {
    let place = Place::new("watch-line");
    let sound = lesson("Small");
    place.write("a.md", &sound);
    let running = Running::begin(&place, &["a.md"]);
    let line = running.line("a.md: ");
    assert!(line.starts_with("a.md: 1 page · "), "{line}");
    assert!(line.ends_with(" ms"), "{line}");
    for (from, to, begins, holds) in [
        ("2 4 2 0", "2 4 2 0    by . . 1 3 2 .", "a.md: home changed · page 1 of 1", ""),
        ("key: A major", "key: E major", "a.md: header and home changed", ""),
        ("## Verse", "## Song", "a.md: prose changed · page 1 of 1", ""),
        (
            "The tune",
            "`C is the third of A`. The tune",
            "a.md: prose changed",
            " · new fault at 12:",
        ),
        ("`C is the third of A`. ", "", "a.md: prose changed", " · gone: fault at 12:"),
        ("~~~ shape home", "~~~ shape away", "a.md: away (new) and home (gone) changed", ""),
    ] {
        let text = fs::read_to_string(place.path("a.md")).unwrap();
        assert!(text.contains(from), "{from}");
        place.write("a.md", text.replacen(from, to, 1));
        let line = running.line("a.md: ");
        assert!(line.starts_with(begins) && line.contains(holds), "{line}");
    }
    let text = fs::read_to_string(place.path("a.md")).unwrap();
    place.write("a.md", &text);
    assert_eq!(
        running.lines_within(Duration::from_millis(200)),
        [""; 0],
        "the same again is no change"
    );
    fs::remove_file(place.path("a.pdf")).unwrap();
    place.write("a.md", &text);
    running.line("as it was");
    assert!(
        is_whole(&fs::read(place.path("a.pdf")).unwrap()),
        "a handout that was removed is printed"
    );
}

/// A lesson with three sections in which something is said, the words of each given.
fn spoken(verse: &str, bridge: &str, coda: &str) -> String {
    let said = |words: &str| match words {
        "" => String::new(),
        words => format!("~~~ say\n{words}\n~~~\n"),
    };
    let text = "---\ntitle: Spoken\n---\n~~~ changes verse\n| A |\n~~~\n\n## Verse\n";
    format!("{text}{}\n## Bridge\n{}\n## Coda\n{}", said(verse), said(bridge), said(coda))
}

#[test]
fn blocks_without_names_are_told_by_their_sections() {
    let place = Place::new("watch-sections");
    place.write("a.md", spoken("One.", "Two.", "Three."));
    let running = Running::start(&place, &["--script", "a.md"]);
    for (saved, told) in [
        (("One.", "", "Three."), "Bridge, what is said (gone) changed"),
        (("One.", "", "Four."), "Coda, what is said changed"),
        (("One.", "Two.", "Four."), "Bridge, what is said (new) changed"),
        (("One.", "Two.\n~~~\n~~~ say\nMore.", "Four."), "Bridge, what is said (2) (new) changed"),
        (("One.", "Two.\n~~~\n~~~ say\nLess.", "Four."), "Bridge, what is said (2) changed"),
    ] {
        let (verse, bridge, coda) = saved;
        place.write("a.md", spoken(verse, bridge, coda));
        let line = running.line("a.md: ");
        assert!(line.starts_with(&format!("a.md: {told} · no page of 1 · ")), "{line}");
    }
    place.write(
        "a.md",
        spoken("One.", "Two.\n~~~\n~~~ say\nLess.", "Four.").replace("| A |", "| D |"),
    );
    assert!(running.line("a.md: ").starts_with("a.md: verse changed · page 1 of 1 · "));
}

#[test]
fn a_fault_in_what_is_said_leaves_the_handout_alone_and_a_hint_tells_its_place() {
    let place = Place::new("watch-said");
    place.write("a.md", spoken("One.", "Two.", "Three."));
    let running = Running::start(&place, &["--script", "a.md"]);
    let handout = fs::read(place.path("a.pdf")).unwrap();
    place.write("a.md", spoken("One [show verse] more.", "Two.", "Three."));
    let line = running.line("a.md: ");
    let told = " · no page of 1 · new fault at 10:5: the cue `[show verse]` stands among words";
    assert!(line.contains(told), "{line}");
    assert_eq!(fs::read(place.path("a.pdf")).unwrap(), handout);
    let script = fs::read_to_string(place.path("a-script.txt")).unwrap();
    assert!(script.contains("(!) One [show verse] more."), "{script}");
    place.write("a.md", spoken("One [sic] more.", "Two.", "Three."));
    let line = running.line("a.md: ");
    assert!(line.contains(" · new hint at 10:5: `[sic]` stands among words"), "{line}");
}

#[test]
fn the_script_is_written_on_every_save_and_its_time_told() {
    let place = Place::new("watch-script");
    let say = |words: usize| {
        let said = "word ".repeat(words);
        lesson("Said") + &format!("\n~~~ say\n[show home]\n{said}\n~~~\n")
    };
    place.write("a.md", say(50));
    let running = Running::begin(&place, &["--script", "a.md"]);
    assert!(running.line("a.md: ").contains(" · script 0:20 · "), "50 words at 150 a minute");
    for (words, clause) in [(100, "script 0:40, 0:20 longer"), (75, "script 0:30, 0:10 shorter")] {
        place.write("a.md", say(words));
        let line = running.line("a.md: ");
        assert!(line.starts_with("a.md: Verse, what is said changed · no page of 1 · "), "{line}");
        assert!(line.contains(clause), "{line}");
        let text = fs::read_to_string(place.path("a-script.txt")).unwrap();
        assert_eq!(text.matches("word").count(), words + 1, "and “words a minute”: {text}");
        assert!(is_whole(&fs::read(place.path("a-script.pdf")).unwrap()));
        assert!(fs::read_to_string(place.path("a.vtt")).unwrap().starts_with("WEBVTT\n"));
        assert!(
            fs::read_to_string(place.path("a-chapters.txt")).unwrap().starts_with("0:00 Verse\n")
        );
    }
    place.write("a.md", say(75) + "\n## Coda\n\n~~~ say\nOne word more.\n~~~\n");
    let line = running.line("a.md: ");
    let joined = " · script 0:31, 0:01 longer (Coda 0:01 new) · under 10 s and so joined in the chapters: “Coda” to “Verse” · ";
    assert!(line.contains(joined), "{line}");
    place.write("a.md", say(75));
    running.line("a.md: ");
    place.write("a.md", say(75).replace("[show home]", "[show hone]"));
    let line = running.line("new fault");
    assert!(line.contains("no figure is called `hone`"), "{line}");
    assert!(fs::read_to_string(place.path("a-script.txt")).unwrap().contains("(!) [show hone]"));
    fs::remove_file(place.path("a.vtt")).unwrap();
    place.write("a.md", say(75));
    running.line("gone: fault");
    assert!(place.path("a.vtt").exists(), "a file that was removed is written again");
}

#[test]
fn the_line_says_which_sections_moved_and_how_far_the_script_is_from_its_length() {
    let place = Place::new("watch-length");
    let say = |sections: &[(&str, usize)]| {
        let section = |(title, words): &(&str, usize)| {
            format!("\n## {title}\n\n~~~ say\n{}\n~~~\n", "word ".repeat(*words))
        };
        let sections: String = sections.iter().map(section).collect();
        lesson("Said").replacen("---\n", "---\nlength: 1:00\n", 1) + &sections
    };
    place.write("a.md", say(&[("Hook", 75), ("Bridge", 50)]));
    let running = Running::begin(&place, &["--script", "a.md"]);
    assert!(running.line("a.md: ").contains(" · script 0:50, 0:10 under · "));
    for (sections, clause) in [
        (
            &[("Hook", 75), ("Bridge", 80)][..],
            "script 1:02, 0:12 longer (Bridge 0:12 longer), 0:02 over",
        ),
        (
            &[("Hook", 70), ("Bridge", 80)],
            "script 1:00, 0:02 shorter (Hook 0:02 shorter), to the second",
        ),
        (
            &[("Hook", 75), ("Coda", 25), ("Bridge", 75)],
            "script 1:10, 0:10 longer (Coda 0:10 new, Hook 0:02 longer, Bridge 0:02 shorter), 0:10 over",
        ),
        (
            &[("Hook", 75), ("Bridge", 75)],
            "script 1:00, 0:10 shorter (Coda 0:10 gone), to the second",
        ),
    ] {
        place.write("a.md", say(sections));
        let line = running.line("a.md: ");
        assert!(line.contains(&format!(" · {clause} · ")), "{line}");
    }
}

#[test]
fn no_script_takes_anothers_handout() {
    let place = Place::new("watch-script-clash");
    place.write("a.md", lesson("One"));
    place.write("a-script.md", lesson("Two"));
    for (arguments, status) in [(&["--once", "."][..], 0), (&["--once", "--script", "."], 2)] {
        let ended = place.command(&["watch"]).args(arguments).output().unwrap();
        assert_eq!(ended.status.code(), Some(status), "{arguments:?}");
    }
}

#[test]
fn what_cannot_be_printed_leaves_the_last_pages() {
    let place = Place::new("watch-trouble");
    place.write("a.md", lesson("Stays"));
    let running = Running::start(&place, &["a.md"]);
    let stays = || assert!(says(&fs::read(place.path("a.pdf")).unwrap(), "Stays"));
    fs::remove_file(place.path("a.md")).unwrap();
    assert_eq!(running.line("gone"), "a.md: the file is gone · the last pages stay");
    stays();
    place.write("a.md", "");
    running.line("empty or still being saved · the last pages stay");
    stays();
    place.write("a.md", b"---\ntitle: \xff\n---\n");
    running.line("not UTF-8");
    stays();
    File::create(place.path("a.md")).unwrap().set_len((16 << 20) + 1).unwrap();
    running.line("a lesson has at most");
    stays();
    place.write("a.md", lesson("Back"));
    running.line("a.md: header and prose changed");
    assert!(says(&fs::read(place.path("a.pdf")).unwrap(), "Back"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_slow_save_is_printed_once_it_is_over() {
    let place = Place::new("watch-slow");
    place.write("a.md", lesson("Slow 0"));
    let running = Running::start(&place, &["a.md"]);
    let text = lesson("Slow 1");
    let mut file = File::create(place.path("a.md")).unwrap();
    for piece in text.as_bytes().chunks(text.len() / 3) {
        file.write_all(piece).unwrap();
        thread::sleep(Duration::from_millis(60));
    }
    assert_eq!(running.lines_within(Duration::ZERO), [""; 0], "no build in mid-save");
    drop(file);
    running.line("header and prose changed");
}

#[test]
fn pictures_and_templates_are_watched_too() {
    let place = Place::new("watch-reads");
    let text = lesson("Reads").replace("key:", "template: looks/mine.toml\nkey:");
    place.write("a.md", text + "\n![a square](pictures/square.svg)\n");
    place.write("looks/mine.toml", "based-on = \"handout\"\n");
    place.write("pictures/other.svg", SQUARE);
    let running = Running::begin(&place, &["a.md"]);
    assert!(running.line("a.md: ").contains("`pictures/square.svg` is missing"));
    place.write("pictures/square.svg", SQUARE);
    let line = running.line("square.svg changed");
    assert!(line.contains("gone: doubt"), "{line}");
    place.write("pictures/square.svg", SQUARE.replace("width='9'", "width='5'"));
    running.line("square.svg changed · page 1 of 1");
    place.write("looks/mine.toml", "based-on = \"handout\"\n[body]\nsize = 12.0\n");
    running.line("template changed · page 1 of 1");
    place.write("looks/mine.toml", "based-on = \"nothing\"\n");
    running.line("the last pages stay");
    place.write("looks/mine.toml", "based-on = \"handout\"\n");
    running.line("template changed");
    place.write("pictures/other.svg", "<svg/>");
    assert_eq!(
        running.lines_within(Duration::from_millis(150)),
        [""; 0],
        "others are nothing to it"
    );
}

#[test]
fn a_font_is_watched_too() {
    let place = Place::new("watch-font");
    let font = |name: &str| fs::read(format!("{}/tests/fonts/{name}", env!("CARGO_MANIFEST_DIR")));
    place.write("a.md", lesson("川").replace("key:", "font: own.ttf\nkey:"));
    let running = Running::begin(&place, &["a.md"]);
    let line = running.line("a.md: ");
    assert!(line.contains("the font `own.ttf` is missing"), "{line}");
    place.write("own.ttf", font("han.ttf").unwrap());
    let line = running.line("own.ttf changed · page 1 of 1");
    assert!(line.contains("gone: fault"), "{line}");
    // The same letters with the same numbers and widths, in another font.
    let before = fs::read(place.path("a.pdf")).unwrap();
    place.write("own.ttf", font("han.otf").unwrap());
    running.line("own.ttf changed · page 1 of 1");
    assert_ne!(fs::read(place.path("a.pdf")).unwrap(), before);
    place.write("own.ttf", "no font");
    let line = running.line("new fault");
    assert!(line.contains("the font `own.ttf` is no TTF or OTF font"), "{line}");
}

#[test]
fn a_folder_means_its_lessons_and_those_that_come() {
    let place = Place::new("watch-folder");
    place.write("tunes/b.md", lesson("B"));
    place.write("tunes/a.md", lesson("A"));
    place.write("tunes/notes.md", "# Notes\n\nNo header.\n");
    let running = Running::begin(&place, &["tunes"]);
    assert!(running.line("").starts_with("tunes/a.md: 1 page"));
    assert!(running.line("").starts_with("tunes/b.md: 1 page"));
    place.write("tunes/c.md", lesson("C"));
    running.line("tunes/c.md: 1 page");
    place.write("tunes/notes.md", "# Notes\n\nStill none.\n");
    place.write("tunes/b.md", lesson("B again"));
    assert!(running.line("").starts_with("tunes/b.md: header and prose changed"));
    let pdfs: Vec<bool> = ["a", "b", "c", "notes"]
        .map(|name| place.path(&format!("tunes/{name}.pdf")).exists())
        .into();
    assert_eq!(pdfs, [true, true, true, false]);
}

#[test]
fn a_lesson_that_would_write_anothers_handout_is_not_taken_in() {
    let place = Place::new("watch-clash");
    place.write("one/a.md", lesson("One"));
    place.write("two/b.md", lesson("Two"));
    let running = Running::begin(&place, &["--out", "out", "one", "two"]);
    running.line("two/b.md: 1 page");
    place.write("two/a.md", lesson("Other"));
    let line = running.line("not watched");
    assert_eq!(line, "two/a.md: not watched, since another lesson writes `out/a.pdf`");
    assert!(says(&fs::read(place.path("out/a.pdf")).unwrap(), "One"));
    assert_eq!(
        place.command(&["watch", "--once", "--out", "out", "one", "two"]).status().unwrap().code(),
        Some(2)
    );
}

#[test]
fn links_and_folders_that_are_replaced_are_followed() {
    let place = Place::new("watch-links");
    place.write("real/a.md", lesson("One"));
    fs::create_dir(place.path("links")).unwrap();
    symlink("../real/a.md", place.path("links/a.md")).unwrap();
    let running = Running::start(&place, &["links/a.md"]);
    place.write("real/a.md", lesson("Two"));
    running.line("header and prose changed");
    fs::rename(place.path("real"), place.path("old")).unwrap();
    place.write("real/a.md", lesson("Three"));
    running.line("header and prose changed");
    place.write("real/a.md", lesson("Four"));
    running.line("header and prose changed");
    assert!(says(&fs::read(place.path("links/a.pdf")).unwrap(), "Four"));
}

#[test]
fn an_output_that_cannot_be_written_is_written_later() {
    let place = Place::new("watch-held");
    place.write("a.md", lesson("Held"));
    place.write("a.pdf/in-the-way", "");
    let running = Running::begin(&place, &["a.md"]);
    let line = running.line("it is written as soon as it can be");
    assert!(line.contains("can't write `a.pdf`"), "{line}");
    fs::remove_dir_all(place.path("a.pdf")).unwrap();
    running.line("`a.pdf` is written now");
    assert!(says(&fs::read(place.path("a.pdf")).unwrap(), "Held"));
}

#[test]
fn once_builds_and_leaves_with_a_status() {
    let place = Place::new("watch-once");
    place.write("sound.md", lesson("Sound"));
    place.write("faulty.md", lesson("Faulty") + "\n`C is the third of A`.\n");
    place.write("broken.md", b"\xff");
    for (arguments, status) in [
        (&["--once", "sound.md"][..], 0),
        (&["--once", "--out", "out", "sound.md", "faulty.md"], 1),
        (&["--once", "broken.md", "sound.md"], 2),
        (&["--once", "missing.md"], 2),
        (&["--once", "-"], 2),
        (&["--once", "--preview", "sound.md"], 2),
        (&["--port", "20123", "sound.md"], 2),
        (&["--once"], 2),
    ] {
        let ended = place.command(&["watch"]).args(arguments).output().unwrap();
        let said = String::from_utf8_lossy(&ended.stderr);
        assert_eq!(ended.status.code(), Some(status), "{arguments:?}: {said}");
    }
    assert!(place.path("out/faulty.pdf").exists(), "a lesson with faults is printed as a draft");
    assert!(place.path("sound.pdf").exists());
}

#[test]
fn the_dependency_file_names_what_each_handout_is_made_from() {
    let place = Place::new("watch-deps");
    let pictures = "\n![a square](the%20square.svg) ![not there](none.svg)\n";
    place.write("a.md", lesson("A").replace("key:", "template: mine.toml\nkey:") + pictures);
    place.write("b.md", lesson("B"));
    place.write("mine.toml", "based-on = \"handout\"\n");
    place.write("the square.svg", SQUARE);
    let arguments = ["--once", "--deps", "made.d", "--out", "out", "a.md", "b.md"];
    assert!(place.command(&["watch"]).args(arguments).status().unwrap().success());
    assert_eq!(
        fs::read_to_string(place.path("made.d")).unwrap(),
        "out/a.pdf: a.md mine.toml the\\ square.svg\nout/b.pdf: b.md\n\
         \na.md:\n\nb.md:\n\nmine.toml:\n\nthe\\ square.svg:\n"
    );
    let arguments = ["--once", "--script", "--deps", "all.d", "b.md"];
    assert!(place.command(&["watch"]).args(arguments).status().unwrap().success());
    assert_eq!(
        fs::read_to_string(place.path("all.d")).unwrap(),
        "b.pdf: b.md\nb-script.pdf: b.md\nb-script.txt: b.md\nb-chapters.txt: b.md\n\
         b.vtt: b.md\nb-cues.csv: b.md\nb-shots.txt: b.md\n\nb.md:\n"
    );
    place.write("b.md", lesson("B") + "\n~~~ say\n[show home]\nThis is home.\n~~~\n");
    let arguments = ["--once", "--script", "--figures", "--at", "32x18", "--deps", "all.d", "b.md"];
    assert!(place.command(&["watch"]).args(arguments).status().unwrap().success());
    let all = fs::read_to_string(place.path("all.d")).unwrap();
    for file in ["home.svg", "home-32x18.png", "figures.txt"] {
        assert!(all.contains(&format!("\nb-figures/{file}: b.md\n")), "{all}");
    }
}

/// The names in a folder with when each was written.
fn written(folder: &std::path::Path) -> Vec<(String, std::time::SystemTime)> {
    let entries = fs::read_dir(folder).unwrap().map(Result::unwrap);
    let mut files: Vec<_> = entries
        .map(|entry| {
            let written = entry.metadata().unwrap().modified().unwrap();
            (entry.file_name().to_string_lossy().into_owned(), written)
        })
        .collect();
    files.sort();
    files
}

#[test]
fn pictures_are_kept_true_on_every_save_and_only_what_changed_is_written() {
    let place = Place::new("watch-figures");
    let text = |shape: &str, say: &str| {
        format!(
            "---\ntitle: T\n---\n\n~~~ shape home\nA {shape}\n~~~\n\n~~~ shape away\nD xx0232\n~~~\n\n~~~ say\n{say}\n~~~\n"
        )
    };
    let (one, both) = ("[show home]\nThis.", "[show away]\nThat.\n[show home]\nThis.");
    place.write("a.md", text("x02220", one));
    let running = Running::start(&place, &["--script", "--figures", "--at", "64x36", "a.md"]);
    let folder = place.path("a-figures");
    let names = |files: &[(String, std::time::SystemTime)]| {
        files.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>()
    };
    let first = written(&folder);
    assert_eq!(names(&first), ["figures.txt", "home-64x36.png", "home.svg"]);
    // One more cue: what is there isn't written again.
    place.write("a.md", text("x02220", both));
    running.line("a.md: ");
    let second = written(&folder);
    let all = ["away-64x36.png", "away.svg", "figures.txt", "home-64x36.png", "home.svg"];
    assert_eq!(names(&second), all);
    assert_eq!(second[3..], first[1..], "home is as it was");
    // Another shape: its picture alone is painted.
    place.write("a.md", text("x 0 2 2 5 0", both));
    running.line("a.md: ");
    let third = written(&folder);
    assert_eq!(third[..3], second[..3]);
    assert!(third[3].1 > second[3].1 && third[4].1 > second[4].1);
    // A fault hides a picture: it stays. A cue that is gone takes its picture along.
    place.write("a.md", text("x02220", "[show home]\nThis.\n[show awya]\nThat."));
    running.line("a.md: ");
    assert_eq!(names(&written(&folder)), all);
    place.write("a.md", text("x02220", one));
    running.line("a.md: ");
    assert_eq!(names(&written(&folder)), names(&first));
    // A picture that is taken away is there again with the next save.
    fs::remove_file(folder.join("home.svg")).unwrap();
    place.write("a.md", text("x02220", &format!("{one} And more.")));
    running.line("a.md: ");
    assert_eq!(names(&written(&folder)), names(&first));
    assert_eq!(running.interrupt(), Some(0));
}

#[test]
fn no_picture_takes_the_place_of_what_a_lesson_reads() {
    let place = Place::new("watch-figures-clash");
    place.write("a-figures/home.svg", SQUARE);
    place.write(
        "a.md",
        lesson("A") + "\n![x](a-figures/home.svg)\n\n~~~ say\n[show home]\nHome.\n~~~\n",
    );
    let arguments = ["--once", "--script", "--figures", "--at", "32x18", "a.md"];
    let ended = place.command(&["watch"]).args(arguments).output().unwrap();
    let said = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert!(said.contains("an output would replace `a-figures/home.svg`"), "{said}");
    assert_eq!(fs::read_to_string(place.path("a-figures/home.svg")).unwrap(), SQUARE);
}

#[test]
fn a_name_that_make_would_obey_is_refused() {
    let place = Place::new("watch-deps-names");
    let name = "hand%.png;touch${IFS}X";
    place.write("a.md", lesson("A") + "\n![x](<hand%25.png;touch${IFS}X>)\n");
    place.write(name, SQUARE);
    let ended = place.command(&["watch", "--once", "--deps", "made.d", "a.md"]).output().unwrap();
    let said = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert!(said.contains(&format!("make would misread the name `{name}`")), "{said}");
    assert!(!place.path("made.d").exists());
}

#[test]
fn a_pipe_or_an_endless_file_that_a_lesson_names_holds_nothing_up() {
    let place = Place::new("watch-pipe");
    place.write("a.md", lesson("A") + "\n![x](pipe.png) ![y](large.png)\n");
    File::create(place.path("large.png")).unwrap().set_len(1 << 40).unwrap();
    let made = std::process::Command::new("mkfifo").arg(place.path("pipe.png")).status().unwrap();
    assert!(made.success());
    let running = Running::begin(&place, &["a.md"]);
    let line = running.line("a.md: ");
    assert!(line.contains("2 doubts"), "{line}");
    place.write("a.md", lesson("B"));
    running.line("prose changed");
}

#[test]
fn what_another_lesson_reads_is_known_before_the_first_is_written() {
    let place = Place::new("watch-clash-others");
    place.write("a.md", lesson("A"));
    place.write("a.pdf", SQUARE);
    place.write("b.md", lesson("B") + "\n![x](a.pdf)\n");
    let ended = place.command(&["watch", "--once", "a.md", "b.md"]).output().unwrap();
    let said = String::from_utf8_lossy(&ended.stderr);
    assert_eq!(ended.status.code(), Some(2), "{said}");
    assert!(said.contains("would replace `a.pdf`, which is read for `b.md`"), "{said}");
    assert_eq!(fs::read_to_string(place.path("a.pdf")).unwrap(), SQUARE);
    assert!(place.path("b.pdf").exists());
}

#[test]
fn outputs_keep_their_mode_and_follow_links() {
    use std::os::unix::fs::PermissionsExt;
    let place = Place::new("watch-modes");
    place.write("a.md", lesson("A"));
    place.write("real/a.pdf", "");
    let mode = std::fs::Permissions::from_mode(0o600);
    fs::set_permissions(place.path("real/a.pdf"), mode).unwrap();
    symlink("real/a.pdf", place.path("a.pdf")).unwrap();
    assert!(place.command(&["watch", "--once", "a.md"]).status().unwrap().success());
    assert!(place.path("a.pdf").is_symlink());
    let facts = fs::metadata(place.path("real/a.pdf")).unwrap();
    assert!(facts.len() > 0 && facts.permissions().mode() & 0o777 == 0o600);
}

#[test]
fn a_clash_that_comes_with_a_save_is_told_and_nothing_is_written() {
    let place = Place::new("watch-clash-later");
    place.write("a.md", lesson("One"));
    let running = Running::start(&place, &["a.md"]);
    let looks = "based-on = \"handout\"\n";
    place.write("a.pdf", looks);
    place.write("a.md", lesson("Two").replace("key:", "template: a.pdf\nkey:"));
    let line = running.line("would replace `a.pdf`");
    assert!(line.contains("which is a file that it names"), "{line}");
    assert_eq!(fs::read_to_string(place.path("a.pdf")).unwrap(), looks);
}

/// Waits until as many lessons have told of a build, which hold some words.
fn all_told(running: &Running, lessons: usize, words: &str) -> Duration {
    let begun = Instant::now();
    (0..lessons).for_each(|_| drop(running.line(words)));
    begun.elapsed()
}

#[test]
fn many_lessons_saved_at_once_take_no_longer_than_at_the_start() {
    const LESSONS: usize = 300;
    let place = Place::new("watch-many");
    let save_all = |title: &str| {
        for number in 0..LESSONS {
            place.write(&format!("{number}.md"), lesson(&format!("{title} {number}")));
        }
    };
    save_all("Once");
    let running = Running::begin(&place, &["."]);
    let start = all_told(&running, LESSONS, "1 page");
    save_all("Again");
    let again = all_told(&running, LESSONS, "header and prose changed");
    assert!(again < start * 3 + Duration::from_secs(1), "{start:?} at the start, then {again:?}");
    save_all("At last");
    running.line("header and prose changed");
    let begun = Instant::now();
    assert_eq!(running.interrupt(), Some(0));
    assert!(begun.elapsed() < Duration::from_secs(1), "{:?} to its end", begun.elapsed());
    let parts = place.files().into_iter().filter(|name| name.ends_with(".part"));
    assert_eq!(parts.count(), 0, "nothing half-written is left");
}

#[test]
fn an_interrupt_ends_it_in_the_midst_of_a_long_build() {
    let place = Place::new("watch-long-build");
    place.write("a.md", lesson("Short"));
    let running = Running::start(&place, &["a.md"]);
    place.write("a.md", lesson("Long") + &"- a\n".repeat(200_000));
    thread::sleep(Duration::from_millis(200));
    let begun = Instant::now();
    assert_eq!(running.interrupt(), Some(0));
    assert!(begun.elapsed() < Duration::from_secs(1), "{:?} to its end", begun.elapsed());
}

#[cfg(target_os = "linux")]
#[test]
fn nothing_grows_from_save_to_save() {
    let place = Place::new("watch-grows");
    place.write("a.md", lesson("Save 0"));
    let running = Running::start(&place, &["--preview", "--script", "a.md"]);
    let mut holdings = Vec::new();
    for number in 1..=160 {
        let said = format!("\n~~~ say\n[show home]\nThis is number {number}.\n~~~\n");
        save(&place.path("a.md"), &(lesson(&format!("Save {number}")) + &said), WAYS[number % 4]);
        running.line("page 1 of 1");
        if number % 80 == 0 {
            holdings.push(Holdings::of(running.id()));
        }
    }
    let [early, late] = holdings.as_slice() else { panic!("two readings") };
    assert_eq!((early.handles, early.threads), (late.handles, late.threads));
    assert!(late.kilobytes * 100 <= early.kilobytes * 105, "{early:?} {late:?}");
}
