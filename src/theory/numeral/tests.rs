//! Tables of numerals as textbooks have them.

use super::*;

fn key(text: &str) -> Key {
    Key::parse(text).unwrap()
}

fn chord(text: &str) -> Chord {
    Chord::parse(text).unwrap()
}

const MAJOR_TRIADS: [&str; 7] = ["I", "ii", "iii", "IV", "V", "vi", "vii°"];
const MAJOR_SEVENTHS: [&str; 7] = ["Imaj7", "ii7", "iii7", "IVmaj7", "V7", "vi7", "viiø7"];
const MINOR_TRIADS: [&str; 7] = ["i", "ii°", "III", "iv", "v", "VI", "VII"];
const MINOR_SEVENTHS: [&str; 7] = ["i7", "iiø7", "IIImaj7", "iv7", "v7", "VImaj7", "VII7"];

const MAJOR_KEYS: [(&str, [&str; 7]); 15] = [
    ("Cb", ["Cb", "Dbm", "Ebm", "Fb", "Gb", "Abm", "Bbdim"]),
    ("Gb", ["Gb", "Abm", "Bbm", "Cb", "Db", "Ebm", "Fdim"]),
    ("Db", ["Db", "Ebm", "Fm", "Gb", "Ab", "Bbm", "Cdim"]),
    ("Ab", ["Ab", "Bbm", "Cm", "Db", "Eb", "Fm", "Gdim"]),
    ("Eb", ["Eb", "Fm", "Gm", "Ab", "Bb", "Cm", "Ddim"]),
    ("Bb", ["Bb", "Cm", "Dm", "Eb", "F", "Gm", "Adim"]),
    ("F", ["F", "Gm", "Am", "Bb", "C", "Dm", "Edim"]),
    ("C", ["C", "Dm", "Em", "F", "G", "Am", "Bdim"]),
    ("G", ["G", "Am", "Bm", "C", "D", "Em", "F#dim"]),
    ("D", ["D", "Em", "F#m", "G", "A", "Bm", "C#dim"]),
    ("A", ["A", "Bm", "C#m", "D", "E", "F#m", "G#dim"]),
    ("E", ["E", "F#m", "G#m", "A", "B", "C#m", "D#dim"]),
    ("B", ["B", "C#m", "D#m", "E", "F#", "G#m", "A#dim"]),
    ("F#", ["F#", "G#m", "A#m", "B", "C#", "D#m", "E#dim"]),
    ("C#", ["C#", "D#m", "E#m", "F#", "G#", "A#m", "B#dim"]),
];

const MINOR_KEYS: [(&str, [&str; 7]); 15] = [
    ("Abm", ["Abm", "Bbdim", "Cb", "Dbm", "Ebm", "Fb", "Gb"]),
    ("Ebm", ["Ebm", "Fdim", "Gb", "Abm", "Bbm", "Cb", "Db"]),
    ("Bbm", ["Bbm", "Cdim", "Db", "Ebm", "Fm", "Gb", "Ab"]),
    ("Fm", ["Fm", "Gdim", "Ab", "Bbm", "Cm", "Db", "Eb"]),
    ("Cm", ["Cm", "Ddim", "Eb", "Fm", "Gm", "Ab", "Bb"]),
    ("Gm", ["Gm", "Adim", "Bb", "Cm", "Dm", "Eb", "F"]),
    ("Dm", ["Dm", "Edim", "F", "Gm", "Am", "Bb", "C"]),
    ("Am", ["Am", "Bdim", "C", "Dm", "Em", "F", "G"]),
    ("Em", ["Em", "F#dim", "G", "Am", "Bm", "C", "D"]),
    ("Bm", ["Bm", "C#dim", "D", "Em", "F#m", "G", "A"]),
    ("F#m", ["F#m", "G#dim", "A", "Bm", "C#m", "D", "E"]),
    ("C#m", ["C#m", "D#dim", "E", "F#m", "G#m", "A", "B"]),
    ("G#m", ["G#m", "A#dim", "B", "C#m", "D#m", "E", "F#"]),
    ("D#m", ["D#m", "E#dim", "F#", "G#m", "A#m", "B", "C#"]),
    ("A#m", ["A#m", "B#dim", "C#", "D#m", "E#m", "F#", "G#"]),
];

