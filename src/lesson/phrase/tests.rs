//! Every form of a phrase, told in a few words.

use super::*;
use crate::theory::Names;

/// A phrase in a few words, to be compared.
fn said(text: &str) -> String {
    fn join<T: ToString>(parts: &[Part<T>]) -> String {
        parts.iter().map(|part| part.value.to_string()).collect::<Vec<_>>().join(" ")
    }
    fn notes(parts: &[Part<NoteName>]) -> String {
        let one = |part: &Part<NoteName>| {
            let octave = part.value.octave.map(|octave| octave.to_string());
            part.value.note.to_string() + &octave.unwrap_or_default()
        };
        parts.iter().map(one).collect::<Vec<_>>().join(" ")
    }
    fn subject(part: &Part<Subject>) -> String {
        match &part.value {
            Subject::Chord(chord) => format!("[{chord}]"),
            Subject::Scale(scale) => format!("[{scale}]"),
            Subject::Either(chord, scale) => format!("[{chord} or {scale}]"),
        }
    }
    fn roman(numerals: &Numerals) -> String {
        let key = numerals.key.as_ref().map(|key| format!(" in {}", key.value));
        join(&numerals.list) + &key.unwrap_or_default()
    }
    match read(text, Names::English) {
        None => "unread".to_owned(),
        Some(Phrase::Chords(list)) => format!("chords {}", join(&list)),
        Some(Phrase::Notes(list)) => format!("notes {}", notes(&list)),
        Some(Phrase::Scale(part)) => format!("scale {}", part.value),
        Some(Phrase::Fingering(part)) => format!("fingering of {}", part.value.len()),
        Some(Phrase::Interval(part)) => format!("interval {}", part.value),
        Some(Phrase::Numerals(list)) => format!("numerals {}", roman(&list)),
        Some(Phrase::Tones { subject: s, notes: n, sign }) => {
            format!("{} {sign:?} {}", subject(&s), notes(&n))
        }
        Some(Phrase::SameNote(one, other)) => {
            format!("{} same as {}", notes(&[one]), notes(&[other]))
        }
        Some(Phrase::Within { notes: n, subject: s }) => {
            format!("{} within {}", notes(&n), subject(&s))
        }
        Some(Phrase::Function { chords, numerals }) => {
            format!("{} function {}", join(&chords), roman(&numerals))
        }
        Some(Phrase::Distance { from, to, name, way }) => {
            format!("{} {} {way:?} {}", notes(&[from]), notes(&[to]), name.value)
        }
        Some(Phrase::Degree { note, name, subject: s }) => {
            format!("{} {} of {}", notes(&[note]), name.value, subject(&s))
        }
        Some(Phrase::Sounds { chord, .. }) => format!("sounds {}", chord.value),
        Some(Phrase::Reference { name, bars }) => format!("block {} {bars:?}", name.value),
        Some(Phrase::SameChord(one, other)) => format!("{} sounds as {}", one.value, other.value),
        Some(Phrase::Holds { name, bars, chords }) => {
            format!("{} {bars:?} holds {}", name.value, join(&chords))
        }
        Some(Phrase::Begins { name, note: n }) => {
            format!("{} begins on {}", name.value, notes(&[n]))
        }
        Some(Phrase::NotAChord(part)) => format!("no chord at {:?}", part.place),
    }
}

