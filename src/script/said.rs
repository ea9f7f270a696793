//! A phrase as it is said aloud.

use crate::lesson::phrase::{self, Part, Subject, Term};
use crate::theory::interval::IntervalName;
use crate::theory::{Names, Note, Printed};
use crate::words::Lang;
use crate::words::lang::Around;
use crate::words::said::Tongue;

/// A phrase in words of a language, its musical names as they are said: "C sharp is the third of A". Names of blocks
/// have spaces for their hyphens.
pub fn phrase(text: &str, names: Names, lang: Lang) -> String {
    let tongue = Tongue::of(lang);
    let Some(read) = phrase::read(text, names) else { return tongue.prose(text, names) };
    let (mut said, mut at) = (Around::default(), 0);
    for (index, term) in read.terms().iter().enumerate() {
        let before = text.get(at..term.place.start).unwrap_or_default();
        said.words +=
            &if index > 0 { tongue.between(before, names) } else { tongue.prose(before, names) };
        match name(term, text.get(term.place.clone()).unwrap_or_default(), tongue) {
            Name::Music(words) => said.keep(Printed::plain(words)),
            Name::Words(words) => said.words += &words,
        }
        at = term.place.end;
    }
    said.words += &tongue.prose(text.get(at..).unwrap_or_default(), names);
    said.phrase_in(lang).text()
}

/// A name as it is said.
enum Name {
    /// Music, as the tongue says it.
    Music(String),
    /// English words, or what words behind it belong to: the tonic in "A minor".
    Words(String),
}

/// A name that is typed so.
fn name(term: &Part<Term<'_>>, typed: &str, tongue: &Tongue) -> Name {
    Name::Music(match term.value {
        Term::Chord(chord) if has_words(typed) => return in_words(chord.root, typed, tongue),
        Term::Chord(chord) | Term::Subject(Subject::Chord(chord)) => tongue.chord(chord),
        Term::Scale(scale) | Term::Subject(Subject::Scale(scale) | Subject::Either(_, scale)) => {
            return in_words(scale.tonic, typed, tongue);
        }
        Term::Key(key) => return in_words(key.tonic, typed, tongue),
        Term::Note(name) => tongue.note(name.note, name.octave),
        Term::Interval(name) if typed.contains(is_figure) => {
            let article = ["a ", "an ", "the "].iter().find(|article| typed.starts_with(**article));
            let article = article.map_or_else(String::new, |article| (*article).to_owned());
            return Name::Words(article + &interval(name, typed, tongue));
        }
        Term::Interval(_) => return Name::Words(typed.to_owned()),
        Term::Numeral(numeral) => tongue.numeral(numeral),
        Term::Fingering(frets) => tongue.frets(frets),
        Term::Block(name) => name.replace('-', " "),
    })
}

/// An interval or a degree that is typed in figures.
fn interval(name: IntervalName, typed: &str, tongue: &Tongue) -> String {
    match name {
        IntervalName::Exact(interval) if typed.ends_with(is_figure) => {
            tongue.degree(interval.degree())
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
fn in_words(note: Note, typed: &str, tongue: &Tongue) -> Name {
    let length = note.names.read(typed).map_or(0, |(_, read)| read);
    Name::Words(tongue.note(note, None) + typed.get(length..).unwrap_or_default())
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
            assert_eq!(phrase(typed, Names::English, Lang::English), said, "{typed}");
        }
    }
}
