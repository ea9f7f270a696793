#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

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

/// Shapes as teachers show them, with their names.
const SHAPES: &str = "\
C x32010
A x02220
G 320003
E 022100
D xx0232
Am x02210
Em 022000
Dm xx0231
F xx3211
C7 x32310
A7 x02020
G7 320001
E7 020100
D7 xx0212
B7 x21202
Am7 x02010
Em7 022030
Dm7 xx0211
Cmaj7 x32000
Fmaj7 xx3210
Amaj7 x02120
Dmaj7 xx0222
Emaj7 021100
Gmaj7 320002
Asus2 x02200
Asus4 x02230
Dsus2 xx0230
Dsus4 xx0233
Esus4 022200
Aadd9 x02420
Cadd9 x32030
Eadd9 022102
Fadd9 xx3213
A6 x02222
C6 x32210
Em6 022020
Dm6 xx0201
A7sus4 x02030
E7#9 x7678x
D9 x54555
C6/9 x32233
Am9 5x5500
G13 3x3455
C5 x355xx
G5 355xxx
F 133211
Fm 133111
F7 131211
Fm7 131111
Bm x24432
B x24442
Bm7 x24232
Bmaj7 x24342
Bm7b5 x2323x
Cdim7 x3424x
Caug x32110
F#m7 2x222x
Gm7 3x333x
Gmaj7 3x443x
G7 3x343x
Cm7b5 x3434x
C x3555x
D/F# 200232
E/G# 4x2400
C/G 332010
A/C# x42220
Am/G 302210
G/B x20003
F/C x33211
C/E 032010
A xxx220
A xxx655
A xxx 9 10 9
D xxx232
D xxx775
D xxx 11 10 10
Em xxx000
C xx555x
Am xx755x
Cmaj7 x3545x
Gm x 10 12 12 11 10
Am6 5x455x
";

#[test]
fn well_known_shapes_sound_their_names() {
    assert!(SHAPES.lines().count() >= 60);
    let (shapes, findings) = read_standard(SHAPES);
    let told: Vec<&String> = findings.iter().map(|finding| &finding.message).collect();
    assert!(told.is_empty(), "{told:#?}");
    let shapes = shapes.unwrap().shapes;
    assert_eq!(shapes.len(), SHAPES.lines().count());
    assert!(shapes.iter().all(|shape| !shape.fingering.fingers.is_empty()));
}

/// Whether frets, as they are written, sound the chord, told from the language's own words.
fn sounds(chord: &Chord, frets: &[Option<u8>]) -> bool {
    let instrument = Instrument::guitar();
    let strings =
        frets.iter().enumerate().filter_map(|(at, f)| instrument.written_pitch(at, (*f)?));
    let classes: Vec<u8> = strings.map(|midi| midi.rem_euclid(12) as u8).collect();
    let tones: Vec<(u8, bool)> = chord
        .tones
        .iter()
        .map(|tone| (tone.degree.above(chord.root).class(), tone.omissible))
        .chain(chord.bass.map(|bass| (bass.class(), false)))
        .collect();
    tones.iter().all(|(class, omissible)| *omissible || classes.contains(class))
        && classes.iter().all(|class| tones.iter().any(|(tone, _)| tone == class))
}

/// The fewest strings that must change, tried in every way up to two.
fn fewest_changes(chord: &Chord, frets: &[Option<u8>]) -> usize {
    let states = || (0..=22).map(Some).chain([None]);
    let with = |frets: &[Option<u8>], string: usize, fret: Option<u8>| {
        let mut changed = frets.to_vec();
        changed[string] = fret;
        changed
    };
    for one in 0..frets.len() {
        if states().any(|fret| sounds(chord, &with(frets, one, fret))) {
            return 1;
        }
    }
    for one in 0..frets.len() {
        for two in one + 1..frets.len() {
            let pair = |fret| {
                let changed = with(frets, one, fret);
                states().any(|fret| sounds(chord, &with(&changed, two, fret)))
            };
            if states().any(pair) {
                return 2;
            }
        }
    }
    3
}

/// Reads `x 0 2` back from a shape's line.
fn frets_of(text: &str) -> Vec<Option<u8>> {
    let (shapes, _) = read_standard(text);
    shapes.unwrap().shapes[0].fingering.frets.clone()
}

fn line_of(chord: &str, frets: &[Option<u8>]) -> String {
    let frets: Vec<String> = frets.iter().map(|fret| fret_row::written(*fret)).collect();
    let short = frets.iter().all(|fret| fret.len() == 1);
    format!("{chord} {}", frets.join(if short { "" } else { " " }))
}

