//! What is written, and what is never written over.

use super::*;

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
fn press_tells_a_lesson_in_words() {
    let place = Place::new("press-words").with("sound.md", SOUND).with("faulty.md", FAULTY);
    let run = place.run(&["press", "--words", "sound.md"]);
    let told = "`sound.pdf` and `sound.txt` are written\n";
    assert_eq!((run.status, run.err.as_str()), (0, told));
    let read = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
    let text = read("sound.txt");
    assert!(text.starts_with("A small one\n\nKey A major\n"), "{text}");
    assert!(text.ends_with("\nC♯ is the third of A.\n"), "{text}");
    assert_eq!(place.run(&["press", "--words", "faulty.md"]).status, 1);
    assert_eq!(place.files(), ["faulty.md", "sound.md", "sound.pdf", "sound.txt"]);
    assert_eq!(place.run(&["press", "--words", "--draft", "faulty.md"]).status, 1);
    let draft = read("faulty.txt");
    assert!(draft.ends_with("\n“C is the third of A” (fault).\n"), "{draft}");
}

#[test]
fn press_pictures_the_answer_beside_its_frame() {
    let frame = "\n~~~ shape grip, blank, answered\nA x 0 2 2 2 0\n~~~\n";
    let alone = "\n~~~ shape, blank, answered\nE 0 2 2 1 0 0\n~~~\n";
    let place = Place::new("press-answers").with("sound.md", format!("{SOUND}{frame}{alone}"));
    let run = place.run(&["press", "--svg", "sound.md"]);
    assert_eq!(run.status, 0, "{}", run.err);
    let read = |name: &str| fs::read_to_string(place.0.join(name)).unwrap();
    assert!(read("sound-grip.svg") != read("sound-grip-answer.svg"));
    let files = place.files();
    let answers = files.iter().filter(|file| file.ends_with("-answer.svg"));
    assert_eq!(answers.count(), 2, "{files:?}");
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

#[test]
fn a_draft_told_in_words_tells_its_faulty_phrases_too() {
    let long = "All that is said at length before it lets the phrase go on in the line below it";
    let text = format!(
        "---\ntitle: T\n---\n\n{long}: `C is the third of A`.\n\n- `D is in A`\n\n| a |\n| - |\n| `E is in F` |\n"
    );
    let place = Place::new("draft-told").with("t.md", text);
    let run = place.run(&["press", "--draft", "--words", "t.md"]);
    assert_eq!(run.status, 1, "{}", run.err);
    let told = fs::read_to_string(place.0.join("t.txt")).unwrap();
    let told = told.split_whitespace().collect::<Vec<_>>().join(" ");
    for phrase in
        ["it: “C is the third of A” (fault).", "• “D is in A” (fault)", "a: “E is in F” (fault)"]
    {
        assert_eq!(told.matches(phrase).count(), 1, "{phrase}: {told}");
    }
}
