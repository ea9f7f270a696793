//! What is mended, what isn't, and that the music stays what it was.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

mod likeness;
mod notes;

use fretleaf::blocks::changes::Changes;
use fretleaf::blocks::shape::Shapes;
use fretleaf::blocks::tab::Tab;
use fretleaf::blocks::tab::places::BarPlace;
use fretleaf::blocks::voicings::Voicings;
use fretleaf::blocks::{self, Music};
use fretleaf::checks;
use fretleaf::findings::mend::{Mended, mend};
use fretleaf::findings::rules::RULES;
use fretleaf::findings::{Findings, Fix, Source, Weight};
use fretleaf::lesson;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::music::tab::Bar;
use fretleaf::theory::{Chord, Ticks};
use proptest::prelude::*;

fn source(text: &str) -> Source {
    Source::new("x.md", text.as_bytes())
}

/// A lesson's text after mending, where anything is mended.
fn mended(text: &str) -> Option<Mended> {
    let check = |text: &str| {
        fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default()).findings
    };
    mend(&source(text), &check(text), &check)
}

/// A text with a fix made in it.
fn with_fix(text: &str, fix: &Fix) -> String {
    let mut text = text.to_owned();
    text.replace_range(fix.span.start..fix.span.end, &fix.replace);
    text
}

fn found_in(text: &str) -> usize {
    fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default()).findings.len()
}

/// The chords, frets, notes, counts and signs that were read of a block, in the order in which they stand.
#[derive(Default)]
struct Read {
    /// Each with the moment at which it stands.
    items: Vec<Item>,
    /// Whether there are counts, without which the moments tell the order alone.
    clocked: bool,
}

type Item = (String, String);

fn music(text: &str) -> Vec<Read> {
    let mut findings = Findings::default();
    let source = source(text);
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let elaborated = checks::elaborate(lesson, &mut findings);
    let of_block = |block: &blocks::Block| {
        block.music.as_deref().map(|music| of_music(music, text)).unwrap_or_default()
    };
    elaborated.blocks.iter().map(of_block).collect()
}

fn of_music(music: &dyn Music, text: &str) -> Read {
    let is_counted = |tab: &Tab| tab.riff.bars.iter().any(|bar| !bar.counts.is_empty());
    let clocked = music.as_a::<Tab>().is_none_or(is_counted);
    Read { items: items(music, text), clocked }
}

fn items(music: &dyn Music, text: &str) -> Vec<Item> {
    let nowhere = |what: String| (String::new(), what);
    if let Some(tab) = music.as_a::<Tab>() {
        let bars = tab.riff.bars.iter().zip(&tab.places.bars);
        bars.flat_map(|(bar, place)| of_bar(bar, place, text)).collect()
    } else if let Some(changes) = music.as_a::<Changes>() {
        let chords = changes.bars.iter().flat_map(|bar| {
            bar.chords.iter().map(|(at, chord)| {
                let chord = chord.as_ref().map(Chord::to_string);
                (format!("bar {} {at:?}", bar.number), format!("{chord:?}"))
            })
        });
        chords.collect()
    } else if let Some(shapes) = music.as_a::<Shapes>() {
        let shapes = shapes.shapes.iter();
        shapes
            .map(|shape| nowhere(format!("{:?} {:?}", shape.name, shape.fingering.frets)))
            .collect()
    } else if let Some(voicings) = music.as_a::<Voicings>() {
        let lines = voicings.lines.iter().flat_map(|line| &line.shapes);
        lines.map(|shape| nowhere(format!("{} {:?}", shape.chord, shape.fingering.frets))).collect()
    } else {
        Vec::new()
    }
}

/// A bar. Of a `notes` row the pitches stand for the frets, which are worked out.
fn of_bar(bar: &Bar, places: &BarPlace, text: &str) -> Vec<Item> {
    let place = |at: Ticks| format!("bar {} {at:?}", bar.number);
    let counts = bar.counts.iter().map(|c| (place(c.at), format!("{} {}", c.sign, c.rest)));
    let symbol = |chord: &Option<Chord>| chord.as_ref().map(Chord::to_string);
    let chords = bar.chords.iter().map(|c| (place(c.at), format!("{:?}", symbol(&c.chord))));
    let notes = bar.events.iter().flat_map(|event| {
        event.notes.iter().map(move |note| {
            let graces: Vec<_> =
                note.graces.iter().map(|grace| (grace.sound, grace.joined)).collect();
            let signs = (note.ghost, note.joined, note.slide_in, note.slide_out, note.vibrato);
            let bent = note.quarter_bend;
            let span = places.note(event.at, note.string).unwrap().span;
            let written = text.get(span.start..span.end).unwrap();
            let sound = match written.starts_with(|c: char| c.is_ascii_uppercase()) {
                true => written.to_owned(),
                false => format!("{} {:?}", note.string.index(), note.sound),
            };
            (place(event.at), format!("{sound} {graces:?} {signs:?} {bent}"))
        })
    });
    let picks = bar.events.iter().filter(|event| event.pick.is_some());
    let picks = picks.map(|event| (place(event.at), format!("{:?}", event.pick)));
    counts.chain(chords).chain(notes).chain(picks).collect()
}

/// Checks that mending leaves no more findings, and all music that was read.
fn assert_music_stays(text: &str) {
    let Some(mended) = mended(text) else { return };
    let (before, after) = (music(text), music(&mended.text));
    assert_eq!(before.len(), after.len(), "{}", mended.difference);
    for (before, after) in before.iter().zip(&after) {
        let mut left = after.items.iter();
        for item in &before.items {
            let is_kept = |kept: &Item| kept.1 == item.1 && (!before.clocked || kept.0 == item.0);
            assert!(left.any(is_kept), "{item:?} is lost:\n{}", mended.difference);
        }
    }
    assert!(found_in(&mended.text) <= found_in(text), "{}", mended.difference);
    let ends = |text: &str| (text.matches("\r\n").count(), text.matches('\n').count());
    assert_eq!(ends(text), ends(&mended.text), "line ends");
}

