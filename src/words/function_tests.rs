#![allow(clippy::unwrap_used)]

use super::terms as words;
use crate::theory::numeral::{Around, around, explanation, function_of, in_key};
use crate::theory::{Chord, Key, Numeral};

fn function(chord: &str, key: &str) -> String {
    let chord = Chord::parse(chord).unwrap();
    let function = function_of(&chord, Around::default(), &Key::parse(key).unwrap());
    function.map_or("none".into(), words::function)
}

/// Chords in keys with the word for what they do there.
const FUNCTIONS: &[(&str, &str, &str)] = &[
    ("A", "A", "tonic"),
    ("Amaj7", "A", "tonic"),
    ("A5", "A", "tonic"),
    ("A/C#", "A", "tonic"),
    ("A/G", "A", "tonic"),
    ("Bm7", "A", "subdominant family"),
    ("C#m", "A", "tonic family"),
    ("D", "A", "subdominant"),
    ("E7", "A", "dominant"),
    ("E7sus4", "A", "dominant"),
    ("F#m", "A", "tonic family"),
    ("G#m7b5", "A", "leading-tone chord"),
    ("B7", "A", "dominant of V"),
    ("B", "A", "dominant of V"),
    ("F#7", "A", "dominant of ii"),
    ("G#7b9", "A", "dominant of iii"),
    ("C#7", "A", "dominant of vi"),
    ("A7", "A", "tonic in a blues: dominant seventh on I"),
    ("D9", "A", "subdominant with a minor seventh"),
    ("D#dim7", "A", "leading-tone chord of V"),
    ("A#dim7", "A", "leading-tone chord of ii"),
    ("G#dim7", "A", "borrowed from A minor"),
    ("Dm", "A", "borrowed from A minor"),
    ("G", "A", "borrowed from A minor"),
    ("G7", "A", "borrowed from A minor"),
    ("C", "A", "borrowed from A minor"),
    ("Fmaj7", "A", "borrowed from A minor"),
    ("Em7", "A", "borrowed from A minor"),
    ("Bbmaj7", "A", "borrowed from A phrygian"),
    ("Bb7", "A", "tritone substitute for V7"),
    ("F7", "A", "tritone substitute for V7/V"),
    ("E7#9", "A", "dominant with altered tones"),
    ("E+", "A", "dominant with altered tones"),
    ("Cdim7", "A", "passing diminished chord"),
    ("Ebm", "A", "none"),
    ("Dm7b5", "Am", "none"),
    ("Am", "Am", "tonic"),
    ("AmMaj7", "Am", "tonic"),
    ("Dm", "Am", "subdominant"),
    ("Em", "Am", "minor dominant"),
    ("E7", "Am", "dominant"),
    ("G", "Am", "subtonic"),
    ("G#dim7", "Am", "leading-tone chord"),
    ("C", "Am", "tonic family"),
    ("D", "Am", "borrowed from A dorian"),
    ("D7", "Am", "borrowed from A dorian"),
    ("A", "Am", "borrowed from A major"),
    ("A7", "Am", "dominant of iv"),
    ("B7", "Am", "dominant of V"),
    ("Bb", "Am", "Neapolitan chord"),
    ("Db/F", "C", "Neapolitan chord"),
    ("Ab7b5", "C", "French augmented sixth"),
    ("Ab7no5", "C", "Italian augmented sixth"),
    ("Am6", "Am", "tonic"),
    ("Am6/9", "Am", "tonic"),
    ("Am13", "Am", "borrowed from A dorian"),
    ("F7", "Am", "tritone substitute for V7/V"),
    ("F", "G mixolydian", "subtonic"),
    ("Dm", "G mixolydian", "minor dominant"),
    ("D7", "G mixolydian", "borrowed from G major"),
    ("G7", "D dorian", "subdominant"),
    ("F", "E phrygian", "supertonic"),
    ("F", "E phrygian dominant", "supertonic"),
    ("E7", "E phrygian dominant", "tonic"),
    ("Am", "E phrygian dominant", "subdominant"),
    ("Dm", "E phrygian dominant", "subtonic"),
    ("B7", "E phrygian dominant", "borrowed from E major"),
    ("C7", "E phrygian dominant", "dominant of bII"),
    ("E7", "A harmonic minor", "dominant"),
    ("G#dim7", "A harmonic minor", "leading-tone chord"),
    ("C+", "A harmonic minor", "tonic family"),
    ("G", "A harmonic minor", "borrowed from A minor"),
    ("D7", "A melodic minor", "subdominant"),
    ("G7", "G lydian dominant", "tonic"),
    ("A", "G lydian dominant", "supertonic"),
    ("G", "A minor pentatonic", "subtonic"),
    ("E7", "A minor pentatonic", "dominant"),
    ("D", "A major pentatonic", "subdominant"),
    ("A7", "A blues", "tonic"),
    ("D9", "A blues", "subdominant"),
    ("E7#9", "A blues", "dominant"),
    ("A7", "A major blues", "tonic"),
    ("C+", "C whole tone", "tonic"),
    ("F", "C whole tone", "borrowed from C major"),
];

