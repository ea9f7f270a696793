//! The program as a user runs it: what it prints, writes and ends with.

#![allow(clippy::unwrap_used, clippy::expect_used)]

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
    let told =
        "the PDF of `one/sound.md` and the PDF of `two/sound.md` would both be `out/sound.pdf`";
    assert!(run.err.contains(told), "{}", run.err);
    assert!(!place.0.join("out").exists());
}

#[test]
fn press_says_what_it_wrote() {
    let place = Place::new("press-told").with("sound.md", SOUND).with("in/other.md", SOUND);
    let run = place.run(&["press", "--svg", "sound.md", "in/other.md"]);
    let told = "`sound.pdf` and 1 picture are written\n`in/other.pdf` and 1 picture are written\n";
    assert_eq!((run.status, run.err.as_str()), (0, told));
    assert_eq!(place.run(&["press", "sound.md"]).err, "`sound.pdf` is written\n");
}

#[test]
fn names_as_long_as_they_can_be_are_written() {
    let stem = "n".repeat(255 - ".pdf".len());
    let lesson = format!("{stem}.md");
    let place = Place::new("long-names").with(&lesson, SOUND);
    let run = place.run(&["press", &lesson]);
    assert_eq!(run.status, 0, "{}", run.err);
    assert_eq!(place.files(), [lesson.clone(), format!("{stem}.pdf")]);
    let run = place.run(&["press", "--png", &lesson]);
    assert_eq!(run.status, 2, "{}", run.err);
    assert!(run.err.contains("its name is too long"), "{}", run.err);
    assert_eq!(place.files(), [lesson, format!("{stem}.pdf")]);
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
    let slipped = "---\ntitle: A small one\nkye: A major\n---\n\n~~~ changes verse\n| A |\n~~~\n\n~~~ riff over verse\ncount 1   2   3   4   |\ne     0---2---4---0---|\n~~~\n";
    let place = Place::new("proof-mend").with("slipped.md", slipped);
    let run = place.run(&["proof", "--mend", "slipped.md"]);
    assert_eq!(run.status, 0, "{}{}", run.out, run.err);
    assert!(run.out.contains("-kye: A major\n+key: A major\n"), "{}", run.out);
    let read = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
    assert_eq!(read("slipped.md"), slipped.replace("kye:", "key:"));
    assert_eq!(read("slipped.md.before"), slipped);
    let again = place.run(&["proof", "--mend", "slipped.md"]);
    assert_eq!((again.status, again.out.contains("---")), (0, false), "{}", again.out);
    fs::write(place.0.join("slipped.md"), slipped).unwrap();
    assert_eq!(place.run(&["proof", "--mend", "slipped.md"]).status, 2, "an original is kept");
    assert_eq!(read("slipped.md"), slipped);
    assert_eq!(place.run_with_input(&["proof", "--mend", "-"], slipped).status, 2);
}

#[test]
fn mending_says_what_is_left_to_the_author() {
    let place = Place::new("proof-left")
        .with("both.md", "---\ntitle: One\nkey: A major\ntmepo: 92\n---\n\n`D is V7`.\n")
        .with("choice.md", "---\ntitle: One\nkey: A major\n---\n\n`D is V7`, `E is IV`.\n")
        .with("sound.md", SOUND);
    let last = |arguments: &[&str]| {
        let run = place.run(arguments);
        run.out.lines().last().unwrap_or_default().to_owned()
    };
    let one = "1 repair is left to you, since it chooses between meanings";
    assert_eq!(last(&["proof", "--mend", "both.md"]), one);
    assert_eq!(last(&["proof", "--mend", "both.md"]), format!("nothing was mended; {one}"));
    assert_eq!(
        last(&["proof", "--mend", "choice.md"]),
        "nothing was mended; 2 repairs are left to you, since they choose between meanings"
    );
    assert_eq!(last(&["proof", "--mend", "sound.md"]), "nothing was mended");
    let both = "---\ntitle: One\nkey: A major\ntmepo: 92\n---\n\n`D is V7`.\n";
    let held = format!("nothing was mended; 1 repair that leaves no choice is held back; {one}");
    fs::write(place.0.join("both.md"), both).unwrap();
    assert_eq!(last(&["proof", "--mend", "both.md"]), held, "the original is there already");
    let run = place.run_with_input(&["proof", "--mend", "-"], both);
    assert_eq!(run.out.lines().last(), Some(held.as_str()), "standard input");
    let two = "---\ntitle: One\ntmepo: 92\ncapoo: 2\n---\n";
    let run = place.run_with_input(&["proof", "--mend", "-"], two);
    let held = "nothing was mended; 2 repairs that leave no choice are held back";
    assert_eq!(run.out.lines().last(), Some(held));
    assert!(!last(&["proof", "choice.md"]).contains("left to you"));
}

