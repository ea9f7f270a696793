//! Tables of symbols from the trade, and properties over all of them.

use super::*;
use crate::theory::Letter;

/// Symbols on C with their formula; `?` marks what may be left out. Forms in one row are one
/// chord, the house form first.
const TABLE: &[(&str, &str)] = &[
    ("C Cmaj CM C(maj) CMaj Cma CMa", "R 3 5?"),
    ("Cm Cmi Cmin C- C− C(m) C(-)", "R b3 5?"),
    ("Cdim C° Co Cm(b5) Cmb5 Cm-5 C(dim) C(°)", "R b3 b5"),
    ("Caug C+ C(#5) C+5 Cmaj#5 C(aug) C(+)", "R 3 #5"),
    ("C5 C(5) Cno3 Comit3 C(no3) Cmno3", "R 5"),
    ("C6 Cmaj6 C(6)", "R 3 5? 6"),
    ("Cm6 C-6 Cmin6", "R b3 5? 6"),
    ("C6/9 C69 C6(9) C6add9 C(6/9) C6/9", "R 3 5? 6 9"),
    ("Cm6/9 Cm69", "R b3 5? 6 9"),
    ("C7 C(7) C((7))", "R 3 5? b7"),
    ("Cmaj7 CM7 CΔ CΔ7 CMaj7 Cma7 CMa7 Cmj7 CMj7 C∆ C∆7 C△ C△7 C(maj7) C(mj7) C(△)", "R 3 5? 7"),
    ("Cm7 C-7 C−7 Cmi7 Cmin7 Cm(7) C(m7)", "R b3 5? b7"),
    ("Cm(maj7) CmMaj7 C(m(maj7)) CmM7 Cmmaj7 C-Δ C-Δ7 C−△7 Cm(mj7) Cminmaj7", "R b3 5? 7"),
    ("Cm7b5 Cø Cø7 C-7b5 Cm7(b5) Cmin7♭5 Cm7-5 Cm7−5 Cm7(-5) C−7(−5) C(ø)", "R b3 b5 b7"),
    ("Cdim7 C°7 Cº7 Co7 C(dim7)", "R b3 b5 bb7"),
    ("Cdim(maj7) C°maj7 CoM7", "R b3 b5 7"),
    ("C7#5 Caug7 C+7 C7(#5) C7+5 C7(+5) C(aug7)", "R 3 #5 b7"),
    ("Cmaj7#5 Caugmaj7 C+M7", "R 3 #5 7"),
    ("C9 C7add9 C7(9)", "R 3 5? b7 9"),
    ("Cmaj9 CM9 CΔ9 C△9 Cmj9 Cmaj7add9", "R 3 5? 7 9"),
    ("Cm9 C-9", "R b3 5? b7 9"),
    ("Cm(maj9) CmMaj9", "R b3 5? 7 9"),
    ("Cm9b5 Cø9", "R b3 b5 b7 9"),
    ("C9#5 C+9 Caug9", "R 3 #5 b7 9"),
    ("C11", "R 3? 5? b7 9? 11"),
    ("Cm11 C-11", "R b3 5? b7 9? 11"),
    ("Cmaj11 CM11", "R 3 5? 7 9? 11"),
    ("C13", "R 3 5? b7 9? 11? 13"),
    ("Cm13", "R b3 5? b7 9? 11? 13"),
    ("Cmaj13 CM13", "R 3 5? 7 9? 11? 13"),
    ("Csus2 C(sus2)", "R 2 5?"),
    ("Csus4 Csus C(sus4) C(sus)", "R 4 5?"),
    ("C7sus4 C7sus C7(sus4)", "R 4 5? b7"),
    ("C9sus4 C9sus", "R 4 5? b7 9"),
    ("C11sus4 C11sus", "R 4 5? b7 9?"),
    ("C13sus4 C13sus C13(sus4)", "R 4 5? b7 9? 13"),
    ("Cmaj7sus2", "R 2 5? 7"),
    ("Cadd9 Cadd2 C(add9) C(add2) Cmajadd9 CMadd9 Cmaadd9", "R 3 5? 9"),
    ("Cmadd9 Cm(add9) C-add2", "R b3 5? 9"),
    ("Cadd11 Cadd4", "R 3 5? 11"),
    ("Cadd13", "R 3 5? 13"),
    ("C7add13 C7(13)", "R 3 5? b7 13"),
    ("C7add11 C7add4", "R 3 5? b7 11"),
    ("Csus4add9", "R 4 5? 9"),
    ("C5add9 C5add2", "R 5 9"),
    ("C(b5) Cmaj(b5) C-5 C(-5)", "R 3 b5"),
    ("C7b5 C7(b5) C7-5", "R 3 b5 b7"),
    ("C7b9 C7(b9) C7♭9 C7-9 C7−9 C7(-9)", "R 3 5? b7 b9"),
    ("C7#9 C7(#9) C7+9 C7(+9)", "R 3 5? b7 #9"),
    ("C7b9#9", "R 3 5? b7 b9 #9"),
    ("C7#11", "R 3 5? b7 #11"),
    ("C9#11", "R 3 5? b7 9 #11"),
    ("C13#11 C13(#11)", "R 3 5? b7 9? #11 13"),
    ("C13b9 C13(b9)", "R 3 5? b7 b9 11? 13"),
    ("C7b13", "R 3 5? b7 b13"),
    ("C7b9b13 C7(b9,b13) C7(b9)(b13) C7-9-13", "R 3 5? b7 b9 b13"),
    ("C7#5#9 C7+5+9 C+7+9", "R 3 #5 b7 #9"),
    ("C7sus4b9 C7b9sus4 C7sus4(b9)", "R 4 5? b7 b9"),
    ("Cmaj7#11 CΔ#11 C△7+11", "R 3 5? 7 #11"),
    ("C(#11) Cadd#11", "R 3 5? #11"),
    ("Cm(b9) Cmaddb9", "R b3 5? b9"),
    ("Cno5 Comit5 C(no5)", "R 3"),
    ("C7no5", "R 3 b7"),
    ("C7no3 C7omit3 Cm7no3", "R 5 b7"),
    ("C7alt C7(alt)", "R 3 b5? #5? b7 b9? #9? #11? b13?"),
];

