use super::*;

#[test]
fn chords_are_said_as_players_say_them() {
    for (symbol, said) in [
        ("A", "A"),
        ("Bb", "B flat"),
        ("C♯7", "C sharp seven"),
        ("F#m7", "F sharp minor seven"),
        ("E/G#", "E over G sharp"),
        ("Aadd9", "A add nine"),
        ("Dsus4", "D sus four"),
        ("Esus2", "E sus two"),
        ("Cmaj7", "C major seven"),
        ("CΔ", "C major seven"),
        ("Bm7b5", "B minor seven flat five"),
        ("Bø7", "B minor seven flat five"),
        ("G7#9", "G seven sharp nine"),
        ("A5", "A five"),
        ("Bb5", "B flat five"),
        ("B(b5)", "B flat five"),
        ("Cdim", "C diminished"),
        ("C°7", "C diminished seven"),
        ("Caug", "C augmented"),
        ("Dm(maj7)", "D minor major seven"),
        ("E6/9", "E six nine"),
        ("Am6", "A minor six"),
        ("A7sus4", "A seven sus four"),
        ("G13", "G thirteen"),
        ("G13b9", "G thirteen flat nine"),
        ("Cmaj9#11", "C major nine sharp eleven"),
        ("E7alt", "E seven altered"),
        ("Am11", "A minor eleven"),
        ("Cno3", "C five"),
        ("C7no3", "C seven no third"),
        ("C7no5", "C seven no fifth"),
        ("Fx", "F double sharp"),
        ("Ebb", "E double flat"),
        ("Dbmaj7/Ab", "D flat major seven over A flat"),
    ] {
        let chord = Chord::read(symbol);
        assert_eq!(chord.map(|chord| ENGLISH.chord(&chord)).as_deref(), Some(said), "{symbol}");
    }
}

#[test]
fn every_quality_has_words_without_signs() {
    let root = Note::new(crate::theory::Letter::C, 0);
    for (name, forms) in Chord::qualities() {
        for form in forms {
            let Ok(chord) = Chord::of(root, form, None) else { continue };
            let said = ENGLISH.chord(&chord);
            let plain = |c: char| c.is_ascii_lowercase() || c == ' ' || c == 'C';
            assert!(said.chars().all(plain), "{name}, {form}: {said}");
        }
    }
}

#[test]
fn numerals_are_said_by_their_numbers() {
    for (numeral, said) in [
        ("I", "one"),
        ("vi", "six minor"),
        ("vi7", "six minor seven"),
        ("V7", "five seven"),
        ("V7/ii", "five seven of two"),
        ("V7/bIII", "five seven of flat three"),
        ("bVII", "flat seven"),
        ("#iv°", "sharp four diminished"),
        ("ii°", "two diminished"),
        ("vii°7", "seven diminished seven"),
        ("viiø7", "seven half-diminished"),
        ("V+", "five augmented"),
        ("Imaj7", "one major seven"),
        ("V7sus4", "five seven sus four"),
        ("I6", "one six"),
        ("ii6", "two minor six"),
        ("I64", "one six four"),
        ("V65", "five six five"),
        ("V43/V", "five four three of five"),
        ("viiø65", "seven half-diminished six five"),
        ("V/G#", "five over G sharp"),
        ("N6", "Neapolitan six"),
        ("Ger+6", "German sixth"),
        ("subV7/ii", "sub five seven of two"),
    ] {
        let read = Numeral::parse(numeral).map(|numeral| ENGLISH.numeral(&numeral));
        assert_eq!(read.as_deref(), Some(said), "{numeral}");
    }
}

#[test]
fn words_that_are_no_phrase_have_their_notes_said() {
    for (words, said) in [
        ("N.C.", "no chord"),
        ("Slide to C♯, then B♭.", "Slide to C sharp, then B flat."),
        ("(F♯m7)\nand on", "(F sharp minor seven)\nand on"),
        ("the C♯–E♭ shape", "the C sharp–E flat shape"),
        ("5♭ and ABC♯ stay", "5♭ and ABC♯ stay"),
        ("a # and a b", "a # and a b"),
        ("", ""),
    ] {
        assert_eq!(ENGLISH.prose(words, Names::English), said, "{words}");
    }
}

#[test]
fn notes_in_plain_words_are_said_by_the_lessons_names() {
    for (names, words, said) in [
        (Names::German, "Erst H♭, dann F♯7.", "Erst B, dann Fis seven."),
        (Names::German, "von C♯–E♭ nach Gis", "von Cis–Es nach Gis"),
        (Names::Solfege, "Sol♯7 e Si♭m", "Sol sharp seven e Si flat minor"),
        (Names::Solfege, "le note Do♯–Mi♭", "le note Do sharp–Mi flat"),
        (Names::Solfege, "C♯ e BMi♭", "C♯ e BMi♭"),
    ] {
        assert_eq!(ENGLISH.prose(words, names), said, "{words}");
    }
}

#[test]
fn frets_beyond_the_words_are_said_by_their_figures() {
    let frets = [None, Some(Fret::OPEN), Some(Fret::new(12)), Some(Fret::new(25))];
    assert_eq!(ENGLISH.frets(&frets), "x, open, twelve, 25");
}
