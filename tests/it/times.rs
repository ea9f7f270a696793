//! What measured times must keep: clock, chapters and captions go by them, the running time says so, what
//! can't be read of them is a doubt and never more, and a build is made anew when they change.

#![allow(clippy::unwrap_used)]

use crate::support::watching::{Place, Running, until};
use fretleaf::findings::{Finding, Weight};
use fretleaf::lesson::limits;
use fretleaf::lesson::world::{MemoryWorld, Noting};
use fretleaf::script::{What, captions, chapters, sections};
use fretleaf::{Wishes, compile};
use std::fs;
use std::time::Duration;

/// Three sections that say 25, 50 and 75 words, 10, 20 and 30 s; the second plays for 8 s.
fn lesson() -> String {
    let words = |number| "word ".repeat(number);
    format!(
        "---\ntitle: Ferry\ntempo: 60\n---\n\n~~~ changes verse\n| A | D |\n~~~\n\n~~~ say\n{}\n~~~\n\n\
         ## The verse, slowly\n\n~~~ say\n{}\n[play verse]\n~~~\n\n## `C#7` and home\n\n~~~ say\n{}\n~~~\n",
        words(25),
        words(50),
        words(75)
    )
}

fn world(times: impl Into<Vec<u8>>) -> MemoryWorld {
    MemoryWorld::default().with_lesson("in/ferry.md", lesson()).with("ferry-times.csv", times)
}

fn doubts(world: &MemoryWorld) -> Vec<Finding> {
    let compiled = compile(world, "in/ferry.md").unwrap();
    assert!(compiled.findings.iter().all(|found| found.weight < Weight::Fault));
    compiled.findings.into_iter().filter(|found| found.rule.name == "times").collect()
}

#[test]
fn clock_chapters_and_captions_go_by_what_was_measured() {
    let times = "\u{feff}# take 3\r\n\r\n\"the verse, slowly\",0:40.5\r\nC♯7 and home, 0:20\r\n";
    let world = world(times);
    assert!(doubts(&world).is_empty(), "{:?}", doubts(&world));
    let script = compile(&world, "in/ferry.md").unwrap().script();
    assert_eq!(script.running(), "1:10 at 150 words a minute, 2 of 3 sections as measured");
    assert_eq!(script.runs, Duration::from_millis(70_500));
    assert_eq!(
        chapters::list(&script),
        "0:00 Opening\n0:10 The verse, slowly\n0:50 C♯7 and home\n"
    );
    let verse = &sections::of(&script)[1];
    assert_eq!((verse.speech.as_millis(), verse.music.as_millis()), (32_500, 8_000));
    let mut now = Duration::ZERO;
    for item in &script.items {
        assert_eq!(item.at, now);
        now += item.takes;
    }
    assert_eq!(now, script.runs);
    let captions = captions::write(&script);
    assert!(captions.contains("\n00:00:50.500 --> "), "{captions}");
    assert!(captions.contains(" --> 00:01:10.500\n"), "{captions}");
    assert!(script.items.iter().any(|item| matches!(item.what, What::Heading { .. })));
}

#[test]
fn all_sections_may_be_measured_and_none() {
    let all = "Opening, 0:10\n\"The verse, slowly\", 0:28\nC#7 and home, 0:30\n";
    for (times, says) in [
        (all, "1:08 at 150 words a minute, as measured"),
        ("# nothing yet\n", "1:08 at 150 words a minute"),
        ("The refrain, 1:00\n", "1:08 at 150 words a minute"),
    ] {
        let script = compile(&world(times), "in/ferry.md").unwrap().script();
        assert_eq!(script.running(), says);
    }
}