fn formula(chord: &Chord) -> String {
    let tone = |tone: &Tone| format!("{}{}", tone.degree, if tone.omissible { "?" } else { "" });
    chord.tones.iter().map(tone).collect::<Vec<_>>().join(" ")
}

fn house_forms() -> impl Iterator<Item = &'static str> {
    TABLE.iter().map(|(forms, _)| forms.split(' ').next().unwrap())
}

#[test]
fn every_form_reads_as_its_formula_and_prints_in_the_house_form() {
    for (forms, tones) in TABLE {
        let house = forms.split(' ').next().unwrap();
        for form in forms.split(' ') {
            let chord =
                Chord::parse(form).unwrap_or_else(|error| panic!("{form}: {}", error.message));
            assert_eq!(formula(&chord), *tones, "{form}");
            assert_eq!(chord.to_string(), house, "{form}");
        }
    }
    assert_eq!(Chord::parse("C7(b13 b9)").unwrap().to_string(), "C7b9b13");
}

#[test]
fn the_house_form_reads_back_on_every_root_over_every_bass() {
    for letter in Letter::ALL {
        for root in (-2..=2).map(|accidental| Note::new(letter, accidental)) {
            for house in house_forms() {
                for bass in ["", "/G", "/Bb", "/F##"] {
                    let symbol = format!("{root}{}{bass}", &house[1..]);
                    let chord = Chord::parse(&symbol).unwrap();
                    assert_eq!(chord.root, root, "{symbol}");
                    assert_eq!(Chord::parse(&chord.to_string()).as_ref(), Ok(&chord), "{symbol}");
                    assert_eq!(
                        Chord::parse(&chord.printed().text()).as_ref(),
                        Ok(&chord),
                        "{symbol}"
                    );
                }
            }
        }
    }
}

