//! The program as a user runs it: what it prints, writes and ends with.

#![allow(clippy::unwrap_used, clippy::expect_used)]

mod about;
mod hear;
mod hear_hostile;
mod library;
mod mending;
mod outputs;
mod own;

use std::collections::BTreeSet;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

const SOUND: &str = "---\ntitle: A small one\nkey: A major\n---\n\n`C# is the third of A`.\n";
const FAULTY: &str = "---\ntitle: A small one\nkey: A major\n---\n\n`C is the third of A`.\n";
const DOUBTFUL: &str =
    "---\ntitle: A small one\nkey: A major\n---\n\n~~~ shape\nD  x 0 0 2 3 2\n~~~\n";

/// A folder of a test's own, empty at its start.
struct Place(PathBuf);

impl Place {
    fn new(name: &str) -> Place {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        Place(folder)
    }

    fn with(self, name: &str, text: impl AsRef<[u8]>) -> Place {
        let path = self.0.join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
        self
    }

    fn run(&self, arguments: &[&str]) -> Run {
        Run::of(self.command(arguments).output().unwrap())
    }

    fn run_with_input(&self, arguments: &[&str], input: &str) -> Run {
        let mut command = self.command(arguments);
        let mut child = command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        child.stdin.take().unwrap().write_all(input.as_bytes()).unwrap();
        Run::of(child.wait_with_output().unwrap())
    }

    fn command(&self, arguments: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_fretleaf"));
        command.args(arguments).current_dir(&self.0);
        command
    }

    fn files(&self) -> Vec<String> {
        let mut names: Vec<String> = fs::read_dir(&self.0)
            .unwrap()
            .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }
}

struct Run {
    status: i32,
    out: String,
    err: String,
}

