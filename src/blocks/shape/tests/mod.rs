#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

mod hand;
mod repairs;

use super::{Name, Shapes, WRITTEN, read};
use crate::findings::Findings;
use crate::findings::source::Span;
use crate::findings::{Finding, Fix};
use crate::lesson::{Setting, fret_row, testing};
use crate::neck::{Finger, Hand, Instrument, Tuning};
use crate::theory::Chord;

pub(super) fn setting(tuning: &str) -> Setting {
    let tuning = Tuning::parse(tuning).unwrap();
    let scale_length = tuning.scale_length();
    let instrument = Instrument { tuning, scale_length, ..Instrument::guitar() };
    Setting { instrument, ..Setting::default() }
}

/// Reads the lines of a block that stands at the lesson's very beginning.
pub(super) fn read_in(text: &str, setting: Setting) -> (Option<Shapes>, Vec<Finding>) {
    let fence = testing::fence(WRITTEN, text, setting);
    let mut findings = Findings::default();
    let shapes = read(&fence, &mut findings);
    (shapes, findings.list().to_vec())
}

fn read_standard(text: &str) -> (Option<Shapes>, Vec<Finding>) {
    read_in(text, setting("EADGBE"))
}

fn rules(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|finding| finding.rule.name).collect()
}

fn applied(text: &str, fix: &Fix) -> String {
    format!("{}{}{}", &text[..fix.span.start], fix.replace, &text[fix.span.end..])
}

#[test]
fn a_misnamed_shape_says_what_is_missing_foreign_and_true() {
    let (_, findings) = read_standard("Amaj7  x02420");
    let finding = &findings[0];
    assert_eq!(
        finding.message,
        "the frets don't sound `Amaj7`: G# (major seventh) is missing; \
         B on string 3 is foreign to it"
    );
    assert_eq!(finding.span, Span::new(0, 5));
    assert_eq!(finding.labels[0].span, Span::new(10, 11));
    assert!(finding.notes[0].starts_with("what sounds is `Aadd9`"), "{:?}", finding.notes);
    let last = finding.fixes.last().unwrap();
    assert_eq!(applied("Amaj7  x02420", last), "Aadd9  x02420");
    let (_, findings) = read_standard("C7alt x3230x");
    assert!(findings[0].message.contains("none of"), "{}", findings[0].message);
}

#[test]
fn doubtful_basses_are_doubts() {
    for (line, message, mended) in [
        ("A 002220", "E on string 6 is the lowest note of `A`, not the root A", "A x02220"),
        (
            "A/C# x02220",
            "A on string 5 is the lowest note of `A/C#`, not the bass C#",
            "A/C# x42220",
        ),
        ("C xxx988", "", ""),
        ("A xx2220", "", ""),
        ("A/E xx2220", "", ""),
        ("C7 xx23x3", "`C7` without its root C", "C7 xx2313"),
    ] {
        let (_, findings) = read_standard(line);
        let Some(finding) = findings.first() else {
            assert_eq!(message, "", "{line}");
            continue;
        };
        assert_eq!(finding.rule.name, "bass-note", "{line}");
        assert_eq!(finding.message, message, "{line}");
        assert_eq!(applied(line, &finding.fixes[0]), mended, "{line}");
        assert!(read_standard(&applied(line, finding.fixes.last().unwrap())).1.is_empty());
    }
}

