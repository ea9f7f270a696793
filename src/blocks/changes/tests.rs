//! Blocks of changes read from their text: bars, faults with their places, and harmony in time.

use super::*;
use crate::blocks::figure::{Desk, DotLabel, Figure, Look, RestingParts};
use crate::findings::source::Line;
use crate::ink::{Drawing, Fonts, Item, Pt, Segment, pt};
use crate::lesson::Setting;
use crate::lesson::testing::{self, setting};
use crate::words::Lang;

mod rows;

/// A block whose phrases stand behind the text.
fn fence<'a>(text: &'a str, head: &'a str, setting: Setting) -> Fence<'a> {
    let phrases = Line { text: head, start: text.len() }.parts(',').collect();
    Fence { phrases, ..testing::fence(WRITTEN, text, setting) }
}

struct Read {
    changes: Option<Changes>,
    findings: Vec<Finding>,
}

fn read_in(text: &str, head: &str, key: &str, meter: &str) -> Read {
    let mut findings = Findings::default();
    let changes = read(&fence(text, head, setting(key, meter)), &mut findings);
    Read { changes, findings: findings.sorted() }
}

/// The findings as `rule: marked text: message`.
fn found(text: &str, head: &str, key: &str, meter: &str) -> Vec<String> {
    let read = read_in(text, head, key, meter);
    let whole = text.to_owned() + head;
    let line = |finding: &Finding| {
        let marked = whole.get(finding.span.start..finding.span.end).unwrap();
        format!("{}: {marked}: {}", finding.rule.name, finding.message)
    };
    read.findings.iter().map(line).collect()
}

fn chords(bar: &HarmonyBar) -> String {
    let chord = |(at, chord): &(Ticks, Option<Chord>)| {
        let name = chord.as_ref().map_or("-".into(), Chord::to_string);
        format!("{name}@{}", at.0)
    };
    bar.chords.iter().map(chord).collect::<Vec<_>>().join(" ")
}

/// The bars as they are played, their first chords alone.
fn played(text: &str) -> String {
    let read = read_in(text, "", "", "4/4");
    assert!(read.findings.is_empty(), "{text}: {:?}", read.findings);
    first_chords(&read.changes.unwrap().harmony().bars)
}

fn first_chords(bars: &[HarmonyBar]) -> String {
    let first = |bar: &HarmonyBar| bar.chords.first().and_then(|(_, chord)| chord.clone());
    let name = |bar| first(bar).map_or("-".into(), |chord| chord.to_string());
    bars.iter().map(name).collect::<Vec<_>>().join(" ")
}

#[test]
fn bars_add_up_in_every_division() {
    let rows = [
        ("4/4", "| A |", "A@0"),
        ("4/4", "| A / / / |", "A@0"),
        ("4/4", "| A/// |", "A@0"),
        ("4/4", "| D / E / |", "D@0 E@1920"),
        ("4/4", "| D/ E/ |", "D@0 E@1920"),
        ("4/4", "| D E |", "D@0 E@1920"),
        ("4/4", "| D///E/// |", "D@0 E@1920"),
        ("4/4", "| A / / / / / E7 / |", "A@0 E7@2880"),
        ("3/4", "| A / E |", "A@0 E@1920"),
        ("5/4", "| A / / / E |", "A@0 E@3840"),
        ("6/8", "| A / / E / / |", "A@0 E@1440"),
        ("6/8", "| A E |", "A@0 E@1440"),
        ("12/8", "| A / E / |", "A@0 E@2880"),
        ("4/4", "| (2/4) A E |", "A@0 E@960"),
        ("4/4", "| A/C# / D6/9 / |", "A/C#@0 D6/9@1920"),
        ("4/4", "| N.C. / A / |", "-@0 A@1920"),
        ("4/4", "| NC |", "-@0"),
        ("4/4", "| nc. |", "-@0"),
        ("4/4", "| Gm (high) / A / |", "Gm@0 A@1920"),
        ("4/4", "| Gm(high) |", "Gm@0"),
        ("4/4", "| A(b5) |", "A(b5)@0"),
        ("4/4", "A |", "A@0"),
    ];
    for (meter, text, bar) in rows {
        let read = read_in(text, "", "", meter);
        assert!(read.findings.is_empty(), "{text}: {:?}", read.findings);
        let harmony = read.changes.unwrap().harmony();
        assert_eq!(harmony.bars.iter().map(chords).collect::<Vec<_>>(), [bar], "{text}");
    }
}