#[test]
fn every_chord_has_its_function() {
    for &(chord, key, word) in FUNCTIONS {
        assert_eq!(function(chord, key), word, "{chord} in {key}");
    }
}

#[test]
fn chords_are_told_by_what_they_lead_to() {
    for (chord, next, key, word) in [
        ("A7", "D", "A", "dominant of IV"),
        ("A7", "Dmaj7", "A", "dominant of IV"),
        ("A7", "D7", "A", "tonic in a blues: dominant seventh on I"),
        ("A7", "E", "A", "tonic in a blues: dominant seventh on I"),
        ("C7", "F/A", "C", "dominant of IV"),
        ("A7", "D7", "C", "dominant of ii"),
        ("Bb7", "Eb", "C", "dominant of bIII"),
        ("Eb7", "Dm7", "C", "tritone substitute for V7/ii"),
        ("Bb7", "Am", "C", "tritone substitute for V7/vi"),
        ("Ab7", "G7", "C", "tritone substitute for V7/V"),
        ("Db7", "C", "C", "tritone substitute for V7"),
        ("Ab7", "G", "C", "German augmented sixth"),
        ("Ab7", "C/G", "C", "German augmented sixth"),
        ("F7", "E", "Am", "German augmented sixth"),
        ("Cdim7", "C", "C", "common-tone diminished chord of I"),
        ("D#dim7", "C/E", "C", "common-tone diminished chord of I"),
        ("F#dim7", "C", "C", "common-tone diminished chord of I"),
        ("F#dim7", "C/G", "C", "leading-tone chord of V"),
        ("Gdim7", "G7", "C", "common-tone diminished chord of V"),
        ("C#dim7", "Dm", "C", "leading-tone chord of ii"),
        ("G7", "C", "Am", "subtonic"),
    ] {
        let (chord, next) = (Chord::parse(chord).unwrap(), Chord::parse(next).unwrap());
        let around = Around { next: Some(&next), ..Around::default() };
        let function = function_of(&chord, around, &Key::parse(key).unwrap());
        let said = function.map_or("none".into(), words::function);
        assert_eq!(said, word, "{chord} before {next} in {key}");
    }
}

