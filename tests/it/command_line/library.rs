//! Whole folders of lessons: what is found, printed, left as it is and told.

use super::*;
use std::collections::BTreeMap;

/// A small lesson of a number.
fn lesson(number: usize) -> String {
    let fret = number % 10;
    format!(
        "---\ntitle: Small tune {number}\nkey: A major\n---\n\n`C# is the third of A`.\n\n\
         ~~~ riff\ncount   1   2   3   4   |\ne       {fret}---2---0---2---|\n~~~\n"
    )
}

/// All files below a folder but the record, by their paths from there on.
fn contents(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    let mut folders = vec![folder.to_path_buf()];
    while let Some(next) = folders.pop() {
        for entry in fs::read_dir(&next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if !path.ends_with(".fretleaf-pressed") {
                let name = path.strip_prefix(folder).unwrap().to_path_buf();
                found.insert(name, fs::read(&path).unwrap());
            }
        }
    }
    found
}

/// The lines that say what was written.
fn written(run: &Run) -> Vec<&str> {
    run.err.lines().filter(|line| line.ends_with(" written")).collect()
}

#[test]
fn a_library_is_printed_once_and_then_only_what_changed() {
    let mut place = Place::new("library");
    for number in 0..200 {
        place = place.with(&format!("lib/{}/tune-{number:03}.md", number / 50), lesson(number));
    }
    let first = place.run(&["press", "lib", "--out", "out"]);
    assert_eq!(first.status, 0, "{}", first.err);
    let lines = written(&first);
    assert_eq!(lines.len(), 200);
    assert!(lines.is_sorted(), "told in order");
    let printed = contents(&place.0.join("out"));
    assert_eq!(printed.len(), 200);

    let again = place.run(&["press", "lib", "--out", "out"]);
    assert_eq!(again.err, "200 handouts are left as they are: nothing changed\n");

    let place = place.with("lib/1/tune-077.md", lesson(1000));
    let changed = place.run(&["press", "lib", "--out", "out"]);
    let told =
        "`out/1/tune-077.pdf` is written\n199 handouts are left as they are: nothing changed\n";
    assert_eq!((changed.status, changed.err.as_str()), (0, told));
    let now = contents(&place.0.join("out"));
    let differ: Vec<_> = now.iter().filter(|(name, bytes)| printed[*name] != **bytes).collect();
    assert_eq!(differ.len(), 1);

    for number in [0, 49, 77, 123, 199] {
        let name = format!("{}/tune-{number:03}", number / 50);
        let lesson = format!("lib/{name}.md");
        assert_eq!(place.run(&["press", &lesson, "--out", "alone"]).status, 0);
        let alone = fs::read(place.0.join(format!("alone/tune-{number:03}.pdf"))).unwrap();
        assert!(now[Path::new(&format!("{name}.pdf"))] == alone, "{name}");
    }
}

#[test]
fn what_a_handout_was_made_of_is_compared_and_what_was_made_too() {
    let photo =
        |side: u8| format!("<svg xmlns='http://www.w3.org/2000/svg' width='{side}' height='9'/>");
    let pictured = format!("{SOUND}\n![A photo](photo.svg)\n");
    let place = Place::new("library-changes")
        .with("lib/a.md", pictured)
        .with("lib/b.md", SOUND)
        .with("lib/photo.svg", photo(9))
        .with("mine.toml", "based-on = \"handout\"\n");
    let press = |options: &[&str]| {
        let run = place.run(&[&["press", "lib"], options].concat());
        assert_eq!(run.status, 0, "{}", run.err);
        written(&run).into_iter().map(str::to_owned).collect::<Vec<_>>()
    };
    let (a, b) = ("`lib/a.pdf` is written", "`lib/b.pdf` is written");
    assert_eq!(press(&[]), [a, b]);
    assert_eq!(press(&[]), [""; 0]);
    fs::write(place.0.join("lib/photo.svg"), photo(8)).unwrap();
    assert_eq!(press(&[]), [a], "its picture changed");
    fs::remove_file(place.0.join("lib/b.pdf")).unwrap();
    assert_eq!(press(&[]), [b], "it is gone");
    assert_eq!(place.run(&["press", "lib/b.md", "--paper", "a5"]).status, 0);
    assert_eq!(press(&[]), [b], "another was printed over it");
    assert_eq!(press(&["--left-handed"]), [a, b], "another option");
    let template = ["--template", "mine.toml"];
    assert_eq!(press(&template), [a, b], "a template");
    assert_eq!(press(&template), [""; 0]);
    fs::write(place.0.join("mine.toml"), "based-on = \"large-print\"\n").unwrap();
    assert_eq!(press(&template), [a, b], "what the template says");
    fs::write(place.0.join("lib/.fretleaf-pressed"), "{").unwrap();
    assert_eq!(press(&template), [a, b], "the record is broken");
    // A copy has other times, but the same bytes.
    fs::write(place.0.join("lib/a.md"), fs::read(place.0.join("lib/a.md")).unwrap()).unwrap();
    assert_eq!(press(&template), [""; 0]);
}

