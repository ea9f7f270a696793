//! Lessons that ask for as much work as they can: four times the text takes about four times the time,
//! and what is more than a lesson can be is told.
#![allow(clippy::unwrap_used)]

use fretleaf::lesson::folder::MemoryFolder;
use fretleaf::proof::report::terminal::{Colour, render};
use proptest::prelude::*;
use std::time::{Duration, Instant};

/// A lesson of about so many bytes, of one shape.
struct Shape {
    name: &'static str,
    before: &'static str,
    again: &'static str,
    after: &'static str,
}

const fn shape(
    name: &'static str,
    before: &'static str,
    again: &'static str,
    after: &'static str,
) -> Shape {
    Shape { name, before, again, after }
}

const SHAPES: &[Shape] = &[
    shape("phrases on one line", "", "`A` ", ""),
    shape("hints on one line", "", "`q` ", ""),
    shape("false phrases on one line", "", "`C is the third of A` ", ""),
    shape("false phrases on lines", "", "`C is the third of A`\n", ""),
    shape("pictures on one line", "", "![a](b.png) ", ""),
    shape("quotes in quotes", "", ">", " a"),
    shape("lists in lists", "", "- ", "a"),
    shape("brackets", "", "[a](", ""),
    shape("a code span", "`", "A is ", "A`"),
    shape("headings", "", "# a\n\n", ""),
    shape("keys in a header", "", "~~~ now\nkey: E major\n~~~\n\n", ""),
    shape("shapes", "~~~ shape\n", "Cmaj7 133211\n", "~~~\n"),
    shape("changes on one line", "~~~ changes c\n| ", "Q | ", "\n~~~\n"),
    shape("repeats that are not closed", "~~~ changes c\n", "|: A ", ":|\n~~~\n"),
    shape("voicings", "~~~ voicings\n", "A13 D13 : any\n", "~~~\n"),
    shape("diagrams", "~~~ neck\n", "A minor pentatonic, frets 5 to 8\n", "~~~\n"),
    shape("phrases of a fence line", "~~~ riff r", ", meter 3/4", "\ncount 1\ne     0\n~~~\n"),
    shape("riffs", "", "~~~ riff\ncount 1 2 |\ne     2-0-|\n~~~\n\n", ""),
    shape(
        "a riff of many systems",
        "~~~ riff\n",
        "chord A               |\ncount 1 & 2 & 3 & 4 & |\ne     3-0-----6---0---|\n\n",
        "~~~\n",
    ),
    shape(
        "riffs over one progression",
        "~~~ changes c\n|: A | D | E | A :|x99\n~~~\n\n",
        "~~~ riff over c\ncount 1 2 |\ne     2-0-|\n~~~\n\n",
        "",
    ),
    shape(
        "a riff moved again and again",
        "~~~ riff r\ncount 1 2 3 4 |1 2 3 4 |\ne     2-0-2-0-|2-0-2-0-|\n~~~\n\n",
        "~~~ move from r\nup an octave\n~~~\n\n",
        "",
    ),
];

/// Shapes of two rows, each of which grows.
const ROWS: &[(&str, &str, &str)] = &[
    ("counts in one bar", "1 & 2 & 3 & 4 & ", "2-0-----5---0---"),
    ("bars in one line", "1 & 2 & 3 & 4 & |", "2-0-----5---0---|"),
    ("wrong notes in one line", "1 & 2 & 3 & 4 & |", "2-0--3--5---0--3|"),
    ("bar lines that slipped", "& 2 & 3 & 4 & 1 |", "2-0-----5---0---|"),
    ("notes under no count", "1               ", "-5-7-5-7-5-7-5-7"),
];

const HEAD: &str = "---\ntitle: Too much\nkey: A major\n---\n\n";

fn of_size(shape: &Shape, bytes: usize) -> String {
    let again = shape.again.repeat(bytes / shape.again.len());
    [HEAD, shape.before, &again, shape.after].concat()
}

fn of_rows((_, count, string): &(&str, &str, &str), bytes: usize) -> String {
    let times = bytes / (count.len() + string.len());
    let (count, string) = (count.repeat(times), string.repeat(times));
    format!("{HEAD}~~~ riff\ncount {count}\ne     {string}\n~~~\n")
}

/// How long it takes to check a lesson and to write the report.
fn time(text: &str) -> Duration {
    let begun = Instant::now();
    let checked = fretleaf::check("lesson.md", text.as_bytes(), &MemoryFolder::default());
    let report = render(&checked.source, &checked.findings, Colour::Without);
    assert!(report.len() < 400_000, "the report has {} bytes", report.len());
    begun.elapsed()
}

/// Four times the text may take eight times as long, and a moment more for a machine that is busy.
fn assert_in_proportion(name: &str, of_size: impl Fn(usize) -> String) {
    let (few, many) = (time(&of_size(20_000)), time(&of_size(80_000)));
    let most = few * 8 + Duration::from_millis(700);
    assert!(many < most, "{name}: {few:?}, and four times as much {many:?}");
}

#[test]
fn work_grows_no_faster_than_the_lesson() {
    for shape in SHAPES {
        assert_in_proportion(shape.name, |bytes| of_size(shape, bytes));
    }
    for rows in ROWS {
        assert_in_proportion(rows.0, |bytes| of_rows(rows, bytes));
    }
}

#[test]
fn what_no_lesson_asks_for_is_told() {
    let voicings = of_size(&shape("", "~~~ voicings\n", "A13 D13 : any\n", "~~~\n"), 80_000);
    let checked = fretleaf::check("lesson.md", voicings.as_bytes(), &MemoryFolder::default());
    let told = checked.findings.iter().find(|found| found.message.contains("nothing is left"));
    assert_eq!(told.unwrap().rule.name, "block-syntax");
    let title = format!("---\ntitle: {}\n---\n", "a".repeat(2_000));
    let checked = fretleaf::check("lesson.md", title.as_bytes(), &MemoryFolder::default());
    let found = checked.findings.iter().find(|found| found.rule.name == "header-value");
    assert_eq!(found.unwrap().message, "this is too long");
}

#[test]
fn a_rule_that_is_broken_everywhere_is_shown_some_times_and_counted() {
    let text = of_size(&shape("", "", "`q`\n", ""), 2_000);
    let checked = fretleaf::check("lesson.md", text.as_bytes(), &MemoryFolder::default());
    let report = render(&checked.source, &checked.findings, Colour::Without);
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
            let checked = fretleaf::check("lesson.md", lesson, &MemoryFolder::default());
            for colour in [Colour::Without, Colour::With] {
                render(&checked.source, &checked.findings, colour);
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
        let checked = fretleaf::check("lesson.md", text.as_bytes(), &MemoryFolder::default());
        let report = render(&checked.source, &checked.findings, Colour::Without);
        assert!(report.contains("ééé"), "{report}");
    }
}

#[test]
fn a_place_in_a_long_line_is_shown_with_what_is_around_it() {
    let text = format!("{HEAD}{}`q` and so on {}", "word ".repeat(900), "word ".repeat(900));
    let checked = fretleaf::check("lesson.md", text.as_bytes(), &MemoryFolder::default());
    let report = render(&checked.source, &checked.findings, Colour::Without);
    assert!(report.contains("lesson.md:6:4502\n"), "{report}");
    assert!(report.contains("word `q` and so on word"), "{report}");
    assert!(report.len() < 1_000, "{report}");
}
