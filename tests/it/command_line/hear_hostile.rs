//! `hear`: broken and hostile lessons and folders, each with a clear refusal, soon, and no half file.

use super::Place;
use std::time::{Duration, Instant};

const RIFFS: &str = "---\ntitle: Jam\n---\n\n~~~ riff tune\ncount 1  2  3  4  |\nnotes E5 D5 C5 E5 |\n~~~\n\n\
    ~~~ riff لحن\ncount 1  3  |\nnotes C3 G3 |\n~~~\n\n~~~ together duet\nlead: tune\n🎸: لحن\n~~~\n\n";

/// What a run with a loop of these lines gives: its status, its words, the files in the folder beside it.
fn hear(name: &str, lesson: &str, arguments: &[&str]) -> (i32, String, Vec<String>) {
    let place = Place::new(name).with("jam.md", lesson);
    let began = Instant::now();
    let run = place.run(&[&["hear", "--notes"], arguments, &["jam.md"]].concat());
    assert!(began.elapsed() < Duration::from_secs(10), "{name} takes too long");
    let files = place.files().into_iter().filter(|file| file != "jam.md").collect();
    (run.status, run.err, files)
}

#[test]
fn loops_that_ask_too_much_or_nothing_are_refused_and_nothing_is_written() {
    let ladder = format!("duet at 60{}", ", then 70".repeat(300));
    let many: String = (0..2000).map(|part| format!("p{part}: tune\n")).collect();
    let many = format!("~~~ together many\n{many}~~~\n\n");
    for (name, above, line, words) in [
        ("nothing", "", "", "names nothing to practise"),
        ("itself", "", "jam", "`jam` has no bars in time"),
        ("unread", "~~~ together torn\na: none\n~~~\n", "torn", "no riff is called `none`"),
        ("ladder", "", &ladder, "at most 40 tempos"),
        ("million", "", "duet 1000000 times", "is no number of times"),
        ("hour", "", "duet 1000 times at 20", "a loop stays below 60"),
        ("absent", "", "duet, without drums", "has no part called `drums`"),
        ("all", "", "duet, without lead, without 🎸", "leaves out all parts"),
        ("roots", "", "duet, with a bass", "has no chords"),
        ("many", many.as_str(), "many", "at most 15 parts"),
    ] {
        let lesson = format!("{RIFFS}{above}~~~ loop jam\n{line}\n~~~\n");
        let (status, told, files) = hear(&format!("hear-hostile-{name}"), &lesson, &[]);
        assert_eq!(status, 1, "{name}: {told}");
        assert!(told.contains(words), "{name}: {told}");
        assert!(files.is_empty(), "{name}: {files:?}");
    }
}

#[test]
fn names_of_files_come_from_names_that_lead_nowhere_else() {
    for (name, head) in [("up", "~~~ loop -- ../x"), ("root", "~~~ loop, title /etc/x")] {
        let lesson = format!("{RIFFS}{head}\nduet\n~~~\n");
        let (status, told, files) = hear(&format!("hear-title-{name}"), &lesson, &[]);
        assert_eq!(status, 0, "{told}");
        assert_eq!(files, ["jam-loop.mid"]);
    }
    let lesson = format!("{RIFFS}~~~ loop {}\nduet, without 🎸\n~~~\n", "ل".repeat(3000));
    let (status, told, files) = hear("hear-long-name", &lesson, &[]);
    assert_eq!((status, files.len()), (0, 1), "{told}");
    assert!(files.iter().all(|file| file.len() < 255));
}

#[test]
fn a_folder_that_is_none_is_told() {
    let lesson = format!("{RIFFS}~~~ loop jam\nduet\n~~~\n");
    for folder in ["jam.md", "jam.md/deeper"] {
        let (status, told, files) = hear("hear-no-folder", &lesson, &["--out", folder]);
        assert_eq!(status, 2, "{told}");
        assert!(told.contains("can't make the folder"), "{told}");
        assert!(files.is_empty(), "{files:?}");
    }
}
