//! What --mend changes and what it tells.

use super::*;

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
    let one = "1 repair is left to you, since something else may be meant";
    assert_eq!(last(&["proof", "--mend", "both.md"]), one);
    assert_eq!(last(&["proof", "--mend", "both.md"]), format!("nothing was mended; {one}"));
    assert_eq!(
        last(&["proof", "--mend", "choice.md"]),
        "nothing was mended; 2 repairs are left to you, since something else may be meant"
    );
    assert_eq!(last(&["proof", "--mend", "sound.md"]), "nothing was mended");
    let both = "---\ntitle: One\nkey: A major\ntmepo: 92\n---\n\n`D is V7`.\n";
    let held = format!("nothing was mended; 1 repair that leaves no choice is held back; {one}");
    fs::write(place.0.join("both.md"), both).unwrap();
    assert_eq!(last(&["proof", "--mend", "both.md"]), held, "the original is there already");
    let run = place.run_with_input(&["proof", "--mend", "-"], both);
    assert_eq!(run.out.lines().last(), Some(held.as_str()), "standard input");
    let two = "---\ntitle: One\ntmepo: 92\n---\n\n~~~ now\ncapoo: 2\n~~~\n";
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
