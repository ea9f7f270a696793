//! Songs read, checked and drawn.
#![allow(clippy::indexing_slicing)]

use super::{Song, Sung};
use crate::blocks::figure::{Desk, DotLabel, Figure, Joint, Look, RestingParts};
use crate::blocks::{self, Block};
use crate::findings::{Finding, Findings, Source};
use crate::ink::{Fonts, Item, Label, Pt, pt};
use crate::lesson;
use crate::lesson::Setting;
use crate::lesson::world::MemoryWorld;
use crate::words::Lang;

const CHANGES: &str = "~~~ changes verse\n| A / / / | F#m7 / / / | D / E / | A |\n~~~\n";

/// Reads a lesson in A major that has these blocks, and hands over what became of each.
fn with_lesson<T>(text: &str, see: impl FnOnce(&[Block], &[Finding]) -> T) -> T {
    let text = format!("---\ntitle: Songs\nkey: A major\n---\n{text}");
    let mut findings = Findings::default();
    let source = Source::new("lesson.md", text.as_bytes());
    let lesson = lesson::read(&source, &blocks::kinds(), &MemoryWorld::default(), &mut findings);
    let blocks = blocks::read(&lesson).finish(&lesson, &mut findings);
    see(&blocks, &findings.sorted())
}

/// What is found in a lesson: each rule with its message.
fn found(text: &str) -> Vec<String> {
    with_lesson(text, |_, findings| {
        let told = |finding: &Finding| format!("{}: {}", finding.rule.name, finding.message);
        findings.iter().map(told).collect()
    })
}

/// A line with its printed chords in brackets before the words that they stand over.
fn shown(line: &Sung) -> String {
    let chords = |chords: &[super::ChordAt]| {
        let name =
            |chord: &super::ChordAt| format!("[{}]", super::chords::symbol(chord.printed.as_ref()));
        chords.iter().map(name).collect::<String>()
    };
    let words = line.words.iter().map(|word| {
        let parts = word.parts.iter();
        parts.map(|part| chords(&part.chords) + &part.text + &part.hyphen).collect::<String>()
    });
    let after = Some(chords(&line.after)).filter(|after| !after.is_empty());
    words.chain(after).collect::<Vec<String>>().join(" ")
}

/// The lines of the last song of a lesson.
fn lines(text: &str) -> Vec<String> {
    with_lesson(text, |blocks, _| {
        let song = blocks.iter().rev().find_map(|block| block.as_a::<Song>()).unwrap();
        song.sung().map(shown).collect()
    })
}

fn song(rows: &str) -> String {
    format!("~~~ lyrics\n{rows}\n~~~\n")
}

#[test]
fn a_chord_belongs_to_the_word_under_its_column() {
    for (rows, line) in [
        ("chord A   D\nsung  one two", "[A]one [D]two"),
        ("chord   A  D\nsung  one two", "[A]one [D]two"),
        // Over a space to the next word; past the last word behind it.
        ("chord    A  D    E\nsung  one two", "one [A][D]two [E]"),
        ("chord   A\nsung  one two", "[A]one two"),
        // A part of a word; over the hyphen the next part.
        ("chord     A D\nsung  fer-ry man", "fer-[A]ry [D]man"),
        ("chord    A\nsung  fer-ry", "fer-[A]ry"),
        ("chord A  D\nsung  -a-b-", "[A]-a-[D]b-"),
        ("chord A D\nsung  a--b", "[A]a--[D]b"),
        // A column is one character as a reader sees it.
        ("chord A   D\nsung  e\u{301}t\u{301}e\u{301} two", "[A]e\u{301}t\u{301}e\u{301} [D]two"),
        ("chord A        N.C. (low) --\nsung  one two", "[A]one two [N.C.]"),
        ("sung  one two", "one two"),
        ("chord A   D", "[A][D]"),
        // Labels in any case, without a column of their own.
        ("  CHORD A\n  Sung  one", "[A]one"),
    ] {
        assert_eq!(lines(&song(rows)), [line], "{rows}");
        assert_eq!(found(&song(rows)), [""; 0], "{rows}");
    }
}

