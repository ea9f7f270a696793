//! Lessons that ask for as much work as they can: four times the text takes about four times the time,
//! and what is more than a lesson can be is told.
#![allow(clippy::unwrap_used)]

use crate::support::hostile_lessons::{self, KINDS, Kind};
use crate::support::long_lesson;
use fretleaf::checks::Elaborated;
use fretleaf::compile;
use fretleaf::findings::Finding;
use fretleaf::findings::limit::{FINDINGS, Limit};
use fretleaf::findings::report::terminal::{Colour, render};
use fretleaf::ink::{Document, Fonts, Role, pdf};
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::limits;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::page::{self, Job, Template};
use fretleaf::{Checked, paste, script};
use proptest::prelude::*;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

const HEAD: &str = hostile_lessons::HEAD;

/// What is printed as well: each kind of piece on a page, and whatever stands for many of them.
const PRINTED: &[&str] = &[
    "words in one paragraph",
    "letters of one word",
    "items of a list",
    "stairs of lists",
    "quotes of ten levels",
    "headings",
    "lines printed as they stand",
    "rows of five cells",
    "columns of a table",
    "links",
    "addresses",
    "foot notes",
    "phrases",
    "pages of a word",
    "names and names like them",
    "wrong phrases of a fence line",
    "blocks in a list",
    "wrong shapes",
    "shapes that can't be read",
    "bars of one line",
    "chords of one bar",
    "repeats",
    "bars as before",
    "rising counts of one bar",
    "counts of one bar",
    "bars of a riff",
    "wrong notes",
    "notes under no count",
    "joins of one row",
    "joins between counts",
    "bends of one row",
    "brackets of one row",
    "strums",
    "whole necks",
    "frets of a row",
    "scales for changes",
    "triads",
    "nearly as much of everything as may be",
];

/// What is said as well.
const SAID: &[&str] = &[
    "words said",
    "speeches",
    "phrases said",
    "cues",
    "a long riff shown",
    "many necks shown",
    "music played",
    "cues of nothing",
    "shapes shown",
    "free cues",
    "chapters",
    "names and cues unlike them",
];

fn kind(name: &str) -> &'static Kind {
    KINDS
        .iter()
        .find(|kind| kind.name == name)
        .unwrap_or_else(|| panic!("no kind is called {name}"))
}

fn check(text: &str) -> Checked {
    fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default())
}

/// Checks a lesson and writes the report.
fn report(text: &str) {
    let checked = check(text);
    let report = render(&checked.source, &checked.findings, checked.lang, Colour::Without);
    assert!(report.len() < 400_000, "the report has {} bytes", report.len());
}

