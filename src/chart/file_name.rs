//! The names of a chart's files: letters, digits and hyphens, `F-sharp` for F♯. Two charts that
//! differ have different names.

use super::wish::Within;
use crate::ink::hash;
use crate::lesson::Setting;
use crate::neck::{Hand, StringIndex, Tuning};
use crate::theory::note_names::with_said_sharps;
use crate::theory::{Chord, Names, Note};
use crate::words::Lang;

/// A longer name is cut, in bytes: file systems take 255, and `-page-12.svg` comes behind it.
const LONGEST: usize = 150;

/// A chord: `A`, `F-sharp-m7`, `A-over-C-sharp`.
pub fn of_chord(chord: &Chord) -> String {
    let suffix = plain(&chord.suffix);
    let root = of_note(chord.root);
    let between = if root.contains('-') && !suffix.is_empty() { "-" } else { "" };
    let bass = chord.bass.map(|bass| format!("-over-{}", of_note(bass))).unwrap_or_default();
    format!("{root}{between}{suffix}{bass}")
}

/// A note: `A`, `F-sharp`, `B-flat`.
pub fn of_note(note: Note) -> String {
    note.hyphened()
}

/// Words: hyphens for all but letters and digits.
pub fn plain(words: &str) -> String {
    let words = with_said_sharps(words);
    let pieces = words.split(|c: char| !c.is_alphanumeric());
    pieces.filter(|piece| !piece.is_empty()).collect::<Vec<_>>().join("-")
}

/// Words of an author's own: plain, and where that leaves something out, marked by a fingerprint.
pub fn of_words(words: &str) -> String {
    let plain = plain(words);
    if plain.replace('-', " ") == words { plain } else { format!("{plain}-{}", mark(words)) }
}

/// The pieces of a name: the kind of chart, and each thing that it shows.
pub fn of_each<T>(kind: &str, things: &[T], name: impl Fn(&T) -> String) -> Vec<String> {
    std::iter::once(kind.to_owned()).chain(things.iter().map(name)).collect()
}

/// The pieces of a name for chords.
pub fn of_chords(kind: &str, chords: &[Chord]) -> Vec<String> {
    of_each(kind, chords, of_chord)
}

/// By which names, where on which instrument and for which hand a chart is worked out, as far as that is not usual.
pub fn of_place(within: &Within, setting: &Setting) -> Vec<String> {
    let tuning = &setting.instrument.tuning;
    let (capo, hand) = (setting.instrument.capo, setting.hand);
    let some = |given: bool, words: String| given.then_some(words);
    let pieces = [
        some(setting.names != Names::English, format!("names-{}", setting.names.word())),
        some(within.strings.len() < tuning.len(), strings(&within.strings, tuning)),
        within.frets.as_ref().map(|frets| format!("frets-{}-{}", frets.start(), frets.end())),
        within.near.map(|fret| format!("near-{fret}")),
        within.keep.map(|number| format!("keep-{number}")),
        some(*tuning != Tuning::standard(), of_tuning(tuning)),
        some(capo > 0, format!("capo-{capo}")),
        some(hand != Hand::MEDIUM, of_hand(hand)),
        some(setting.left_handed, "left-handed".to_owned()),
    ];
    pieces.into_iter().flatten().collect()
}

/// The language of what is printed, where it is not the usual one.
pub fn of_lang(lang: Lang) -> Option<String> {
    (lang != Lang::default()).then(|| format!("lang-{}", lang.tag()))
}

/// Strings as players number them, the highest first.
fn strings(strings: &[StringIndex], tuning: &Tuning) -> String {
    let numbers = strings.iter().rev().map(|index| format!("-{}", tuning.number(*index)));
    format!("strings{}", numbers.collect::<String>())
}

/// A tuning by its name, or by its strings where it has none or spells them otherwise.
fn of_tuning(tuning: &Tuning) -> String {
    let named = tuning.name().filter(|name| Tuning::parse(name).as_ref() == Ok(tuning));
    let strings = || tuning.strings().iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
    format!("tuning-{}", plain(&named.map_or_else(strings, str::to_owned)))
}

fn of_hand(hand: Hand) -> String {
    match hand {
        Hand::SMALL => "hand-small".to_owned(),
        Hand::LARGE => "hand-large".to_owned(),
        Hand { span } => format!("hand-{}", of_words(&span.to_string())),
    }
}

/// The whole name of these pieces; one that is too long is cut behind a piece and ends with a
/// fingerprint of all.
pub fn whole(pieces: &[String]) -> String {
    let name = pieces.join("-");
    if name.len() <= LONGEST {
        return name;
    }
    let end = format!("-and-more-{}", mark(&name));
    let fits = |at: &usize| at + end.len() <= LONGEST;
    let ends = pieces.iter().scan(0, |at, piece| {
        *at += piece.len() + 1;
        Some(*at - 1)
    });
    let cut = ends.take_while(fits).last().unwrap_or_default();
    format!("{}{end}", name.get(..cut).unwrap_or_default())
}

/// A fingerprint of words: eight hexadecimal digits.
fn mark(words: &str) -> String {
    format!("{:08x}", hash::of(words.as_bytes()) as u32)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn signs_are_words() {
        for (symbol, name) in [
            ("A", "A"),
            ("F#", "F-sharp"),
            ("Bbm7", "B-flat-m7"),
            ("A/C#", "A-over-C-sharp"),
            ("E7#9", "E7-sharp-9"),
        ] {
            assert_eq!(of_chord(&Chord::parse(symbol).unwrap()), name);
        }
    }

    #[test]
    fn long_lists_are_cut_and_told_apart() {
        let few: Vec<String> = "ABCDEF".chars().map(String::from).collect();
        assert_eq!(whole(&few), "A-B-C-D-E-F");
        let many = |last: &str| {
            let mut names = vec!["C-sharp-m7".to_owned(); 60];
            names.push(last.to_owned());
            whole(&of_each("chord", &names, String::clone))
        };
        let name = many("G");
        assert!(name.starts_with("chord-C-sharp-m7-") && name.len() <= LONGEST, "{name}");
        assert!(name.contains("-C-sharp-m7-and-more-"), "{name}");
        assert_ne!(name, many("F"));
    }

    #[test]
    fn an_author_s_words_are_plain_and_told_apart() {
        assert_eq!(of_words("For the wall"), "For-the-wall");
        let (one, other) = (of_words("Chords!"), of_words("Chords?"));
        assert!(one.starts_with("Chords-") && other.starts_with("Chords-"), "{one} {other}");
        assert_ne!(one, other);
    }

    #[test]
    fn a_tuning_has_its_name_or_its_strings() {
        for (tuning, name) in [
            ("D A D G B E", "tuning-drop-D"),
            ("five-string banjo, open G", "tuning-five-string-banjo-open-G"),
            ("EADGBD", "tuning-E2-A2-D3-G3-B3-D4"),
            // Half a step down, spelled with sharps.
            ("D#G#C#F#A#D#", "tuning-D-sharp-2-G-sharp-2-C-sharp-3-F-sharp-3-A-sharp-3-D-sharp-4"),
        ] {
            assert_eq!(of_tuning(&Tuning::parse(tuning).unwrap()), name);
        }
    }
}