#[test]
fn an_accidental_after_the_letter_belongs_to_the_root() {
    let rows = [
        ("Bb5", "Bb", "R 5"),
        ("B(b5)", "B", "R 3 b5"),
        ("Eb9", "Eb", "R 3 5? b7 9"),
        ("E♭m7", "Eb", "R b3 5? b7"),
        ("F♯ø", "F#", "R b3 b5 b7"),
        ("A#11", "A#", "R 3? 5? b7 9? 11"),
        ("Fx", "F##", "R 3 5?"),
        ("Cbb7", "Cbb", "R 3 5? b7"),
    ];
    for (symbol, root, tones) in rows {
        let chord = Chord::parse(symbol).unwrap();
        assert_eq!(
            (chord.root.to_string().as_str(), formula(&chord).as_str()),
            (root, tones),
            "{symbol}"
        );
    }
}

#[test]
fn chords_are_spelled_in_thirds() {
    let rows = [
        ("A", "A C# E"),
        ("F#m7", "F# A C# E"),
        ("Bbdim7", "Bb Db Fb Abb"),
        ("G#7", "G# B# D# F#"),
        ("Gbmaj7", "Gb Bb Db F"),
        ("Ebm7b5", "Eb Gb Bbb Db"),
        ("Caug", "C E G#"),
        ("Aadd9", "A C# E B"),
        ("A/C#", "A C# E"),
        ("D7#9", "D F# A C E#"),
        ("Abm11", "Ab Cb Eb Gb Bb Db"),
    ];
    for (symbol, notes) in rows {
        let spelled = Chord::parse(symbol).unwrap().notes();
        let spelled: Vec<String> = spelled.iter().map(Note::to_string).collect();
        assert_eq!(spelled.join(" "), notes, "{symbol}");
    }
}

#[test]
fn a_slash_names_the_bass() {
    let chord = Chord::parse("D/F#").unwrap();
    assert_eq!(chord.lowest(), Note::parse("F#").unwrap());
    assert_eq!(chord.degree_of(chord.lowest()), Some(Degree::new(3, 0)));
    let chord = Chord::parse("C6/9/E").unwrap();
    assert_eq!((chord.suffix.as_str(), chord.bass), ("6/9", Note::parse("E")));
    assert_eq!(Chord::parse("A(/C#)"), Chord::parse("A/C#"));
    assert_eq!(Chord::parse("A/A").unwrap().bass, None);
    let chord = Chord::parse("A/B").unwrap();
    assert_eq!(chord.degree_of(chord.lowest()), Some(Degree::new(2, 0)));
    assert_eq!(chord.degree_of_class(11), Some(Degree::new(2, 0)));
    assert_eq!(chord.degree_of_class(0), None);
}

#[test]
fn what_cannot_be_read_is_answered_with_the_nearest_symbol() {
    let rows = [
        ("am7", Some("Am7")),
        ("f#m", Some("F#m")),
        ("Amaj8", Some("Amaj7")),
        ("Asuss4", Some("Asus4")),
        ("Gmja7", Some("Gmaj7")),
        ("Dmja7", Some("Dmaj7")),
        ("F#mm7", Some("F#m7")),
        ("Dsus5", Some("Dsus4")),
        ("C7b9zzzz", Some("C7b9")),
        ("Am7sus4", Some("A7sus4")),
        ("C(7", Some("C7")),
        ("H7", None),
        ("", None),
        ("Cello", None),
    ];
    for (text, nearest) in rows {
        let error = Chord::parse(text).unwrap_err();
        let nearest: Vec<&str> = nearest.into_iter().collect();
        assert_eq!(error.meant, nearest, "{text}: {}", error.message);
    }
    let hostile = [
        "C(", "C)", "C()", "C7 ", "C,7", "C/", "C/H", "Cmaj7/9", "C713", "Cb11b11", "Cadd", "Cno",
        "Cno7", "C5no5", "Cmalt", "C7no5b5", "Cdim9", "Cm5", "C€", "Δ", "C6maj7", "CΔ6",
    ];
    for text in hostile {
        assert!(Chord::parse(text).is_err(), "{text}");
    }
    assert!(Chord::parse(&"C7".repeat(100_000)).is_err());
}

