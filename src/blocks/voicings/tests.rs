#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use crate::findings::Finding;
use crate::lesson::Setting;
use crate::lesson::testing;
use crate::neck::claim::{Claim, Truth};
use crate::neck::voicing::MEAN_UNIT;
use crate::neck::{Instrument, StringIndex, Tuning};
use crate::theory::Pitch;

/// Reads the lines of a block that stands at the lesson's very beginning.
fn read_under(text: &str, melody: &Melody) -> (Option<Voicings>, Vec<Finding>) {
    let fence = testing::fence(WRITTEN, text, Setting::default());
    let mut findings = Findings::default();
    let names = || Rc::new(Known::new(["tune".to_owned()]));
    let named = |name: &str| if name == "tune" { Ok(melody.clone()) } else { Err(names()) };
    let voicings = read(&fence, &named, &mut Effort::ALL.clone(), &mut findings);
    (voicings, findings.list().to_vec())
}

fn sound(text: &str) -> Voicings {
    let (voicings, findings) = read_under(text, &Melody::default());
    assert!(findings.is_empty(), "{text}: {findings:?}");
    voicings.unwrap()
}

fn shapes(line: &Line) -> String {
    let shapes: Vec<String> =
        line.shapes.iter().map(|voiced| trouble::written(&voiced.shape).replace('`', "")).collect();
    shapes.join(" · ")
}

#[test]
fn lines_are_worked_out() {
    for (text, found) in [
        ("A F#m D E : triads on strings 3 2 1, near fret 5", "xxx655 · xxx675 · xxx775 · xxx454"),
        ("A F#m D E: triads strings 1-3, near fret 5", "xxx655 · xxx675 · xxx775 · xxx454"),
        ("A, D : Triads, on strings 3 to 1, starting in root position", "xxx220 · xxx232"),
        ("A over C# : triads, strings 4-2", "x x 11 9 10 x"),
        ("Aadd9 : any, near fret 0, keep 1 shape", "x02420"),
        ("C Am : any, near fret 0, keep 1 shape", "x32010 · x02210"),
        ("Dm7 G7 Cmaj7 : shells, near fret 5", "x535xx · 3x34xx · x324xx"),
        ("Dm7 : shells on strings 4 3 2, near fret 12", "x x 12 10 13 x"),
        (
            "Gmaj7 Em7 Am7 D7 : drop 2 on strings 5 4 3 2, near fret 5",
            "x5547x · x5545x · x7758x · x5757x",
        ),
        ("G A Bm D : triads on strings 3 2 1, near fret 5", "xxx433 · xxx655 · xxx777 · xxx775"),
    ] {
        let voicings = sound(text);
        let all: Vec<String> = voicings.lines.iter().map(shapes).collect();
        assert_eq!(all, [found], "{text}");
    }
}

#[test]
fn lines_of_any_shapes_keep_to_those_that_are_taught() {
    for (text, found) in [
        ("C F G C : any", "x32010 · xx3211 · 320003 · x32010"),
        ("G D Em C : any", "320003 · xx0232 · 022000 · x32010"),
        ("A D E A : any", "x02220 · xx0232 · 022100 · x02220"),
        ("Dm G C Am : any", "xx0231 · 320003 · x32010 · x02210"),
        ("C G Am F : any, near fret 0", "x32010 · 320003 · x02210 · xx3211"),
        ("Em Am Dm Em : any", "022000 · x02210 · xx0231 · 022000"),
        ("Cm6 Fm9 : any, near fret 5", "x35545 · x86888"),
        ("E7#9 A13 D9 B7b9 : any", "020103 · x02022 · x54555 · x21212"),
        ("E7#9 A13 D9 B7b9 : any, near fret 5", "x76787 · 575677 · x54555 · 797878"),
        ("Cmaj7 Am9 Dm9 : any", "x32000 · 532000 · x53555"),
        ("Dm9 G13 Cmaj9 A7b9 : any", "x53555 · 353455 · x32433 · x02323"),
        ("Bbmaj7 : shells, near fret 3", "x102xx"),
        (
            "Dm7 G7 Cmaj7 Am7 : drop 2 on strings 4 3 2 1, near fret 5",
            "xx7768 · xx5767 · xx5557 · xx5555",
        ),
    ] {
        assert_eq!(shapes(&sound(text).lines[0]), found, "{text}");
    }
}