/// Chord and numeral name each other, and agree.
fn check(symbol: &str, numeral: &str, key_name: &str) {
    let (key, chord) = (key(key_name), chord(symbol));
    assert_eq!(Numeral::of(&chord, &key).to_string(), numeral, "{symbol} in {key_name}");
    let read = Numeral::parse(numeral).unwrap();
    assert_eq!(read.chord_in(&key), chord, "{numeral} in {key_name}");
    assert!(read.agrees_with(&chord, &key), "{symbol} is {numeral} in {key_name}");
}

/// The seventh chord that a triad of a key becomes.
fn with_seventh(triad: &str, numeral: &str) -> String {
    match (triad.strip_suffix("dim"), numeral.ends_with("maj7")) {
        (Some(root), _) => format!("{root}m7b5"),
        (None, true) => format!("{triad}maj7"),
        (None, false) => format!("{triad}7"),
    }
}

#[test]
fn the_chords_of_all_thirty_keys() {
    let major = MAJOR_KEYS.iter().map(|row| (row, MAJOR_TRIADS, MAJOR_SEVENTHS));
    let minor = MINOR_KEYS.iter().map(|row| (row, MINOR_TRIADS, MINOR_SEVENTHS));
    for ((key_name, triads), numerals, sevenths) in major.chain(minor) {
        for ((triad, numeral), seventh) in triads.iter().zip(numerals).zip(sevenths) {
            if numeral == "v" || numeral == "ii°" || numeral == "vii°" {
                assert!(in_key(&chord(triad), &key(key_name)));
            }
            check(triad, numeral, key_name);
            check(&with_seventh(triad, seventh), seventh, key_name);
        }
    }
}

#[test]
fn a_scale_has_the_numerals_of_the_key_that_its_third_tells() {
    let rows = [
        ("E", "I", "E phrygian dominant"),
        ("Fmaj7", "bIImaj7", "E phrygian dominant"),
        ("G#dim7", "iii°7", "E phrygian dominant"),
        ("Am", "iv", "E phrygian dominant"),
        ("Bm7b5", "vø7", "E phrygian dominant"),
        ("C+", "bVI+", "E phrygian dominant"),
        ("C", "V/bII", "E phrygian dominant"),
        ("Dm", "bvii", "E phrygian dominant"),
        ("Am", "i", "A harmonic minor"),
        ("E7", "V7", "A harmonic minor"),
        ("F", "VI", "A harmonic minor"),
        ("G#dim7", "vii°7", "A harmonic minor"),
        ("D7", "IV7", "A melodic minor"),
        ("A", "II", "G lydian dominant"),
        ("C", "III", "A minor pentatonic"),
        ("G", "VII", "A minor pentatonic"),
        ("D", "IV", "A major pentatonic"),
        ("A7", "I7", "A blues"),
        ("D7", "IV7", "A blues"),
        ("E7", "V7", "A blues"),
        ("Ab+", "bVI+", "C whole tone"),
        ("Eb", "bIII", "C half-whole diminished"),
    ];
    for (chord, numeral, key) in rows {
        check(&self::chord(chord).to_string(), numeral, key);
    }
}