#[test]
fn chords_go_on_and_bars_come_again() {
    assert_eq!(played("| A | | / / D / | % |"), "A A A A");
    let bars = read_in("| A | | / / D / | % | / / / / |", "", "", "4/4");
    let harmony = bars.changes.unwrap().harmony();
    let last: Vec<String> = harmony.bars.iter().skip(2).map(chords).collect();
    assert_eq!(last, ["A@0 D@1920", "A@0 D@1920", "D@0"]);
}

#[test]
fn repeats_and_endings_are_played_out() {
    let rows = [
        ("|: A | B :|", "A B A B"),
        ("| A | B :| C |", "A B A B C"),
        ("|: A :|x3 | B |", "A A A B"),
        ("|: A :|x3 |\n|: B :|", "A A A B B"),
        ("|: D | F#m7 | D |1. E :|2. A |", "D F#m7 D E D F#m7 D A"),
        ("|: D |1. E :|x3 |2. A | B |", "D E D E D A B"),
        ("| A |: B :|: C :| D |", "A B B C C D"),
        ("| A :||: B :|", "A A B B"),
        ("| A || B |", "A B"),
        ("|: A |1. B | C :|2. D | E || F |", "A B C A D E F"),
        ("| A :| B :|", "A A B B"),
    ];
    for (text, bars) in rows {
        assert_eq!(played(text), bars, "{text}");
    }
}

#[test]
fn harmony_keeps_the_written_bars_and_the_upbeat() {
    let text = "| E7 |: A | D :|";
    let harmony = read_in(text, "pickup", "", "4/4").changes.unwrap().harmony();
    assert_eq!(first_chords(&harmony.bars), "A D A D");
    assert_eq!(first_chords(&harmony.written), "A D");
    assert_eq!(chords(&harmony.pickup.unwrap()), "E7@0");
    let harmony = read_in("| E E7 | A |", "pickup", "", "4/4").changes.unwrap().harmony();
    assert_eq!(chords(&harmony.pickup.unwrap()), "E@0 E7@2880");
}

#[test]
fn numerals_are_read_in_the_key() {
    let read = read_in("| i | bVII / V7/iv / | vii°7 |", "", "A minor", "4/4");
    let harmony = read.changes.unwrap().harmony();
    let bars: Vec<String> = harmony.bars.iter().map(chords).collect();
    assert_eq!(bars, ["Am@0", "G@0 A7@1920", "G#dim7@0"]);
    assert_eq!(
        found("| ii7 | V7 |", "", "", "4/4"),
        ["no-key: ii7: a numeral stands for no chord where no key is named"]
    );
}

#[test]
fn every_fault_is_marked_where_it_stands() {
    let rows = [
        ("| A / / |", "bar-length: A / /: bar 1: 3 entries don't fill a bar of 4/4"),
        ("| A | (3/4) A E |", "bar-length: (3/4) A E: bar 2: 2 entries don't fill a bar of 3/4"),
        ("| A | H / |", "unknown-chord: H: `H` can't be read as a chord"),
        ("| (2/5) A |", "block-syntax: (2/5): `2/5` is no meter"),
        ("| (high) |", "block-syntax: (high): `(high)` belongs to no symbol"),
        ("| % |", "block-syntax: %: `%` repeats the bar before, but this is the first"),
        ("| A | % A |", "block-syntax: A: `%` stands alone in its bar"),
        ("| A | A % |", "block-syntax: %: `%` stands alone in its bar"),
        ("A D E", "block-syntax: A D E: a line without bar lines"),
        ("|: A | B |", "block-syntax: |:: a repeat that is not closed"),
        ("| A | B |:", "block-syntax: |:: a repeat begins here, but no bar follows"),
        (":| A |", "block-syntax: :|: nothing here to repeat"),
        ("|: A |1. B :| C |", "block-syntax: |1.: the first ending has no second"),
        ("|: A |1. B :|", "block-syntax: |1.: the first ending has no second"),
        ("| A |2. B |", "block-syntax: |2.: a second ending without a first"),
        ("| A |1. B |", "block-syntax: |1.: the first ending is not closed by `:|`"),
        ("| A |3. B |", "block-syntax: 3.: an ending is `1.` or `2.`, not `3.`"),
        ("|: A |1. B :|2. C :|", "block-syntax: :|: a second ending repeats nothing"),
        ("|: A :|x1 |", "block-syntax: x1: a repeat is played twice or more"),
        (
            "|: A :|x90000 |",
            "block-syntax: :|x90000 |: played out, the changes are longer than 10,000 bars",
        ),
    ];
    for (text, finding) in rows {
        let found = found(text, "", "", "4/4");
        assert_eq!(found.first().map(String::as_str), Some(finding), "{text}: {found:?}");
    }
    assert_eq!(found("", "", "", "4/4"), ["block-syntax: : changes without bars"]);
    assert_eq!(
        found("| A |", "over", "", "4/4"),
        ["block-syntax: over: `over` is no phrase of a `changes` block"]
    );
}