#[test]
fn a_line_has_name_twin_frets_fingers_and_caption() {
    let (shapes, findings) = read_standard(
        "Aadd9      x 0 2 4 2 0    by . . 1 3 2 .\n\
         F#m7       2 x 2 2 2 x    by 2.333.   -- leave the fifth string silent\n\
         \n\
         E/G#       4x2400\n\
         Gm (high up)  x 10 12 12 11 10\n\
         A over C#  x42220 – low\n\
         ?          x02420",
    );
    // Middle and ring finger two frets apart near the nut: taught, and wide.
    assert_eq!(rules(&findings), ["stretch"]);
    let shapes = shapes.unwrap().shapes;
    let names: Vec<String> =
        shapes.iter().map(|shape| shape.name.chord().unwrap().to_string()).collect();
    assert_eq!(names, ["Aadd9", "F#m7", "E/G#", "Gm", "A/C#", "Aadd9"]);
    assert!(matches!(shapes[5].name, Name::Found(Some(_))));
    let signs = |at: usize| -> String {
        let fingers = &shapes[at].fingering.fingers;
        fingers.iter().map(|finger| finger.map_or('.', Finger::sign)).collect()
    };
    assert_eq!(signs(0), "..132.");
    assert_eq!(signs(1), "2.333.");
    assert_eq!(signs(3), ".13421");
    let caption = |at: usize| shapes[at].caption.as_ref().map(|caption| caption.text());
    assert_eq!(caption(1).as_deref(), Some("leave the fifth string silent"));
    assert_eq!(shapes[3].twin.as_deref(), Some("high up"));
    assert_eq!(caption(4).as_deref(), Some("low"));
    assert_eq!(shapes[0].caption, None);
}

/// A broken line, its rule, its message and the text that is marked.
const BROKEN: &[(&str, &str, &str, &str)] = &[
    ("A x0222", "block-syntax", "6 strings need 6 frets, here are 5", "x0222"),
    ("A x 0 2 2 2 0 0", "block-syntax", "6 strings need 6 frets, here are 7", "x 0 2 2 2 0 0"),
    (
        "A x 0 2 2 22 0 0 by 1",
        "block-syntax",
        "6 strings need 6 frets, here are 7",
        "x 0 2 2 22 0 0",
    ),
    ("A", "block-syntax", "the shape has no frets", "A"),
    ("A by 1", "block-syntax", "the shape has no frets", "A"),
    ("A x0z220", "block-syntax", "`z` is no fret", "z"),
    ("A x 0 2 2 2o 0", "block-syntax", "`2o` is no fret", "2o"),
    ("A x 0 2 2 2 23", "fret-range", "fret 23 is off the neck, which ends at fret 22", "23"),
    (
        "A x 0 2 2 2 99999999999",
        "fret-range",
        "fret 4294967295 is off the neck, which ends at fret 22",
        "99999999999",
    ),
    ("A (high x02220", "block-syntax", "this bracket is never closed", "(high"),
    ("A x02220 by", "block-syntax", "no fingers behind `by`", "by"),
    ("A x02220 by ..12", "block-syntax", "6 strings need 6 fingers, here are 4", "..12"),
    ("A x02220 by ..125.", "block-syntax", "`5` is no finger", "5"),
    ("A x02220 by . . 1 2 33 .", "block-syntax", "`33` is no finger", "33"),
    ("A x02220 by .1123.", "block-syntax", "finger 1 on string 5, which is open", "1"),
    ("A x02220 by T.123.", "block-syntax", "the thumb on string 6, which is silent", "T"),
    ("Am x02210 by ..111.", "block-syntax", "finger 1 can't press frets 2 and 1 at once", "1"),
    ("-- only words", "block-syntax", "the shape has no name", "-- only words"),
];

#[test]
fn broken_lines_are_told_with_their_places_and_hide_no_other() {
    for (line, rule, message, marked) in BROKEN {
        let text = format!("{line}\nE 022100");
        let (shapes, findings) = read_standard(&text);
        assert_eq!(rules(&findings), [*rule], "{line}");
        assert_eq!(findings[0].message, *message, "{line}");
        assert_eq!(&text[findings[0].span.start..findings[0].span.end], *marked, "{line}");
        assert_eq!(shapes.unwrap().shapes.len(), 1, "{line}");
    }
}

#[test]
fn an_unknown_symbol_is_told_and_the_shape_is_kept() {
    let (shapes, findings) = read_standard("Amaj77 x02120");
    assert_eq!(rules(&findings), ["unknown-chord"]);
    assert_eq!(findings[0].span, Span::new(0, 6));
    assert_eq!(shapes.unwrap().shapes[0].name, Name::Unread("Amaj77".to_string()));
}