/// Progressions in keys, with the numeral and the word of the chord at an index.
const AMONG_OTHERS: &[(&str, &str, usize, &str, &str)] = &[
    ("C", "Em7b5 A7 Dm7", 0, "iiø7/ii", "related ii of ii"),
    ("C", "Gm7 C7 Fmaj7", 0, "ii7/IV", "related ii of IV"),
    ("C", "Gm7 C7 F7", 0, "ii7/IV", "related ii of IV"),
    ("C", "Bm7 E7 Am7", 0, "ii7/vi", "related ii of vi"),
    ("C", "F#m7 B7 Em", 0, "ii7/iii", "related ii of iii"),
    ("C", "F#m7b5 B7 Em", 0, "iiø7/iii", "related ii of iii"),
    ("C", "F#m B Em", 0, "ii/iii", "related ii of iii"),
    ("C", "Am7b5 D7 G", 0, "iiø7/V", "related ii of V"),
    ("Cm", "Gm7b5 C7 Fm", 0, "iiø7/iv", "related ii of iv"),
    ("C", "Am7 D7 G", 0, "vi7", "tonic family"),
    ("C", "Dm7 G7 C", 0, "ii7", "subdominant family"),
    ("C", "Fm7 Bb7 C", 0, "iv7", "borrowed from C minor"),
    ("C", "F#dim7 D7 G", 0, "vii°7/V", "leading-tone chord of V"),
    ("C", "C#dim7 A7 Dm", 0, "vii°7/ii", "leading-tone chord of ii"),
    ("C", "F F#dim7 C/G", 1, "vii°7/V", "leading-tone chord of V"),
    ("C", "C C#dim7 F", 1, "#i°7", "passing diminished chord"),
    ("C", "C C#dim7 C", 1, "#i°7", "neighbouring diminished chord"),
    ("C", "C D#dim7 C", 1, "#ii°7", "common-tone diminished chord of I"),
    ("C", "C D#dim7 C/E", 1, "#ii°7", "common-tone diminished chord of I"),
    ("C", "C F#m7b5 Fm6", 1, "#ivø7", "chromatic predominant"),
    ("C", "C F#m7b5 C/E", 1, "#ivø7", "chromatic predominant"),
    ("C", "C F#m7b5 G7", 1, "viiø7/V", "leading-tone chord of V"),
    ("Am", "Am F#dim7 Am", 1, "#vi°7", "common-tone diminished chord of i"),
    ("D dorian", "Dm C#dim7 Dm", 1, "#vii°7", "leading-tone chord"),
    ("E phrygian", "F D#dim7 Em", 1, "#vii°7", "leading-tone chord"),
    ("G mixolydian", "C F#dim7 G", 1, "#vii°7", "leading-tone chord"),
    ("E phrygian", "Em Bdim Em", 1, "v°", "diminished dominant"),
    ("C lydian", "C F#dim C", 1, "iv°", "raised fourth"),
    ("C", "C D7b5/Ab G", 1, "Fr+6", "French augmented sixth"),
    ("Am", "Am B7b5/F E", 1, "Fr+6", "French augmented sixth"),
    ("C", "Dm C/G G7", 1, "I/G", "dominant (cadential six-four)"),
    ("C", "G C/G G", 1, "I/G", "tonic"),
    ("C", "C C/G F", 1, "I/G", "tonic"),
    ("Dm", "Dm Bb7 Dm/A A", 1, "Ger+6", "German augmented sixth"),
    ("Dm", "Dm Bb7 Dm/A A", 2, "i/A", "dominant (cadential six-four)"),
    ("C", "C F/G G7", 1, "IV/G", "dominant"),
    ("C", "C F/G C", 1, "IV/G", "dominant"),
    ("C", "C Dm7/G C", 1, "ii7/G", "dominant"),
    ("C", "C F/G Am", 1, "IV/G", "subdominant"),
    ("C", "F/G G9sus4 C", 0, "IV/G", "dominant"),
    ("C", "Em7 A7 Ebm7 Ab7 Dm7 G7", 2, "biii7", "related ii of a tritone substitute"),
    ("C", "Dm7 Abm7 Db7 C", 1, "bvi7", "related ii of a tritone substitute"),
    ("C", "C C+ C6", 1, "I+", "tonic with a raised fifth"),
    ("C", "C C+ F", 1, "I+", "tonic with a raised fifth"),
    ("C", "C C/D D7", 1, "I/D", "suspended dominant of V"),
    ("C", "C C/D G7", 1, "I/D", "suspended dominant of V"),
    ("C", "F Bb7#11 C", 1, "bVII7#11", "borrowed from C minor"),
    ("C", "C7 Am", 0, "V7/IV", "dominant of IV"),
    ("C", "C7 Am F7 C7", 0, "I7", "tonic in a blues: dominant seventh on I"),
    ("C", "C7 F7 C7 G7", 1, "IV7", "subdominant in a blues: dominant seventh on IV"),
    ("C", "C6 F7 C6 G7", 1, "IV7", "subdominant with a minor seventh"),
    ("C", "C F7 C F7", 1, "IV7", "subdominant with a minor seventh"),
    ("C", "C C7 F F7 C", 3, "IV7", "subdominant with a minor seventh"),
    ("Dm", "Dm A7sus4 A7 Dm", 1, "V7sus4", "dominant"),
    ("C", "C F7 Bb C", 1, "V7/bVII", "dominant of bVII"),
    ("C", "C F7 Em7 A7", 1, "IV7", "tritone substitute for V7/iii"),
    ("Am", "Am D7 Am", 1, "IV7", "borrowed from A dorian"),
    ("Am", "Am D7 G", 1, "V7/VII", "dominant of VII"),
    ("C", "C Ab7b5 G", 1, "Fr+6", "French augmented sixth"),
    ("C", "C Ab7no5 C/G G", 1, "It+6", "Italian augmented sixth"),
    ("C", "C Ab7/Gb G", 1, "Ger+6/Gb", "German augmented sixth"),
    ("C", "C Ab7b5 Db", 1, "V7b5/bII", "dominant of bII"),
    ("C", "C Ab7b5 F", 1, "bVI7b5", "tritone substitute for V7/V"),
    ("C", "C Ab7 Dbmaj7", 1, "V7/bII", "dominant of bII"),
];

