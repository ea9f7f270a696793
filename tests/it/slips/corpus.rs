//! The sound riffs, each as a lesson of its own, and what is played in them.

use fretleaf::blocks::tab::Tab;
use fretleaf::compile;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::music::tab::{Bar, Note, Sound};
use fretleaf::theory::{Chord, Key, Ticks};
use std::fs;
use std::path::{Path, PathBuf};

/// A sound riff in a lesson that holds nothing else but the changes that it may be over.
pub struct Subject {
    /// The lesson's text.
    pub text: String,
    /// What is played, in the order of time.
    pub tones: Vec<Tone>,
    /// What is played in each bar, in words that are equal where the bars are.
    pub bars: Vec<String>,
    /// The key, if one is named.
    pub key: Option<Key>,
}

/// A note that is fretted or open.
pub struct Tone {
    /// The index of its bar.
    pub bar: usize,
    /// When, from the riff's start.
    pub at: Ticks,
    /// Its string, 0 the lowest-placed.
    pub string: usize,
    pub fret: u8,
    /// What sounds, as a MIDI number.
    pub pitch: i32,
    /// What each string sounds open, the lowest-placed first.
    pub open: Vec<i32>,
    /// The chord that holds, if one is known.
    pub chord: Option<Chord>,
    /// Whether a joining sign leads to it or on from it.
    pub joined: bool,
    /// The byte of its first digit.
    pub byte: usize,
}

/// The lessons of one half of the corpus, in the order of their names.
pub fn lessons(half: &str) -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/riffs").join(half);
    let mut paths: Vec<PathBuf> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.iter().map(|path| fs::read_to_string(path).unwrap()).collect()
}

/// The riffs of a lesson, each in a lesson of its own.
pub fn subjects(lesson: &str) -> Vec<Subject> {
    let blocks: Vec<&str> = lesson.split("\n~~~\n").collect();
    let (header, _) = lesson.split_once("\n~~~ ").unwrap();
    let body = |block: &str| block[block.find("~~~ ").unwrap()..].to_string();
    let whole = blocks.iter().filter(|block| block.contains("~~~ ")).map(|block| body(block));
    let (riffs, others): (Vec<_>, Vec<_>) = whole.partition(|block| block.starts_with("~~~ riff"));
    let before: String = others.iter().map(|block| format!("{block}\n~~~\n\n")).collect();
    riffs.iter().map(|riff| Subject::read(format!("{header}\n\n{before}{riff}\n~~~\n"))).collect()
}

/// How many bars the riffs of a lesson have.
pub fn bars(lesson: &str) -> usize {
    subjects(lesson).iter().map(|subject| subject.bars.len()).sum()
}

impl Subject {
    fn read(text: String) -> Subject {
        let world = MemoryWorld::default().with_lesson("riff.md", &text);
        let elaborated = compile(&world, "riff.md").unwrap().lesson;
        let key = elaborated.lesson.fences.last().unwrap().setting.key;
        let last = elaborated.blocks.iter().filter_map(|block| block.music.as_deref()).next_back();
        let tab = last.and_then(|music| music.as_a::<Tab>());
        let tab = tab.unwrap_or_else(|| panic!("no riff in\n{text}"));
        let (tones, bars) = (tones(tab, &text), tab.riff.bars.iter().map(in_words).collect());
        Subject { text, tones, bars, key }
    }
}

fn in_words(bar: &Bar) -> String {
    let notes = |notes: &[Note]| -> Vec<String> {
        notes
            .iter()
            .map(|note| format!("{} {:?} {:?}", note.string.index(), note.sound, note.joined))
            .collect()
    };
    let events = bar.events.iter().map(|event| format!("{:?} {:?}", event.at, notes(&event.notes)));
    events.collect::<Vec<_>>().join(", ")
}

fn tones(Tab { riff, places }: &Tab, text: &str) -> Vec<Tone> {
    let instrument = &riff.instrument;
    let open: Vec<i32> =
        instrument.tuning.strings().iter().map(|open| open.midi().number()).collect();
    let mut tones: Vec<Tone> = Vec::new();
    for (bar, content) in riff.bars.iter().enumerate() {
        for event in &content.events {
            for note in &event.notes {
                let Sound::Fret(fret) = note.sound else { continue };
                let span = places.note(bar, event.at, note.string).unwrap().span;
                let written = &text[span.start..span.end];
                if note.joined.is_some()
                    && let Some(before) =
                        tones.iter_mut().rfind(|tone| tone.string == note.string.index())
                {
                    before.joined = true;
                }
                tones.push(Tone {
                    bar,
                    at: content.start + event.at,
                    string: note.string.index(),
                    fret: fret.number(),
                    pitch: open[note.string.index()] + i32::from(fret),
                    open: open.clone(),
                    chord: riff.chord_at(bar, event.at).cloned(),
                    joined: note.joined.is_some(),
                    byte: span.start + written.find(|c: char| c.is_ascii_digit()).unwrap(),
                });
            }
        }
    }
    tones
}