#[test]
fn a_block_without_shapes_is_a_fault() {
    let (shapes, findings) = read_standard("  ");
    assert!(shapes.is_none());
    assert_eq!(rules(&findings), ["block-syntax"]);
}

#[test]
fn other_tunings_and_a_capo_are_heard() {
    for (tuning, line) in [
        ("GCEA", "C 0003"),
        ("GCEA", "F 2010"),
        ("DADGBE", "D 000232"),
        ("DGDGBD", "G x00000"),
        ("EADG", "C x 3 2 0"),
        ("BEADGBE", "E x022100"),
        ("D3 A3 D4", "D5 000"),
        ("F#BEADGBE", "F#m 0 x 2 0 x x 2 2"),
    ] {
        let (_, findings) = read_in(line, setting(tuning));
        let told: Vec<&String> = findings.iter().map(|finding| &finding.message).collect();
        assert!(told.is_empty(), "{tuning} {line}: {told:?}");
    }
    let mut capo = setting("EADGBE");
    capo.instrument.capo = 3;
    assert!(read_in("G 320003", capo.clone()).1.is_empty());
    let (_, findings) = read_in("G 3 2 0 0 0 20", capo);
    assert_eq!(
        findings[0].message,
        "fret 20 is off the neck, which ends at fret 19 counted from the capo"
    );
}

#[test]
fn a_fret_of_two_digits_parts_a_row_that_was_run_together() {
    let line = "A xxx999";
    let (_, findings) = read_standard(line);
    assert_eq!(findings[0].fixes[0].says, "string 2 at fret 10");
    assert_eq!(applied(line, &findings[0].fixes[0]), "A x x x 9 10 9");
}

#[test]
fn a_ukulele_s_chords_have_plain_names() {
    for (frets, name) in [
        ("2010", "F"),
        ("0003", "C"),
        ("0232", "G"),
        ("2000", "Am"),
        ("2210", "Dm"),
        ("2220", "D"),
        ("0212", "G7"),
        ("0001", "C7"),
        ("1202", "E7"),
        ("0432", "Em"),
        ("3211", "Bb"),
        ("0002", "Cmaj7"),
        ("0202", "Em7"),
        ("0233", "Gsus4"),
    ] {
        for line in [format!("{name} {frets}"), format!("? {frets}")] {
            let (shapes, findings) = read_in(&line, setting("GCEA"));
            assert_eq!(rules(&findings), [""; 0], "{line}: {findings:?}");
            let shapes = shapes.unwrap().shapes;
            let chord = match &shapes[0].name {
                Name::Given(chord) | Name::Found(Some(chord)) => chord.to_string(),
                _ => String::new(),
            };
            assert_eq!(chord, name, "{line}");
        }
    }
    // With a low G the fourth string is the bass.
    let (shapes, _) = read_in("? 2010", setting("ukulele, low G"));
    let found = &shapes.unwrap().shapes[0].name;
    assert!(matches!(found, Name::Found(Some(chord)) if chord.to_string() == "F/A"), "{found:?}");
    // The fifth string of a banjo sounds above the others.
    let (_, findings) = read_in("C 0 2 0 1 2", setting("five-string banjo, open G"));
    assert_eq!(rules(&findings), [""; 0], "{findings:?}");
}

proptest::proptest! {
    #[test]
    fn any_lines_are_read_without_panic(text in "([A-G?x0-9()#by.T/ –-]|\\PC|\n){0,60}") {
        let (_, findings) = read_standard(&text);
        for finding in &findings {
            proptest::prop_assert!(text.get(finding.span.start..finding.span.end).is_some());
            for fix in &finding.fixes {
                proptest::prop_assert!(text.get(fix.span.start..fix.span.end).is_some());
            }
        }
    }
}