#[test]
fn chords_are_told_by_those_around_them() {
    for &(key, progression, at, numeral, word) in AMONG_OTHERS {
        let parsed = progression.split(' ').map(|symbol| Chord::parse(symbol).unwrap());
        let (chords, key) = (parsed.collect::<Vec<Chord>>(), Key::parse(key).unwrap());
        let around = around(&chords.iter().collect::<Vec<_>>(), &key);
        let (chord, around) = (chords.get(at).unwrap(), *around.get(at).unwrap());
        let function = function_of(chord, around, &key).map_or("none".into(), words::function);
        let told = (Numeral::within(chord, around, &key).to_string(), function);
        assert_eq!(told, (numeral.to_owned(), word.to_owned()), "{chord} in {progression}");
    }
}

#[test]
fn the_chords_around_are_others() {
    let chords: Vec<Chord> =
        ["A", "A", "D", "D", "A"].iter().map(|text| Chord::parse(text).unwrap()).collect();
    let around = around(&chords.iter().collect::<Vec<_>>(), &Key::parse("A").unwrap());
    let said = |chord: Option<&Chord>| chord.map_or("none".into(), |chord| chord.to_string());
    let told = around.iter().map(|around| [around.before, around.next, around.then].map(said));
    let told: Vec<String> = told.map(|told| told.join(" ")).collect();
    assert_eq!(told, ["none D A", "none D A", "A A none", "A A none", "D none none"]);
}

#[test]
fn a_chord_is_in_the_key_as_it_is_spelled() {
    let rows = [
        ("Aadd9", "A", true),
        ("F#m7", "A", true),
        ("Gbm7", "A", false),
        ("A7", "A", false),
        ("A/G", "A", false),
        ("E7", "Am", true),
        ("E7b9", "Am", true),
        ("G", "Am", true),
        ("Gmaj7", "Am", false),
        ("G7", "Am", true),
        ("G#dim7", "Am", true),
        ("G#dim7/G", "Am", false),
        ("D", "Am", false),
        ("F", "G mixolydian", true),
        ("F#", "G mixolydian", false),
        ("E", "E phrygian dominant", true),
        ("Fmaj7", "E phrygian dominant", true),
        ("Am", "E phrygian dominant", true),
        ("Em", "E phrygian dominant", false),
        ("B7", "E phrygian dominant", false),
        ("E7", "A harmonic minor", true),
        ("G", "A harmonic minor", false),
        ("Dm", "A minor pentatonic", true),
        ("E7", "A minor pentatonic", true),
        ("F#m", "A minor pentatonic", false),
        ("A7", "A blues", true),
        ("D9", "A blues", true),
        ("B7", "A blues", false),
        ("C7#5", "C whole tone", true),
        ("Abaug", "C whole tone", true),
        ("F#7", "C half-whole diminished", true),
        ("Am", "C half-whole diminished", true),
        ("D", "C half-whole diminished", false),
    ];
    for (chord, key, within) in rows {
        let read = Chord::parse(chord).unwrap();
        assert_eq!(in_key(&read, &Key::parse(key).unwrap()), within, "{chord} in {key}");
    }
}

#[test]
fn a_chord_and_the_bass_that_it_names_are_explained_together() {
    for (chord, key, words, within) in [
        ("C", "C", "tonic", true),
        ("C/E", "C", "tonic", true),
        ("F/G", "C", "subdominant", true),
        ("C/F#", "C", "tonic, bass outside", false),
        ("D/F#", "C", "dominant of V", false),
        ("D/C", "C", "dominant of V", false),
        ("C7/F#", "C", "tonic in a blues, bass outside", false),
        ("C7/E", "C blues", "tonic", true),
        ("C7/C#", "C blues", "tonic, bass outside", false),
        // Both sevenths of a minor key are in it, but not in one chord.
        ("G#dim/G", "A minor", "leading-tone chord, bass outside", false),
    ] {
        let (chord, key) = (Chord::parse(chord).unwrap(), Key::parse(key).unwrap());
        let told = words::brief_explanation(&explanation(&chord, Around::default(), &key));
        assert_eq!(told.as_deref(), Some(words), "{chord} in {key}");
        assert_eq!(in_key(&chord, &key), within, "{chord} in {key}");
    }
}

#[test]
fn functions_are_printed_with_proper_signs() {
    let chord = Chord::parse("D").unwrap();
    let key = Key::parse("F#").unwrap();
    let function = function_of(&chord, Around::default(), &key).unwrap();
    assert_eq!(words::printed_function(function), "borrowed from F♯ minor");
    assert_eq!(words::function(function), "borrowed from F# minor");
}