/// Which note is lowest tells nothing of a shape where a high string lies lowest.
#[test]
fn a_ukulele_has_its_usual_shapes_and_no_inversions() {
    let strings = ["G4", "C4", "E4", "A4"].map(|name| Pitch::parse(name).unwrap());
    let tuning = Tuning::new(strings.to_vec()).unwrap();
    let instrument = Instrument { tuning, ..Instrument::guitar() };
    let setting = Setting { instrument, ..Setting::default() };
    let read = |text: &str| {
        let fence = testing::fence(WRITTEN, text, setting.clone());
        let unnamed = |_: &str| Err(Rc::new(Known::new(Vec::new())));
        let mut findings = Findings::default();
        super::read(&fence, &unnamed, &mut Effort::ALL.clone(), &mut findings).unwrap()
    };
    let voicings = read("C Am F G7 : any");
    assert_eq!(shapes(&voicings.lines[0]), "0003 · 2000 · 2010 · 0212");
    assert!(voicings.lines[0].shapes.iter().all(|voiced| voiced.inversion.is_none()));
    assert_eq!(shapes(&read("Am : any").lines[0]), "2000");
}

#[test]
fn near_a_fret_holds_for_any_shapes() {
    for chords in ["G", "Em C", "D A E", "F#m7 B7 E", "C Am F G"] {
        for near in [5, 7, 9, 12] {
            for rest in ["", ", keep 3 shapes"] {
                let text = format!("{chords} : any, near fret {near}{rest}");
                for voiced in &sound(&text).lines[0].shapes {
                    let mean = voiced.shape.mean_fret() as f64 / MEAN_UNIT as f64;
                    let away = (mean - f64::from(near)).abs();
                    assert!(away <= 3.5, "{text}: {}", trouble::written(&voiced.shape));
                }
            }
        }
    }
}

#[test]
fn any_shapes_raise_no_doubt_and_have_their_bass_lowest() {
    let setting = Setting::default();
    for text in [
        "Dm7 G13 Cmaj9 : any, near fret 4",
        "C E G7 : any",
        "C/E G/B Am : any, near fret 0",
        "F6/9 Bm7b5 E7alt Am : any, near fret 7",
        "G13 : any, keep 6 shapes",
        "D A7 E9 : any, near fret 9",
    ] {
        for voiced in &sound(text).lines[0].shapes {
            let shape = trouble::written(&voiced.shape);
            let claim = Claim {
                chord: &voiced.chord,
                frets: voiced.shape.frets(),
                instrument: &setting.instrument,
                hand: setting.hand,
            };
            assert_eq!(claim.truth(), Truth::Sounds, "{text}: {shape}");
            let bass = voiced.shape.bass(&setting.instrument).unwrap().class();
            assert_eq!(bass, voiced.chord.lowest().class(), "{text}: {shape}");
        }
    }
}

#[test]
fn a_chord_lies_under_the_highest_note_of_what_is_picked_from_its_bass() {
    let (string, fret) = (StringIndex::new(5), Fret::OPEN);
    let mut tune = melody(&[("A", (1, 0))]);
    tune.changes[0].highest = Some((string, fret));
    let (voicings, findings) = read_under("A : any under tune", &tune);
    assert!(findings.is_empty(), "{findings:?}");
    let shape = voicings.unwrap().lines[0].shapes[0].shape;
    assert_eq!(shape.frets()[string.index()], Some(fret));
    assert_eq!(shapes(&sound("A : any").lines[0]), "x02220");
}

#[test]
fn two_strings_stand_for_no_chord_where_more_can_sound() {
    let sounding = |text: &str| -> Vec<usize> {
        let shapes = &sound(text).lines[0].shapes;
        shapes.iter().map(|voiced| voiced.shape.sounding().count()).collect()
    };
    assert!(sounding("C#m : any, near fret 0, keep 24 shapes").iter().all(|strings| *strings >= 3));
    assert!(sounding("C#m : any, strings 2 1, keep 4").iter().all(|strings| *strings == 2));
}

#[test]
fn neighbours_tell_what_their_voices_do() {
    let voicings = sound("A F#m : triads on strings 3 2 1, near fret 5");
    let said: Vec<String> = voicings.lines[0].shapes[1]
        .moves
        .iter()
        .map(|moved| words::voice(moved, Note::printed))
        .collect();
    assert_eq!(said, ["A stays", "E rises to F♯", "C♯ stays"]);
    assert!(voicings.lines[0].leads);
    assert!(!sound("A F#m : triads, keep 2 shapes").lines[0].leads);
}

