//! How notes are named, whether read, typed, printed, said or put into a file's name: one table for all of it.
//!
//! Another naming is one more `Naming` beside `ENGLISH`, and one more of the [`Names`] that a lesson may ask for.

use super::{Letter, Note};
use std::fmt;

/// The names that notes go by (language section 2, `names`).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Names {
    /// A to G, ♯ and ♭.
    #[default]
    English,
    /// H and B, `Fis`, `As`; in chord symbols ♯ and ♭.
    German,
    /// Do Re Mi Fa Sol La Si, ♯ and ♭.
    Solfege,
}

/// A name with its letter and the half steps that it lies above that (below: negative).
type Name = (&'static str, Letter, i8);

/// A way of naming notes.
#[derive(Debug)]
struct Naming {
    /// The names; a longer name stands before one that begins it. Every letter has one with no half steps.
    names: &'static [Name],
    /// What is read too, and before the names.
    aliases: &'static [Name],
    /// The names of roots and basses in chord symbols.
    symbols: &'static [Name],
    /// The signs that may follow a name, each with its half steps; a longer sign stands before one that begins it.
    signs: &'static [(&'static str, i8)],
    /// The sign of a half step up behind a name.
    sharp: Sign,
    /// The sign of a half step down.
    flat: Sign,
}

/// The forms of a sign that stands for a half step.
#[derive(Debug)]
struct Sign {
    typed: &'static str,
    printed: &'static str,
    /// For two half steps.
    doubled: &'static str,
    said: &'static str,
    /// In a file's name.
    hyphened: &'static str,
}

const SHARP: Sign =
    Sign { typed: "#", printed: "♯", doubled: "𝄪", said: "sharp", hyphened: "-sharp" };
const FLAT: Sign =
    Sign { typed: "b", printed: "♭", doubled: "𝄫", said: "flat", hyphened: "-flat" };

/// All signs that are read, before degrees and numerals too.
const SIGNS: [(&str, i8); 12] = [
    ("##", 2),
    ("♯♯", 2),
    ("bb", -2),
    ("♭♭", -2),
    ("𝄪", 2),
    ("𝄫", -2),
    ("x", 2),
    ("#", 1),
    ("♯", 1),
    ("b", -1),
    ("♭", -1),
    ("♮", 0),
];

const LETTERS: [Name; 7] = [
    ("C", Letter::C, 0),
    ("D", Letter::D, 0),
    ("E", Letter::E, 0),
    ("F", Letter::F, 0),
    ("G", Letter::G, 0),
    ("A", Letter::A, 0),
    ("B", Letter::B, 0),
];

/// The letters A to G with the signs ♯ and ♭.
static ENGLISH: Naming = Naming {
    names: &LETTERS,
    aliases: &[],
    symbols: &LETTERS,
    signs: &SIGNS,
    sharp: SHARP,
    flat: FLAT,
};

/// H for B, B for B flat, and syllables for signs.
static GERMAN: Naming = Naming {
    names: &[
        ("Ases", Letter::A, -2),
        ("Eses", Letter::E, -2),
        ("As", Letter::A, -1),
        ("Es", Letter::E, -1),
        ("C", Letter::C, 0),
        ("D", Letter::D, 0),
        ("E", Letter::E, 0),
        ("F", Letter::F, 0),
        ("G", Letter::G, 0),
        ("A", Letter::A, 0),
        ("H", Letter::B, 0),
        ("B", Letter::B, -1),
    ],
    aliases: &[("Bb", Letter::B, -1), ("B♭", Letter::B, -1), ("B𝄫", Letter::B, -2)],
    symbols: &[
        ("C", Letter::C, 0),
        ("D", Letter::D, 0),
        ("E", Letter::E, 0),
        ("F", Letter::F, 0),
        ("G", Letter::G, 0),
        ("A", Letter::A, 0),
        ("H", Letter::B, 0),
        ("B", Letter::B, -1),
    ],
    signs: &[
        ("isis", 2),
        ("eses", -2),
        ("is", 1),
        ("es", -1),
        ("##", 2),
        ("♯♯", 2),
        ("bb", -2),
        ("♭♭", -2),
        ("𝄪", 2),
        ("𝄫", -2),
        ("x", 2),
        ("#", 1),
        ("♯", 1),
        ("b", -1),
        ("♭", -1),
        ("♮", 0),
    ],
    sharp: Sign { typed: "is", printed: "is", doubled: "isis", said: "is", hyphened: "is" },
    flat: Sign { typed: "es", printed: "es", doubled: "eses", said: "es", hyphened: "es" },
};

