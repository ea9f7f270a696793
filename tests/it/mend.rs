//! What is mended, what isn't, and that the music stays what it was.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use fretleaf::blocks::changes::Changes;
use fretleaf::blocks::shape::Shapes;
use fretleaf::blocks::voicings::Voicings;
use fretleaf::blocks::{self, Music};
use fretleaf::checks;
use fretleaf::findings::mend::{Mended, mend};
use fretleaf::findings::rules::RULES;
use fretleaf::findings::{Findings, Fix, Source, Weight};
use fretleaf::lesson;
use fretleaf::lesson::world::MemoryWorld;
use fretleaf::music::tab::{Bar, Riff};
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
    let is_counted = |riff: &Riff| riff.bars.iter().any(|bar| !bar.counts.is_empty());
    let clocked = music.as_a::<Riff>().is_none_or(is_counted);
    Read { items: items(music, text), clocked }
}

fn items(music: &dyn Music, text: &str) -> Vec<Item> {
    let nowhere = |what: String| (String::new(), what);
    if let Some(riff) = music.as_a::<Riff>() {
        riff.bars.iter().flat_map(|bar| of_bar(bar, text)).collect()
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
fn of_bar(bar: &Bar, text: &str) -> Vec<Item> {
    let place = |at: Ticks| format!("bar {} {at:?}", bar.number);
    let counts = bar.counts.iter().map(|c| (place(c.at), format!("{} {}", c.sign, c.rest)));
    let symbol = |chord: &Option<Chord>| chord.as_ref().map(Chord::to_string);
    let chords = bar.chords.iter().map(|c| (place(c.at), format!("{:?}", symbol(&c.chord))));
    let notes = bar.events.iter().flat_map(|event| {
        event.notes.iter().map(move |note| {
            let graces: Vec<_> =
                note.graces.iter().map(|grace| (grace.fret, grace.joined)).collect();
            let signs = (note.ghost, note.joined, note.slide_in, note.slide_out, note.vibrato);
            let bent = note.quarter_bend;
            let written = text.get(note.span.start..note.span.end).unwrap();
            let sound = match written.starts_with(|c: char| c.is_ascii_uppercase()) {
                true => written.to_owned(),
                false => format!("{} {:?}", note.string, note.sound),
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

/// A lesson in G major with a figure named `verse`.
fn in_g_major(body: &str) -> String {
    format!("---\ntitle: One\nkey: G major\n---\n\n~~~ changes verse\n| G | Em7 |\n~~~\n\n{body}\n")
}

#[test]
fn no_sentence_is_mended_unasked() {
    for sentence in [
        "G major = G A B C D E Gb",
        "D7 = D Gb A C",
        "Gb in D7",
        // `Bbm9` was meant, and `F#`.
        "Db in Bm9",
        "F# A# C# is Gb",
        "D is V7",
        "A is V",
        "Am is iv",
        "Em7 is ii7",
        "G Em C A is I vi IV V",
        "C/E is VI",
        "C to E is a minor third",
        "F to A is a major third down",
        "E to C is a major third",
        "D is the third of G",
        "B D G = G",
        "G = B D G",
        "C = C E Fb G",
    ] {
        let text = in_g_major(&format!("`{sentence}`."));
        assert!(found_in(&text) > 0, "{sentence}");
        assert_eq!(mended(&text), None, "{sentence}");
    }
}

#[test]
fn a_key_in_doubt_rewrites_no_numeral() {
    for header in ["key: G major\nkeyy: A minor", "keyy: A minor\nkey: G major"] {
        let lesson = format!("---\ntitle: One\n{header}\n---\n\nThe `G is i`, `Am is i`.\n");
        assert_eq!(mended(&lesson), None, "{header}");
    }
}

#[test]
fn a_key_is_mended_into_one_that_is_not_given_and_at_one_letter() {
    for (lines, right) in [
        ("tempoo: 80\ntempo: 120", None),
        ("tempo: 120\ntempoo: 80", None),
        ("note: 3", None),
        ("state: 3", None),
        ("weights: none", None),
        ("tempoo: 80", Some("tempo: 80")),
        ("tmepo: 80", Some("tempo: 80")),
    ] {
        let lesson = |lines: &str| format!("---\ntitle: One\n{lines}\n---\n");
        let text = mended(&lesson(lines)).map(|mended| mended.text);
        assert_eq!(text, right.map(lesson), "{lines}");
        let now = |lines: &str| in_g_major(&format!("~~~ now\n{lines}\n~~~"));
        let is_now = right.is_some() || lines.contains("tempo: 120");
        let text = mended(&now(lines)).map(|mended| mended.text);
        assert_eq!(text, right.filter(|_| is_now).map(now), "now: {lines}");
    }
    let fence = in_g_major("~~~ changes, tempo 80, tmepo 90\n| G |\n~~~");
    assert_eq!(mended(&fence), None);
}

#[test]
fn a_letter_that_slipped_behind_the_colon_is_no_part_of_the_value() {
    for (line, meant) in [
        ("tunin:g G C E A", "tuning: G C E A"),
        ("tunin:g D A D G B E", "tuning: D A D G B E"),
        ("tunin: gEADGBE", "tuning: EADGBE"),
        ("titl:e Low", "title: Low"),
    ] {
        let lesson = |line: &str| format!("---\nteacher: Ada Birk\n{line}\n---\n");
        let text = lesson(line);
        assert_eq!(mended(&text), None, "{line}");
        let findings =
            fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default()).findings;
        let unknown = findings.iter().find(|found| found.rule.name == "header-key").unwrap();
        let first = &unknown.fixes[0];
        let mut text = text;
        text.replace_range(first.span.start..first.span.end, &first.replace);
        assert_eq!(text, lesson(meant));
    }
}

#[test]
fn of_two_keys_that_may_be_the_same_none_is_mended() {
    for lines in [
        "kee: A major\nkye: D major",
        "kee: A major\nkee: D major",
        "keyy: A minor\nkay: C major\ncapo: 2",
        "tunning: drop D\ntunig: D A D G A D",
        // `capo0` isn't `capo` alone, but may be.
        "capp: 2\ncapo0: 3",
    ] {
        let lesson = format!("---\ntitle: One\n{lines}\n---\n");
        assert_eq!(mended(&lesson), None, "{lines}");
        let now = in_g_major(&format!("~~~ now\n{lines}\n~~~"));
        assert_eq!(mended(&now), None, "now: {lines}");
    }
    // A comment is no key.
    let lesson = |key: &str| format!("---\ntitle: One\n# kee: A major\n{key}: D major\n---\n");
    assert_eq!(mended(&lesson("kye")).map(|mended| mended.text), Some(lesson("key")));
}

#[test]
fn a_rows_label_is_mended_where_the_row_tells_what_it_is() {
    let lesson = |top: &str, row: &str| {
        in_g_major(&format!("~~~ riff\n{top}\nG       0---2---0---2---|\n{row}\n~~~"))
    };
    let count = "count   1   2   3   4   |";
    for row in [
        "kick    d   d   d   d   |",
        "tick    d   d   d   d   |",
        "lick    d   u   d   u   |",
        "bone    1   3   1   3   |",
        "zone    1   3   1   3   |",
        "lords   soft            |",
        "wards   soft            |",
        "sun     la  lo          |",
        "sunk    la  lo          |",
        "let     1   2   1   2   |",
        "light   i   m   i   m   |",
        "king    ------------    |",
        "mate    ------------    |",
        // Notes as well as chords, and words.
        "chort   A   D           |",
        "chort   soft            |",
        "chort                   |",
    ] {
        let text = lesson(count, row);
        assert!(found_in(&text) > 0, "{row}");
        assert_eq!(mended(&text), None, "{row}");
    }
    for (wrong, right) in [
        (
            lesson("cuont   1   2   3   4   |", "left    1   2   3   4   |"),
            lesson(count, "left    1   2   3   4   |"),
        ),
        (lesson(count, "chrod   G   D7          |"), lesson(count, "chord   G   D7          |")),
    ] {
        assert_eq!(mended(&wrong).map(|mended| mended.text), Some(right));
    }
    for row in ["cuont   la  lo  la  lo  |", "mount   soft            |"] {
        assert_eq!(mended(&lesson(row, "left    1   2   3   4   |")), None, "{row}");
    }
}

#[test]
fn no_name_of_a_block_is_mended_by_likeness() {
    let lesson = |name: &str, said: &str| {
        format!("---\ntitle: One\n---\n\n~~~ changes {name}\n| G |\n~~~\n\nSee `the {said}`.\n")
    };
    for (name, said) in [
        ("verse", "vers"),
        ("verse", "vase"),
        ("intro", "outro"),
        ("part-a", "part-b"),
        ("lick", "link"),
    ] {
        assert_eq!(mended(&lesson(name, said)), None, "{said} for {name}");
    }
}

#[test]
fn a_note_that_may_have_been_meant_is_not_moved_to_others() {
    let quarters = "count   1   2   3   4   |";
    let eighths = "count   1   &   2   &   3   &   4   &   |";
    for rows in [
        // A dotted rhythm without its `a`, once and again.
        &[quarters, "G       5--5-------5----|"][..],
        &[quarters, "G       3--3----3--3----|"],
        // Swing drawn by eye.
        &[eighths, "G       5----7--5----7--5----7--5----7--|"],
        // A grace note that is as near to the count behind it.
        &[eighths, "G       -----4h5------------------------|"],
        // A roll, and a grace note on the next string.
        &[
            eighths,
            "B       5-------0-----------------------|",
            "G       -5-----------------------------|",
        ],
        // A sixteenth that isn't counted, as near as the beat.
        &["count   1   &   2   &   3   &   4   &   |", "G       0---2--3----7---8---10----------|"],
        // A grace note whose `h` was lost.
        &[eighths, "G       0---12---3------------------|"],
        &["count   1     &     2     &     |", "G       0----12-----3-----------|"],
        // An uncounted sixteenth among quarters.
        &["count   1     2     3     4     |", "G       0------2----0-----------|"],
        // No fret of this neck.
        &[eighths, "G       5---55---55-----------------79--|"],
    ] {
        let text = in_g_major(&format!("~~~ riff\n{}\n~~~", rows.join("\n")));
        assert_eq!(mended(&text), None, "{rows:?}");
    }
}

#[test]
fn notes_that_may_have_been_meant_where_they_stand_are_the_authors() {
    let eighths = "count   1   &   2   &   3   &   4   &   |";
    let two = "count   1   &   2   &   |1   &   2   &   |";
    for rows in [
        // Midway, as a sixteenth.
        &[eighths, "G       0-2-----0-------0-------2-------|"][..],
        &["count   1 & 2 & 3 & 4 & |", "G       -0--0---0---0---|"],
        // A shuffle.
        &[
            "count   1     &     2     &     3     &     4     &     |",
            "G       0-------2---0-----------0-----------0-----------|",
        ],
        // Three columns apart: `2` at 4 is as well the second third.
        &["count   1  &  2  &  3  &  4  &  |", "G       0---2-0-----0-----2-----|"],
        // The count row has lost a column.
        &[
            "count   1   &   2  &   3   &   4   &   |1   &   2   &   3   &   4   &   |",
            "B       --------0---3-------------------|--------0---3-------------------|",
            "G       0---2-----------0---2---0---2---|0---2-----------0---2---0-------|",
        ],
        // The row's own bar line before it is a column short, and its note stands right.
        &[
            "count   1     &     2     &     |1     &     2     &     |",
            "B       ------------------------|0-----------------------|",
            "G       0-----3----------------|-------3----------------|",
        ],
        // Another string slips in the same bar.
        &[
            eighths,
            "B       ---------0----------------------|",
            "G       0---2--------0------------------|",
        ],
        // The bar line has slipped with the notes, or the counts have.
        &[two, "G       0----2---0---2---|0---2---0---2---|"],
        &[two, "G       0--2---0---2---|0---2---0---2---|"],
        &[
            "count   1   &   2    &   |1   &   2   &   |",
            "G       0---2---0---2---|0---2---0---2---|",
        ],
        &[
            "count   1   trip let 2   &   3   &   4   &   |",
            "G       0---2----4---0------2-----0-------2-------|",
        ],
        // The bar line of the count row has slipped.
        &[
            two,
            "B       0---3------------|0---3-----------|",
            "G       0----2-------0---|0---2---0---2---|",
            "D       -----------------|----------------|",
        ],
        // A bar line among notes.
        &[two, "B       5---7---8---9----|5---7---8---9---|"],
        &[two, "B       5---7---8---9--|5---7---8---9---|"],
        &[
            two,
            "B       5---7---8---9---|5---7---8---9--|",
            "G       ----------------|----------------|",
        ],
    ] {
        let text = in_g_major(&format!("~~~ riff\n{}\n~~~", rows.join("\n")));
        let found = found_in(&text);
        assert!(found > 0, "{rows:?}");
        assert_eq!(mended(&text), None, "{rows:?}");
    }
}

#[test]
fn behind_a_tab_that_leaves_open_how_wide_it_is_no_note_is_moved() {
    let rows = "count   1   &   2   &   |\nG       0----2--0---2---|\nleft\t1\t\t2\t3";
    let text = in_g_major(&format!("~~~ riff\n{rows}\n~~~"));
    let text = mended(&text).map_or(text, |mended| mended.text);
    assert!(!text.contains('\t') || text.contains("0----2--0"), "{text}");
}

/// A lesson with a row of three bars under notes.
fn with_bars(label: &str, bars: [&str; 3]) -> String {
    let count = "1   2   3   4   |".repeat(3);
    let notes = "0---2---0---2---|".repeat(3);
    let row = bars.map(|bar| format!("{bar}|")).concat();
    in_g_major(&format!("~~~ riff\ncount   {count}\nG       {notes}\n{label:<8}{row}\n~~~"))
}

#[test]
fn a_bar_line_is_moved_between_empty_bars() {
    let empty = " ".repeat(16);
    for (label, sign) in [("words", "slow            "), ("left", "2               ")] {
        let right = with_bars(label, [sign, &empty, &empty]);
        for slipped in [[15, 17], [17, 15], [16, 15], [16, 18]] {
            let [second, third] = slipped.map(|length| " ".repeat(length));
            let wrong = with_bars(label, [sign, &second, &third]);
            assert_eq!(
                mended(&wrong).map(|mended| mended.text),
                Some(right.clone()),
                "{slipped:?}"
            );
        }
    }
}

#[test]
fn a_bar_line_beside_signs_of_its_row_is_the_authors() {
    let empty = " ".repeat(16);
    for (label, sign) in [
        ("left", "2"),
        ("right", "i"),
        ("pick", "d"),
        ("accent", ">"),
        ("chord", "G"),
        ("sung", "la"),
        ("words", "soft"),
        ("mute", "---"),
        ("ring", "---"),
    ] {
        for (place, lengths) in [(0, [17, 15]), (0, [18, 14]), (2, [15, 17]), (0, [15, 17])] {
            let [first, second] = lengths;
            let (sole, other) = (format!("{sign:first$}"), format!("{sign:second$}"));
            let late = format!("{:place$}{sign:<width$}", "", width = second - place);
            for bars in [
                [sole.as_str(), other.as_str(), &empty],
                [sole.as_str(), late.as_str(), &empty],
                [&empty, sole.as_str(), other.as_str()],
                [sole.as_str(), &" ".repeat(second), &empty],
                [&" ".repeat(first), other.as_str(), &empty],
            ] {
                let text = with_bars(label, bars);
                assert!(found_in(&text) > 0, "{label} {bars:?}");
                assert_eq!(mended(&text), None, "{label} {bars:?}");
            }
        }
    }
}

#[test]
fn both_readings_of_a_bar_line_beside_signs_are_offered() {
    let empty = " ".repeat(16);
    for (wrong, line, bar) in [
        (
            ["G                 ", "D   G         "],
            ["G               ", "  D   G         "],
            ["G               ", "D   G           "],
        ),
        (
            ["G             ", "  D   G           "],
            ["G               ", "D   G           "],
            ["G               ", "  D   G         "],
        ),
    ] {
        let lesson = |[first, second]: [&str; 2]| with_bars("chord", [first, second, &empty]);
        let text = lesson(wrong);
        let findings = fretleaf::check("x.md", text.as_bytes(), &MemoryWorld::default()).findings;
        let adrift = findings.iter().find(|finding| finding.rule.name == "bar-adrift").unwrap();
        let offered: Vec<String> = adrift.fixes.iter().map(|fix| with_fix(&text, fix)).collect();
        assert_eq!(offered, [lesson(line), lesson(bar)]);
    }
}

#[test]
fn a_tab_is_as_wide_as_all_bar_lines_tell() {
    let lesson = |rows: &str| in_g_major(&format!("~~~ riff\n{rows}\n~~~"));
    let told = "count   1   2   3   4   |\nG\t0---2---0---2---|";
    let mended_text = mended(&lesson(told)).map(|mended| mended.text);
    assert_eq!(mended_text, Some(lesson(&told.replace('\t', "       "))));
    for open in [
        "count   1   2   3   4   |\nG\t  0---2---0---2---|\nB\t0---2---0---2---|",
        "count   1   2   3   4   |\nG\t0---2---0---2---|\nsung\tla  lo        lo  |",
    ] {
        assert_eq!(mended(&lesson(open)), None, "{open}");
    }
}

#[test]
fn words_that_cannot_be_read_behind_a_figures_name_are_told() {
    let riff = "~~~ riff fig\ncount 1   2   |\nB     1---3---|\n~~~\n";
    let text = in_g_major(&format!("{riff}\n~~~ say\n[play fig twise]\nListen.\n~~~"));
    let findings = fretleaf::check("lesson.md", text.as_bytes(), &MemoryWorld::default()).findings;
    let finding = findings.iter().find(|finding| finding.weight == Weight::Fault).unwrap();
    assert_eq!(finding.message, "`twise` can't be read behind a figure's name");
    assert!(finding.notes[0].contains("`twice`"), "{:?}", finding.notes);
    assert_eq!(text.get(finding.span.start..finding.span.end), Some("twise"));
}

#[test]
fn notes_are_moved_with_their_fingers_and_strokes() {
    let lesson = |rows: &str| format!("---\ntitle: One\n---\n\n~~~ riff\n{rows}\n~~~\n");
    let wrong = "\
count  1     &     2     &     |1     &     2     &     |
B      5-----7------8----9-----|5-----7-----8-----------|
G      ------------------------|-----------------5------|
left   1     3      4    4     |1     3     4    4      |
right  i     m      i    m     |i     m     i    m      |
pick   d     u      d    u     |d     u     d    u      |
accent              >          |                 >      |";
    let right = "\
count  1     &     2     &     |1     &     2     &     |
B      5-----7-----8-----9-----|5-----7-----8-----------|
G      ------------------------|------------------5-----|
left   1     3     4     4     |1     3     4     4     |
right  i     m     i     m     |i     m     i     m     |
pick   d     u     d     u     |d     u     d     u     |
accent             >           |                  >     |";
    for ends in ["\n", "\r\n"] {
        let (wrong, right) = (lesson(wrong).replace('\n', ends), lesson(right).replace('\n', ends));
        assert_music_stays(&wrong);
        assert_eq!(mended(&wrong).unwrap().text, right);
    }
}

#[test]
fn a_note_between_two_counts_is_the_authors() {
    let lesson = |row: &str| {
        format!("---\ntitle: One\n---\n\n~~~ riff\ncount 1 & 2 & |\nB     {row}|\n~~~\n")
    };
    for row in ["5-78----", "5--7----", "57--8---"] {
        let text = lesson(row);
        assert_eq!(mended(&text), None, "{row}");
    }
}

/// The demo lessons, cut into their header with one block each, and the changes that it may be over.
fn pieces() -> Vec<String> {
    let lessons =
        ["slow-ferry", "night-bus", "wet-cement", "closed-bakery", "paper-kites", "lanterns"];
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
