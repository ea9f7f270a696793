use super::*;

fn pitches(text: &str) -> String {
    let tuning = Tuning::parse(text).unwrap();
    let strings: Vec<String> = tuning.strings().iter().map(Pitch::to_string).collect();
    strings.join(" ")
}

#[test]
fn letters_take_the_usual_octaves() {
    for (text, read) in [
        ("E A D G B E", "E2 A2 D3 G3 B3 E4"),
        ("EADGBE", "E2 A2 D3 G3 B3 E4"),
        ("EADGBe", "E2 A2 D3 G3 B3 E4"),
        ("e a d g b e", "E2 A2 D3 G3 B3 E4"),
        ("E, A, D, G, B, E", "E2 A2 D3 G3 B3 E4"),
        ("E2A2D3G3B3E4", "E2 A2 D3 G3 B3 E4"),
        ("DADGAD", "D2 A2 D3 G3 A3 D4"),
        ("DGDGBD", "D2 G2 D3 G3 B3 D4"),
        ("E♭ A♭ D♭ G♭ B♭ E♭", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4"),
        ("EbAbDbGbBbEb", "Eb2 Ab2 Db3 Gb3 Bb3 Eb4"),
        ("D#G#C#F#A#D#", "D#2 G#2 C#3 F#3 A#3 D#4"),
        ("C G C G C E", "C2 G2 C3 G3 C4 E4"),
        ("Cb Cb Cb Cb Cb Cb", "Cb2 Cb3 Cb3 Cb4 Cb4 Cb4"),
        // A tritone either way: the lower.
        ("Bb A D G B E", "Bb1 A2 D3 G3 B3 E4"),
        ("E A D C# B E", "E2 A2 D3 C#3 B3 E4"),
        ("EADG", "E1 A1 D2 G2"),
        ("BEADG", "B0 E1 A1 D2 G2"),
        ("BEADGBE", "B1 E2 A2 D3 G3 B3 E4"),
        ("AEADGBE", "A1 E2 A2 D3 G3 B3 E4"),
        ("F#BEADGBE", "F#1 B1 E2 A2 D3 G3 B3 E4"),
        ("GCEA", "G4 C4 E4 A4"),
        ("g c e a", "G4 C4 E4 A4"),
        ("G3 D4 A4 E5", "G3 D4 A4 E5"),
        ("D3 A3 D4", "D3 A3 D4"),
        ("G4 D3 G3 B3 D4", "G4 D3 G3 B3 D4"),
    ] {
        assert_eq!(pitches(text), read, "{text}");
    }
}

#[test]
fn what_is_no_tuning_is_told_with_its_place() {
    for (text, message, place) in [
        ("E A D H B E", "`H` is no open string", 6..7),
        (" E A Rex", "`Rex` is no open string", 5..8),
        ("E A", "a tuning has 3 to 12 strings, this one has 2", 0..3),
        ("", "a tuning has 3 to 12 strings, this one has 0", 0..0),
        ("  ", "a tuning has 3 to 12 strings, this one has 0", 0..0),
        ("E A D ", "letters alone don't tell the octaves of 3 strings", 0..5),
        ("E2 A2 D G3 B3 E4", "string `D` has no octave, others have one", 6..7),
        ("E2 A2 D33", "`D33` is no string's pitch", 6..9),
        ("E2 A2 D9", "`D9` is no string's pitch", 6..8),
        ("eadgbe", "a `b` in `eadgbe` may be a string or a flat", 0..6),
        ("drop H", "`drop` is no open string", 0..4),
        ("E A D ♯", "`♯` is no open string", 6..9),
    ] {
        let error = Tuning::parse(text).unwrap_err();
        assert_eq!((error.message.as_str(), error.place), (message, place), "{text}");
    }
}

#[test]
fn names_are_of_the_sound() {
    for (text, name) in [
        ("EADGBE", Some("standard")),
        ("DADGBE", Some("drop D")),
        ("DADGAD", Some("DADGAD")),
        ("D#G#C#F#A#D#", Some("half a step down")),
        ("EbAbDbGbBbEb", Some("half a step down")),
        ("DGCFAD", Some("a whole step down")),
        ("EADG", Some("bass")),
        ("GCEA", Some("ukulele")),
        ("EADGCF", Some("all fourths")),
        ("EADGBD", None),
    ] {
        assert_eq!(Tuning::parse(text).unwrap().name(), name, "{text}");
    }
}

#[test]
fn every_name_has_a_tuning_of_its_own() {
    for known in NAMES {
        assert_eq!(Tuning::parse(known.strings).unwrap().name(), Some(known.name));
    }
}

#[test]
fn every_name_that_is_printed_can_be_written() {
    for known in NAMES {
        let strings = Tuning::parse(known.strings);
        for written in [
            known.name.to_owned(),
            known.name.to_uppercase(),
            format!(" {}  tuning ", known.name),
            known.name.replace('#', "♯"),
        ] {
            assert_eq!(Tuning::parse(&written), strings, "{written}");
        }
    }
}

#[test]
fn a_ukulele_and_a_banjo_are_reentrant() {
    for (text, reentrant) in [
        ("GCEA", true),
        ("five-string banjo, open G", true),
        ("ukulele, low G", false),
        ("standard", false),
        ("high-strung", false),
        ("D3 D3 D4", false),
    ] {
        assert_eq!(Tuning::parse(text).unwrap().is_reentrant(), reentrant, "{text}");
    }
}

#[test]
fn the_scale_length_follows_the_tuning() {
    for (text, length) in [
        ("EADGBE", 648.0),
        ("EADG", 864.0),
        ("BEADG", 864.0),
        ("GCEA", 380.0),
        ("G3 D4 A4 E5", 380.0),
        ("D3 G3 B3 E4", 648.0),
        ("B1 E2 A2 D3", 648.0),
        ("BEADGBE", 648.0),
    ] {
        assert_eq!(Tuning::parse(text).unwrap().scale_length(), length, "{text}");
    }
}

proptest::proptest! {
    #[test]
    fn any_text_is_read_without_panic(text in "\\PC{0,20}") {
        if let Err(error) = Tuning::parse(&text) {
            proptest::prop_assert!(text.get(error.place).is_some());
        }
    }

    #[test]
    fn letters_land_within_a_tritone(notes in proptest::collection::vec((0i32..7, -1i8..=1), 6)) {
        let notes: Vec<Note> =
            notes.into_iter().map(|(letter, sign)| Note::new(Letter::at(letter), sign)).collect();
        let text: Vec<String> = notes.iter().map(Note::to_string).collect();
        let tuning = Tuning::parse(&text.join(" ")).unwrap();
        for (string, usual) in tuning.strings().iter().zip(SIX.map(pitch)) {
            let distance = string.midi() - usual.midi();
            proptest::prop_assert!((-6..=5).contains(&distance), "{string} {usual}");
        }
    }
}