#[test]
fn a_faulty_lesson_keeps_no_other_from_being_printed_and_is_told_each_time() {
    let place = Place::new("library-faulty")
        .with("lib/a.md", SOUND)
        .with("lib/b.md", FAULTY)
        .with("lib/c/d.md", DOUBTFUL)
        .with("lib/e.md", FAULTY);
    let run = place.run(&["press", "lib"]);
    assert_eq!(run.status, 1);
    assert_eq!(written(&run), ["`lib/a.pdf` is written", "`lib/c/d.pdf` is written"]);
    let at = |text: &str| run.err.find(text).unwrap();
    assert!(at("lib/b.md:6:") < at("lib/b.md is not printed"));
    assert!(at("lib/b.md is not printed") < at("lib/c/d.md:"));
    assert!(at("lib/c/d.md:") < at("lib/e.md:6:"));
    assert!(run.err.ends_with("not printed for their faults: `lib/b.md` and `lib/e.md`\n"));
    let again = place.run(&["press", "lib"]);
    assert_eq!(again.status, 1);
    assert!(again.err.contains("lib/b.md:6:"), "{}", again.err);
    assert!(again.err.contains("2 handouts are left as they are"), "{}", again.err);
    for _ in 0..2 {
        let draft = place.run(&["press", "--draft", "lib"]);
        assert_eq!(draft.status, 1);
        assert!(written(&draft).contains(&"`lib/e.pdf` is written"), "{}", draft.err);
    }
}

#[test]
fn nothing_of_a_library_is_written_where_two_lessons_share_an_output() {
    let place = Place::new("library-clash")
        .with("one/a.md", SOUND)
        .with("two/a.md", SOUND)
        .with("two/below/b.md", SOUND)
        .with("empty/notes.md", "No header.\n");
    let run = place.run(&["press", "one", "two", "--out", "out"]);
    assert_eq!(run.status, 2);
    assert!(run.err.contains("would both be `out/a.pdf`"), "{}", run.err);
    assert!(!place.0.join("out").exists());
    assert_eq!(place.run(&["press", "one", "--out", "out"]).status, 0);
    let run = place.run(&["press", "one", "two", "--out", "out"]);
    assert_eq!(run.status, 2, "what is left as it is has its place too");
    assert_eq!(contents(&place.0.join("out")).len(), 1);
    let empty = place.run(&["press", "empty"]);
    assert_eq!(empty.status, 2);
    assert!(empty.err.contains("no lesson is in it"), "{}", empty.err);
}

#[test]
fn press_says_what_handouts_are_made_from() {
    let place = Place::new("library-deps")
        .with("lib/a.md", format!("{SOUND}\n![A photo](photo.svg)\n"))
        .with("lib/photo.svg", "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>")
        .with("lib/b/c.md", SOUND)
        .with("lib/faulty.md", FAULTY);
    let rules = "out/a.pdf: lib/a.md lib/photo.svg\nout/b/c.pdf: lib/b/c.md\n\
                 \nlib/a.md:\n\nlib/b/c.md:\n\nlib/photo.svg:\n";
    for _ in 0..2 {
        let run = place.run(&["press", "lib", "--out", "out", "--deps", "out/all.d"]);
        assert_eq!(run.status, 1, "{}", run.err);
        assert_eq!(fs::read_to_string(place.0.join("out/all.d")).unwrap(), rules);
    }
    let over = place.run(&["press", "lib", "--deps", "lib/a.md"]);
    assert_eq!(over.status, 2);
    assert!(over.err.contains("the dependency file would replace `lib/a.md`"), "{}", over.err);
    let misread = place.with("a=b.md", SOUND).run(&["press", "a=b.md", "--deps", "all.d"]);
    assert_eq!(misread.status, 2);
    assert!(misread.err.contains("make would misread the name"), "{}", misread.err);
}