#[test]
fn what_is_left_out_is_said() {
    for (text, said) in [
        ("A : triads", ""),
        ("Amaj7 : triads", "no root: the bass has it"),
        ("A6 : triads", "no sixth"),
        ("A/B : triads", "no B: the bass has it"),
        ("E9 : drop 2", "no fifth"),
        ("E7 : shells", "no fifth"),
        ("Dm7b5 : shells", "no fifth"),
        ("G13 : drop 3", "no fifth, no ninth, no eleventh"),
    ] {
        let voicings = sound(text);
        let left: Vec<String> =
            voicings.lines[0].shapes[0].left_out.iter().map(words::left_out).collect();
        assert_eq!(left.join(", "), said, "{text}");
    }
}

#[test]
fn inversions_are_named_and_kept() {
    for (phrase, inversion) in [
        ("root position", Inversion::Root),
        ("first inversion", Inversion::First),
        ("second inversion", Inversion::Second),
        ("third inversion", Inversion::Third),
    ] {
        let voicings =
            sound(&format!("Amaj7 D7 : drop 2 on strings 4 3 2 1, starting in {phrase}"));
        assert_eq!(voicings.lines[0].shapes[0].inversion, Some(inversion), "{phrase}");
    }
}

#[test]
fn what_can_t_be_read_is_told_and_the_rest_is_kept() {
    for (text, rule, message) in [
        ("A D", "block-syntax", "the line has no colon"),
        (": triads", "block-syntax", "no chords before the colon"),
        ("A :", "block-syntax", "no style behind the colon"),
        ("A : quads", "block-syntax", "`quads` is no style of voicing"),
        ("H : triads", "unknown-chord", "`H` can't be read as a chord"),
        ("A : triads, on strings 9", "block-syntax", "the strings can't be read"),
        ("A : triads, near fret 99", "block-syntax", "`99` is no fret of this neck"),
        ("A : triads, keep 0 shapes", "block-syntax", "`0` shapes can't be kept"),
        (
            "A : triads, starting in fourth inversion",
            "block-syntax",
            "`fourth inversion` is no inversion",
        ),
        ("A : triads, quickly", "block-syntax", "`quickly` is no phrase of a `voicings` line"),
        (
            "A : any, under nothing",
            "unknown-name",
            "no `riff` that can be read is called `nothing`",
        ),
        (
            "A D : any, under tune",
            "block-syntax",
            "the line has 2 chords, and the harmony of `tune` changes 0 times",
        ),
        ("A : drop 2", "no-voicing", "`A` has no place as drop 2 here"),
        ("A : triads on strings 2 1", "no-voicing", "`A` has no place as triads here"),
        (
            "A : triads on strings 3 2 1, starting in third inversion",
            "no-voicing",
            "`A` has no place in third inversion",
        ),
    ] {
        let (voicings, findings) =
            read_under(&format!("{text}\nD : triads on strings 3 2 1"), &Melody::default());
        let told: Vec<(&str, &str)> =
            findings.iter().map(|finding| (finding.rule.name, finding.message.as_str())).collect();
        assert_eq!(told.len(), 1, "{text}: {told:?}");
        assert_eq!(told[0].0, rule, "{text}: {told:?}");
        assert!(told[0].1.starts_with(message), "{text}: {told:?}");
        assert_eq!(shapes(voicings.unwrap().lines.last().unwrap()), "xxx232", "{text}");
    }
}

fn melody(changes: &[(&str, (usize, u8))]) -> Melody {
    let change = |(chord, top): &(&str, (usize, u8))| Change {
        bar: 1,
        chord: Chord::parse(chord).unwrap(),
        top: Some((StringIndex::new(top.0), Fret::new(top.1))),
        highest: None,
    };
    Melody { changes: changes.iter().map(change).collect() }
}

#[test]
fn a_melody_lies_on_top() {
    let tune = melody(&[("A", (5, 5)), ("D", (5, 2)), ("E", (4, 5)), ("A", (4, 2))]);
    for style in ["any", "triads"] {
        let (voicings, findings) = read_under(&format!("A D E A : {style} under tune"), &tune);
        assert!(findings.is_empty(), "{style}: {findings:?}");
        let line = &voicings.unwrap().lines[0];
        let instrument = Instrument::guitar();
        for (voiced, change) in line.shapes.iter().zip(&tune.changes) {
            let (string, fret) = change.top.unwrap();
            assert_eq!(voiced.shape.frets()[string.index()], Some(fret), "{style}");
            let highest = instrument.written_pitch(string, fret);
            assert_eq!(voiced.shape.pitches(&instrument).max(), highest, "{style}");
        }
    }
}