#[test]
fn blank_lines_part_stanzas_and_rows_stand_alone() {
    let text = "chord A\n\nsung  one\nchord D\nchord E\nsung  two\n# a comment\n\n\nsung  three";
    with_lesson(&song(text), |blocks, findings| {
        let song = blocks[0].as_a::<Song>().unwrap();
        let stanzas: Vec<usize> = song.stanzas.iter().map(|stanza| stanza.lines.len()).collect();
        assert_eq!(stanzas, [1, 3, 1]);
        let lines: Vec<String> = song.sung().map(shown).collect();
        assert_eq!(lines, ["[A]", "one", "[D]", "[E]two", "three"]);
        assert!(findings.is_empty(), "{findings:?}");
    });
}

#[test]
fn what_is_wrong_in_a_song_is_told_with_its_repair() {
    for (rows, told) in [
        ("", vec!["block-syntax: a song without lines"]),
        ("chords A\nsung   one", vec!["row-label: a song has no row `chords`"]),
        ("Down by the river", vec!["row-label: a song has no row `Down`"]),
        ("chord Q\nsung  one", vec!["unknown-chord: `Q` can't be read as a chord"]),
        ("chord .\nsung  one", vec!["block-syntax: a dot, but no block's chords to place"]),
        ("chord | A |\nsung  one", vec!["block-syntax: a song has no bars"; 2]),
        ("[none]\nsung  one", vec!["unknown-name: no `lyrics` block is called `none`"]),
        (
            "chord\tA\nsung  one",
            vec!["tab-character: a tab character; columns can't be told behind it"],
        ),
        ("chord A  Bb\nsung  one two", vec!["outside-key: `Bb` is not in A major"]),
    ] {
        assert_eq!(found(&song(rows)), told, "{rows}");
    }
    let fixes = |rows: &str| {
        with_lesson(&song(rows), |_, findings| {
            let fixes = findings.iter().flat_map(|finding| &finding.fixes);
            fixes.map(|fix| fix.replace.clone()).collect::<Vec<_>>()
        })
    };
    // No column moves.
    assert_eq!(fixes("chords  A\nsung    one"), ["chord "]);
    assert_eq!(fixes("text  A one"), ["sung"]);
    assert_eq!(fixes("chord Amoj7   D\nsung  one two"), ["Amaj7"]);
    assert_eq!(fixes("chord Amoj7 D\nsung  one two"), ["Amaj7"]);
}

#[test]
fn chords_run_through_the_changes_that_they_are_over() {
    let over = |phrase: &str, chords: &str| {
        let song = format!("~~~ lyrics {phrase}\nchord {chords}\nsung  la la la\n~~~\n");
        found(&[CHANGES, song.as_str()].concat())
    };
    let fine: [&str; 0] = [];
    for (phrase, chords, told) in [
        ("over verse", "A F#m7 D E A", fine.to_vec()),
        ("over verse", "A A F#m7 D D E A", fine.to_vec()),
        // Again from the beginning: the last chord is the first.
        ("over verse", "A F#m7 D E A F#m7 D E A", fine.to_vec()),
        ("over verse bars 1 to 3", "A F#m7 D E", fine.to_vec()),
        ("over verse bars 2 to 3", "F#m7 D E F#m7 D E", fine.to_vec()),
        (
            "over verse",
            "A F#m7 D E",
            vec!["chords-short: the song stops at `E`, midway in `verse`"],
        ),
        (
            "over verse",
            "A D",
            vec![
                "chords-differ: `verse` has `F#m7` before this `D`",
                "chords-short: the song stops at `D`, midway in `verse`",
            ],
        ),
        (
            "over verse",
            "A F#m7 Bm D E A",
            vec!["chords-differ: `verse` has no `Bm` here, before its `D`"],
        ),
        (
            "over verse",
            "A C#m D E A",
            vec!["chords-differ: the chord row has `C#m`, but `verse` has `F#m7`"],
        ),
        (
            "over verse bars 3 to 9",
            "A",
            vec!["unknown-name: `verse` has no bar 9, its bars are 1 to 4"],
        ),
        ("over vers", "A", vec!["unknown-name: no `changes` block is called `vers`"]),
        ("over", "A", vec!["block-syntax: `over` names no changes that can be read"]),
        (
            "over verse, over verse",
            "A F#m7 D E A",
            vec!["block-syntax: `over verse` stands beside another phrase of its kind"],
        ),
    ] {
        assert_eq!(over(phrase, chords), told, "{phrase}: {chords}");
    }
}