#[test]
fn a_library_of_pages_has_a_list_of_them() {
    let place = Place::new("library-web")
        .with("lib/a.md", lesson(1))
        .with("lib/below/b c.md", lesson(2))
        .with("lib/faulty.md", FAULTY);
    let list = || fs::read_to_string(place.0.join("out/index.html")).unwrap();
    assert_eq!(place.run(&["press", "--web", "lib", "--out", "out"]).status, 1);
    let first = list();
    for link in ["<a href=\"a.html\">Small tune 1</a>", "<a href=\"below/b%20c.html\">"] {
        assert!(first.contains(link), "{first}");
    }
    assert!(!first.contains("faulty.html"), "{first}");
    assert!(place.0.join("out/below/b c.html").exists());
    fs::write(place.0.join("lib/a.md"), lesson(3)).unwrap();
    let again = place.run(&["press", "--web", "lib", "--out", "out"]);
    assert_eq!(written(&again), ["`out/a.pdf` and `out/a.html` are written"]);
    assert_eq!(list(), first.replace("Small tune 1", "Small tune 3"));
    let clash = Place::new("library-index").with("lib/index.md", SOUND);
    assert_eq!(clash.run(&["press", "--web", "lib"]).status, 2);
}

/// The lines of the README's example of a build with make.
fn makefile() -> String {
    let readme = include_str!("../../../README.md");
    let from = readme.find("    lessons := ").expect("the README's rules for make");
    let lines =
        readme[from..].lines().take_while(|line| line.is_empty() || line.starts_with("    "));
    lines.map(|line| line.strip_prefix("    ").unwrap_or(line).to_owned() + "\n").collect()
}

#[test]
fn make_builds_a_library_as_the_readme_shows() {
    if Command::new("make").arg("--version").output().is_err() {
        eprintln!("NOT TESTED: there is no make here to build the README's library with");
        return;
    }
    let mut place = Place::new("library-make").with("Makefile", makefile()).with(
        "lessons/photo.svg",
        "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>",
    );
    for number in 0..200 {
        let picture = if number == 7 { "\n![A photo](photo.svg)\n" } else { "" };
        place = place.with(&format!("lessons/tune-{number:03}.md"), lesson(number) + picture);
    }
    let bin = Path::new(env!("CARGO_BIN_EXE_fretleaf")).parent().unwrap();
    let paths = std::env::var_os("PATH").unwrap_or_default();
    let paths = std::iter::once(bin.to_path_buf()).chain(std::env::split_paths(&paths));
    let paths = std::env::join_paths(paths).unwrap();
    let make = || {
        let mut make = Command::new("make");
        Run::of(make.arg("-j2").env("PATH", &paths).current_dir(&place.0).output().unwrap())
    };
    let first = make();
    assert_eq!(first.status, 0, "{}", first.err);
    let printed = contents(&place.0.join("handouts"));
    assert_eq!(
        printed.keys().filter(|name| name.extension().is_some_and(|end| end == "pdf")).count(),
        200
    );
    assert_eq!(written(&make()), [""; 0], "nothing has changed");

    // A time after that of all that was printed, however coarse the disk's clock is.
    let later = std::time::SystemTime::now() + std::time::Duration::from_secs(5);
    let touch = |name: &str| {
        let file = fs::OpenOptions::new().append(true).open(place.0.join(name)).unwrap();
        file.set_modified(later).unwrap();
    };
    touch("lessons/tune-077.md");
    touch("lessons/photo.svg");
    let changed = make();
    assert_eq!(changed.status, 0, "{}", changed.err);
    let mut told = written(&changed);
    told.sort_unstable();
    assert_eq!(told, ["`handouts/tune-007.pdf` is written", "`handouts/tune-077.pdf` is written"]);
}
