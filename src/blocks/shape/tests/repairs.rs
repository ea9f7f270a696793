//! Shapes with wrong frets, and what mends them.

use super::*;
use crate::neck::Fret;
use crate::neck::by_string;

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
fn sounds(chord: &Chord, frets: &[Option<Fret>]) -> bool {
    let instrument = Instrument::guitar();
    let strings = by_string(frets).filter_map(|(at, f)| instrument.written_pitch(at, (*f)?));
    let classes: Vec<u8> = strings.map(|midi| midi.class()).collect();
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
fn fewest_changes(chord: &Chord, frets: &[Option<Fret>]) -> usize {
    let states = || Fret::OPEN.to(Fret::new(22)).map(Some).chain([None]);
    let with = |frets: &[Option<Fret>], string: usize, fret: Option<Fret>| {
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
fn frets_of(text: &str) -> Vec<Option<Fret>> {
    let (shapes, _) = read_standard(text);
    shapes.unwrap().shapes[0].fingering.frets.clone()
}

fn line_of(chord: &str, frets: &[Option<Fret>]) -> String {
    let frets: Vec<String> = frets.iter().map(|fret| fret_row::written(*fret)).collect();
    let short = frets.iter().all(|fret| fret.len() == 1);
    format!("{chord} {}", frets.join(if short { "" } else { " " }))
}

/// Checks a shape that doesn't sound its chord: it is a fault, and the first fix makes it sound the
/// chord with as few changes as any.
fn check_repair(name: &str, frets: &[Option<Fret>]) {
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
                frets[string] = Fret::checked(fret);
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
fn rootless(chord: &Chord, frets: &[Option<Fret>]) -> bool {
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