#[test]
fn figures_tell_the_lowest_tone() {
    for (chord, numeral, key, agrees) in [
        ("C/E", "I6", "C", true),
        ("C6", "I6", "C", true),
        ("C", "I6", "C", false),
        ("C/G", "I6", "C", false),
        ("C6", "Iadd6", "C", true),
        ("C/E", "Iadd6", "C", false),
        ("C/G", "I64", "C", true),
        ("C/E", "I64", "C", false),
        ("G7/B", "V65", "C", true),
        ("G/B", "V65", "C", false),
        ("G7/D", "V43", "C", true),
        ("G7/F", "V42", "C", true),
        ("Dm7/F", "ii65", "C", true),
        ("Dm/F", "ii6", "C", true),
        ("Bdim/D", "vii°6", "C", true),
        ("B/D", "vii°6", "C", false),
        ("D7/F#", "V65/V", "C", true),
        ("Db/F", "N6", "C", true),
        ("Db", "N6", "C", false),
        ("Db", "N", "C", true),
        ("Bb/D", "N6", "Am", true),
        ("Ab7", "Ger+6", "C", true),
        ("F7", "Ger+6", "Am", true),
        ("G7", "Ger+6", "C", false),
        ("Ab7b5", "Fr+6", "C", true),
        ("D7b5/Ab", "Fr+6", "C", true),
        ("B7b5/F", "Fr+6", "Am", true),
        ("D7b5", "Fr+6", "C", false),
        ("D7/Ab", "Fr+6", "C", false),
        ("Ab7no5", "It+6", "C", true),
        ("Eb7", "subV7/ii", "C", true),
        ("Db7", "subV7", "C", true),
        ("D7", "subV7/ii", "C", false),
    ] {
        let read = Numeral::parse(numeral).unwrap();
        assert_eq!(read.to_string().replace("Iadd6", "I6"), numeral.replace("Iadd6", "I6"));
        let said = read.agrees_with(&self::chord(chord), &self::key(key));
        assert_eq!(said, agrees, "{chord} is {numeral} in {key}");
    }
    for (numeral, chord) in [
        ("I6", "C6"),
        ("Iadd6", "C6"),
        ("I64", "C/G"),
        ("V65", "G7/B"),
        ("V43", "G7/D"),
        ("V42", "G7/F"),
        ("vii°6", "Bdim/D"),
        ("N6", "Db/F"),
        ("Ger+6", "Ab7"),
        ("subV7/ii", "Eb7"),
    ] {
        let found = Numeral::parse(numeral).unwrap().chord_in(&key("C"));
        assert_eq!(found, self::chord(chord), "{numeral}");
    }
}

#[test]
fn chords_from_outside_the_key() {
    let rows = [
        ("F#7", "V7/ii", "A"),
        ("B7", "V7/V", "A"),
        ("B", "V/V", "A"),
        ("C#7", "V7/vi", "A"),
        ("D#dim7", "vii°7/V", "A"),
        ("A#dim7", "vii°7/ii", "A"),
        ("D#m7b5", "viiø7/V", "A"),
        ("G", "bVII", "A"),
        ("Fmaj7", "bVImaj7", "A"),
        ("Dm", "iv", "A"),
        ("C", "bIII", "A"),
        ("A7", "I7", "A"),
        ("D7", "IV7", "A"),
        ("Bb7", "bII7", "A"),
        ("Eb", "bV", "A"),
        ("D#m", "#iv", "A"),
        ("E7", "V7", "Am"),
        ("G#dim", "vii°", "Am"),
        ("G#dim7", "vii°7", "Am"),
        ("G#m7b5", "viiø7", "Am"),
        ("Gm", "vii", "Am"),
        ("Gdim", "bvii°", "Am"),
        ("Cm", "iii", "Am"),
        ("C#m", "#iii", "Am"),
        ("F#m7b5", "#viø7", "Am"),
        ("A7", "V7/iv", "Am"),
        ("B7", "V7/V", "Am"),
        ("A#dim7", "vii°7/ii", "A"),
        ("Bb", "bII", "Am"),
        ("AmMaj7", "imaj7", "Am"),
        ("C+", "III+", "Am"),
        ("F", "VII", "G mixolydian"),
        ("F#dim", "#vii°", "G mixolydian"),
        ("F", "bIV", "C lydian"),
        ("F", "II", "E phrygian"),
        ("F#m", "#ii", "E phrygian"),
    ];
    for (symbol, numeral, key_name) in rows {
        check(symbol, numeral, key_name);
    }
}

#[test]
fn extensions_slashes_and_chords_without_a_third() {
    let rows = [
        ("Aadd9", "Iadd9", "A"),
        ("E/G#", "V/G#", "A"),
        ("D6/9", "IV6/9", "A"),
        ("E7sus4", "V7sus4", "A"),
        ("F#5", "vi5", "A"),
        ("Bsus4", "iisus4", "A"),
        ("Bm9", "ii9", "A"),
        ("Bm6", "ii6", "A"),
        ("E7#9", "V7#9", "A"),
        ("F#7/A#", "V7/ii/A#", "A"),
    ];
    for (symbol, numeral, key_name) in rows {
        check(symbol, numeral, key_name);
    }
}

