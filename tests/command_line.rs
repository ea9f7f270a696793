//! The program as a user runs it: what it prints, writes and ends with.

#![allow(clippy::unwrap_used, clippy::expect_used)]

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
fn press_writes_the_same_bytes_every_time() {
    let place = Place::new("press-twice").with("sound.md", SOUND);
    assert_eq!(place.run(&["press", "--svg", "--png", "sound.md"]).status, 0);
    let names = ["sound.pdf", "sound-page-1.svg", "sound-page-1.png"];
    let read = |name: &str| fs::read(place.0.join(name)).unwrap();
    let first: Vec<Vec<u8>> = names.iter().map(|name| read(name)).collect();
    assert!(first.iter().all(|bytes| !bytes.is_empty()));
    assert_eq!(place.run(&["press", "--svg", "--png", "sound.md"]).status, 0);
    let second: Vec<Vec<u8>> = names.iter().map(|name| read(name)).collect();
    assert!(first == second, "two runs gave different bytes");
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
fn press_writes_nothing_where_two_lessons_share_an_output() {
    let place = Place::new("press-clash").with("one/sound.md", SOUND).with("two/sound.md", SOUND);
    let run = place.run(&["press", "--out", "out", "one/sound.md", "two/sound.md"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("two lessons"), "{}", run.err);
    assert!(!place.0.join("out").exists());
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
fn proof_mends_what_leaves_no_choice_and_keeps_the_original() {
    let slipped = "---\ntitle: A small one\nkey: A major\n---\n\n~~~ changes verse\n| A |\n~~~\n\n~~~ riff over vers\ncount 1   2   3   4   |\ne     0---2---4---0---|\n~~~\n";
    let place = Place::new("proof-mend").with("slipped.md", slipped);
    let run = place.run(&["proof", "--mend", "slipped.md"]);
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("-~~~ riff over vers\n+~~~ riff over verse\n"), "{}", run.out);
    let read = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
    assert_eq!(read("slipped.md"), slipped.replace("over vers\n", "over verse\n"));
    assert_eq!(read("slipped.md.before"), slipped);
    let again = place.run(&["proof", "--mend", "slipped.md"]);
    assert_eq!((again.status, again.out.contains("---")), (0, false), "{}", again.out);
    fs::write(place.0.join("slipped.md"), slipped).unwrap();
    assert_eq!(place.run(&["proof", "--mend", "slipped.md"]).status, 2, "an original is kept");
    assert_eq!(read("slipped.md"), slipped);
    assert_eq!(place.run_with_input(&["proof", "--mend", "-"], slipped).status, 2);
}

#[test]
fn about_all_prints_every_rule() {
    let run = Place::new("about-all").run(&["about", "all"]);
    for rule in fretleaf::proof::rules::RULES {
        assert!(run.out.contains(&format!("| `{}` | {} |", rule.name, rule.weight.name())));
        assert!(run.out.contains(&rule.page()), "{}", rule.name);
    }
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
        "no faults, no doubts, no hints; 10 bars, 13 notes, 12 chords and 9 phrases checked\n";
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
fn about_prints_a_rule_and_offers_the_nearest() {
    let place = Place::new("about");
    assert!(place.run(&["about", "spelling"]).out.starts_with("# spelling (fault)"));
    let run = place.run(&["about", "speling"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("did you mean `spelling`?"), "{}", run.err);
    assert!(place.run(&["about"]).out.lines().count() > 30);
}

#[test]
fn paper_template_and_hand_change_the_page() {
    let place = Place::new("press-options").with("sound.md", DOUBTFUL);
    let mut seen = Vec::new();
    for options in [
        vec![],
        vec!["--paper", "letter"],
        vec!["--template", "large-print"],
        vec!["--left-handed"],
    ] {
        let arguments: Vec<&str> =
            ["press", "--svg", "sound.md"].into_iter().chain(options).collect();
        assert_eq!(place.run(&arguments).status, 0, "{arguments:?}");
        let page = fs::read(place.0.join("sound-page-1.svg")).unwrap();
        assert!(!seen.contains(&page), "{arguments:?} changes nothing");
        seen.push(page);
    }
    assert_eq!(place.run(&["press", "--template", "handuot", "sound.md"]).status, 2);
}

#[test]
fn a_lesson_may_bring_its_own_font() {
    let fonts = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fonts");
    let font = |name: &str| fs::read(fonts.join(name)).unwrap();
    let lesson = |font: &str| {
        format!(
            "---\ntitle: 川の歌\nfont: {font}\n---\n\nThe *song* of the river is 川の歌, **日本**.\n\n\
             ~~~ shape -- 六弦\nAm x02210\n~~~\n\n~~~ say\nThis is 川の歌.\n~~~\n"
        )
    };
    let place = Place::new("own-font")
        .with("fonts/han.ttf", font("han.ttf"))
        .with("han.otf", font("han.otf"))
        .with("short.ttf", &font("han.ttf")[..2500])
        .with("ttf.md", lesson("fonts/han.ttf"))
        .with("otf.md", lesson("han.otf"))
        .with("short.md", lesson("short.ttf"));
    for (name, face) in [("ttf", "LessonTestHan-Regular"), ("otf", "LessonTestHanOTF-Regular")] {
        let lesson = format!("{name}.md");
        for options in [vec![], vec!["--left-handed"], vec!["--template", "large-print"]] {
            let run =
                place.run(&[&["press", "--svg", "--png", lesson.as_str()], &options[..]].concat());
            assert_eq!((run.status, run.err.as_str()), (0, ""), "{name}");
        }
        assert_eq!(place.run(&["script", &lesson]).status, 0);
        let run = place.run(&["proof", &lesson]);
        assert!(run.out.contains("no faults, no doubts, no hints"), "{}", run.out);
        for pdf in [format!("{name}.pdf"), format!("{name}-script.pdf")] {
            let file = lopdf::Document::load(place.0.join(&pdf)).unwrap();
            let names = file.objects.values().filter_map(|object| {
                let name = object.as_dict().ok()?.get(b"BaseFont").ok()?.as_name().ok()?;
                Some(String::from_utf8_lossy(name).into_owned())
            });
            assert!(names.into_iter().any(|found| found.ends_with(&format!("+{face}"))), "{pdf}");
            assert!(fs::metadata(place.0.join(&pdf)).unwrap().len() < 60_000, "{pdf} is a subset");
        }
        let page = fs::read_to_string(place.0.join(format!("{name}-page-1.svg"))).unwrap();
        assert!(page.contains("川の歌") && !page.contains('□'), "{name}");
    }
    let run = place.run(&["press", "short.md"]);
    assert_eq!(run.status, 1);
    assert!(run.err.contains("the font `short.ttf` is a broken font file"), "{}", run.err);
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
fn a_lesson_may_bring_its_own_template_from_its_own_folder_only() {
    let own = "based-on = \"handout\"\npaper = \"letter\"\n";
    let lesson =
        |template: &str| SOUND.replacen("---\n", &format!("---\ntemplate: {template}\n"), 1);
    let place = Place::new("own-template")
        .with("in/own.toml", own)
        .with("in/sound.md", lesson("own.toml"))
        .with("in/outside.md", lesson("../own.toml"))
        .with("own.toml", own);
    assert_eq!(place.run(&["press", "in/sound.md"]).status, 0);
    assert!(Path::new(&place.0).join("in/sound.pdf").exists());
    assert_eq!(place.run(&["press", "in/outside.md"]).status, 2);
}