#[test]
fn what_means_different_chords_in_different_places_is_answered_with_each() {
    let rows = [
        ("A2", "Aadd9 Asus2"),
        ("A(2)", "Aadd9 Asus2"),
        ("A4", "Aadd11 Asus4"),
        ("Bb4", "Bbadd11 Bbsus4"),
        ("A7+", "A7#5 Amaj7"),
        ("A7(+)", "A7#5 Amaj7"),
        ("F#9+", "F#9#5 F#maj9"),
        ("Am7+", "Am7#5 Am(maj7)"),
        ("A−7+", "Am7#5 Am(maj7)"),
        ("A2/C#", "Aadd9/C# Asus2/C#"),
        ("A7+/C#", "A7#5/C# Amaj7/C#"),
    ];
    for (text, each) in rows {
        let error = Chord::parse(text).unwrap_err();
        assert_eq!(error.meant.join(" "), each, "{text}: {}", error.message);
        assert!(error.meant.iter().all(|symbol| error.message.contains(symbol)), "{text}");
        for symbol in error.meant {
            assert_eq!(Chord::parse(&symbol).unwrap().to_string(), symbol);
        }
    }
}

#[test]
fn an_added_tone_stands_behind_any_symbol() {
    for house in house_forms().filter(|house| !house.contains("alt")) {
        for (added, class) in [("add9", 2), ("add11", 5), ("add13", 9), ("add2", 2), ("add4", 5)] {
            let symbol = format!("{house}{added}");
            let chord = Chord::parse(&symbol).unwrap();
            let has = |tone: &Tone| tone.degree.above(chord.root).class() == class;
            assert!(chord.tones.iter().any(has), "{symbol}");
            assert_eq!(Chord::parse(&chord.to_string()).as_ref(), Ok(&chord), "{symbol}");
        }
    }
}

#[test]
fn extensions_are_raised_and_qualities_stay_on_the_line() {
    let set = |symbol: &str| {
        let printed = Chord::parse(symbol).unwrap().printed();
        let runs = printed
            .runs
            .iter()
            .map(|run| if run.raised { format!("^{}", run.text) } else { run.text.clone() });
        runs.collect::<Vec<_>>().join(" ")
    };
    let rows = [
        ("F#m7", "F♯m ^7"),
        ("Bbmaj7", "B♭ ^maj7"),
        ("Aadd9", "A ^add9"),
        ("Bdim7/D", "Bdim ^7 /D"),
        ("Cø", "Cm ^7♭5"),
        ("C+", "Caug"),
        ("E7#9", "E ^7♯9"),
        ("CmM7", "Cm ^(maj7)"),
        ("A", "A"),
    ];
    for (symbol, printed) in rows {
        assert_eq!(set(symbol), printed, "{symbol}");
    }
}

