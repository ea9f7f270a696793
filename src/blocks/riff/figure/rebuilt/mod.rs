//! Nothing that was read is missing from the figure: what each riff says is rebuilt from what is drawn
//! of it, its words and signs, and compared with what the reader read.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::float_cmp)]

mod drawn;
mod read;

use crate::blocks;
use crate::blocks::tab::Tab;
use crate::findings::Findings;
use crate::findings::Source;
use crate::findings::rules::RULES;
use crate::lesson;
use crate::lesson::world::MemoryWorld;
use crate::music::tab::{Joint, Note, Riff};
use drawn::drawn;
use read::read;
use std::collections::BTreeMap;
use std::fs;

/// What a riff says, by what says it: the numbers on each string, the counts, the chords …
type Said = BTreeMap<String, Vec<String>>;

const GAP: f32 = 7.6;
/// So wide that every riff is one system.
const WIDE: f32 = 200_000.0;
const NARROW: f32 = 300.0;

fn say(said: &mut Said, what: impl Into<String>, words: impl Into<String>) {
    said.entry(what.into()).or_default().push(words.into());
}

/// What is put together without an order: signs at one height, remarks that go around one another.
const UNORDERED: [&str; 4] = ["italic", "bends", "sign", "tones"];

fn sorted(mut said: Said) -> Said {
    for (what, words) in &mut said {
        if UNORDERED.iter().any(|bag| what.starts_with(bag)) {
            words.sort();
        }
    }
    said
}

/// Every riff of a lesson.
fn riffs_in(text: &str) -> Vec<Riff> {
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let blocks = blocks::read(&lesson).finish(&lesson, &mut findings);
    blocks.iter().filter_map(|block| Some(block.as_a::<Tab>()?.riff.clone())).collect()
}

/// All lessons of the corpus: the demos, the sound riffs, the examples of the rules.
fn corpus() -> Vec<String> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut texts = Vec::new();
    for folder in ["lessons", "tests/riffs/tuned", "tests/riffs/held-out"] {
        let mut files: Vec<_> =
            fs::read_dir(root.join(folder)).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        let lessons = files.iter().filter(|file| file.extension().is_some_and(|end| end == "md"));
        texts.extend(lessons.map(|file| fs::read_to_string(file).unwrap()));
    }
    let pages = RULES.iter().map(|rule| rule.page());
    texts.extend(pages.flat_map(|page| {
        let fenced = page.split("````").skip(1).step_by(2);
        fenced.map(|text| text.trim_start_matches("text\n").to_owned()).collect::<Vec<_>>()
    }));
    texts
}

/// Asserts that what is drawn is what was read, and tells where it isn't.
fn assert_same(drawn: Said, read: Said, text: &str) {
    let rows: std::collections::BTreeSet<&String> = drawn.keys().chain(read.keys()).collect();
    for row in rows {
        assert_eq!(drawn.get(row), read.get(row), "{row}: drawn and read of\n{text}");
    }
}

/// What techniques there are, each chain under one count or under several.
const TECHNIQUES: &str = r"
~~~ riff
count  1       &       2       &       3       &       4       &       |1       2       3       4   &   |
B      5/7-----7\5---./7-------7/.-----7~~h9---(5)-----x-------(x)-----|0b2-----8b10p5--<12>----7b12----|
G      5h7p5--t12p5----5t12p5--8b10r5--7b9r8---7b9b10--(7)b9r7-7b+r7---|5h7b9---7b------9------r7-------|
accent >               >                                               |                                |
right  ma      .       i                                               |                                |
pick   d       u       x                                               |                            u   |
mute   ========                                                        |                                |
ring           ================        ========                        |========                        |
tone   thin: neck pickup       loud                                    |thin                            |
sung   la      li-                                                     |lo                              |
words  softly  and then loud                                           |                                |
~~~
";

#[test]
fn nothing_that_was_read_is_missing_from_the_figure() {
    let mut seen = 0;
    for text in corpus().iter().map(String::as_str).chain([TECHNIQUES]) {
        for riff in riffs_in(text) {
            seen += 1;
            assert_same(drawn(&riff, WIDE), read(&riff), text);
        }
    }
    assert!(seen > 100, "{seen} riffs");
}

#[test]
fn nothing_is_lost_between_systems() {
    // A joint that leads from system to system is drawn in both.
    let whole = |said: Said| -> Said {
        let parted = ["sign", "spans", "taps", "bends"];
        said.into_iter().filter(|(what, _)| !parted.contains(&what.as_str())).collect()
    };
    for text in corpus().iter().map(String::as_str).chain([TECHNIQUES]) {
        for riff in riffs_in(text) {
            assert_same(whole(drawn(&riff, NARROW)), whole(read(&riff)), text);
        }
    }
}

#[test]
fn what_is_missing_is_noticed() {
    let riff = riffs_in(TECHNIQUES).remove(0);
    let notes = riff.bars.iter().flat_map(|bar| &bar.events).map(|event| event.notes.len());
    assert_eq!(notes.sum::<usize>(), 24, "every chain of the techniques is read");
    let whole = read(&riff);
    let lose = |lose: fn(&mut Riff)| {
        let mut riff = riff.clone();
        lose(&mut riff);
        read(&riff)
    };
    let each = |riff: &mut Riff, lose: fn(&mut Note)| {
        let events = riff.bars.iter_mut().flat_map(|bar| &mut bar.events);
        events.flat_map(|event| &mut event.notes).for_each(lose);
    };
    let notes = |lose: fn(&mut Note)| {
        let mut riff = riff.clone();
        each(&mut riff, lose);
        read(&riff)
    };
    for lost in [
        lose(|riff| riff.bars[0].events[0].signs.clear()),
        lose(|riff| riff.bars[0].events[0].pick = None),
        lose(|riff| riff.bars[1].air.clear()),
        lose(|riff| riff.bars[0].events[0].right.clear()),
        lose(|riff| drop(riff.bars[0].events[0].notes.pop())),
        lose(|riff| drop(riff.bars[0].counts.pop())),
        notes(|note| note.vibrato = false),
        notes(|note| note.slide_out = None),
        notes(|note| note.slide_in = None),
        notes(|note| note.tapped = false),
        notes(|note| note.ghost = false),
        notes(|note| note.graces.clear()),
        notes(|note| note.joined = note.joined.filter(|joint| *joint != Joint::PullOff)),
        notes(|note| note.graces.iter_mut().for_each(|grace| grace.quarter_bend = false)),
    ] {
        assert_ne!(lost, whole);
    }
}