#[test]
fn one_answer_is_offered_as_a_fix() {
    let rows = [
        ("| A / / |", "| A / / / |"),
        ("| A/// / |", "| A/ / / |"),
        ("| Gm (high) / / |", "| Gm (high) / / / |"),
        ("|: A |1. B :|2. C :|", "|: A |1. B :|2. C |"),
    ];
    for (text, repaired) in rows {
        let read = read_in(text, "", "", "4/4");
        let fix = read.findings.first().unwrap().fixes.first().unwrap();
        let mut changed = text.to_string();
        changed.replace_range(fix.span.start..fix.span.end, &fix.replace);
        assert_eq!(changed, repaired);
        assert!(found(repaired, "", "", "4/4").is_empty(), "{repaired}");
    }
    let read = read_in("| D E A |", "", "", "4/4");
    assert!(read.findings.first().unwrap().fixes.is_empty());
}

#[test]
fn a_chord_outside_the_key_is_hinted_at_once() {
    let read = read_in("| A | G | G / Aadd9 / | B7 | E/G |", "", "A major", "4/4");
    let hints: Vec<String> = read
        .findings
        .iter()
        .map(|finding| format!("{}; {}", finding.message, finding.notes.join("; ")))
        .collect();
    assert_eq!(
        hints,
        [
            "`G` is not in A major; what explains it: borrowed from A minor",
            "`B7` is not in A major; what explains it: dominant of V",
            "`E/G` is not in A major; only its bass `G` is outside; the chord is the dominant",
        ]
    );
    assert!(read_in("| A | E7 |", "", "A minor", "4/4").findings.len() == 1);
}

#[test]
fn a_broken_bar_hides_no_other() {
    let read = read_in("| A | H | D / E |\n| Q | A / |", "", "", "4/4");
    assert_eq!(read.findings.len(), 3);
    assert_eq!(read.changes.unwrap().bars.len(), 5);
}

#[test]
fn the_chart_is_described_in_words() {
    let text = "|: A | F#m7 / E/G# / |1. % :|x3 |2. (2/4) | N.C. ||";
    let read = read_in(text, "", "A major", "4/4");
    let words = words::describe(&read.changes.unwrap(), &setting("A major", "4/4"));
    assert_eq!(
        words,
        "Line 1: a repeat begins; bar 1, A major (I); bar 2, F sharp minor seventh (vi7), \
         E major over G sharp (V/G♯) on beat 3; first ending; bar 3, the same as the bar before; \
         repeat, 3 times in all; second ending; bar 4, in 2/4: the chord goes on; \
         bar 5, no chord; double bar."
    );
}

fn figure(changes: &Changes, width: f32, key: &str) -> Figure {
    let fonts = Fonts::new();
    let look = Look {
        string_gap: pt(8.0),
        fret_size: pt(9.0),
        symbol_size: pt(12.0),
        small_size: pt(7.5),
        sung_size: pt(11.0),
        box_gap: pt(9.0),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    };
    let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(width) };
    changes.figure(&desk, &setting(key, "4/4"))
}

/// What is written on a strip, and how far to the right it reaches.
fn written(strip: &Drawing) -> (String, f32) {
    let (mut words, mut right) = (Vec::new(), 0.0_f32);
    gather(&strip.items, &mut words, &mut right);
    (words.join(" "), right)
}