const SYLLABLES: [Name; 7] = [
    ("Do", Letter::C, 0),
    ("Re", Letter::D, 0),
    ("Mi", Letter::E, 0),
    ("Fa", Letter::F, 0),
    ("Sol", Letter::G, 0),
    ("La", Letter::A, 0),
    ("Si", Letter::B, 0),
];

/// The syllables, `Do` for C, with the signs ♯ and ♭.
static SOLFEGE: Naming = Naming {
    names: &SYLLABLES,
    aliases: &[("Ré", Letter::D, 0)],
    symbols: &SYLLABLES,
    signs: &SIGNS,
    sharp: SHARP,
    flat: FLAT,
};

/// Names that only others give to notes, and ours for them: never read, but told where they are met.
pub const ELSEWHERE: [(&str, &str); 2] = [("H", "B"), ("h", "b")];

impl Sign {
    /// The signs of so many half steps as they are printed, the double one last.
    fn printed(&self, half_steps: i8) -> String {
        let count = usize::from(half_steps.unsigned_abs());
        self.printed.repeat(count % 2) + &self.doubled.repeat(count / 2)
    }
}

impl Naming {
    /// Reads a note from the front of a text whose name begins there by a test; with the number of bytes read. A name
    /// that is a flat itself takes no sharp or natural.
    fn read(&self, text: &str, is: impl Fn(&str, &str) -> bool) -> Option<(Note, usize)> {
        let stands = |name: &str| {
            // Behind the letter `sus` is a chord's, in `Asus4`.
            let front = text.get(..name.len()).is_some_and(|front| is(front, name));
            let suspends = name.ends_with('s')
                && text.get(name.len()..).is_some_and(|behind| behind.starts_with("us"));
            front && !suspends
        };
        let mut names = self.aliases.iter().chain(self.names);
        let (name, letter, of_name) = names.find(|(name, ..)| stands(name))?;
        let (of_sign, length) = read_sign(text.get(name.len()..)?, self.signs);
        let is_lowered_only = *of_name == 0 || length == 0 || of_sign < 0;
        is_lowered_only.then(|| (Note::new(*letter, of_name + of_sign), name.len() + length))
    }

    fn sign(&self, half_steps: i8) -> &Sign {
        if half_steps < 0 { &self.flat } else { &self.sharp }
    }
}

/// The name of a note among others, and the half steps that signs behind it tell.
fn name_among(names: &'static [Name], note: Note) -> (&'static str, i8) {
    let named = |half_steps: i8| {
        let mut names = names.iter();
        names.find(|(_, letter, own)| *letter == note.letter && *own == half_steps)
    };
    match named(note.accidental) {
        Some((name, ..)) => (name, 0),
        None => (named(0).map_or("", |(name, ..)| *name), note.accidental),
    }
}

impl Names {
    /// All of them.
    pub const ALL: [Names; 3] = [Names::English, Names::German, Names::Solfege];

    /// Reads the word that a header has for them, in any case.
    pub fn parse(text: &str) -> Option<Names> {
        Names::ALL.into_iter().find(|names| text.trim().eq_ignore_ascii_case(names.word()))
    }

    /// The word that a header has for them.
    pub const fn word(self) -> &'static str {
        match self {
            Names::English => "english",
            Names::German => "german",
            Names::Solfege => "solfege",
        }
    }

    fn naming(self) -> &'static Naming {
        match self {
            Names::English => &ENGLISH,
            Names::German => &GERMAN,
            Names::Solfege => &SOLFEGE,
        }
    }

    /// Reads a note from the front of a text: a name that begins with a capital, then signs. Returns it with the
    /// number of bytes read.
    pub fn read(self, text: &str) -> Option<(Note, usize)> {
        self.read_by(text, |front, name| front == name)
    }

    /// The same where the letters may be small or capital ones.
    pub fn read_any_case(self, text: &str) -> Option<(Note, usize)> {
        self.read_by(text, str::eq_ignore_ascii_case)
    }

    fn read_by(self, text: &str, is: impl Fn(&str, &str) -> bool) -> Option<(Note, usize)> {
        let (note, length) = self.naming().read(text, is)?;
        Some((note.called(self), length))
    }

    /// Reads a text that is one note and nothing else.
    pub fn note(self, text: &str) -> Option<Note> {
        self.read(text).filter(|(_, length)| *length == text.len()).map(|(note, _)| note)
    }
}