#[test]
fn numerals_are_read_in_every_form() {
    let rows = [
        ("viidim", "Bdim"),
        ("viio", "Bdim"),
        ("viio7", "Bdim7"),
        ("viidim7", "Bdim7"),
        ("viim7b5", "Bm7b5"),
        ("viiø", "Bm7b5"),
        ("IM7", "Cmaj7"),
        ("Vaug", "G+"),
        ("V+7", "G+7"),
        ("♭VII", "Bb"),
        ("bVII7", "Bb7"),
        ("#iv°", "F#dim"),
        ("iimaj7", "DmMaj7"),
        ("I6/9", "C6/9"),
        ("Vb5", "G(b5)"),
        ("V/vi", "E"),
        ("V7/IV", "C7"),
    ];
    for (numeral, symbol) in rows {
        let read = Numeral::parse(numeral).unwrap();
        assert_eq!(read.chord_in(&key("C")), chord(symbol), "{numeral}");
    }
    for text in
        ["", "b", "Iv", "VIII", "IIm7", "VII°", "A", "V/", "V/x", "ii7/V/vi", "V7/ii7", "iq", "é"]
    {
        assert_eq!(Numeral::parse(text), None, "{text}");
    }
}

#[test]
fn a_minor_key_keeps_its_natural_degrees() {
    let rows = [
        ("III", "C"),
        ("bIII", "C"),
        ("VI", "F"),
        ("bVI", "F"),
        ("VII", "G"),
        ("bVII", "G"),
        ("iii", "Cm"),
        ("vi", "Fm"),
        ("vii", "Gm"),
        ("vii°", "G#dim"),
        ("vii°7", "G#dim7"),
        ("viiø7", "G#m7b5"),
        ("#vii°", "G#dim"),
        ("vii°7/iv", "C#dim7"),
    ];
    for (numeral, symbol) in rows {
        let read = Numeral::parse(numeral).unwrap();
        assert_eq!(read.chord_in(&key("Am")), chord(symbol), "{numeral}");
    }
    for numeral in ["VII", "bVII"] {
        let read = Numeral::parse(numeral).unwrap();
        assert_eq!(read.chord_in(&key("G mixolydian")), chord("F"));
    }
}

#[test]
fn agreement_follows_what_the_numeral_writes() {
    let rows = [
        ("F#m7", "vi7", true),
        ("F#m7", "vi", true),
        ("F#m", "vi7", false),
        ("F#m7", "VI", false),
        ("F#m7", "ii", false),
        ("Aadd9", "I", true),
        ("A", "Iadd9", false),
        ("E/G#", "V", true),
        ("E/G#", "V/G#", true),
        ("E", "V/G#", false),
        ("Esus4", "V", true),
        ("Esus4", "v", true),
        ("E7sus4", "V7", true),
        ("E", "Vsus4", false),
        ("E5", "V", true),
        ("E5", "v", true),
        ("E5", "V7", false),
        ("E", "V5", false),
        ("E7", "Vmaj7", false),
        ("E9", "V7", true),
        ("E13", "V9", true),
        ("E7#5", "V7", true),
        ("E7alt", "V7", true),
        ("E7alt", "V7alt", true),
        ("E+", "V", false),
        ("E+", "V+", true),
        ("G#dim", "vii°", true),
        ("G#m7b5", "vii°", true),
        ("G#m7b5", "viiø7", true),
        ("G#m7b5", "vii", false),
        ("G#dim7", "viiø7", false),
        ("G#m7b5", "vii°7", false),
        ("B7", "II7", true),
        ("B7", "V7/V", true),
        ("Cb7", "V7/V", false),
        ("Amaj7", "I7", false),
        ("A7", "I", true),
    ];
    for (symbol, numeral, agrees) in rows {
        let read = Numeral::parse(numeral).unwrap();
        let judged = read.agrees_with(&chord(symbol), &key("A"));
        assert_eq!(judged, agrees, "{symbol} is {numeral}");
    }
}

#[test]
fn printed_with_signs_and_raised_extensions() {
    let printed = Numeral::parse("bVIImaj7").unwrap().printed();
    assert_eq!(printed, Printed::plain("♭VII").then("maj7", true));
    let printed = Numeral::parse("V7/bII").unwrap().printed();
    assert_eq!(printed, Printed::plain("V").then("7", true).then("/♭II", false));
}