/// A chart's groups all begin at its left edge.
fn gather(items: &[Item], words: &mut Vec<String>, right: &mut f32) {
    for item in items {
        match item {
            Item::Text(at, text) => {
                *right = right.max((at.x + text.width).0);
                words.push(text.characters());
            }
            Item::Group(group) => gather(&group.items, words, right),
            _ => {}
        }
    }
}

#[test]
fn the_chart_fits_the_column() {
    let blues = "| A7 | D7 | A7 | A7 | D7 | D#dim7 | A7 | F#7 | Bm7 | E7 | A7 | E7 |";
    let rows = [
        ("| A | E | D |", 400.0, "A", "A I tonic E V dominant D IV subdominant"),
        // Without a key there is nothing to say about the chords.
        ("| A | E | D |", 400.0, "", "A E D"),
        // A repeated chord keeps its numeral within a row, a chord met before its function.
        ("| A | A | E | A |", 400.0, "A", "A I tonic A E V dominant A I"),
        ("| A | A |\n| A | E |", 400.0, "A", "A I tonic A / A I E V dominant"),
        ("| (2/4) N.C. | % | Gm (high) |", 400.0, "", "2/4 N.C. Gm (high)"),
        ("|: A |1. E :|x3 |2. D |", 400.0, "", "A 1. ×3 E 2. D"),
        // A chord that is held isn't named again.
        ("| A / / / | / / D / | |", 400.0, "", "A D"),
        // Chords in a row that do the same are told once.
        ("| Esus4 / E / | A |", 400.0, "A", "Esus4 Vsus4 dominant E V A I tonic"),
        // A function without room stands lower, and where that is taken, in the notes.
        ("| A E D E |", 130.0, "A", "A I tonic E V dominant D IV E V; IV: subdominant"),
        // What a chord does in another place is told there.
        (
            "| C | Ebdim7 | C | Dm7 | Ebdim7 | Dm7 |",
            900.0,
            "C",
            "C I tonic E♭dim7 ♭iii°7 common-tone diminished chord of I C I Dm7 ii7 subdominant family \
             E♭dim7 ♭iii°7 neighbouring diminished chord Dm7 ii7",
        ),
        (
            "| Dm | Bb7 | A7 | Dm | Bb7 | Dm/A A |",
            430.0,
            "D minor",
            "Dm i tonic B♭7 VI7 tritone substitute for V7/V A7 V7 dominant Dm i B♭7 Ger+6 German augmented \
             sixth Dm/A i A V; i: dominant (cadential six-four); V: dominant",
        ),
        // An augmented sixth that is written as one is one, before a dominant seventh too.
        (
            "| Ger+6 | V7 | i |",
            500.0,
            "C minor",
            "A♭7 Ger+6 German augmented sixth G7 V7 dominant Cm i tonic",
        ),
        // A bass outside the key is told with its chord.
        ("| C | C/F# |", 400.0, "C", "C I tonic C/F♯ I tonic, bass outside"),
        ("| C C/F# |", 70.0, "C", "C I tonic C/F♯ I; I/F♯: tonic, bass outside"),
    ];
    for (text, width, key, words) in rows {
        let changes = read_in(text, "", key, "4/4").changes.unwrap();
        let figure = figure(&changes, width, key);
        let strips: Vec<_> = figure.strips.iter().map(written).collect();
        let all: Vec<&str> = strips.iter().map(|(words, _)| words.as_str()).collect();
        let notes = figure.notes.iter().map(|note| format!("; {}", note.text()));
        assert_eq!(all.join(" / ") + &notes.collect::<String>(), words, "{text}");
        assert!(strips.iter().all(|(_, right)| *right <= width), "{text}: {strips:?}");
    }
    let changes = read_in(blues, "", "A", "4/4").changes.unwrap();
    assert_eq!(figure(&changes, 470.0, "A").strips.len(), 3);
}

#[test]
fn names_keep_clear_of_the_dots_of_a_repeat() {
    for width in [150.0, 200.0, 330.0, 470.0] {
        let text = "|: A | D/F# / Esus4 E :|";
        let changes = read_in(text, "", "A", "4/4").changes.unwrap();
        for strip in figure(&changes, width, "A").strips {
            let names = strip.items.iter().filter_map(|item| match item {
                Item::Text(at, text) if text.characters() == "E" => Some(at.x + text.width),
                _ => None,
            });
            let dots = strip.items.iter().filter_map(|item| match item {
                Item::Path(path) if path.fill == Some(0.0) => match path.segments.first() {
                    Some(crate::ink::Segment::Move(at)) => Some(at.x),
                    _ => None,
                },
                _ => None,
            });
            let first = dots.filter(|x| *x > strip.width / 2.0).fold(strip.width, Pt::min);
            names.for_each(|end| assert!(end <= first - Pt::mm(0.5), "{width}: {end:?} {first:?}"));
        }
    }
}