impl Note {
    /// Reads a note from the front of a text: a capital letter, then `#`, `##`, `x`, `b`, `bb` or
    /// the signs ♯ ♭ ♮ 𝄪 𝄫. Returns it with the number of bytes read.
    pub fn read(text: &str) -> Option<(Note, usize)> {
        Names::English.read(text)
    }

    /// Reads a text that is one note and nothing else.
    pub fn parse(text: &str) -> Option<Note> {
        Names::English.note(text)
    }

    /// The note with its signs as they are printed: `C♯`, `B♭`, `F𝄪`, `F♯𝄪`; `Fis`.
    pub fn printed(self) -> String {
        let naming = self.names.naming();
        let (name, signs) = name_among(naming.names, self);
        name.to_owned() + &naming.sign(signs).printed(signs)
    }

    /// The note as it is printed in a chord symbol: where others print `Fis` and `As`, ♯ and ♭ stand.
    pub fn printed_in_symbol(self) -> String {
        let (name, signs) = name_among(self.names.naming().symbols, self);
        name.to_owned() + &ENGLISH.sign(signs).printed(signs)
    }

    /// The same as one types it.
    pub fn typed_in_symbol(self) -> String {
        let (name, signs) = name_among(self.names.naming().symbols, self);
        name.to_owned() + &typed_accidental(signs)
    }

    /// The note in words, for whoever listens: "C sharp", "B flat", "F double sharp"; "Fis".
    pub fn spoken(self) -> String {
        let (name, signs) = name_among(self.names.naming().names, self);
        let times = match signs.unsigned_abs() {
            0 => return name.to_owned(),
            _ if self.names == Names::German => return self.printed(),
            1 => "",
            2 => "double ",
            _ => "triple ",
        };
        format!("{name} {times}{}", self.names.naming().sign(signs).said)
    }

    /// The note in letters and hyphens, for a file's name: `A`, `F-sharp`, `B-flat-flat`; `Fis`.
    pub fn hyphened(self) -> String {
        let naming = self.names.naming();
        let (name, signs) = name_among(naming.names, self);
        name.to_owned() + &repeated(naming.sign(signs).hyphened, signs)
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let naming = self.names.naming();
        let (name, signs) = name_among(naming.names, *self);
        write!(f, "{name}{}", repeated(naming.sign(signs).typed, signs))
    }
}

/// Reads an accidental from the front of a text: half steps, and the number of bytes read (both 0
/// where there is none).
pub fn read_accidental(text: &str) -> (i8, usize) {
    read_sign(text, &SIGNS)
}

fn read_sign(text: &str, signs: &[(&str, i8)]) -> (i8, usize) {
    let sign = signs.iter().find(|(sign, _)| text.starts_with(sign));
    sign.map_or((0, 0), |(sign, half_steps)| (*half_steps, sign.len()))
}

/// The signs of so many half steps as they are typed before a figure: `#`, `bb`; empty for none.
pub fn typed_accidental(half_steps: i8) -> String {
    repeated(if half_steps < 0 { FLAT.typed } else { SHARP.typed }, half_steps)
}

/// Figures and quality signs with `b` and `#` as they are printed: `m7♭5`.
pub fn with_printed_signs(typed: &str) -> String {
    // Each sign is typed as one letter, and is longer as it is printed.
    let mut printed = String::with_capacity(typed.len() * 2);
    let mut rest = typed;
    while let Some(letter) = rest.chars().next() {
        let (head, behind) = rest.split_at(letter.len_utf8());
        let sign = [&FLAT, &SHARP].into_iter().find(|sign| sign.typed == head);
        let again = sign.and_then(|sign| behind.strip_prefix(sign.typed));
        printed.push_str(match (sign, again) {
            (None, _) => head,
            (Some(sign), None) => sign.printed,
            (Some(sign), Some(_)) => sign.doubled,
        });
        rest = again.unwrap_or(behind);
    }
    printed
}

/// The same with the signs that one types.
pub fn with_typed_signs(printed: &str) -> String {
    let sign = |printed: String, sign: &Sign| {
        printed.replace(sign.doubled, &sign.typed.repeat(2)).replace(sign.printed, sign.typed)
    };
    sign(sign(printed.to_owned(), &FLAT), &SHARP)
}

/// Words in which each `#` is the word for it, between spaces.
pub fn with_said_sharps(words: &str) -> String {
    words.replace(SHARP.typed, &format!(" {} ", SHARP.said))
}

