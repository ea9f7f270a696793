//! Lessons that findings are raised in: what our tests are made of, and what they read.

use super::literals;
use crate::support::hostile_lessons::KINDS;
use crate::{rules, slips};
use fretleaf::paste;
use std::fs;
use std::path::Path;

/// A header for what has none.
const HEAD: &str = "---\ntitle: T\nkey: A major\n---\n\n";

/// Blocks that others may name.
const OTHERS: &str = "~~~ changes verse\n| A / / / | F#m7 / / / | D / E / | A |\n~~~\n\n~~~ riff hook over verse\ncount 1 & 2 & 3 & 4 & |\ne     0---2---0-------|\n~~~\n\n";

/// The folders of `src/blocks` whose tests are of a kind of block, and its word.
const KINDS_OF_BLOCKS: [(&str, &str); 10] = [
    ("changes", "changes"),
    ("looped", "loop"),
    ("lyrics", "lyrics"),
    ("moved", "move"),
    ("neck", "neck"),
    ("riff", "riff"),
    ("say", "say"),
    ("shape", "shape"),
    ("together", "together"),
    ("voicings", "voicings"),
];

/// About so many bytes a hostile lesson has here: enough for each of its findings once.
const HOSTILE: usize = 3_000;

/// So many slips are drawn of each kind.
const SLIPS: usize = 3;

/// All of them.
pub fn lessons() -> impl Iterator<Item = String> {
    let of_rules = rules::examples().flat_map(|(_, example, repaired)| [example, repaired]);
    let read = ["lessons", "tests/riffs/tuned", "tests/riffs/two-parts", "tests/marks"];
    let keyless = files("lessons").into_iter().map(|lesson| keyless(&lesson));
    let read = read.into_iter().flat_map(files).chain(keyless);
    let hostile = KINDS.iter().map(|kind| kind.of_size(HOSTILE));
    of_rules
        .chain(read)
        .chain(slips::slipped(SLIPS))
        .chain(hostile)
        .chain(pasted())
        .chain(written())
}

/// The files of a folder that are lessons.
fn files(folder: &str) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let paths = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let lessons = paths.filter(|path| path.extension().is_some_and(|ending| ending == "md"));
    lessons.filter_map(|path| fs::read_to_string(path).ok()).collect()
}

/// A lesson without the key of its header.
fn keyless(lesson: &str) -> String {
    let lines = lesson.split_inclusive('\n').filter(|line| !line.starts_with("key:"));
    lines.collect()
}

/// The lessons that are made of old tabs.
fn pasted() -> impl Iterator<Item = String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/pasted");
    let paths = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let tabs = paths.filter(|path| path.extension().is_some_and(|ending| ending == "txt"));
    tabs.map(|tab| paste::lesson("A tab", &paste::decoded(&fs::read(tab).unwrap())).text)
}

/// What stands in our own tests, as the lessons that it may be meant as. Within blocks and phrases nothing is taken that
/// has backticks: it is a message rather than a lesson.
fn written() -> impl Iterator<Item = String> {
    let whole = ["src", "tests/it", "tests/support"].into_iter().flat_map(literals::of);
    let whole = whole.filter(|text| is_lesson(text));
    let in_blocks = KINDS_OF_BLOCKS.into_iter().flat_map(|(folder, kind)| {
        let texts = literals::of(&format!("src/blocks/{folder}")).into_iter();
        texts.filter(|text| !text.contains(['`', '~'])).flat_map(move |text| in_block(kind, &text))
    });
    let phrases = literals::of("src/checks/phrases").into_iter().filter(|text| !text.contains('`'));
    let phrases = phrases.map(|text| format!("{HEAD}{OTHERS}A `{text}` b.\n"));
    let in_header = literals::of("src/lesson").into_iter().filter(|text| is_header_line(text));
    let in_header = in_header.map(|line| format!("---\ntitle: T\n{}\n---\n", line.trim()));
    whole.map(with_header).chain(in_blocks).chain(phrases).chain(in_header)
}

/// A text as a block of a kind, and, where it is one line, at the head of one.
fn in_block(kind: &str, text: &str) -> Vec<String> {
    let within = format!("{HEAD}{OTHERS}~~~ {kind}\n{text}\n~~~\n");
    let at_head = format!("{HEAD}{OTHERS}~~~ {kind} x, {text}\n~~~\n");
    if text.contains('\n') { vec![within] } else { vec![within, at_head] }
}

/// Whether a text is a lesson in English that an import left no comments in, which tests cut short.
fn is_lesson(text: &str) -> bool {
    let is_whole = text.contains("~~~") || text.starts_with("---\n");
    is_whole && !["lang: de", "# guessed", "# not read"].iter().any(|part| text.contains(part))
}

fn is_header_line(text: &str) -> bool {
    text.contains(": ") && !text.contains('`') && !text.starts_with('#')
}

fn with_header(text: String) -> String {
    if text.starts_with("---\n") { text } else { HEAD.to_owned() + &text }
}