#[test]
fn a_lesson_that_may_only_be_read_is_not_mended() {
    let slipped = "---\ntitle: One\ntmepo: 92\n---\n";
    let place = Place::new("proof-read-only").with("slipped.md", slipped);
    let path = place.0.join("slipped.md");
    let mut mode = fs::metadata(&path).unwrap().permissions();
    mode.set_readonly(true);
    fs::set_permissions(&path, mode).unwrap();
    let run = place.run(&["proof", "--mend", "slipped.md"]);
    assert_eq!(run.status, 2, "{}", run.out);
    assert!(run.err.contains("`slipped.md` may only be read and isn't mended"), "{}", run.err);
    assert_eq!(fs::read_to_string(&path).unwrap(), slipped);
    assert!(!place.0.join("slipped.md.before").exists());
}

#[test]
fn mending_keeps_line_ends_and_the_originals_mode_and_touches_no_chord() {
    let slipped = "\u{FEFF}---\r\ntitle: A small one\r\ntmepo: 92\r\n---\r\n\r\n~~~ changes verse\r\n| Dmj7 | A7+ | D2 |\r\n~~~\r\n";
    let place = Place::new("proof-mend-ends").with("slipped.md", slipped);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let private = fs::Permissions::from_mode(0o600);
        fs::set_permissions(place.0.join("slipped.md"), private).unwrap();
    }
    let run = place.run(&["proof", "--mend", "slipped.md"]);
    assert_eq!(run.status, 1, "{}{}", run.out, run.err);
    assert!(run.out.contains("-tmepo: 92\n+tempo: 92\n"), "{}", run.out);
    for repair in ["`A7#5`", "`Amaj7`", "`Dadd9`", "`Dsus2`"] {
        assert!(run.out.contains(&format!("= repair: {repair}")), "{}", run.out);
    }
    let read = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
    assert_eq!(read("slipped.md"), slipped.replace("tmepo", "tempo"));
    assert_eq!(read("slipped.md.before"), slipped);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let about = fs::metadata(place.0.join("slipped.md.before")).unwrap();
        assert_eq!(about.permissions().mode() & 0o777, 0o600);
    }
}

#[test]
fn what_was_not_read_or_not_mended_does_not_end_with_no_faults() {
    let slipped = "---\ntitle: A small one\ntmepo: 92\n---\n";
    let place = Place::new("proof-refused")
        .with("slipped.md", slipped)
        .with("slipped.md.before", "something else")
        .with("latin.md", b"---\ntitle: \xFF\ntmepo: 92\n---\n")
        .with("sound.md", SOUND);
    for arguments in [
        &["proof", "missing.md"] as &[&str],
        &["proof", "--mend", "missing.md"],
        &["proof", "--mend", "slipped.md"],
        &["proof", "--mend", "latin.md"],
        &["proof", "sound.md", "missing.md"],
    ] {
        let run = place.run(arguments);
        assert_eq!(run.status, 2, "{arguments:?}");
        let last = run.out.lines().last().unwrap_or_default();
        assert!(!last.contains("no faults"), "{arguments:?}: {last}");
    }
    let run = place.run_with_input(&["proof", "--mend", "-"], slipped);
    assert!(run.status == 2 && run.out.contains("1 fault"), "{}", run.out);
    let missing = place.run(&["proof", "missing.md"]);
    assert_eq!((missing.out.as_str(), missing.err.lines().count()), ("1 lesson not checked\n", 1));
    let read = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
    assert_eq!(
        (read("slipped.md").as_str(), read("slipped.md.before").as_str()),
        (slipped, "something else")
    );
}

