#![allow(clippy::unwrap_used)]

use super::terms as words;
use crate::theory::numeral::{explanation, function_of, in_key, next_others};
use crate::theory::{Chord, Key};

fn function(chord: &str, key: &str) -> String {
    let chord = Chord::parse(chord).unwrap();
    let function = function_of(&chord, None, &Key::parse(key).unwrap());
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
    ("D9", "A", "subdominant in a blues: dominant seventh on IV"),
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
        ("D#dim7", "C/E", "C", "leading-tone chord of iii"),
        ("F#dim7", "C", "C", "common-tone diminished chord of I"),
        ("F#dim7", "C/G", "C", "leading-tone chord of V"),
        ("Gdim7", "G7", "C", "common-tone diminished chord of V"),
        ("C#dim7", "Dm", "C", "leading-tone chord of ii"),
        ("G7", "C", "Am", "subtonic"),
    ] {
        let (chord, next) = (Chord::parse(chord).unwrap(), Chord::parse(next).unwrap());
        let function = function_of(&chord, Some(&next), &Key::parse(key).unwrap());
        let said = function.map_or("none".into(), words::function);
        assert_eq!(said, word, "{chord} before {next} in {key}");
    }
}

#[test]
fn the_next_chord_is_the_next_other_one() {
    let chords: Vec<Chord> =
        ["A", "A", "D", "D", "A"].iter().map(|text| Chord::parse(text).unwrap()).collect();
    let nexts = next_others(&chords.iter().collect::<Vec<_>>());
    let nexts: Vec<String> =
        nexts.iter().map(|next| next.map_or("none".into(), |next| next.to_string())).collect();
    assert_eq!(nexts, ["D", "D", "A", "A", "none"]);
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
        let told = words::brief_explanation(&explanation(&chord, None, &key));
        assert_eq!(told.as_deref(), Some(words), "{chord} in {key}");
        assert_eq!(in_key(&chord, &key), within, "{chord} in {key}");
    }
}

#[test]
fn functions_are_printed_with_proper_signs() {
    let chord = Chord::parse("D").unwrap();
    let key = Key::parse("F#").unwrap();
    let function = function_of(&chord, None, &key).unwrap();
    assert_eq!(words::printed_function(function), "borrowed from F♯ minor");
    assert_eq!(words::function(function), "borrowed from F# minor");
}