#[test]
fn symbols_are_spoken_as_players_say_them() {
    let rows = [
        ("F#m7", "F sharp minor seventh"),
        ("A", "A major"),
        ("Bb", "B flat major"),
        ("A5", "A five"),
        ("Aadd9", "A major added ninth"),
        ("Esus4", "E suspended fourth"),
        ("E7", "E dominant seventh"),
        ("E7sus4", "E dominant seventh suspended fourth"),
        ("Dmaj7", "D major seventh"),
        ("Bm7b5", "B half-diminished seventh"),
        ("G#dim7", "G sharp diminished seventh"),
        ("G6/9", "G six nine"),
        ("CmMaj7", "C minor with major seventh"),
        ("E7#9", "E dominant seventh sharp nine"),
        ("E7alt", "E altered seventh"),
        ("A/C#", "A major over C sharp"),
        ("C7no5", "C dominant seventh without the fifth"),
    ];
    for (symbol, words) in rows {
        assert_eq!(Chord::parse(symbol).unwrap().spoken(), words, "{symbol}");
    }
}

#[test]
fn notes_are_judged_by_what_may_and_may_not_be_left_out() {
    // The chord, what sounds, what is missing, what is foreign.
    let rows = [
        ("A", "A C# E", "", ""),
        ("A", "A C#", "", ""),
        ("A", "A E", "3", ""),
        ("A5", "A", "5", ""),
        ("A7no3", "A G", "5", ""),
        ("A", "A C# E B", "", "B"),
        ("Am", "A C# E", "b3", "C#"),
        ("Aadd9", "A E B C# E", "", ""),
        ("Adim", "A C", "b5", ""),
        ("E11", "E D A", "", ""),
        ("Em11", "E D A", "b3", ""),
        ("E13", "E G# D C#", "", ""),
        ("E13", "E G# D F#", "13", ""),
        ("E13b9", "E G# D C#", "b9", ""),
        ("E9", "E G# D", "9", ""),
        ("A/C#", "A C# E", "", ""),
        ("A/E", "A C#", "5", ""),
        ("A/B", "A C# E", "2", ""),
        ("A/B", "A C# E B", "", ""),
        ("C7no5", "C E G Bb", "", "G"),
        ("A", "C# E", "R", ""),
        ("E7alt", "E G# D", "any of b5 #5 b9 #9 #11 b13", ""),
        ("E7alt", "E G# D F", "", ""),
        ("E7alt", "E G# D F C", "", ""),
        ("E7alt", "E G# D F B", "", "B"),
        ("E7alt", "E G# D G F#", "", "F#"),
    ];
    for (symbol, sounding, missing, foreign) in rows {
        let chord = Chord::parse(symbol).unwrap();
        let classes = |text: &str| -> Vec<u8> {
            text.split_whitespace().map(|note| Note::parse(note).unwrap().class()).collect()
        };
        let sounding = classes(sounding);
        let verdict = chord.judge(&sounding);
        let join = |degrees: &[Degree]| {
            degrees.iter().map(Degree::to_string).collect::<Vec<_>>().join(" ")
        };
        let mut said = join(&verdict.missing);
        if !verdict.missing_one_of.is_empty() {
            said += &format!("any of {}", join(&verdict.missing_one_of));
        }
        assert_eq!(said, missing, "{symbol}");
        assert_eq!(verdict.foreign, classes(foreign), "{symbol}");
        let mask = sounding.iter().fold(0, |mask, class| mask | 1 << class);
        assert_eq!(chord.demand().is_met_by(mask), verdict.fits(), "{symbol}");
        assert_eq!(chord.demand().is_met_but_for_root(mask), verdict.lacks_only_root(), "{symbol}");
    }
}

#[test]
fn a_chord_is_met_by_all_its_own_notes() {
    for house in house_forms().filter(|house| *house != "C7alt") {
        let chord = Chord::parse(house).unwrap();
        assert!(chord.demand().is_met_by(chord.classes()), "{house}");
    }
}

#[test]
fn no_chord_is_written_in_many_ways() {
    for (word, is_none) in [
        ("N.C.", true),
        ("N.C", true),
        ("NC", true),
        ("n.c.", true),
        ("nc", true),
        ("N", false),
        ("C", false),
        ("NCC", false),
        ("", false),
    ] {
        assert_eq!(Chord::is_none(word), is_none, "{word}");
    }
}