fn repeated(sign: &str, half_steps: i8) -> String {
    sign.repeat(usize::from(half_steps.unsigned_abs()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_have_a_name_in_every_form() {
        for (typed, printed, spoken, hyphened) in [
            ("C", "C", "C", "C"),
            ("F#", "F♯", "F sharp", "F-sharp"),
            ("Bb", "B♭", "B flat", "B-flat"),
            ("F##", "F𝄪", "F double sharp", "F-sharp-sharp"),
            ("Bbb", "B𝄫", "B double flat", "B-flat-flat"),
        ] {
            let note = Note::parse(typed);
            assert_eq!(note.map(|note| note.to_string()).as_deref(), Some(typed));
            assert_eq!(note.map(Note::printed).as_deref(), Some(printed));
            assert_eq!(note.map(Note::spoken).as_deref(), Some(spoken));
            assert_eq!(note.map(Note::hyphened).as_deref(), Some(hyphened));
        }
    }

    #[test]
    fn small_letters_are_read_where_they_may_stand() {
        assert_eq!(Note::read("bb"), None);
        assert_eq!(Names::English.read_any_case("bb3"), Some((Note::new(Letter::B, -1), 2)));
        assert_eq!(Names::English.read_any_case("f𝄪"), Some((Note::new(Letter::F, 2), 5)));
        for none in ["", "h", "♯", "é"] {
            assert_eq!(Names::English.read_any_case(none), None, "{none}");
        }
    }

    #[test]
    fn notes_are_named_in_german() {
        for (typed, note, symbol) in [
            ("H", Note::new(Letter::B, 0), "H"),
            ("B", Note::new(Letter::B, -1), "B"),
            ("His", Note::new(Letter::B, 1), "H♯"),
            ("Heses", Note::new(Letter::B, -2), "H𝄫"),
            ("Es", Note::new(Letter::E, -1), "E♭"),
            ("As", Note::new(Letter::A, -1), "A♭"),
            ("Ases", Note::new(Letter::A, -2), "A𝄫"),
            ("Cis", Note::new(Letter::C, 1), "C♯"),
            ("Fisis", Note::new(Letter::F, 2), "F𝄪"),
            ("Ges", Note::new(Letter::G, -1), "G♭"),
        ] {
            let read = Names::German.note(typed);
            assert_eq!(read, Some(note), "{typed}");
            let called = note.called(Names::German);
            assert_eq!(called.to_string(), typed);
            assert_eq!(called.printed(), typed);
            assert_eq!(called.spoken(), typed);
            assert_eq!(called.printed_in_symbol(), symbol);
        }
        for flat in ["B", "Bb", "B♭", "Hb", "Hes"] {
            assert_eq!(Names::German.note(flat), Some(Note::new(Letter::B, -1)), "{flat}");
        }
        for double in ["Bbb", "B𝄫", "Bes", "H𝄫"] {
            assert_eq!(Names::German.note(double), Some(Note::new(Letter::B, -2)), "{double}");
        }
        for none in ["B#", "As#", "Esis", "h", "J", "Bis"] {
            assert_eq!(Names::German.note(none), None, "{none}");
        }
        assert_eq!(Names::German.read("Asus4"), Some((Note::new(Letter::A, 0), 1)));
        assert_eq!(Names::German.read("Essus4"), Some((Note::new(Letter::E, -1), 2)));
    }

    #[test]
    fn every_note_reads_back_by_each_name() {
        for names in Names::ALL {
            assert_eq!(Names::parse(names.word()), Some(names));
            for letter in Letter::ALL {
                for accidental in -2..=2 {
                    let note = Note::new(letter, accidental).called(names);
                    for form in [
                        note.to_string(),
                        note.printed(),
                        note.typed_in_symbol(),
                        note.printed_in_symbol(),
                    ] {
                        let read = names.note(&form);
                        assert_eq!(read, Some(note), "{form} in {names:?}");
                        assert_eq!(read.map(|note| note.names), Some(names));
                    }
                    let small = note.to_string().to_lowercase();
                    let read = names.read_any_case(&small);
                    assert_eq!(read, Some((note, small.len())), "{small} in {names:?}");
                }
            }
        }
    }

    #[test]
    fn syllables_are_named_from_c() {
        for (name, english) in [("Do", "C"), ("Sol#", "G#"), ("Sib", "Bb"), ("Ré", "D")] {
            assert_eq!(Names::Solfege.note(name), Note::parse(english), "{name}");
        }
        let note = Note::new(Letter::G, 1).called(Names::Solfege);
        assert_eq!((note.printed(), note.spoken()), ("Sol♯".into(), "Sol sharp".into()));
    }
}