#[test]
fn long_and_hostile_blocks_are_read_in_time() {
    let long = "| A ".repeat(250_000) + "|";
    let read = read_in(&long, "", "A major", "4/4");
    assert_eq!(read.changes.unwrap().harmony().bars.len(), 10_000);
    for text in [
        "|",
        "||||",
        ":|:|:|:",
        "|:|:|:",
        ":|x3|x3|x3|",
        "|1.2.1.",
        "(((",
        "|()|(/)|",
        "| é ♯ | 𝄪 |",
        "|/|//|///",
        "|%%|",
    ] {
        let text = text.repeat(50);
        let Some(changes) = read_in(&text, "pickup", "A major", "7/8").changes else { continue };
        assert!(changes.harmony().bars.len() <= 10_000);
        assert!(!figure(&changes, 60.0, "A major").strips.is_empty());
    }
}

/// The chords as they are played: from when to when, and the bar's index.
fn held(text: &str, head: &str) -> Vec<String> {
    let changes = read_in(text, head, "", "4/4").changes.unwrap();
    let told = |held: Held| {
        let chord = held.chord.map_or("-".into(), Chord::to_string);
        format!("{}-{} {}:{chord}", held.start.0, held.end.0, held.bar)
    };
    changes.played().map(told).collect()
}

#[test]
fn chords_are_played_as_long_as_they_hold() {
    for (text, head, expected) in [
        ("| A / / / | D / E / |", "", &["0-3840 0:A", "3840-5760 1:D", "5760-7680 1:E"][..]),
        // A bar that goes on doesn't play its chord anew, one that names it does.
        ("| A | / / D / | |", "", &["0-5760 0:A", "5760-11520 1:D"]),
        ("| A | A | % |", "", &["0-3840 0:A", "3840-7680 1:A", "7680-11520 2:A"]),
        ("| A | N.C. |", "", &["0-3840 0:A", "3840-7680 1:-"]),
        (
            "|: A |1. D :|2. E |",
            "",
            &["0-3840 0:A", "3840-7680 1:D", "7680-11520 0:A", "11520-15360 2:E"],
        ),
        ("|: A :|x3 |", "", &["0-3840 0:A", "3840-7680 0:A", "7680-11520 0:A"]),
        ("| (2/4) A | D |", "", &["0-1920 0:A", "1920-5760 1:D"]),
        // A pickup lasts a beat for each of its chords, and is played once, before what is repeated.
        ("| E7 | A |", "pickup", &["0-960 0:E7", "960-4800 1:A"]),
        ("| E E7 | A |", "pickup", &["0-960 0:E", "960-1920 0:E7", "1920-5760 1:A"]),
        ("| E7 |: A :|", "pickup", &["0-960 0:E7", "960-4800 1:A", "4800-8640 1:A"]),
        ("| A | / / D / |", "pickup", &["0-2880 0:A", "2880-4800 1:D"]),
    ] {
        assert_eq!(held(text, head), expected, "{text}");
    }
}

#[test]
fn figured_bass_shows_inversions_and_reads_them() {
    let figured = Setting { figured_bass: true, ..setting("C", "4/4") };
    for (bars, told) in [
        (
            "| C/E | G7/B | Dm7/C | C/G | G7/F | Am7/G | C6 | C/D |",
            "I6 V65 ii42 I64 V42 vi42 Iadd6 I/D",
        ),
        ("| I6 | V65 | IV64 | Iadd6 | iiadd6 |", "I6 V65 IV64 Iadd6 iiadd6"),
    ] {
        let mut findings = Findings::default();
        let changes = read(&fence(bars, "", figured.clone()), &mut findings);
        let words = words::describe(&changes.unwrap(), &figured);
        let found: Vec<&str> =
            words.split('(').skip(1).filter_map(|rest| Some(rest.split_once(')')?.0)).collect();
        assert_eq!(found.join(" "), told, "{words}");
    }
}