#[test]
fn what_cannot_be_used_of_a_file_is_a_doubt() {
    for (times, messages) in [
        (
            &b"The refrain, 1:00\n"[..],
            &[
                "line 1 of `ferry-times.csv` times “The refrain”, but the script has no such section, or no further one",
            ][..],
        ),
        (
            b"Opening, 1:00\nOpening, 1:00\n",
            &[
                "line 2 of `ferry-times.csv` times “Opening”, but the script has no such section, or no further one",
            ],
        ),
        (
            b"\nOpening; 1:00\n",
            &["line 2 of `ferry-times.csv`, `Opening; 1:00`, is no section with its time"],
        ),
        (
            b"Opening, 999999999999999999:00",
            &[
                "line 1 of `ferry-times.csv`, `Opening, 999999999999999999:00`, is no section with its time",
            ],
        ),
        (
            b"\"The verse, slowly\", 0:07.5\n",
            &[
                "line 1 of `ferry-times.csv` gives “The verse, slowly” 0:07, but what is said and played there takes about 0:28",
            ],
        ),
        (
            b"Opening, 0:03\n",
            &[
                "line 1 of `ferry-times.csv` gives “Opening” 0:03, but what is said and played there takes about 0:10",
            ],
        ),
        (
            b"Opening, 1:00\n\xff\xfe",
            &["`ferry-times.csv` is no text in UTF-8; no measured time is used"],
        ),
    ] {
        let found: Vec<String> =
            doubts(&world(times)).into_iter().map(|found| found.message).collect();
        assert_eq!(found, messages);
    }
}

#[test]
fn hostile_files_are_told_and_nothing_more() {
    let megabyte = 1 << 20;
    let titles: String =
        (0..limits::TIMES.most).map(|number| format!("Openinf{number}, 1:00\n")).collect();
    for times in [
        vec![0; megabyte],
        vec![b'"'; megabyte],
        vec![b','; megabyte],
        vec![b'\n'; megabyte],
        b"\"\n".repeat(megabyte / 2),
        b"Opening, 1:00\n".repeat(megabyte / 14),
        titles.into_bytes(),
        "é".repeat(megabyte / 2).into_bytes(),
        b"Opening, 10:00:00\n\"The verse, slowly\", 0:00.001\nC#7 and home, 9:59:59.999\n".to_vec(),
    ] {
        let world = world(times);
        doubts(&world);
        let script = compile(&world, "in/ferry.md").unwrap().script();
        assert!(script.runs <= Duration::from_secs(30 * 3600));
        assert!(captions::write(&script).starts_with("WEBVTT"));
    }
}

#[test]
fn only_a_lesson_in_which_something_is_said_has_times() {
    let silent = "---\ntitle: T\n---\n\n~~~ changes\n| A |\n~~~\n";
    for (name, text, is_asked_for) in
        [("a.md", silent, false), ("a.md", &lesson(), true), ("-", &lesson(), false)]
    {
        let world = MemoryWorld::default().with_lesson(name, text);
        let noting = Noting::new(&world);
        Wishes::default().compile(&noting, name).unwrap();
        assert_eq!(noting.named().contains("a-times.csv"), is_asked_for, "{name}");
    }
}

#[cfg(unix)]
#[test]
fn a_file_of_times_is_watched() {
    let place = Place::new("watch-times");
    place.write("ferry.md", lesson());
    let running = Running::begin(&place, &["--script", "--deps", "deps.d", "ferry.md"]);
    assert!(running.line("ferry.md: ").contains(" · script 1:08 · "));
    place.write("ferry-times.csv", "Opening, 0:30\n");
    let line = running.line("ferry.md: ");
    let clause = "script 1:28, 0:20 longer (Opening 0:20 longer), 1 of 3 sections as measured";
    assert!(line.contains(clause) && line.contains("ferry-times.csv changed"), "{line}");
    let text = fs::read_to_string(place.path("ferry-script.txt")).unwrap();
    assert!(text.contains("1:28 at 150 words a minute, 1 of 3 sections as measured"), "{text}");
    let listed = || {
        fs::read_to_string(place.path("deps.d")).is_ok_and(|text| text.contains("ferry-times.csv"))
    };
    until("the dependency file lists it", listed);
    fs::remove_file(place.path("ferry-times.csv")).unwrap();
    assert!(
        running.line("ferry.md: ").contains("script 1:08, 0:20 shorter (Opening 0:20 shorter)")
    );
}
