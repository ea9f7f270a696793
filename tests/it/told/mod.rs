//! What is told of a figure is all that it shows: every riff of the corpus is rebuilt from its words.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

mod reader;

use fretleaf::blocks::tab::Tab;
use fretleaf::compile;
use fretleaf::ink::Fonts;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::music::tab::{Event, Form, Note, Riff};
use fretleaf::page::{Job, told};
use fretleaf::theory::{Chord, Ticks};
use reader::{Retold, retold};
use std::path::Path;
use std::{fs, panic, thread};

/// The lessons of a folder, in the order of their names.
fn lessons(folder: &str) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let paths = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut paths: Vec<_> =
        paths.filter(|path| path.extension().is_some_and(|end| end == "md")).collect();
    paths.sort();
    paths.iter().map(|path| fs::read_to_string(path).unwrap()).collect()
}

/// Each riff of a lesson with its words.
fn riffs_of(text: &str) -> Vec<(Riff, String)> {
    let world = MemoryWorld::default().with_lesson("lesson.md", text);
    let compiled = compile(&world, "lesson.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let desk = fretleaf::blocks::figure::Desk {
        lang: fretleaf::words::Lang::English,
        fonts: &fonts,
        look: &template.figure,
        width: fretleaf::ink::pt(480.0),
    };
    let blocks = compiled.lesson.blocks.iter().zip(&compiled.lesson.lesson.fences);
    let riffs = blocks.filter_map(|(block, fence)| {
        let riff = block.as_a::<Tab>()?.riff.clone();
        Some((riff, block.figure(&desk, &fence.setting)?.words))
    });
    riffs.collect()
}

/// A note as it is told: fingers only where they are printed.
fn as_told(note: &Note, riff: &Riff) -> Note {
    let mut note = note.clone();
    if !riff.fingered {
        note.finger = None;
        note.graces.iter_mut().for_each(|grace| grace.finger = None);
    }
    note
}

/// An event in words that are equal where events are; what a strumming pattern sounds is told by its boxes.
fn event_words(event: &Event, riff: &Riff) -> String {
    let mut event = event.clone();
    event.meant = false;
    match riff.form {
        Form::Strum(_) => event.notes.clear(),
        _ => event.notes = event.notes.iter().map(|note| as_told(note, riff)).collect(),
    }
    if !riff.timed {
        (event.at, event.duration) = (Ticks::ZERO, Ticks::ZERO);
    }
    format!("{event:?}")
}

fn spoken(chord: Option<&Chord>) -> String {
    chord.map_or("no chord".to_owned(), |chord| chord.spoken().trim().to_owned())
}

fn assert_rebuilt(riff: &Riff, words: &str) {
    let read: Retold = retold(words);
    assert_eq!(read.bars.len(), riff.bars.len(), "{words}");
    for (index, (read, bar)) in read.bars.iter().zip(&riff.bars).enumerate() {
        let place = format!("bar {} of\n{words}", bar.number);
        assert_eq!(read.number, bar.number, "{place}");
        let double = bar.double_end && bar.repeat_end.is_none();
        let signs = (bar.repeat_start, bar.repeat_end, double, bar.ending);
        assert_eq!((read.starts, read.ends, read.double, read.ending), signs, "{place}");
        if riff.timed {
            assert_eq!((read.meter, read.length), (bar.meter, bar.length), "{place}");
            let rests = bar.counts.iter().filter(|count| count.rest).map(|count| count.at);
            assert_eq!(read.rests, rests.collect::<Vec<_>>(), "{place}");
        }
        for row in ["words", "tone", "sung"] {
            let said = bar.remarks(row).iter().map(|remark| (remark.at, remark.text.clone()));
            let told = read.said.iter().filter(|said| said.row == row);
            let told: Vec<(Ticks, String)> =
                told.map(|said| (said.at, said.text.clone())).collect();
            if riff.timed {
                assert_eq!(told, said.collect::<Vec<_>>(), "{place}");
            }
        }
        let air = bar.air.iter().map(|one| format!("{:?} {:?}", one.at, one.pick));
        if riff.form == Form::Tab && riff.timed {
            assert_eq!(read.air, air.collect::<Vec<_>>(), "{place}");
        }
        let events: Vec<String> = bar.events.iter().map(|event| event_words(event, riff)).collect();
        let told: Vec<String> = read.events.iter().map(|event| event_words(event, riff)).collect();
        assert_eq!(told, events, "{place}");
        let is_known = riff.harmony.get(index).is_some_and(|harmony| !harmony.passes.is_empty());
        for event in bar.events.iter().filter(|_| is_known && riff.timed) {
            let told = read.chord_at(event.at);
            assert_eq!(told, spoken(riff.chord_at(index, event.at)), "{:?} {place}", event.at);
        }
    }
    for (row, runs) in [("mute", &read.mutes), ("ring", &read.rings)] {
        if riff.timed {
            assert_eq!(runs.as_slice(), riff.runs(row), "{row} of\n{words}");
        }
    }
    if let Form::Strum(shapes) = &riff.form {
        let shapes = shapes.iter().map(|one| {
            let frets = one.shape.frets.iter().map(|fret| fret.map(|fret| fret.number()));
            (spoken(Some(&one.chord)), frets.collect::<Vec<_>>())
        });
        assert_eq!(read.shapes, shapes.collect::<Vec<_>>(), "{words}");
    }
}