/// Checks a shape that doesn't sound its chord: it is a fault, and the first fix makes it sound the
/// chord with as few changes as any.
fn check_repair(name: &str, frets: &[Option<u8>]) {
    let chord = Chord::parse(name).unwrap();
    let text = line_of(name, frets);
    let (_, findings) = read_standard(&text);
    // A fret that slipped may also be out of reach.
    assert!(rules(&findings).contains(&"shape-misnamed"), "{text}");
    let misnamed = findings.iter().find(|finding| finding.rule.name == "shape-misnamed").unwrap();
    let repaired = applied(&text, &misnamed.fixes[0]);
    let (_, after) = read_standard(&repaired);
    assert!(!rules(&after).contains(&"shape-misnamed"), "{text} to {repaired}");
    let changed = frets.iter().zip(frets_of(&repaired)).filter(|(old, new)| *old != new).count();
    assert_eq!(changed, fewest_changes(&chord, frets), "{text} to {repaired}");
}

#[test]
fn a_shape_with_one_fret_wrong_is_misnamed_and_mended_by_one_fret() {
    let mut tried = 0;
    for line in SHAPES.lines() {
        let name = line.split(' ').next().unwrap();
        let chord = Chord::parse(name).unwrap();
        let right = frets_of(line);
        for string in 0..right.len() {
            let written = right[string].map_or(2, i32::from);
            for fret in [written - 2, written - 1, written + 1, written + 2, -1] {
                let mut frets = right.clone();
                frets[string] = u8::try_from(fret).ok();
                let root_added = rootless(&chord, &frets);
                if sounds(&chord, &frets) || root_added {
                    continue;
                }
                check_repair(name, &frets);
                tried += 1;
            }
        }
    }
    assert!(tried > 800, "{tried}");
}

/// Whether only the root is missing.
fn rootless(chord: &Chord, frets: &[Option<u8>]) -> bool {
    let without = Chord { tones: chord.tones[1..].to_vec(), ..chord.clone() };
    chord.bass != Some(chord.root) && sounds(&without, frets)
}

#[test]
fn two_wrong_frets_are_mended_by_as_few_as_any() {
    for (name, wrong) in [
        ("A", "x03320"),
        ("C", "x22210"),
        ("Am7", "x13010"),
        ("F#m7", "3x322x"),
        ("Dmaj7", "xx1322"),
        ("G", "320110"),
        ("E7#9", "x7788x"),
        ("Cdim7", "x3535x"),
    ] {
        check_repair(name, &frets_of(&format!("? {wrong}")));
    }
}

