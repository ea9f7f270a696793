//! What goes to the screen and to the cutting: pictures by their names and sizes, the list of cues, the list
//! of shots.

#![allow(clippy::unwrap_used)]

use crate::support::folders::own_folder;
use fretleaf::compile;
use fretleaf::findings::Source;
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::FolderWorld;
use fretleaf::page::Template;
use fretleaf::script::names::{self, Pictures};
use fretleaf::script::screen::{self, Ink, Job, Screen, Size, Wanted};
use fretleaf::script::{Script, cues, files, shots};
use resvg::tiny_skia::Pixmap;
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::Command;

const HEAD: &str = "---\ntitle: T\nkey: A major\ntempo: 120\n---\n";
const BLOCKS: &str = "~~~ changes verse\n| A | D | E | A |\n~~~\n\n\
                      ~~~ shape Grips\nA x02220\nE/G# 4x2400\n~~~\n\n~~~ shape\nD xx0232\n~~~\n\n\
                      ~~~ changes con\n| A | D |\n~~~\n\n~~~ changes verse-bar-1\n| A |\n~~~\n\n\
                      ~~~ voicings high\nA D E : triads on strings 3 2 1, near fret 5\n~~~\n\n";

const DARK: Wanted = Wanted { ink: Ink::Dark, clear: false, at: None };

/// A lesson that says something, with its pictures as they are wanted.
fn said(say: &str, wanted: Wanted, look: impl FnOnce(&Script, &Pictures, &[Screen])) {
    let text = format!("{HEAD}{BLOCKS}## One\n\n~~~ say\n{say}\n~~~\n");
    with(&text, wanted, look);
}

fn with(text: &str, wanted: Wanted, look: impl FnOnce(&Script, &Pictures, &[Screen])) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let world = FolderWorld::new(&folder).with_lesson(Source::new("a.md", text.as_bytes()));
    let compiled = compile(&world, "a.md").unwrap();
    let (script, lesson) = (compiled.script(), &compiled.lesson);
    let (template, fonts) = (Template::load("handout", |_| None).unwrap(), Fonts::new());
    let pictures = names::pictures(lesson, &script);
    let job = Job { lesson, look: &template.figure, fonts: &fonts, wanted };
    look(&script, &pictures, &screen::screens(&pictures, &job));
}

#[test]
fn pictures_are_named_by_what_they_show() {
    for (cues, named) in [
        (&["verse", "The Verse", "bars 1 to 2 of verse"][..], &["verse", "verse-bars-1-2"][..]),
        (&["bar 3 of verse", "verse", "bar 3 of verse"], &["verse-bar-3", "verse"]),
        (&["A", "E/G#", "D"], &["grips-A", "grips-E-G-sharp", "D"]),
        (&["con"], &["con-figure"]),
        (&["bar 1 of verse", "verse-bar-1"], &["verse-bar-1", "verse-bar-1-2"]),
        (&["grips"], &["grips", "grips-1", "grips-2"]),
        (&["verse", "high", "high"], &["verse", "high", "high-1", "high-2", "high-3"]),
    ] {
        let say: Vec<String> = cues.iter().map(|cue| format!("[show {cue}]\nWords.")).collect();
        said(&say.join("\n"), DARK, |_, _, screens| {
            let names: Vec<&str> = screens.iter().map(|screen| screen.name.as_str()).collect();
            assert_eq!(names, named, "{cues:?}");
        });
    }
}

#[test]
fn one_more_cue_renames_no_picture() {
    let names = |say: &str| {
        let mut names = BTreeSet::new();
        said(say, DARK, |_, _, screens| {
            names.extend(screens.iter().map(|screen| screen.name.clone()));
        });
        names
    };
    let before = names("[show verse]\nOne.\n[show A]\nTwo.");
    let after = names("[show high]\nMore.\n[show verse]\nOne.\n[show con]\nAgain.\n[show A]\nTwo.");
    assert!(before.is_subset(&after), "{before:?} {after:?}");
}