#[test]
fn about_all_prints_every_rule() {
    let run = Place::new("about-all").run(&["about", "all"]);
    for rule in fretleaf::findings::rules::RULES {
        assert!(run.out.contains(&format!("| `{}` | {} |", rule.name, rule.weight.name())));
        assert!(run.out.contains(&rule.page()), "{}", rule.name);
    }
}

/// The packages that the program is built from, by `Cargo.lock`: each name with its version.
fn packages() -> BTreeSet<(String, String)> {
    let read = |name: &str| {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(name);
        fs::read_to_string(path).unwrap().parse::<toml::Table>().unwrap()
    };
    let (manifest, lock) = (read("Cargo.toml"), read("Cargo.lock"));
    let text = |table: &toml::Value, key: &str| table[key].as_str().unwrap().to_owned();
    let locked = lock["package"].as_array().unwrap();
    let mut left: Vec<String> =
        manifest["dependencies"].as_table().unwrap().keys().cloned().collect();
    let mut found = BTreeSet::new();
    while let Some(wanted) = left.pop() {
        // A name, and its version where there are several.
        let (name, version) = wanted.split_once(' ').unwrap_or((&wanted, ""));
        let package = locked.iter().find(|package| {
            text(package, "name") == name
                && (version.is_empty() || text(package, "version") == version)
        });
        let package = package.unwrap();
        if found.insert((text(package, "name"), text(package, "version"))) {
            let uses = package.get("dependencies").and_then(toml::Value::as_array);
            left.extend(uses.into_iter().flatten().map(|name| name.as_str().unwrap().to_owned()));
        }
    }
    found
}

