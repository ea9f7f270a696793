//! The pages: each made of a table that a reader uses, but those about the commands.

use super::{Page, first_sentence};
use crate::blocks::KINDS;
use crate::lesson::kind::IN_EVERY_BLOCK;
use crate::lesson::{KnownKey, known_keys, phrase};
use crate::neck::Tuning;
use crate::theory::scale::{SCALES, ScaleKind};
use crate::theory::{Chord, Letter, Note, Scale};
use crate::words::help::{Section, entry, sign};

/// All pages, in the order in which they are listed.
pub fn pages() -> Vec<Page> {
    let mut pages = vec![header(), now(), phrases(), chords(), scales(), tunings(), blocks()];
    pages.extend(KINDS.iter().map(|kind| {
        let (written, help) = (kind.written(), kind.help());
        let phrases = Section::of_signs("Phrases", written.phrases.iter().map(|one| &one.sign));
        let phrases = Some(phrases).filter(|phrases| !phrases.entries.is_empty());
        let sections = phrases.into_iter().chain(help.sections).collect();
        let example = help.example.to_owned();
        Page { name: written.name, says: help.says.to_owned(), sections, prose: "", example }
    }));
    pages.extend(PROSE.iter().map(|(name, prose)| Page {
        name,
        says: String::new(),
        sections: Vec::new(),
        prose,
        example: String::new(),
    }));
    pages
}

/// What there is to say of commands and files, which no table has.
const PROSE: [(&str, &str); 7] = [
    ("proof", include_str!("prose/proof.md")),
    ("pictures", include_str!("prose/pictures.md")),
    ("chart", include_str!("prose/chart.md")),
    ("watch", include_str!("prose/watch.md")),
    ("script", include_str!("prose/script.md")),
    ("hear", include_str!("prose/hear.md")),
    ("template", include_str!("prose/template.md")),
];

const HEADER: &str = "---
title: Slow Ferry
key: A major
meter: 6/8
tempo: dotted 60
tuning: drop D
capo: 2
handed: left
---

`A major = A B C# D E F# G#`.
";

fn header() -> Page {
    let says = "What holds for the whole lesson: a line a key, between two lines of `---` at the \
                top. Only the title is asked for.";
    let keys = Section::new("Keys", known_keys().iter().map(key));
    page("header", says, vec![keys], HEADER)
}

const NOW: &str = "~~~ now
key: E minor
tempo: 60
~~~

~~~ changes coda, meter 3/4
| Em | Am |
~~~
";

fn now() -> Page {
    let says = "A block that changes what the header says, from there on. The same keys may stand \
                in any fence line, without the colon, for that block alone.";
    let may_change: Vec<KnownKey> = known_keys().into_iter().filter(|key| key.may_change).collect();
    page("now", says, vec![Section::new("Keys", may_change.iter().map(key))], NOW)
}

fn key(key: &KnownKey) -> (String, String) {
    let allowed = key.allowed.as_deref().unwrap_or("any words");
    (format!("{}:", key.name), format!("{}: {allowed}", key.says))
}

const PHRASES: &str = include_str!("examples/phrases.md");

fn phrases() -> Page {
    let says = "Words between backticks in prose are a musical phrase: it is typeset and checked, \
                so that a sentence can't say anything false. Two backticks on either side keep \
                words from being read as music.";
    let forms = Section::of_signs("Forms, and what is checked", &phrase::signs());
    page("phrases", says, vec![forms], PHRASES)
}

const CHORDS: &str = "`Cmaj7 Am7 D7#9 G/B`, and `Am7 = A C E G`.
";

fn chords() -> Page {
    let root = Note::new(Letter::C, 0);
    let notes = |chord: &Chord| spelled(&chord.notes());
    let chord =
        |chord: &Chord| (chord.to_string(), format!("{}: {}", chord.spoken(), notes(chord)));
    let quality = |(says, words): (&str, &[&str])| (words.join(" "), says.to_owned());
    let sections = vec![
        Section::new("Symbols", Chord::usual(root).iter().map(chord)),
        Section::new("Other ways to write a quality", Chord::qualities().map(quality)),
    ];
    let says = "Chord symbols: a root, a quality, figures and changes, and behind a slash the \
                bass. These are written most often; alterations, added tones and `no3`, `no5` may \
                stand behind any, in brackets or not.";
    page("chords", says, sections, CHORDS)
}

const SCALES_EXAMPLE: &str = "`A minor pentatonic = A C D E G`, and `E phrygian dominant`.
";

fn scales() -> Page {
    let entry = |kind: &'static ScaleKind| {
        let scale = Scale { tonic: Note::new(Letter::C, 0), kind };
        (kind.names.join(", "), spelled(&scale.notes()))
    };
    let scales = Section::new("Names, and the notes on C", SCALES.iter().map(entry));
    let says = "Scales are a tonic and one of these names: in phrases, in `neck` blocks, as the \
                key of the header.";
    page("scales", says, vec![scales], SCALES_EXAMPLE)
}

fn tunings() -> Page {
    let entry = |(name, strings): (&str, &str)| (name.to_owned(), strings.to_owned());
    let names = Section::new("Names, and the open strings", Tuning::names().map(entry));
    let says = "Tunings of the header: 3 to 12 open strings, the lowest first, as letters or with \
                their octaves, or one of these names.";
    page("tunings", says, vec![names], "---\ntitle: Drop D\ntuning: drop D\n---\n\n`D5` is low.\n")
}

const BLOCKS: &str = "~~~ changes verse, key E minor -- The verse
| Em | C |
~~~

~~~ changes bridge, caption \"The verse\", not printed
# my own note
meant outside-key: it is borrowed
| C | Fm |
~~~

~~~ shape find-roots, blank, answered
Am x02210
~~~

~~~ neck answer to find-roots
note A, frets 0 to 4
~~~
";

fn blocks() -> Page {
    let kinds =
        KINDS.iter().map(|kind| entry(kind.written().name, first_sentence(kind.help().says)));
    let lines = [
        sign("meant outside-key: it is borrowed", "at its top: what a rule would doubt is meant"),
        sign("# my own note", "a line that isn't read"),
    ];
    let sections = vec![
        Section::new("Kinds", kinds),
        Section::of_signs("On every fence line", &IN_EVERY_BLOCK),
        Section::of_signs("Lines in every block", &lines),
    ];
    let says = "Music stands in fenced blocks: behind `~~~` the kind, a name if it is to be \
                spoken of, and phrases parted by commas. `the NAME` in prose refers to it.";
    page("blocks", says, sections, BLOCKS)
}

fn page(name: &'static str, says: &str, sections: Vec<Section>, example: &str) -> Page {
    Page { name, says: says.to_owned(), sections, prose: "", example: example.to_owned() }
}

fn spelled(notes: &[Note]) -> String {
    notes.iter().map(Note::to_string).collect::<Vec<_>>().join(" ")
}
