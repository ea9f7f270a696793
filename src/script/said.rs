//! A phrase as it is said aloud.

use crate::lesson::phrase::{self, Part, Subject, Term};
use crate::theory::interval::IntervalName;
use crate::theory::{Names, Note};
use crate::words::said::{ENGLISH, Tongue};

/// The tongue that scripts are said in.
pub const TONGUE: &Tongue = &ENGLISH;

/// A phrase in words, its musical names as they are said: "C sharp is the third of A". Names of blocks
/// have spaces for their hyphens.
pub fn phrase(text: &str, names: Names) -> String {
    let Some(read) = phrase::read(text, names) else { return TONGUE.prose(text, names) };
    let (mut said, mut at) = (String::new(), 0);
    for (index, term) in read.terms().iter().enumerate() {
        let before = text.get(at..term.place.start).unwrap_or_default();
        said +=
            &if index > 0 { TONGUE.between(before, names) } else { TONGUE.prose(before, names) };
        said += &name(term, text.get(term.place.clone()).unwrap_or_default());
        at = term.place.end;
    }
    said + &TONGUE.prose(text.get(at..).unwrap_or_default(), names)
}

/// A name that is typed so.
fn name(term: &Part<Term<'_>>, typed: &str) -> String {
    match term.value {
        Term::Chord(chord) if has_words(typed) => in_words(chord.root, typed),
        Term::Chord(chord) | Term::Subject(Subject::Chord(chord)) => TONGUE.chord(chord),
        Term::Scale(scale) | Term::Subject(Subject::Scale(scale) | Subject::Either(_, scale)) => {
            in_words(scale.tonic, typed)
        }
        Term::Key(key) => in_words(key.tonic, typed),
        Term::Note(name) => TONGUE.note(name.note, name.octave),
        Term::Interval(name) if typed.contains(is_figure) => {
            let article = ["a ", "an ", "the "].iter().find(|article| typed.starts_with(**article));
            article.map_or_else(String::new, |article| (*article).to_owned())
                + &interval(name, typed)
        }
        Term::Interval(_) => typed.to_owned(),
        Term::Numeral(numeral) => TONGUE.numeral(numeral),
        Term::Fingering(frets) => TONGUE.frets(frets),
        Term::Block(name) => name.replace('-', " "),
    }
}

/// An interval or a degree that is typed in figures.
fn interval(name: IntervalName, typed: &str) -> String {
    match name {
        IntervalName::Exact(interval) if typed.ends_with(is_figure) => {
            TONGUE.degree(interval.degree())
        }
        _ => name.to_string(),
    }
}

fn is_figure(c: char) -> bool {
    c.is_ascii_digit()
}

fn has_words(typed: &str) -> bool {
    typed.ends_with("major") || typed.ends_with("minor")
}

/// A note, and the words behind it as they are typed.
fn in_words(note: Note, typed: &str) -> String {
    let length = note.names.read(typed).map_or(0, |(_, read)| read);
    TONGUE.note(note, None) + typed.get(length..).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn phrases_are_said_with_their_names_in_words() {
        for (typed, said) in [
            ("F#m7", "F sharp minor seven"),
            ("A F#m7 D", "A, F sharp minor seven, D"),
            ("A C# E", "A, C sharp, E"),
            ("E2 A2", "E two, A two"),
            ("A over C#", "A over C sharp"),
            ("A/C#", "A over C sharp"),
            ("A minor pentatonic", "A minor pentatonic"),
            ("F# natural minor", "F sharp natural minor"),
            ("Bb major", "B flat major"),
            ("x02420", "x, open, two, four, two, open"),
            ("x 10 12 12 11 10", "x, ten, twelve, twelve, eleven, ten"),
            ("minor third", "minor third"),
            ("a flat seven", "a flat seven"),
            ("b3", "flat three"),
            ("the b3", "the flat three"),
            ("a minor 3rd", "a minor third"),
            ("#11", "sharp eleven"),
            ("3rd", "third"),
            ("tritone", "tritone"),
            ("A = A C# E", "A is A, C sharp, E"),
            ("A minor pentatonic = A C D E G", "A minor pentatonic is A, C, D, E, G"),
            ("A C# E is A", "A, C sharp, E is A"),
            ("C# E in F#m7", "C sharp, E in F sharp minor seven"),
            ("F#m7 contains C#", "F sharp minor seven contains C sharp"),
            ("the notes of A are A C# E", "the notes of A are A, C sharp, E"),
            ("F#m7 is vi7", "F sharp minor seven is six minor seven"),
            ("F#m7 is ii7 in E major", "F sharp minor seven is two minor seven in E major"),
            ("A is IV in the key of C# minor", "A is four in the key of C sharp minor"),
            ("A D E is I IV V", "A, D, E is one, four, five"),
            ("C# to E is a minor third", "C sharp to E is a minor third"),
            ("C# down to E is a 6th", "C sharp down to E is a sixth"),
            ("C# is the third of A", "C sharp is the third of A"),
            ("Eb is b3 of C minor", "E flat is flat three of C minor"),
            ("x02420 is Aadd9", "x, open, two, four, two, open is A add nine"),
            ("C6 is Am7/C", "C six is A minor seven over C"),
            ("C# is Db", "C sharp is D flat"),
            ("vi7", "six minor seven"),
            ("ii7 V7 I", "two minor seven, five seven, one"),
            ("I-vi-IV-V", "one, six minor, four, five"),
            ("ii7 V7 in Eb major", "two minor seven, five seven in E flat major"),
            ("V7/ii", "five seven of two"),
            ("the hook", "the hook"),
            ("the hook-high", "the hook high"),
            ("bar 2 of the hook-high", "bar 2 of the hook high"),
            ("bar 2 of verse is F#m7", "bar 2 of verse is F sharp minor seven"),
            ("verse = A F#m7 D", "verse is A, F sharp minor seven, D"),
            ("the hook begins on C#", "the hook begins on C sharp"),
            ("N.C.", "no chord"),
            ("Q#5", "Q#5"),
            ("whatever C♯ is", "whatever C sharp is"),
        ] {
            assert_eq!(phrase(typed, Names::English), said, "{typed}");
        }
    }
}