#[test]
fn dots_place_the_chords_of_another_block_line_by_line() {
    let first = "~~~ lyrics one\nchord A   D\nsung  one two\nchord E\nsung  three\n~~~\n";
    let second = |rows: &str| format!("{first}~~~ lyrics two as one\n{rows}\n~~~\n");
    for (rows, wanted) in [
        ("chord .   .\nsung  six ten\nchord   .\nsung  a bit", vec!["[A]six [D]ten", "a [E]bit"]),
        // A line without dots gets them at its start; behind its last line the block begins again.
        ("sung  six ten\nsung  two\nsung  four", vec!["[A][D]six ten", "[E]two", "[A][D]four"]),
        // A symbol stands for the one whose place it takes.
        ("chord .   E7\nsung  six ten", vec!["[A]six [E7]ten"]),
    ] {
        assert_eq!(lines(&second(rows)), wanted, "{rows}");
        assert!(found(&second(rows)).is_empty(), "{rows}");
    }
    let told = found(&second("chord .\nsung  six"));
    assert_eq!(told, ["block-syntax: line 1 of `one` has 2 chords, but 1 stands here"]);
    // Lines of a chart do as well; a block may stand further down.
    let below =
        format!("~~~ lyrics as verse\n~~~\n~~~ lyrics w as verse\nsung  la\n~~~\n{CHANGES}");
    assert_eq!(lines(&below), ["[A][F#m7][D][E][A]la"]);
    for (text, told) in [
        ("~~~ lyrics a as b\nsung x\n~~~\n~~~ lyrics b as a\nsung y\n~~~\n", 2),
        ("~~~ lyrics a as a\nsung x\n~~~\n", 1),
    ] {
        let found = found(text);
        assert_eq!(found.len(), told, "{found:?}");
        assert!(found.iter().all(|one| one.contains("back to this block")), "{found:?}");
    }
    let told = found("~~~ lyrics a as nothing\nsung x\n~~~\n");
    assert_eq!(told, ["unknown-name: no song and no `changes` block is called `nothing`"]);
}

#[test]
fn a_song_is_sung_higher_and_played_with_a_capo() {
    let named = |phrases: &str, chords: &str| {
        lines(&format!("~~~ lyrics s {phrases}\nchord {chords}\n~~~\n")).concat()
    };
    for (phrases, chords, printed) in [
        ("sing up 2", "A F#m7 D/F#", "[B][G#m7][E/G#]"),
        ("sing down a minor third", "A E", "[F#][C#]"),
        ("sing up 12", "A", "[A]"),
        ("capo 2", "A E F#m", "[G][D][Em]"),
        ("capo none", "A E", "[A][E]"),
        ("capo 2, sing up 2", "A E", "[A][E]"),
        ("capo best", "Bb F Gm Eb", "[G][D][Em][C]"),
        ("capo best", "A D E", "[A][D][E]"),
        // Without a key the names with the fewest signs.
        ("sing up 1, key none", "A D", "[Bb][Eb]"),
        ("sing up 1, key none", "C F", "[Db][Gb]"),
        ("sing up 6, key none", "F C", "[B][F#]"),
    ] {
        assert_eq!(named(phrases, chords), printed, "{phrases}: {chords}");
    }
    for (phrases, told) in [
        ("capo 22", "`capo 22` names no place for a capo"),
        ("capo nowhere", "`capo nowhere` names no place for a capo"),
        ("sing", "`sing` doesn't say which way"),
        ("sing up", "`sing up` doesn't say how far"),
        ("sing up a third", "`sing up a third` doesn't say how far"),
        ("sing up 13", "`sing up 13` doesn't say how far"),
        ("near fret 3", "`near fret 3` is no phrase of a `lyrics` block"),
    ] {
        let told = vec![format!("block-syntax: {told}")];
        assert_eq!(found(&format!("~~~ lyrics s {phrases}\nsung a\n~~~\n")), told);
    }
}

#[test]
fn each_box_stands_once_above_the_first_part_with_the_same_capo() {
    let text = "~~~ shape\nA 577655\n~~~\n~~~ lyrics a\nchord A D A\n~~~\n\
                ~~~ lyrics b, capo 2\nchord A\n~~~\n~~~ lyrics c\nchord E D\n~~~\n\
                ~~~ lyrics d, not printed\nchord B7\n~~~\n";
    with_lesson(text, |blocks, _| {
        let boxes = |index: usize| {
            let song = blocks[index].as_a::<Song>().unwrap();
            let told = song.boxes.iter().map(|one| (one.chord.to_string(), one.fingering.clone()));
            told.map(|(chord, shape)| {
                let fret = |fret: &Option<crate::neck::Fret>| {
                    fret.map_or("x".to_owned(), |fret| fret.to_string())
                };
                format!("{chord} {}", shape.frets.iter().map(fret).collect::<String>())
            })
            .collect::<Vec<_>>()
        };
        // The lesson's own shape, else the best; in the order in which the whole song needs them.
        assert_eq!(boxes(1), ["A 577655", "D xx0232", "E 022100"]);
        assert_eq!(boxes(2), ["G 320003"]);
        assert!(boxes(3).is_empty());
        assert!(boxes(4).is_empty());
    });
}