/// What techniques and rows there are.
const ALL_THERE_IS: &str = r"
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

~~~ riff
count  &   |1 la li 2   ' &  (3)    :|x3 1 e & a 2 |
D      5---|7--5--4-5---4-4---------:|---2-2-2-2-4-|
left   1   |3       1   2            |   1 2 3 4   |
~~~
";

#[test]
fn every_riff_is_rebuilt_from_its_words() {
    let mut seen = 0;
    let corpus = ["lessons", "tests/riffs/tuned"].into_iter().flat_map(lessons);
    for text in corpus.chain([ALL_THERE_IS.to_owned()]) {
        for (riff, words) in riffs_of(&text) {
            assert_rebuilt(&riff, &words);
            seen += 1;
        }
    }
    assert!(seen > 250, "{seen} riffs");
}

/// A lesson as it is told.
fn text_of(text: &str) -> String {
    let world = MemoryWorld::default().with_lesson("lesson.md", text);
    let compiled = compile(&world, "lesson.md").unwrap();
    let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
    let job = Job { template: &template, paper: template.paper, fonts: &fonts, draft: false };
    told::text(&compiled.press(&job))
}

const LESSON: &str = "---\ntitle: One\nkey: A major\nteacher: Tobias Renn\n---\n\n\
    Hold `Aadd9` as [here](https://example.org/a), *lightly*.\n\n## Parts\n\n\
    - [ ] tune\n- [x] count\n\n1. one\n   - inner\n2. two\n\n> Slowly.\n\n\
    | Sign | Says |\n| --- | --- |\n| h | hammer-on |\n| | nothing |\n\n```\nas it  stands\n```\n\n\
    ~~~ shape grip, blank, answered -- The grip\nA x 0 2 2 2 0\n~~~\n";

#[test]
fn a_lesson_is_told_in_reading_order() {
    let told = text_of(LESSON);
    for line in [
        "One\n",
        "\nKey A major\n",
        "\nHold Aadd9 as here, lightly.\n\nexample.org/a\n",
        "\n\n\nParts\n\nTo do: tune\nDone: count\n\n1. one\n    – inner\n2. two\n\nQuoted:\n\n    Slowly.\n",
        "\nSign: h; Says: hammer-on\nSays: nothing\n\n",
        "as it  stands\n",
        "\nFigure 1: The grip\nA chord shape.\nA major: an empty box",
        "\n\n\nAnswers\n\nFigure 1: The grip\nA chord shape.\nA major: sixth string silent;",
    ] {
        assert!(told.contains(line), "{line} in\n{told}");
    }
    assert!(told.lines().all(|line| line.chars().count() <= 80), "{told}");
    assert!(!told.contains("\n\n\n\n") && told.ends_with(".\n"), "{told}");
}

/// Of riffs that nothing was fitted to only the number is told, so that they stay unseen.
#[test]
fn riffs_that_nobody_has_seen_are_rebuilt_too() {
    let (here, usual) = (thread::current().id(), panic::take_hook());
    panic::set_hook(Box::new(move |told| {
        if thread::current().id() != here {
            usual(told);
        }
    }));
    let held_out = ["tests/riffs/held-out", "tests/riffs/two-parts-held-out"];
    let riffs: Vec<(Riff, String)> =
        held_out.into_iter().flat_map(lessons).flat_map(|text| riffs_of(&text)).collect();
    let rebuilt = riffs
        .iter()
        .filter(|(riff, words)| panic::catch_unwind(|| assert_rebuilt(riff, words)).is_ok());
    let (rebuilt, all) = (rebuilt.count(), riffs.len());
    drop(panic::take_hook());
    assert!(all > 100 && rebuilt == all, "{rebuilt} of {all}");
}
