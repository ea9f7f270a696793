//! How notes are named, whether read, typed, printed, said or put into a file's name: one table for all of it.
//!
//! Another naming is one more [`Naming`] beside [`ENGLISH`], and [`Note`] asks it where it asks `ENGLISH` now, in
//! this file alone. That of German has `("H", Letter::B, 0)` and `("B", Letter::B, -1)` among its names and the
//! signs `is` and `es`; that of Romance languages the names `do`, `re`, `mi`, and the signs that stand here.

use super::{Letter, Note};
use std::fmt;

/// A way of naming notes.
#[derive(Debug)]
pub struct Naming {
    /// The names, each with its letter and the half steps that it lies above that (below: negative); a longer name
    /// stands before one that begins it. Every letter has one with none.
    names: &'static [(&'static str, Letter, i8)],
    /// The signs that may follow a name, each with its half steps; a longer sign stands before one that begins it.
    signs: &'static [(&'static str, i8)],
    /// The sign of a half step up.
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
}

const SHARP: Sign = Sign { typed: "#", printed: "♯", doubled: "𝄪", said: "sharp" };
const FLAT: Sign = Sign { typed: "b", printed: "♭", doubled: "𝄫", said: "flat" };

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

/// The letters A to G with the signs ♯ and ♭.
pub const ENGLISH: Naming = Naming {
    names: &[
        ("C", Letter::C, 0),
        ("D", Letter::D, 0),
        ("E", Letter::E, 0),
        ("F", Letter::F, 0),
        ("G", Letter::G, 0),
        ("A", Letter::A, 0),
        ("B", Letter::B, 0),
    ],
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
    /// Reads a note from the front of a text whose name begins there by a test; with the number of bytes read.
    fn read(&self, text: &str, is: impl Fn(&str, &str) -> bool) -> Option<(Note, usize)> {
        let stands = |name: &str| text.get(..name.len()).is_some_and(|front| is(front, name));
        let (name, letter, of_name) = self.names.iter().find(|(name, ..)| stands(name))?;
        let (of_sign, length) = read_sign(text.get(name.len()..)?, self.signs);
        Some((Note::new(*letter, of_name + of_sign), name.len() + length))
    }

    /// The name of a note, and the half steps that signs behind it tell.
    fn name(&self, note: Note) -> (&'static str, i8) {
        let named = |half_steps: i8| {
            let mut names = self.names.iter();
            names.find(|(_, letter, own)| *letter == note.letter && *own == half_steps)
        };
        match named(note.accidental) {
            Some((name, ..)) => (name, 0),
            None => (named(0).map_or("", |(name, ..)| *name), note.accidental),
        }
    }

    fn sign(&self, half_steps: i8) -> &Sign {
        if half_steps < 0 { &self.flat } else { &self.sharp }
    }
}

impl Note {
    /// Reads a note from the front of a text: a capital letter, then `#`, `##`, `x`, `b`, `bb` or
    /// the signs ♯ ♭ ♮ 𝄪 𝄫. Returns it with the number of bytes read.
    pub fn read(text: &str) -> Option<(Note, usize)> {
        ENGLISH.read(text, |front, name| front == name)
    }

    /// The same where the letter may be a small one.
    pub fn read_any_case(text: &str) -> Option<(Note, usize)> {
        ENGLISH.read(text, str::eq_ignore_ascii_case)
    }

    /// Reads a text that is one note and nothing else.
    pub fn parse(text: &str) -> Option<Note> {
        Note::read(text).filter(|(_, length)| *length == text.len()).map(|(note, _)| note)
    }

    /// The note with its signs as they are printed: `C♯`, `B♭`, `F𝄪`, `F♯𝄪`.
    pub fn printed(self) -> String {
        let (name, signs) = ENGLISH.name(self);
        name.to_owned() + &ENGLISH.sign(signs).printed(signs)
    }

    /// The note in words, for whoever listens: "C sharp", "B flat", "F double sharp".
    pub fn spoken(self) -> String {
        let (name, signs) = ENGLISH.name(self);
        let times = match signs.unsigned_abs() {
            0 => return name.to_owned(),
            1 => "",
            2 => "double ",
            _ => "triple ",
        };
        format!("{name} {times}{}", ENGLISH.sign(signs).said)
    }

    /// The note in letters and hyphens, for a file's name: `A`, `F-sharp`, `B-flat-flat`.
    pub fn hyphened(self) -> String {
        let (name, signs) = ENGLISH.name(self);
        name.to_owned() + &repeated(&format!("-{}", ENGLISH.sign(signs).said), signs)
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (name, signs) = ENGLISH.name(*self);
        write!(f, "{name}{}", repeated(ENGLISH.sign(signs).typed, signs))
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

    /// As far as it is told in this file's own words.
    const GERMAN: Naming = Naming {
        names: &[
            ("C", Letter::C, 0),
            ("D", Letter::D, 0),
            ("Es", Letter::E, -1),
            ("E", Letter::E, 0),
            ("F", Letter::F, 0),
            ("G", Letter::G, 0),
            ("As", Letter::A, -1),
            ("A", Letter::A, 0),
            ("H", Letter::B, 0),
            ("B", Letter::B, -1),
        ],
        signs: &[("isis", 2), ("is", 1), ("es", -1)],
        sharp: Sign { typed: "is", printed: "is", doubled: "isis", said: "is" },
        flat: Sign { typed: "es", printed: "es", doubled: "eses", said: "es" },
    };

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
        assert_eq!(Note::read_any_case("bb3"), Some((Note::new(Letter::B, -1), 2)));
        assert_eq!(Note::read_any_case("f𝄪"), Some((Note::new(Letter::F, 2), 5)));
        for none in ["", "h", "♯", "é"] {
            assert_eq!(Note::read_any_case(none), None, "{none}");
        }
    }

    #[test]
    fn another_naming_is_one_more_table() {
        let same = |front: &str, name: &str| front == name;
        for (name, note) in [
            ("H", Note::new(Letter::B, 0)),
            ("B", Note::new(Letter::B, -1)),
            ("His", Note::new(Letter::B, 1)),
            ("Es", Note::new(Letter::E, -1)),
            ("Cis", Note::new(Letter::C, 1)),
            ("Fisis", Note::new(Letter::F, 2)),
            ("Ges", Note::new(Letter::G, -1)),
        ] {
            assert_eq!(GERMAN.read(name, same), Some((note, name.len())));
            let (own, signs) = GERMAN.name(note);
            assert_eq!(own.to_owned() + &repeated(GERMAN.sign(signs).typed, signs), name);
        }
    }
}