impl Run {
    fn of(output: Output) -> Run {
        Run {
            status: output.status.code().unwrap(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

#[test]
fn proof_ends_with_the_status_that_its_findings_ask_for() {
    let place = Place::new("proof-status")
        .with("sound.md", SOUND)
        .with("faulty.md", FAULTY)
        .with("doubtful.md", DOUBTFUL);
    for (arguments, status) in [
        (vec!["proof", "sound.md"], 0),
        (vec!["proof", "faulty.md"], 1),
        (vec!["proof", "doubtful.md"], 0),
        (vec!["proof", "--strict", "doubtful.md"], 1),
        (vec!["proof", "missing.md"], 2),
        (vec!["proof", "sound.md", "missing.md"], 2),
        (vec!["proof"], 2),
        (vec!["prove", "sound.md"], 2),
    ] {
        let run = place.run(&arguments);
        assert_eq!(run.status, status, "{arguments:?}\n{}{}", run.out, run.err);
    }
}

#[test]
fn proof_prints_the_place_and_a_tally() {
    let run = Place::new("proof-report").with("faulty.md", FAULTY).run(&["proof", "faulty.md"]);
    assert!(run.out.contains("fault[degree]"), "{}", run.out);
    assert!(run.out.contains("faulty.md:6:"), "{}", run.out);
    let tally = "1 fault, no doubts, no hints; no bars, no notes, no chords and 1 phrase checked\n";
    assert!(run.out.ends_with(tally), "{}", run.out);
    assert!(!run.out.contains('\u{1b}'), "colour in a pipe");
}

#[test]
fn proof_prints_json_as_the_language_says() {
    let place = Place::new("proof-json").with("faulty.md", FAULTY).with("sound.md", SOUND);
    let one: serde_json::Value =
        serde_json::from_str(&place.run(&["proof", "--json", "faulty.md"]).out).unwrap();
    assert_eq!(one["lesson"], "faulty.md");
    assert_eq!(one["counts"], serde_json::json!({"fault": 1, "doubt": 0, "hint": 0}));
    let finding = &one["findings"][0];
    assert_eq!(finding["rule"], "degree");
    assert_eq!(finding["weight"], "fault");
    assert_eq!(finding["line"], 6);
    for key in ["column", "end_line", "end_column", "message", "notes", "fixes"] {
        assert!(!finding[key].is_null(), "no {key}");
    }
    let two: serde_json::Value =
        serde_json::from_str(&place.run(&["proof", "--json", "faulty.md", "sound.md"]).out)
            .unwrap();
    assert_eq!(two.as_array().unwrap().len(), 2);
}

#[test]
fn press_refuses_faults_and_prints_them_in_a_draft() {
    let place = Place::new("press-faults").with("faulty.md", FAULTY);
    let run = place.run(&["press", "faulty.md"]);
    assert_eq!(run.status, 1);
    assert!(run.err.contains("--draft"), "{}", run.err);
    assert_eq!(place.files(), ["faulty.md"]);
    assert_eq!(place.run(&["press", "--draft", "faulty.md"]).status, 1);
    assert_eq!(place.files(), ["faulty.md", "faulty.pdf"]);
}

#[test]
fn proof_prints_sarif() {
    let place = Place::new("proof-sarif").with("faulty.md", FAULTY);
    let run = place.run(&["proof", "--sarif", "faulty.md"]);
    let report: serde_json::Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!((run.status, report["version"].as_str()), (1, Some("2.1.0")));
    assert_eq!(report["runs"][0]["results"][0]["ruleId"], "degree");
    assert_eq!(place.run(&["proof", "--sarif", "--json", "faulty.md"]).status, 2);
}

#[test]
fn a_lesson_comes_from_standard_input() {
    let place = Place::new("standard-input");
    assert_eq!(place.run_with_input(&["proof", "-"], SOUND).status, 0);
    assert_eq!(place.run_with_input(&["press", "-"], SOUND).status, 0);
    assert_eq!(place.files(), ["lesson.pdf"]);
}

#[test]
fn the_starter_lesson_passes_and_is_not_overwritten() {
    let place = Place::new("starter");
    assert_eq!(place.run(&["new", "first-steps"]).status, 0);
    let text = fs::read_to_string(place.0.join("first-steps.md")).unwrap();
    assert!(text.contains("title: First steps"), "{text}");
    let proof = place.run(&["proof", "--strict", "first-steps.md"]);
    let tally =
        "no faults, no doubts, no hints; 10 bars, 13 notes, 12 chords and 13 phrases checked\n";
    assert_eq!((proof.status, proof.out.as_str()), (0, tally));
    assert_eq!(place.run(&["press", "first-steps.md"]).status, 0);
    assert_eq!(place.run(&["script", "first-steps.md"]).status, 0);
    let script = fs::read_to_string(place.0.join("first-steps-script.txt")).unwrap();
    for section in ["The figure", "The harmony", "The bridge", "The solo", "Closing"] {
        assert!(script.contains(&format!("\n{section}\n")), "{section}: {script}");
    }
    let again = place.run(&["new", "first-steps"]);
    assert_eq!(again.status, 2);
    assert_eq!(fs::read_to_string(place.0.join("first-steps.md")).unwrap(), text);
}

#[test]
fn sections_that_are_joined_are_told_in_the_scripts_line() {
    let say = |words: usize| format!("~~~ say\n{}\n~~~\n", "word ".repeat(words));
    let text = format!(
        "---\ntitle: T\n---\n\n# One\n\n{}\n# Two\n\n{}\n# Three\n\n{}",
        say(60),
        say(5),
        say(60)
    );
    let place = Place::new("script-joined")
        .with("t.md", &text)
        .with("s.md", text.replace("Two", "Two\n\n# Silent"));
    let run = place.run(&["script", "t.md"]);
    let told =
        "t.md: the script runs 0:50; under 10 s and so joined in the chapters: “Two” to “One”\n";
    assert_eq!(run.err, told);
    let chapters = fs::read_to_string(place.0.join("t-chapters.txt")).unwrap();
    assert_eq!(chapters, "0:00 One\n0:26 Three\n");
}

#[test]
fn a_lesson_that_is_no_text_or_cannot_be_read_is_told() {
    let ferry = include_str!("../../../lessons/slow-ferry.md");
    let place = Place::new("no-lesson").with("sound.md", SOUND).with("slow-ferry.md", ferry);
    assert_eq!(place.run(&["press", "slow-ferry.md"]).status, 0);
    let pdf = place.run(&["press", "--out", "out", "slow-ferry.pdf"]);
    assert_eq!(pdf.status, 1, "{}", pdf.err);
    assert!(pdf.err.contains("not UTF-8"), "{}", pdf.err);
    let missing = place.run(&["proof", "missing.md"]);
    assert_eq!((missing.status, missing.out.as_str()), (2, "1 lesson not checked\n"));
    let one = place.run(&["proof", "sound.md", "missing.md"]);
    assert!(one.out.ends_with(" checked\n1 lesson not checked\n"), "{}", one.out);
}

#[test]
fn a_file_beyond_any_lesson_is_refused_before_it_is_read() {
    let place = Place::new("large").with("sound.md", SOUND).with("large.toml", "");
    // A file that takes no room on the disk, but far more than memory has if it were read.
    let large = |name: &str| {
        fs::File::create(place.0.join(name)).unwrap().set_len(1 << 40).unwrap();
    };
    large("large.md");
    large("large.toml");
    for arguments in [
        &["proof", "large.md"][..],
        &["press", "large.md"],
        &["script", "large.md"],
        &["new", "--from", "large.md", "tab"],
        &["watch", "--once", "large.md"],
        &["press", "--template", "large.toml", "sound.md"],
    ] {
        let run = place.run(arguments);
        assert_eq!(run.status, 2, "{arguments:?}");
        let cap = if arguments.contains(&"large.toml") { "1048576" } else { "16777216" };
        assert!(run.err.contains("1099511627776 bytes"), "{arguments:?}: {}", run.err);
        assert!(run.err.contains(cap), "{arguments:?}: {}", run.err);
    }
    let mut endless = place.command(&["proof", "-"]);
    let zeros = fs::File::open("/dev/zero").map_or(Stdio::null(), Stdio::from);
    let run = Run::of(endless.stdin(zeros).output().unwrap());
    if cfg!(unix) {
        assert_eq!(run.status, 2);
        assert!(run.err.contains("at most 16777216 are read (16 MiB)"), "{}", run.err);
    }
}

#[cfg(unix)]
#[test]
fn new_writes_under_names_only_and_over_nothing() {
    let place = Place::new("new-names");
    std::os::unix::fs::symlink("nowhere.md", place.0.join("link.md")).unwrap();
    for name in [".", "..", "", ".md", "in/", "link", "link.md"] {
        let run = place.run(&["new", name]);
        assert_eq!(run.status, 2, "{name}: {}", run.out);
        assert_eq!(place.files(), ["link.md"], "{name}");
    }
    let run = place.run(&["new", "it's a \"tune\""]);
    assert!(run.out.contains(r#"`fretleaf proof "it's a \"tune\".md"`"#), "{}", run.out);
    assert!(place.run(&["new", "--", "-v"]).out.contains("`fretleaf proof ./-v.md`"));
}

#[cfg(unix)]
#[test]
fn nothing_from_outside_reaches_the_terminal_as_a_command() {
    let name = "a\u{1B}]0;x\u{7}b.md";
    let text = "---\ntitle: T\n---\n\n`C is the third of A` \u{1B}[31m \u{9B}2J `H\u{1B}[1m`\n\n~~~ riff over vers\ncount 1 |\ne 0 |\n~~~\n\n~~~ changes verse\u{1B}[5m\n| A |\n~~~\n";
    let place = Place::new("escapes").with(name, text);
    for arguments in [
        &["proof", name][..],
        &["proof", "--json", name],
        &["proof", "--sarif", name],
        &["proof", "--mend", name],
        &["press", name],
        &["press", "--draft", name],
        &["watch", "--once", name],
        &["proof", "\u{1B}[31m.md"],
        &["script", "--draft", name],
        &["new", "x\u{1B}[31m"],
        &["about", "\u{1B}[31m"],
    ] {
        let run = place.run(arguments);
        let obeyed = |c: char| c.is_control() && c != '\n' && c != '\t';
        assert!(!run.out.contains(obeyed), "{arguments:?}: {:?}", run.out);
        assert!(!run.err.contains(obeyed), "{arguments:?}: {:?}", run.err);
    }
}