/// Does something with a lesson of which everything was worked out.
fn elaborated<T>(text: &str, then: impl FnOnce(&Elaborated<'_>) -> T) -> T {
    let world = MemoryWorld::default().with_lesson("lesson.md", text);
    then(&compile(&world, "lesson.md").unwrap().lesson)
}

/// Prints a draft.
fn print(text: &str) -> (Document, Vec<u8>) {
    let template = Template::load("handout", |_| None).unwrap();
    let fonts = Fonts::new();
    let job = Job { template: &template, paper: Paper::A4, fonts: &fonts, draft: true };
    let document = elaborated(text, |lesson| page::set(lesson, &job));
    let bytes = pdf::paint(&document, &fonts).unwrap();
    (document, bytes)
}

/// Writes the script's texts.
fn say(text: &str) {
    elaborated(text, |lesson| {
        let script = script::of(lesson);
        let pictures = script::names::pictures(lesson, &script);
        assert!(script::files::texts(&script, &pictures, "lesson").count() > 0);
    });
}

/// Sizes of which none is beyond a limit by itself, the one four times the other.
const SIZES: (usize, usize) = (4_500, 18_000);

/// Four times the text may take eight times as long, and a moment more. On a machine that is busy with
/// other things it may take several tries to see it.
fn assert_in_proportion(kind: &Kind, work: impl Fn(&str)) {
    assert_in_proportion_at(SIZES, kind.name, |bytes| kind.of_size(bytes), work);
}

fn assert_in_proportion_at(
    sizes: (usize, usize),
    name: &str,
    text: impl Fn(usize) -> String,
    work: impl Fn(&str),
) {
    let time = |bytes: usize| {
        let text = text(bytes);
        let begun = Instant::now();
        work(&text);
        begun.elapsed()
    };
    const MOMENT: Duration = Duration::from_millis(500);
    const TRIES: usize = 3;
    let mut tries = (0..TRIES).map(|_| {
        let many = time(sizes.1);
        let few = if many > MOMENT { time(sizes.0) } else { many };
        (few, many)
    });
    let fits = |(few, many): (Duration, Duration)| many < few * 8 + MOMENT;
    assert!(tries.any(fits), "{name}: not in proportion in {TRIES} tries");
}

#[test]
fn checking_grows_no_faster_than_the_lesson() {
    KINDS.iter().for_each(|kind| assert_in_proportion(kind, report));
}

#[test]
fn printing_grows_no_faster_than_the_lesson() {
    for name in PRINTED {
        assert_in_proportion(kind(name), |text| drop(print(text)));
    }
}

/// Old tabs: what each row holds again and again, the lowest string last.
const OLD_TABS: &[(&str, [&str; 6])] = &[
    ("notes of one bar", ["-7", "--", "-5", "--", "--", "-0"]),
    ("chords of one bar", ["-3", "-0", "-0", "-0", "-2", "-3"]),
    ("bars", ["-7-|", "---|", "-5-|", "---|", "---|", "-0-|"]),
    ("joins", ["5h", "7p", "3s", "--", "2/", "--"]),
    ("repeats", ["|:-7-:|", "|:---:|", "|:---:|", "|:---:|", "|:---:|", "|:-0-:|"]),
    ("stars", ["*", "*", "-", "-", "-", "-"]),
    ("dashes", ["-", "-", "-", "-", "-", "-"]),
];

/// Old tabs are read in fewer steps than lessons: what grows out of proportion shows later.
const OLD_SIZES: (usize, usize) = (30_000, 120_000);

#[test]
fn importing_grows_no_faster_than_the_tab() {
    for (name, pieces) in OLD_TABS {
        let text = |bytes: usize| {
            let times = bytes / pieces.iter().map(|piece| piece.len()).sum::<usize>();
            let rows = ["e", "B", "G", "D", "A", "E"].iter().zip(pieces);
            rows.map(|(label, piece)| format!("{label}|{}|\n", piece.repeat(times))).collect()
        };
        assert_in_proportion_at(OLD_SIZES, name, text, |text| {
            assert!(paste::lesson("An old tab", text).text.contains("~~~ riff"));
        });
    }
}

#[test]
fn scripts_grow_no_faster_than_the_lesson() {
    SAID.iter().for_each(|name| assert_in_proportion(kind(name), say));
}

/// A lesson with one more of something than it may hold.
fn one_too_many(limit: Limit, before: &str, again: &str, after: &str) -> String {
    [before, &again.repeat(limit.most + 1), after].concat()
}

#[test]
fn what_is_beyond_a_limit_is_told_and_not_read() {
    let bar = "1   |";
    for (limit, text) in [
        (
            limits::HEADER_LINES,
            one_too_many(limits::HEADER_LINES, "---\ntitle: a\n", "# a\n", "---\n"),
        ),
        (limits::HEADINGS, one_too_many(limits::HEADINGS, HEAD, "# a\n", "")),
        (limits::PROSE, one_too_many(limits::PROSE, HEAD, "a\n\n", "")),
        (limits::PROSE, one_too_many(limits::PROSE, HEAD, "- a\n", "")),
        (limits::WORDS, one_too_many(limits::WORDS, HEAD, "a ", "")),
        (limits::LINES, one_too_many(limits::LINES, "~~~\n", "a\n", "~~~\n")),
        (limits::NEW_PAGES, one_too_many(limits::NEW_PAGES, HEAD, "[new page]\n\n", "")),
        (limits::LINKS, one_too_many(limits::LINKS, HEAD, "[a](b) ", "")),
        (limits::PICTURES, one_too_many(limits::PICTURES, HEAD, "![a](b.png) ", "")),
        (limits::PHRASES, one_too_many(limits::PHRASES, HEAD, "`A` ", "")),
        (limits::BLOCKS, one_too_many(limits::BLOCKS, HEAD, "~~~\n~~~\n", "")),
        (limits::SHAPES, one_too_many(limits::SHAPES, "~~~ shape\n", "A x02220\n", "~~~\n")),
        (limits::DIAGRAMS, one_too_many(limits::DIAGRAMS, "~~~ neck\n", "A major\n", "~~~\n")),
        (limits::VOICINGS, one_too_many(limits::VOICINGS, "~~~ voicings\n", "A ", ": any\n~~~\n")),
        (limits::BARS, one_too_many(limits::BARS, "~~~ changes\n| ", "A | ", "\n~~~\n")),
        (limits::SUNG, one_too_many(limits::SUNG, "~~~ lyrics\nsung ", "a ", "\n~~~\n")),
        (limits::BARS, one_too_many(limits::BARS, "~~~ riff\n", "count 1\ne     0\n\n", "~~~\n")),
        (
            limits::COLUMNS,
            format!("~~~ riff\ncount {}\n~~~\n", bar.repeat(limits::COLUMNS.most / 5)),
        ),
        (limits::CUES, one_too_many(limits::CUES, "~~~ say\n", "[camera]\n", "~~~\n")),
        (FINDINGS, one_too_many(FINDINGS, HEAD, "`q` ", "")),
    ] {
        let checked = check(&text);
        let says = format!("a lesson has at most {} {};", limit.number(), limit.what);
        let told = checked.findings.iter().filter(|found| found.message.starts_with(&says));
        let rules: Vec<&str> = told.map(|found| found.weight.name()).collect();
        assert_eq!(rules, ["fault"], "{says}");
        assert!(checked.findings.len() <= FINDINGS.most, "{says}");
    }
}

#[test]
fn what_stands_before_a_limit_is_printed() {
    let (document, pdf) = print(&one_too_many(limits::HEADINGS, HEAD, "# a\n", ""));
    assert_eq!(document.bookmarks.len(), limits::HEADINGS.most);
    assert!(pdf.starts_with(b"%PDF-"));
    let (document, _) = print(&one_too_many(limits::DRAFT_FAULTS, HEAD, "~~~ shape\nQ\n~~~\n", ""));
    let worded = document.parts.iter().filter(|part| part.role == Role::Code).count();
    assert_eq!(worded, limits::DRAFT_FAULTS.most + 1, "each block is printed as it stands");
}

#[test]
fn a_lesson_of_120_pages_is_far_from_every_limit() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons");
    let mut demos: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    demos.retain(|path| path.extension().is_some_and(|ending| ending == "md"));
    demos.sort();
    let demos: Vec<String> = demos.iter().map(|path| fs::read_to_string(path).unwrap()).collect();
    let checked = check(&long_lesson::long_lesson(&demos, 9));
    let beyond = |found: &&Finding| found.message.starts_with("a lesson has at most");
    assert!(checked.findings.iter().find(beyond).is_none());
    // Twice as much is still none too many.
    let checked = check(&long_lesson::long_lesson(&demos, 20));
    assert!(checked.findings.iter().find(beyond).is_none());
}