#[test]
fn a_song_has_turns_and_no_clock() {
    with_lesson(
        "~~~ lyrics s\nchord A N.C. D\nsung  a b\n~~~\n~~~ lyrics t\nsung a\n~~~\n",
        |blocks, _| {
            let music = |index: usize| blocks[index].music.as_deref().unwrap();
            assert_eq!((music(0).turns(), music(0).length()), (Some(3), None));
            assert_eq!(music(0).bars(), blocks::Bars::Without);
            let chords = music(0).chords();
            assert_eq!(chords.iter().map(|(_, chord)| chord.to_string()).collect::<String>(), "AD");
            assert_eq!(music(1).turns(), None);
        },
    );
    let moved = found("~~~ lyrics s\nchord A\n~~~\n~~~ move m from s\nup an octave\n~~~\n");
    assert_eq!(moved, ["block-syntax: `s` is no riff, nor one that was moved"]);
}

fn look() -> Look {
    Look {
        string_gap: pt(8.5),
        fret_size: pt(10.0),
        symbol_size: pt(13.0),
        small_size: pt(9.0),
        sung_size: pt(11.0),
        box_gap: pt(11.0),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    }
}

fn drawn(text: &str, width: f32) -> Figure {
    with_lesson(text, |blocks, _| {
        let (fonts, look) = (Fonts::new(), look());
        let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(width) };
        let block = blocks.iter().rev().find(|block| block.as_a::<Song>().is_some()).unwrap();
        block.figure(&desk, &Setting::default()).unwrap()
    })
}

/// The texts of a drawing with their left and right ends and their baselines; boxes are left aside.
fn texts(items: &[Item]) -> Vec<(String, Pt, Pt, Pt)> {
    let mut found = Vec::new();
    for item in items {
        match item {
            Item::Text(at, text) => {
                found.push((text.characters(), at.x, at.x + text.width, at.y));
            }
            Item::Group(group) if group.offset.x == Pt::ZERO && group.label == Label::None => {
                found.extend(texts(&group.items));
            }
            _ => {}
        }
    }
    found
}

#[test]
fn names_stand_over_their_words_and_never_touch() {
    let rows = "chord A D Ebmaj7 Db/F C#7b9 A\nsung  a i illill-illi illil I\n";
    let figure = drawn(&song(rows), 470.0);
    // The words stand behind the boxes.
    let texts = texts(&figure.strips.last().unwrap().items);
    let top = texts.iter().map(|text| text.3.0).fold(f32::MAX, f32::min);
    let mut names: Vec<_> = texts.iter().filter(|text| text.3.0 < top + 1.0).collect();
    names.sort_by(|one, other| one.1.0.total_cmp(&other.1.0));
    assert_eq!(names.len(), 6);
    for pair in names.windows(2) {
        assert!(pair[0].2 + pt(4.0) < pair[1].1, "{pair:?}");
    }
    let words = ["a", "i", "illill", "illi", "illil", "I"];
    let mut sung: Vec<_> = texts.iter().filter(|text| words.contains(&text.0.as_str())).collect();
    sung.sort_by(|one, other| one.1.0.total_cmp(&other.1.0));
    for (word, name) in sung.iter().zip(&names) {
        assert_eq!(word.1, name.1, "{word:?} {name:?}");
    }
}