#[test]
fn chords_under_a_bass_line_are_told_where_they_stand() {
    for (line, top, notes, string, room) in [
        ("Am : any", (1, 0), 3, 5, 2),
        ("F : any", (0, 1), 3, 6, 1),
        ("G : triads", (1, 2), 3, 5, 2),
        ("D7 : drop 2", (2, 0), 4, 4, 3),
        ("E5 : any", (0, 0), 2, 6, 1),
    ] {
        let (chord, _) = line.split_once(' ').unwrap();
        let (_, findings) = read_under(&format!("{line} under tune"), &melody(&[(chord, top)]));
        let said = format!(
            "the riff's note would be the highest of {notes}, and from string {string} down there is \
             room for {room}: chords above a bass line stand in a line without `under`"
        );
        assert_eq!(findings[0].notes[0], said, "{line}");
    }
}

#[test]
fn a_chord_that_can_t_lie_under_its_note_is_told_with_the_nearest() {
    // The lowest string's open note can't be the highest of a chord.
    let (voicings, findings) = read_under("A : any under tune", &melody(&[("A", (0, 0))]));
    assert!(voicings.is_none());
    assert_eq!(findings[0].rule.name, "no-voicing");
    assert_eq!(findings[0].message, "`A` has no shape here under that note");
    assert_eq!(
        findings[0].notes,
        [
            "the riff's note would be the highest of 3, and from string 6 down there is room for 1: \
             chords above a bass line stand in a line without `under`",
            "the nearest that can be held is `x02220`, with another note on top",
        ]
    );
}

fn desk_test(voicings: &Voicings, setting: &Setting) -> Figure {
    use crate::blocks::figure::{DotLabel, Look, RestingParts};
    use crate::ink::{Fonts, pt};
    use crate::words::Lang;
    let fonts = Fonts::new();
    let look = Look {
        string_gap: pt(8.5),
        fret_size: pt(10.0),
        symbol_size: pt(13.0),
        small_size: pt(9.0),
        sung_size: pt(11.0),
        box_gap: pt(11.05),
        label: DotLabel::Degrees,
        resting_parts: RestingParts::Shown,
    };
    let desk = Desk { lang: Lang::English, fonts: &fonts, look: &look, width: pt(470.0) };
    voicings.figure(&desk, setting)
}

/// All words of a figure.
fn texts(items: &[crate::ink::Item]) -> Vec<String> {
    use crate::ink::Item;
    let of = |item: &Item| match item {
        Item::Text(_, text) => vec![text.characters().replace('\u{a0}', " ")],
        Item::Group(group) => texts(&group.items),
        _ => Vec::new(),
    };
    items.iter().flat_map(of).collect()
}

#[test]
fn the_voice_of_each_string_has_a_lane() {
    let voicings = sound("G Bm C D : triads on strings 3 2 1, near fret 3");
    let figure = desk_test(&voicings, &Setting::default());
    assert_eq!(figure.strips.len(), 1);
    let words = texts(&figure.strips[0].items).join(" ");
    for lane in [
        "string 1 G down ½ F♯ up ½ G down ½ F♯",
        "string 2 D D up 1 E down 1 D",
        "string 3 B B up ½ C down 1½ A",
    ] {
        assert!(words.contains(lane), "{words}");
    }
    assert!(!words.contains("string 4") && !words.contains("stays"), "{words}");
    for told in [
        "G falls to F sharp, D stays, B stays",
        "string 1: G, down a half step to F sharp, up a half step to G, down a half step to F sharp",
        "string 3: B, stays on B, up a half step to C, down 3 half steps to A",
    ] {
        assert!(figure.words.replace('\u{a0}', " ").contains(told), "{}", figure.words);
    }
}

#[test]
fn a_way_of_many_chords_goes_on_from_row_to_row() {
    let voicings = sound("G Em C D G Em C D G : triads on strings 3 2 1, near fret 3");
    let figure = desk_test(&voicings, &Setting::default());
    assert!(figure.strips.len() > 1);
    for strip in &figure.strips {
        assert_eq!(texts(&strip.items).iter().filter(|word| *word == "string 1").count(), 1);
        assert!(strip.width.0 <= 470.01);
    }
}

#[test]
fn inversions_are_named_only_where_they_differ() {
    let inversions = |text: &str| {
        let figure = desk_test(&sound(text), &Setting::default());
        let words = texts(&figure.strips[0].items);
        words.iter().filter(|word| word.contains("inversion") || word.contains("position")).count()
    };
    assert_eq!(inversions("G Bm C D : triads on strings 3 2 1, near fret 3"), 4);
    assert_eq!(
        inversions("C F : triads on strings 3 2 1, starting in root position, keep 1 shape"),
        0
    );
}