#[test]
fn what_no_lesson_asks_for_is_told() {
    let checked = check(&kind("voicings").of_size(10_000));
    let told = checked.findings.iter().find(|found| found.message.contains("nothing is left"));
    assert_eq!(told.unwrap().rule.name, "block-syntax");
    let title = format!("---\ntitle: {}\n---\n", "a".repeat(2_000));
    let checked = check(&title);
    let found = checked.findings.iter().find(|found| found.rule.name == "header-value");
    assert_eq!(found.unwrap().message, "this is too long");
}

#[test]
fn a_rule_that_is_broken_everywhere_is_shown_some_times_and_counted() {
    let checked = check(&(HEAD.to_owned() + &"`q`\n".repeat(500)));
    let report = render(&checked.source, &checked.findings, checked.lang, Colour::Without);
    assert_eq!(report.matches("hint[unread-phrase]").count(), 200);
    assert!(
        report.ends_with(
            "300 more of `unread-phrase` are not shown here; `--json` tells every one\n\n"
        )
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn any_bytes_have_a_report(
        pieces in prop::collection::vec("([ -~]|[é𝄞`|~\u{301}]|~~~ riff\n|count 1 & 2|\n){0,40}", 0..40),
        filler in "(x|é){1900,2600}",
        bytes in prop::collection::vec(any::<u8>(), 0..3000),
    ) {
        let text = pieces.join(&filler);
        for lesson in [text.as_bytes(), &bytes, &[text.as_bytes(), &bytes].concat()] {
            let checked = fretleaf::check("lesson.md", lesson, &MemoryWorld::default());
            for colour in [Colour::Without, Colour::With] {
                render(&checked.source, &checked.findings, checked.lang, colour);
            }
        }
    }
}

#[test]
fn a_letter_of_several_bytes_is_shown_whole_around_a_place() {
    for shift in 0..4 {
        let span = "é".repeat(200);
        let filler = "x".repeat(2_000);
        let text = format!("{HEAD}`{}{span}` {filler}", "y".repeat(shift));
        let checked = fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default());
        let report = render(&checked.source, &checked.findings, checked.lang, Colour::Without);
        assert!(report.contains("ééé"), "{report}");
    }
}

#[test]
fn a_place_in_a_long_line_is_shown_with_what_is_around_it() {
    let text = format!("{HEAD}{}`q` and so on {}", "word ".repeat(900), "word ".repeat(900));
    let checked = check(&text);
    let report = render(&checked.source, &checked.findings, checked.lang, Colour::Without);
    assert!(report.contains("lesson.md:6:4502\n"), "{report}");
    assert!(report.contains("word `q` and so on word"), "{report}");
    assert!(report.len() < 1_000, "{report}");
}