#[test]
fn pictures_have_the_shape_and_the_ink_that_is_asked_for() {
    let drawn = |at: Option<(u16, u16)>, ink: Ink| {
        let at = at.map(|(width, height)| Size { width, height });
        let mut drawn = Vec::new();
        said("[show grips]\nOne.", Wanted { ink, clear: false, at }, |_, _, screens| {
            drawn.extend(screens.iter().map(|screen| screen.svg.clone()));
        });
        drawn
    };
    let usual = drawn(None, Ink::Dark);
    assert_eq!(usual.len(), 3);
    assert!(usual.iter().all(|svg| svg.contains("viewBox=\"0 0 1440 810\"")));
    assert_eq!(usual, drawn(Some((3840, 2160)), Ink::Dark), "the same shape, the same image");
    assert!(usual.iter().zip(drawn(None, Ink::Light)).all(|(dark, light)| *dark != light));
    for svg in drawn(Some((1080, 1920)), Ink::Dark) {
        assert!(svg.contains("viewBox=\"0 0 810 1440\""));
    }
}

/// The first dot of a picture: red, green, blue and how much of it covers what is beneath.
fn first_dot(wanted: Wanted) -> [u8; 4] {
    let mut dot = [9; 4];
    said("[show grips]\nOne.", wanted, |_, _, screens| {
        let png = files::figures(screens, &wanted).first().unwrap().bytes().unwrap();
        let image = Pixmap::decode_png(&png).unwrap();
        let first = image.pixels().first().unwrap();
        dot = [first.red(), first.green(), first.blue(), first.alpha()];
    });
    dot
}

#[test]
fn pictures_lie_on_paper_unless_they_are_to_be_laid_over_a_film() {
    let at = Some(Size { width: 160, height: 90 });
    for (ink, clear, dot) in [
        (Ink::Dark, false, [255; 4]),
        (Ink::Light, false, [0, 0, 0, 255]),
        (Ink::Dark, true, [0; 4]),
        (Ink::Light, true, [0; 4]),
    ] {
        assert_eq!(first_dot(Wanted { ink, clear, at }), dot, "{ink:?} {clear}");
    }
}

#[test]
fn the_list_of_cues_has_times_kinds_files_and_lengths() {
    let say = "[camera: on the hand]\nWord word word word word.\n[show verse]\nWord word.\n[play verse]\n\
               [pause 1.5 s]\n[show E/G#]\nWord.\n[tone \"warm\", a bit]\nWord.";
    let list = "time,kind,words,figure,seconds\n\
                0:00:00.000,camera,camera: on the hand,,\n\
                0:00:02.000,show,show verse,verse.svg,10.3\n\
                0:00:02.800,play,play verse,,8.0\n\
                0:00:10.800,pause,pause 1.5 s,,1.5\n\
                0:00:12.300,show,show E/G#,grips-E-G-sharp.svg,0.8\n\
                0:00:12.700,tone,\"tone \"\"warm\"\", a bit\",,\n";
    said(say, DARK, |script, pictures, _| assert_eq!(cues::write(script, pictures), list));
}

#[test]
fn no_cell_of_the_list_is_worked_out_by_a_spreadsheet() {
    for cue in ["=SUM(1;2)", "+1", "-1 is", "@home, now", "='a' \"b\""] {
        said(&format!("[{cue}]\nWords."), DARK, |script, pictures, _| {
            let list = cues::write(script, pictures);
            let mut reader = csv::Reader::from_reader(list.as_bytes());
            let row = reader.records().next().unwrap().unwrap();
            let first = cue.split_whitespace().next().unwrap().trim_end_matches(',');
            assert_eq!(&row[1], format!("'{}", first.to_lowercase()));
            assert_eq!(&row[2], format!("'{cue}"));
        });
    }
}

const SHOTS: &str = "T
Shots: what is filmed together

no camera named
---------------

[ ]  0:00 to 0:04, Opening
     begins: One two three four five six seven …
     cues: show verse

camera on the hand
------------------

[ ]  0:04 to 0:13, Opening
     before: … four five six seven eight nine ten.
     begins: A few words.
     cues: play verse
[ ]  0:14 to 0:15, Two
     before: Wide words here.
     begins: And the last.

camera wide
-----------

[ ]  0:13 to 0:14, Two
     before: A few words.
     begins: Wide words here.

no tone named
-------------

[ ]  0:00 to 0:13, Opening
     begins: One two three four five six seven …
     cues: show verse; play verse

tone clean
----------

[ ]  0:13 to 0:15, Two
     before: A few words.
     begins: Wide words here.
";