#[test]
fn a_repair_can_be_held_and_moves_little() {
    for (line, says, replace) in [
        ("Aadd9 x02220", "string 3 at fret 4", "4"),
        ("A x02420", "string 3 at fret 2", "2"),
        ("Am x02220", "string 2 at fret 1", "1"),
        ("C x32011", "string 1 open", "0"),
        ("G 320004", "string 1 at fret 3", "3"),
        ("Gm x 10 12 12 12 10", "string 2 at fret 11", "11"),
        ("C x35553", "", ""),
    ] {
        let (_, findings) = read_standard(line);
        let found = findings.first().map(|finding| &finding.fixes[0]);
        let (found_says, found_replace) =
            found.map_or(("", ""), |fix| (fix.says.as_str(), fix.replace.as_str()));
        assert_eq!((found_says, found_replace), (says, replace), "{line}");
    }
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
    assert_eq!(shapes[1].caption.as_deref(), Some("leave the fifth string silent"));
    assert_eq!(shapes[3].twin.as_deref(), Some("high up"));
    assert_eq!(shapes[4].caption.as_deref(), Some("low"));
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

/// Shapes that no hand of the size holds, or not with these fingers, and the rule that says so.
const IMPOSSIBLE: &[(&str, Hand, &str)] = &[
    ("? 12345x", Hand::SMALL, "finger-count"),
    ("? 54321x", Hand::MEDIUM, "finger-count"),
    ("? 246135", Hand::MEDIUM, "finger-count"),
    ("? x13579", Hand::LARGE, "finger-count"),
    ("? 123123", Hand::MEDIUM, "finger-count"),
    ("? 130211", Hand::MEDIUM, "finger-count"),
    ("? 531531", Hand::LARGE, "finger-count"),
    ("G 320003 by 21...2", Hand::MEDIUM, "finger-count"),
    ("F#m7 2x222x by 1.111.", Hand::MEDIUM, "finger-count"),
    ("F 133211 by 1332..", Hand::MEDIUM, "finger-count"),
    ("C x32010 by .32...", Hand::MEDIUM, "finger-count"),
    ("C x32010 by .12.3.", Hand::MEDIUM, "finger-crossing"),
    ("A x02220 by ..321.", Hand::MEDIUM, "finger-crossing"),
    ("E 022100 by .132..", Hand::MEDIUM, "finger-crossing"),
    ("D xx0232 by ...213", Hand::MEDIUM, "finger-crossing"),
    ("Am x02210 by ..213.", Hand::MEDIUM, "finger-crossing"),
    ("G 320003 by 12...3", Hand::MEDIUM, "finger-crossing"),
    ("F 133211 by 143211", Hand::MEDIUM, "finger-crossing"),
    ("Em 022000 by .32...", Hand::MEDIUM, "finger-crossing"),
    ("C7 x32310 by .3142.", Hand::MEDIUM, "finger-crossing"),
    ("Dm xx0231 by ...321", Hand::MEDIUM, "finger-crossing"),
    ("? 320008", Hand::MEDIUM, "reach"),
    ("? 141414", Hand::MEDIUM, "reach"),
    ("? 1xxxx7", Hand::LARGE, "reach"),
    ("? 3xxxx9", Hand::MEDIUM, "reach"),
    ("? 1xxxx5", Hand::SMALL, "reach"),
    ("? 135xxx", Hand::SMALL, "reach"),
    ("? 1xxxx6", Hand::MEDIUM, "reach"),
    ("? x1xx6x", Hand::MEDIUM, "reach"),
    ("? 2xxxx8", Hand::LARGE, "reach"),
    ("? 5 x x x x 12", Hand::LARGE, "reach"),
    ("? x26xxx by .12...", Hand::MEDIUM, "reach"),
    ("? 14xxxx by 12....", Hand::MEDIUM, "reach"),
    ("? 1xx5xx by T..1..", Hand::MEDIUM, "reach"),
];

#[test]
fn what_no_hand_holds_raises_the_rule_that_it_breaks() {
    assert!(IMPOSSIBLE.len() >= 30);
    for (line, hand, rule) in IMPOSSIBLE {
        let (_, findings) = read_in(line, Setting { hand: *hand, ..setting("EADGBE") });
        let of_the_hand = |rule: &&str| !matches!(*rule, "shape-misnamed" | "bass-note");
        let raised: Vec<&str> = rules(&findings).into_iter().filter(of_the_hand).collect();
        assert_eq!(raised, [*rule], "{line}");
        let finding = findings.iter().find(|finding| finding.rule.name == *rule).unwrap();
        let caution = finding.notes.iter().any(|note| note.contains("pain"));
        assert!(caution, "{line}: {:?}", finding.notes);
    }
}

#[test]
fn a_small_hand_reaches_four_frets_only_up_the_neck() {
    for (line, expected) in [
        ("? 1 x x x x 5 by 1....4", &["reach"][..]),
        ("? 1 x x x x 5", &["reach"]),
        ("? 12 x x x x 16 by 1....4", &[]),
        ("? 12 x x x x 16", &[]),
    ] {
        let (_, findings) = read_in(line, Setting { hand: Hand::SMALL, ..setting("EADGBE") });
        assert_eq!(rules(&findings), expected, "{line}");
    }
    let (_, findings) =
        read_in("? 1 x x x x 5", Setting { hand: Hand::SMALL, ..setting("EADGBE") });
    assert_eq!(
        findings[0].message,
        "fingers 1 and 4 must get 117 mm apart, at frets 1 and 5; a small hand reaches 108 mm"
    );
}

#[test]
fn easier_fingers_of_the_same_notes_are_offered() {
    for (line, mended) in [
        ("C x32010 by .12.3.", "C x32010 by .32.1."),
        ("G 3 2 0 0 0 3 by 2 1 . . . 2", "G 3 2 0 0 0 3 by 2 1 . . . 3"),
        ("F x12345x", ""),
        ("? 12345x", "? 12345x    by T 1 2 3 4 ."),
    ] {
        let (_, findings) = read_standard(line);
        let fix = findings.first().and_then(|finding| finding.fixes.first());
        assert_eq!(fix.map_or(String::new(), |fix| applied(line, fix)), mended, "{line}");
    }
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