#[test]
fn a_long_line_is_broken_between_words_into_even_rows() {
    let words = "chord A                         D\n\
                 sung  and all of the boats in the har-bour are row-ing a-way from the shore";
    let figure = drawn(&song(words), 250.0);
    let line = figure.strips.last().unwrap();
    assert!(line.width <= pt(250.0));
    let texts = texts(&line.items);
    let mut rows: Vec<(i32, Pt, Pt)> = Vec::new();
    for (_, left, right, y) in texts.iter().filter(|text| text.0.trim().len() != 1 || text.0 == "a")
    {
        match rows.iter_mut().find(|row| row.0 == y.0 as i32) {
            Some(row) => (row.1, row.2) = (row.1.min(*left), row.2.max(*right)),
            None => rows.push((y.0 as i32, *left, *right)),
        }
    }
    assert_eq!(rows.len(), 2, "{rows:?}");
    // The second is moved in, and no scrap.
    assert!(rows[1].1 > pt(15.0) && rows[1].2 > pt(150.0), "{rows:?}");
}

#[test]
fn a_name_stands_nearer_to_its_words_than_to_the_line_above() {
    let figure = drawn(&song("chord A\nsung  row\nchord D\nsung  home\n"), 130.0);
    let [.., above, line] = &figure.strips[..] else { panic!("two lines") };
    let Some(Joint::Held(air)) = figure.joints.last() else { panic!("a stanza is whole") };
    let places = |items: &[Item]| {
        let mut places: Vec<Pt> = texts(items).iter().map(|text| text.3).collect();
        places.sort_by(|one, other| one.0.total_cmp(&other.0));
        places
    };
    let (over, here) = (places(&above.items), places(&line.items));
    let (rise, from_above) = (here[1] - here[0], above.height - over[1] + *air + here[0]);
    assert!(from_above > rise * 1.6, "{rise:?} {from_above:?}");
}

#[test]
fn short_stanzas_stand_in_two_columns() {
    let stanza = "chord A     D\nsung  row on home\nsung  row\nsung  row\nsung  row\n\n";
    let figure = drawn(&song(&stanza.repeat(3)), 470.0);
    // The boxes with their label, and the words in one strip.
    assert_eq!(figure.strips.len(), 2);
    let words = texts(&figure.strips[1].items);
    let right = words.iter().filter(|text| text.1 > pt(200.0)).count();
    assert_eq!((words.len(), right), (3 * 8, 8));
    // A stanza alone is parted in its middle where it is long.
    let one = |lines: usize| {
        let figure = drawn(&song(&format!("chord A\n{}", "sung  row\n".repeat(lines))), 470.0);
        let right = |text: &&(String, Pt, Pt, Pt)| text.1 > pt(200.0);
        texts(&figure.strips[1].items).iter().filter(right).count()
    };
    assert_eq!((one(7), one(8)), (0, 4));
    // In a narrow column they stand one under the other, a line a strip.
    let narrow = drawn(&song(&stanza.repeat(3)), 130.0);
    assert_eq!(narrow.strips.len(), 3 * 4 + 2);
    // Songs of any length can be parted between pages.
    let long = drawn(&song(&stanza.repeat(60)), 470.0);
    assert!(long.strips.len() > 5);
}

#[test]
fn the_songs_chords_stand_above_its_first_words_and_no_page_parts_them() {
    let figure = drawn(&song("chord A     D\nsung  row on home\nsung  row\nsung  row\n"), 470.0);
    let [Item::Text(at, label), ..] = &figure.strips[0].items[..] else { panic!("no label") };
    assert_eq!((label.characters().as_str(), at.x), ("the song’s chords", Pt::ZERO));
    let held = |joint: &Joint| matches!(joint, Joint::Held(_));
    assert!(figure.joints.len() == 4 && figure.joints.iter().all(held), "{:?}", figure.joints);
    assert!(figure.elements.iter().all(|element| element.strip > 0), "{:?}", figure.elements);
}

#[test]
fn a_song_is_told_in_words() {
    let rows = "chord A       D   E\nsung  Row the fer-ry home\nchord A N.C.\n\n[s]";
    let figure = drawn(&format!("~~~ lyrics s, capo 2 -- The crossing\n{rows}\n~~~\n"), 470.0);
    assert!(figure.words.starts_with(
        "Capo 2, sounds in A major.\nStanza 1.\nLine 1: G major, “Row the”; C major, “fer-”; D major, \
         “-ry home”.\nLine 2: G major and no chord.\nStanza 2.\nHere The crossing is sung again.\n\
         Chord boxes:\nG major: "
    ), "{}", figure.words);
    let why = drawn("~~~ lyrics, capo best\nchord Bb F\n~~~\n", 470.0);
    let notes: Vec<String> = why.notes.iter().map(|note| note.text()).collect();
    assert_eq!(notes, ["2 of 2 chords are open shapes, 0 without it"]);
}