/// A lesson of a rule's page, with a header where it has none of its own.
fn page_lessons() -> Vec<String> {
    let snippets = RULES.iter().flat_map(|rule| {
        let page = rule.page();
        let pieces: Vec<String> =
            page.split("````").skip(1).step_by(2).map(str::to_owned).collect();
        pieces
    });
    snippets
        .map(|piece| {
            let piece = piece.strip_prefix("text\n").unwrap_or(&piece).to_owned();
            let whole = piece.starts_with("---\n");
            if whole { piece } else { format!("---\ntitle: A rule\n---\n\n{piece}") }
        })
        .collect()
}

#[test]
fn the_example_of_no_rule_loses_music() {
    for lesson in page_lessons() {
        assert_music_stays(&lesson);
        assert_music_stays(&lesson.replace('\n', "\r\n"));
    }
}

#[test]
fn a_chord_a_note_or_a_fret_is_never_mended_by_likeness() {
    for block in [
        "~~~ changes\n| Dmjj7 | A7+ | D2 | A4 | Asuss4 | Amm7 |\n~~~\n",
        "~~~ shape\nAm7x  x 0 2 0 1 0\nA7+   x 0 2 0 2 0\n~~~\n",
        "~~~ shape\nAadd9  x 0 2 2 2 0\n~~~\n",
        "~~~ changes\n| A / / | D / / | E / / |\n~~~\n",
        "~~~ changes\n|: A |1. D :|2. E :|\n~~~\n",
        "~~~ riff\nchord Amm     |\ncount 1   2   |\nB     1---3---|\n~~~\n",
        "~~~ riff\nchord D2      |\ncount 1   2   |\nB     7b--3---|\n~~~\n",
        "~~~ voicings\nAmaj8 D2 : triads on strings 3 2 1\n~~~\n",
        "`Amaj8`, `A2 = A B C# E`, `Am = A C# E`, `C is the third of A`.\n",
        "~~~ riff\ncount 1   2   |\nB     3---15--|\ne     0---h---|\n~~~\n",
    ] {
        let lesson = format!("---\ntitle: One\nkey: A major\n---\n\n{block}");
        assert_eq!(mended(&lesson), None, "{block}");
    }
}

#[test]
fn what_has_one_way_only_is_mended() {
    for (wrong, right) in [
        ("tempo: 92\ntmepo: 90", "tempo: 92\ntmepo: 90"),
        ("tmepo: 92", "tempo: 92"),
        // `pace` and `paper` are as near.
        ("pape: a4", "pape: a4"),
    ] {
        let lesson = |line: &str| format!("---\ntitle: One\n{line}\n---\n");
        let text = mended(&lesson(wrong)).map_or(lesson(wrong), |mended| mended.text);
        assert_eq!(text, lesson(right));
    }
}

/// The demo lessons, cut into their header with one block each, and the changes that it may be over.
fn pieces() -> Vec<String> {
    let lessons = [
        "slow-ferry",
        "night-bus",
        "wet-cement",
        "closed-bakery",
        "paper-kites",
        "lanterns",
        "orchard-gate",
    ];
    let mut pieces = Vec::new();
    for name in lessons {
        let path = format!("{}/lessons/{name}.md", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).unwrap();
        let (header, rest) = text.split_at(text.find("\n---\n").unwrap() + 5);
        let fences: Vec<&str> = rest.split("~~~").skip(1).step_by(2).collect();
        let changes: String = fences
            .iter()
            .filter(|fence| fence.starts_with(" changes"))
            .map(|fence| format!("~~~{fence}~~~\n\n"))
            .collect();
        for fence in
            fences.iter().filter(|fence| fence.starts_with(" riff") || fence.starts_with(" shape"))
        {
            pieces.push(format!("{header}\n{changes}~~~{fence}~~~\n"));
        }
        pieces.push(format!("{header}\n{changes}"));
    }
    pieces
}

const TYPED: &[char] = &[
    '0', '1', '2', '5', '7', '9', '-', '|', ':', 'h', 'p', 'b', 'r', '/', 'x', '(', ')', '~', ' ',
    'A', 'B', 'D', 'G', 'm', 'a', 'j', 's', '#', '△', '+', '&', 'e', 't', '\t', '.', 'd', 'u',
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever one wrong key does to the blocks of a demo lesson, mending loses no music.
    #[test]
    fn a_wrong_key_loses_no_music(
        piece in any::<proptest::sample::Index>(),
        place in any::<proptest::sample::Index>(),
        typed in proptest::sample::select(TYPED),
        how in 0..3,
        windows in any::<bool>(),
    ) {
        let pieces = pieces();
        let piece = piece.get(&pieces);
        let header = piece.find("\n---\n").unwrap() + 5;
        let body: Vec<(usize, char)> =
            piece.char_indices().filter(|(at, _)| *at >= header).collect();
        let (at, old) = *place.get(&body);
        let replaced = if how == 0 { at..at } else { at..at + old.len_utf8() };
        let mut text = piece.clone();
        text.replace_range(replaced, &if how == 1 { String::new() } else { typed.to_string() });
        assert_music_stays(&if windows { text.replace('\n', "\r\n") } else { text });
    }
}

/// A lesson in G major with a figure named `verse`.
fn in_g_major(body: &str) -> String {
    format!("---\ntitle: One\nkey: G major\n---\n\n~~~ changes verse\n| G | Em7 |\n~~~\n\n{body}\n")
}