/// Phrases as they are written, with what is read.
const FORMS: &[(&str, &str)] = &[
    ("F#m7", "chords F#m7"),
    ("A F#m7 D", "chords A F#m7 D"),
    ("A5 D5, E5", "chords A5 D5 E5"),
    ("A C# E", "chords A C# E"),
    ("E2 A2", "notes E2 A2"),
    ("A2", "notes A2"),
    ("C7(b9 b13)", "chords C7b9b13"),
    ("A over C#", "chords A/C#"),
    ("A/C#", "chords A/C#"),
    ("A over C# F#m7", "chords A/C# F#m7"),
    ("xx 10 12 12 x", "fingering of 6"),
    ("A minor pentatonic", "scale A minor pentatonic"),
    ("A major", "scale A major"),
    ("x02420", "fingering of 6"),
    ("x 10 12 12 11 10", "fingering of 6"),
    ("minor third", "interval minor third"),
    ("the third", "interval third"),
    ("b3", "interval minor third"),
    ("5", "unread"),
    ("vi7", "numerals vi7"),
    ("ii7 V7 I", "numerals ii7 V7 I"),
    ("V7/ii", "numerals V7/ii"),
    ("ii7 V7 in E major", "numerals ii7 V7 in E major"),
    ("A = A C# E", "[A] Equals A C# E"),
    ("A=A C# E", "[A] Equals A C# E"),
    ("A C# E = A", "[A] Equals A C# E"),
    ("A C# E is A", "[A] Is A C# E"),
    ("A5 = A E", "[A5] Equals A E"),
    ("Am7 = A", "[Am7] Equals A"),
    ("A minor = A C E", "[Am or A natural minor] Equals A C E"),
    ("A minor pentatonic = A C D E G", "[A minor pentatonic] Equals A C D E G"),
    ("C# is Db", "C# same as Db"),
    ("C# E in F#m7", "C# E within [F#m7]"),
    ("C# is in A", "C# within [A]"),
    ("D in A major", "D within [A or A major]"),
    ("F#m7 is vi7", "F#m7 function vi7"),
    ("vi7 is F#m7", "F#m7 function vi7"),
    ("F#m7 is the vi7", "F#m7 function vi7"),
    ("F#m7 is ii7 in E major", "F#m7 function ii7 in E major"),
    ("A D E are I IV V", "A D E function I IV V"),
    ("A minor is vi in C major", "Am function vi in C major"),
    ("A D is I", "unread"),
    ("C# to E is a minor third", "C# E Up minor third"),
    ("E to C# is a minor third down", "E C# Down minor third"),
    ("E down to C# is b3", "E C# Down minor third"),
    ("a third is C# to E", "C# E Up third"),
    ("C# is the third of A", "C# third of [A]"),
    ("the flat seven of A7 is G", "G minor seventh of [A7]"),
    ("F is the sixth of A minor", "F sixth of [Am or A natural minor]"),
    ("x02420 is Aadd9", "sounds Aadd9"),
    ("Aadd9 = x02420", "sounds Aadd9"),
    ("x02220 is A over E", "sounds A/E"),
    ("A is IV in the key of E major", "A function IV in E major"),
    ("C# is in the key of A major", "C# within [A or A major]"),
    ("I-vi-IV-V", "numerals I vi IV V"),
    ("A F#m D E is I–vi–IV–V", "A F#m D E function I vi IV V"),
    ("the notes of A are A C# E", "[A] Is A C# E"),
    ("A C# E are the notes of A", "[A] Is A C# E"),
    ("A contains C#", "C# within [A]"),
    ("Am7 contains the notes C E", "C E within [Am7]"),
    ("C6 is Am7/C", "C6 sounds as Am7/C"),
    ("A over C# = A/C#", "A/C# sounds as A/C#"),
    ("bar 2 of verse is F#m7", "verse Some((2, 2)) holds F#m7"),
    ("D E is bar 3 of the verse", "verse Some((3, 3)) holds D E"),
    ("bars 1 to 2 of verse are A F#m7", "verse Some((1, 2)) holds A F#m7"),
    ("verse = A F#m7 D E", "verse None holds A F#m7 D E"),
    ("A F#m7 = the verse", "verse None holds A F#m7"),
    ("verse is A F#m7", "unread"),
    ("the hook begins on A", "hook begins on A"),
    ("Hook starts on E2", "hook begins on E2"),
    ("the hook", "block hook None"),
    ("bar 2 of the hook", "block hook Some((2, 2))"),
    ("bars 1 to 2 of Hook-high", "block hook-high Some((1, 2))"),
    ("bars 1–2 of the third", "block third Some((1, 2))"),
    ("Bar 1 – 2 of The hook", "block hook Some((1, 2))"),
    ("bars 2 of hook", "block hook Some((2, 2))"),
    ("The hook", "block hook None"),
    ("x02420 is Asus9", "no chord at 10..15"),
    ("A2 = A B C# E", "no chord at 0..2"),
    ("Asus9 is IV", "no chord at 0..5"),
    ("C# is the third of Asus9", "no chord at 19..24"),
    ("C# in A13b7", "no chord at 6..11"),
    ("x4", "unread"),
    ("code", "unread"),
    ("Asus9", "unread"),
    ("is", "unread"),
    ("= = =", "unread"),
    (" is  is ", "unread"),
    ("", "unread"),
    ("the big hook", "unread"),
    ("bar x of hook", "unread"),
    ("é is ♯", "unread"),
];

#[test]
fn every_form_is_read_either_way_round() {
    for &(text, meant) in FORMS {
        assert_eq!(said(text), meant, "{text}");
    }
}

#[test]
fn parts_know_where_they_stand() {
    let text = " C♯ is the  third of A ";
    let Some(Phrase::Degree { note, name, subject }) = read(text, Names::English) else {
        panic!("{:?}", read(text, Names::English));
    };
    let at = |place: Range<usize>| text.get(place);
    assert_eq!(at(note.place), Some("C♯"));
    assert_eq!(at(name.place), Some("third"));
    assert_eq!(at(subject.place), Some("A"));
}

#[test]
fn a_long_span_is_no_phrase() {
    assert_eq!(read(&"A ".repeat(100_000), Names::English), None);
}