#[test]
fn the_licences_of_all_that_is_in_the_program_are_printed() {
    let run = Place::new("licences").run(&["about", "licences"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let listed: BTreeSet<(String, String)> = run
        .out
        .lines()
        .filter_map(|line| line.strip_prefix("- ")?.split_once(": "))
        .filter(|(_, licence)| !licence.is_empty())
        .filter_map(|(package, _)| package.split_once(' '))
        .map(|(name, version)| (name.to_owned(), version.to_owned()))
        .collect();
    let packages = packages();
    let missing: Vec<_> = packages.difference(&listed).collect();
    assert!(packages.len() > 100 && missing.is_empty(), "run .ci/third-party.py: {missing:?}");
    for words in
        ["SIL OPEN FONT LICENSE Version 1.1", "Bitstream Vera", "Tavmjong Bah", "Apache License"]
    {
        assert!(run.out.contains(words), "{words}");
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
            let told = format!("`{name}.pdf` and 4 pictures are written\n");
            assert_eq!((run.status, run.err), (0, told), "{name}");
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
    let outside = place.run(&["press", "in/outside.md"]);
    assert_eq!(outside.status, 1);
    assert!(outside.err.contains("outside.md:2:11"), "{}", outside.err);
}

#[test]
fn a_template_that_cannot_be_used_stops_its_own_lesson_only() {
    let broken = SOUND.replacen("---\n", "---\ntemplate: none.toml\n", 1);
    let place = Place::new("broken-template").with("a.md", &broken).with("b.md", SOUND);
    let proof = place.run(&["proof", "a.md"]);
    assert_eq!(proof.status, 1);
    assert!(proof.out.contains("the template `none.toml` is missing"), "{}", proof.out);
    let press = place.run(&["press", "a.md", "b.md"]);
    assert_eq!(press.status, 1);
    assert!(press.err.contains("the template `none.toml` is missing"), "{}", press.err);
    assert_eq!(place.files(), ["a.md", "b.md", "b.pdf"]);
    let watch = place.run(&["watch", "--once", "--out", "out", "a.md", "b.md"]);
    assert_eq!(watch.status, 2);
    assert!(watch.err.contains("a.md: the template `none.toml` is missing"), "{}", watch.err);
    assert!(place.0.join("out/b.pdf").exists() && !place.0.join("out/a.pdf").exists());
    assert_eq!(place.run(&["press", "--draft", "a.md"]).status, 1);
    assert!(place.0.join("a.pdf").exists(), "a draft looks as if it named none");
    assert_eq!(place.run(&["press", "--template", "none.toml", "b.md"]).status, 2);
}

/// A picture that a lesson may name.
const PHOTO: &str = "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>";

#[test]
fn no_output_takes_the_place_of_what_is_read_or_of_another() {
    let shape = |name: &str| format!("\n~~~ shape {name}\nA x 0 2 2 2 0\n~~~\n");
    let photo = format!("{SOUND}\n![x](tune-photo.png)\n{}", shape("photo"));
    let page = SOUND.to_owned() + &shape("page-1");
    let block = SOUND.to_owned() + &shape("") + &shape("") + &shape("block-2");
    let template = SOUND.replacen("---\n", "---\ntemplate: looks.pdf\n", 1);
    let place = Place::new("clashes")
        .with("tune.md", photo)
        .with("tune-photo.png", PHOTO)
        .with("page.md", page)
        .with("block.md", block)
        .with("looks.md", template)
        .with("looks.pdf", "based-on = \"handout\"\n")
        .with("talk.vtt", SOUND)
        .with("handout.pdf", SOUND)
        .with("a.md", SOUND.to_owned() + &shape("b-page-1"))
        .with("a-b.md", SOUND);
    let before = place.files();
    for (arguments, told) in [
        (
            &["press", "--png", "tune.md"][..],
            "the figure `photo` of `tune.md` would replace `tune-photo.png`, which is a file that `tune.md` names",
        ),
        (
            &["press", "--svg", "page.md"],
            "page 1 of `page.md` and the figure `page-1` of `page.md` would both be `page-page-1.svg`",
        ),
        (
            &["press", "--svg", "block.md"],
            "the figure of block 2 of `block.md` and the figure `block-2` of `block.md` would both be `block-block-2.svg`",
        ),
        (
            &["press", "--svg", "a.md", "a-b.md"],
            "the figure `b-page-1` of `a.md` and page 1 of `a-b.md` would both be `a-b-page-1.svg`",
        ),
        (&["press", "looks.md"], "the PDF of `looks.md` would replace `looks.pdf`"),
        (&["press", "handout.pdf"], "would replace `handout.pdf`, which is the lesson"),
        (&["press", "a.md", "./a.md"], "would both be `a.pdf`"),
        (&["press", "--template", "looks.pdf", "--out", ".", "looks.md"], "is the template"),
        (&["script", "talk.vtt"], "would replace `talk.vtt`, which is the lesson `talk.vtt`"),
        (&["watch", "--once", "handout.pdf"], "would replace `handout.pdf`"),
        (
            &["watch", "--once", "looks.md"],
            "would replace `looks.pdf`, which is a file that it names",
        ),
        (
            &["watch", "--once", "--deps", "a.md", "a.md"],
            "the dependency file would replace `a.md`",
        ),
        (&["watch", "--once", "--deps", "a.pdf", "a.md"], "would both be `a.pdf`"),
        (&["watch", "--once", "--deps", "tune-photo.png", "tune.md"], "`tune-photo.png`"),
    ] {
        let run = place.run(arguments);
        assert_eq!(run.status, 2, "{arguments:?}: {}", run.err);
        assert!(run.err.contains(told), "{arguments:?}: {}", run.err);
        assert_eq!(place.files(), before, "{arguments:?}");
    }
    assert_eq!(fs::read_to_string(place.0.join("tune-photo.png")).unwrap(), PHOTO);
    assert_eq!(fs::read_to_string(place.0.join("talk.vtt")).unwrap(), SOUND);
}

#[cfg(unix)]
#[test]
fn clashes_are_seen_through_links() {
    use std::os::unix::fs::symlink;
    let lesson = format!("{SOUND}\n![x](photo.png)\n\n~~~ shape grip\nA x 0 2 2 2 0\n~~~\n");
    let place = Place::new("clash-links").with("tune.md", &lesson).with("photo.png", PHOTO);
    symlink("photo.png", place.0.join("tune-grip.png")).unwrap();
    let run = place.run(&["press", "--png", "tune.md"]);
    assert_eq!(run.status, 2, "{}", run.err);
    fs::remove_file(place.0.join("tune-grip.png")).unwrap();
    fs::hard_link(place.0.join("photo.png"), place.0.join("tune-grip.png")).unwrap();
    assert_eq!(place.run(&["press", "--png", "tune.md"]).status, 2);
    symlink("tune.md", place.0.join("tune.pdf")).unwrap();
    assert_eq!(place.run(&["press", "tune.md"]).status, 2);
    assert_eq!(place.run(&["watch", "--once", "tune.md"]).status, 2);
    assert_eq!(fs::read_to_string(place.0.join("tune.md")).unwrap(), lesson);
    assert_eq!(fs::read_to_string(place.0.join("photo.png")).unwrap(), PHOTO);
    // A chart that would be its own template.
    let place = Place::new("clash-chart").with("mine.toml", "based-on = \"chart\"\n");
    let chart = ["chart", "chord", "A", "--template", "mine.toml"];
    assert_eq!(place.run(&chart).status, 0);
    let files = place.files();
    let pdf = files.iter().find(|name| name.ends_with(".pdf")).unwrap();
    fs::remove_file(place.0.join(pdf)).unwrap();
    symlink("mine.toml", place.0.join(pdf)).unwrap();
    let run = place.run(&chart);
    assert_eq!(run.status, 2, "{}", run.err);
    assert!(run.err.contains("which is the template"), "{}", run.err);
}

#[cfg(unix)]
#[test]
fn an_interrupt_leaves_nothing_half_written() {
    let names: Vec<String> = (0..60).map(|number| format!("{number}.md")).collect();
    for signal in ["-INT", "-TERM"] {
        let place = Place::new("interrupted");
        let place = names.iter().fold(place, |place, name| place.with(name, SOUND));
        let mut child =
            place.command(&["press"]).args(&names).stderr(Stdio::null()).spawn().unwrap();
        let begun = || place.files().iter().any(|name| name.ends_with(".part"));
        while !begun() && child.try_wait().unwrap().is_none() {}
        let _ = Command::new("kill").args([signal, &child.id().to_string()]).status();
        child.wait().unwrap();
        let written = place.files();
        assert!(!written.iter().any(|name| name.ends_with(".part")), "{signal}: {written:?}");
    }
}

#[test]
fn a_lesson_that_is_no_text_or_cannot_be_read_is_told() {
    let ferry = include_str!("../../lessons/slow-ferry.md");
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

#[test]
fn a_file_in_the_place_of_a_folder_is_told() {
    let place = Place::new("file-for-folder").with("sound.md", SOUND);
    for (out, told) in [
        ("sound.md", "can't make the folder `sound.md`: a file of that name stands there"),
        (
            "sound.md/a",
            "can't make the folder `sound.md/a`: a file stands where a folder should be",
        ),
    ] {
        let run = place.run(&["press", "sound.md", "--out", out]);
        assert_eq!(run.status, 2);
        assert!(run.err.contains(told), "{}", run.err);
    }
}