#[test]
fn shots_are_gathered_by_their_setups() {
    let text = format!(
        "{HEAD}~~~ changes verse\n| A | D | E | A |\n~~~\n~~~ say\n[show verse]\nOne two three four five six \
         seven eight nine ten.\n[camera on the hand]\nA few words.\n[play verse]\n~~~\n\n## Two\n\n~~~ say\n\
         [tone clean]\n[camera wide]\nWide words here.\n[Camera  on the HAND]\nAnd the last.\n~~~\n"
    );
    with(&text, DARK, |script, _, _| {
        let written =
            shots::write(script).replace("\n\n[ ]", "\n[ ]").replace("-\n[ ]", "-\n\n[ ]");
        assert_eq!(written, SHOTS);
    });
}

#[test]
fn a_stretch_names_the_sections_that_it_runs_through_and_an_empty_one_is_none() {
    let text = format!(
        "{HEAD}## One\n\n~~~ say\n[tone clean]\n[tone clean]\nA few words.\n~~~\n\n## Two\n\n~~~ say\nWide words \
         here.\n~~~\n\n## Three\n\n~~~ say\nAnd the last.\n[tone driven]\n~~~\n\n## Four\n"
    );
    with(&text, DARK, |script, _, _| {
        let written = shots::write(script);
        assert_eq!(written.matches("[ ]").count(), 1, "{written}");
        assert!(
            written.contains("tone clean\n----------\n\n[ ]  0:00 to 0:03, One to Three\n"),
            "{written}"
        );
    });
}

#[test]
fn what_is_to_be_said_again_stands_at_the_end() {
    let say = "[camera wide]\nOne.\n[retake too fast]\nKeep the thumb down.\n\nAnd breathe.\n[show verse]\nTwo.\n\
               [retake]\nThree.";
    let again = "Say again\n---------\n\n[ ]  0:00, One: too fast\n     Keep the thumb down.\n     And breathe.\n\n\
                 [ ]  0:03, One\n     Three.\n";
    said(say, DARK, |script, pictures, _| {
        let written = shots::write(script);
        assert!(written.ends_with(again), "{written}");
        assert!(cues::write(script, pictures).contains("retake,retake too fast,,\n"));
    });
}

#[test]
fn where_nothing_is_gathered_the_list_of_shots_says_so() {
    said("[show verse]\nOne.\n[look up]\nTwo.", DARK, |script, _, _| {
        let written = shots::write(script);
        assert!(written.contains("No cue names a setup"), "{written}");
        assert!(written.lines().all(|line| line.chars().count() <= 78), "{written}");
    });
}

#[test]
fn pictures_are_painted_at_any_size_within_bounds() {
    let folder = own_folder("screen-sizes");
    let text = format!("{HEAD}{BLOCKS}~~~ say\n[show verse]\nOne.\n~~~\n");
    fs::write(folder.join("a.md"), text).unwrap();
    let run = |at: &str| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_fretleaf"));
        let arguments = ["script", "a.md", "--figures", "--at", at];
        command.args(arguments).current_dir(&folder).output().unwrap()
    };
    for (at, width, height) in [("1080x1920", 1080, 1920), ("333X77", 333, 77), ("16x16", 16, 16)] {
        assert!(run(at).status.success(), "{at}");
        let name = format!("a-figures/verse-{width}x{height}.png");
        let png = fs::read(folder.join(name)).unwrap();
        let side = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().unwrap());
        assert_eq!((side(16), side(20)), (width, height));
        assert_eq!(fs::read_dir(folder.join("a-figures")).unwrap().count(), 3, "svg, png, list");
    }
    for at in ["8000x100", "15x15", "1920", "axb"] {
        let run = run(at);
        assert_eq!(run.status.code(), Some(2), "{at}");
        let told = String::from_utf8_lossy(&run.stderr).into_owned();
        assert!(told.contains("width and height in dots, 16 to 7680 each"), "{told}");
    }
}

#[test]
fn files_are_listed_by_name() {
    let names: Vec<String> = files::names("a").collect();
    let all =
        ["a-script.pdf", "a-script.txt", "a-chapters.txt", "a.vtt", "a-cues.csv", "a-shots.txt"];
    assert!(all.iter().all(|name| names.iter().any(|known| known == name)), "{names:?}");
}
