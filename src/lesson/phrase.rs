//! Checked phrases: what a code span in prose says about music, as syntax. Whether it is true is
//! not looked at here.

use crate::theory::chord::ChordError;
use crate::theory::interval::IntervalName;
use crate::theory::{Chord, Key, Note, Numeral, Pitch, Scale};
use std::ops::Range;

/// A longer span is no phrase, in bytes.
const LONGEST: usize = 500;

/// A part of a phrase and the bytes of the phrase that it is read from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part<T> {
    /// What is said.
    pub value: T,
    /// Where it stands, counted from the phrase's first byte.
    pub place: Range<usize>,
}

/// What a phrase says.
#[derive(Debug, Clone, PartialEq)]
pub enum Phrase {
    /// Chords: `F#m7`, `A F#m7 D`, `A over C#`.
    Chords(Vec<Part<Chord>>),
    /// Notes: `A C# E`, `E2 A2`.
    Notes(Vec<Part<NoteName>>),
    /// A scale or a key: `A minor pentatonic`.
    Scale(Part<Scale>),
    /// A fret for each string, the lowest first: `x02420`.
    Fingering(Part<Frets>),
    /// An interval or a degree: `minor third`, `b3`.
    Interval(Part<IntervalName>),
    /// Numerals: `ii7 V7 I`, with the key where one is named.
    Numerals(Numerals),
    /// A chord or a scale has these tones: `A = A C# E`, `A C# E is A`.
    Tones {
        /// The chord or scale.
        subject: Part<Subject>,
        /// The notes.
        notes: Vec<Part<NoteName>>,
        /// How the two are joined.
        sign: Sign,
    },
    /// Two names of one note: `C# is Db`.
    SameNote(Part<NoteName>, Part<NoteName>),
    /// Notes are tones of something: `C# E in F#m7`.
    Within {
        /// The notes.
        notes: Vec<Part<NoteName>>,
        /// The chord or scale.
        subject: Part<Subject>,
    },
    /// Chords are these numerals: `F#m7 is vi7`, `A D E is I IV V`; as many of the one as of the
    /// other.
    Function {
        /// The chords.
        chords: Vec<Part<Chord>>,
        /// The numerals.
        numerals: Numerals,
    },
    /// A note lies so far from another: `C# to E is a minor third`.
    Distance {
        /// The note that it is counted from.
        from: Part<NoteName>,
        /// The note that it leads to.
        to: Part<NoteName>,
        /// The interval.
        name: Part<IntervalName>,
        /// Which way.
        way: Way,
    },
    /// A note is a degree of something: `C# is the third of A`.
    Degree {
        /// The note.
        note: Part<NoteName>,
        /// The degree.
        name: Part<IntervalName>,
        /// The chord, scale or key whose root it is counted from.
        subject: Part<Subject>,
    },
    /// A fingering sounds a chord: `x02420 is Aadd9`.
    Sounds {
        /// The fingering.
        fingering: Part<Frets>,
        /// The chord.
        chord: Part<Chord>,
    },
    /// A block, or bars of it: `the hook`, `bars 1 to 2 of the hook`.
    Reference {
        /// The block's name, in small letters.
        name: Part<String>,
        /// The first and the last bar, where bars are named.
        bars: Option<(u32, u32)>,
    },
    /// A statement in which a chord must stand and something else does.
    NotAChord(Part<ChordError>),
}

/// A note, perhaps in an octave.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoteName {
    /// The note.
    pub note: Note,
    /// The octave, in scientific pitch notation.
    pub octave: Option<i8>,
}

/// A fret for each string, the lowest-placed first; `None` is silent.
pub type Frets = Vec<Option<u8>>;

/// Numerals and the key that is named with them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Numerals {
    /// The numerals.
    pub list: Vec<Part<Numeral>>,
    /// The key behind `in`.
    pub key: Option<Part<Key>>,
}

/// What has tones: a chord, a scale, or words that name both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// A chord, by its symbol.
    Chord(Chord),
    /// A scale or key.
    Scale(Scale),
    /// `A major` or `A minor`: the triad or the scale, whichever makes the phrase true.
    Either(Chord, Scale),
}

/// How the two sides of a statement are joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// `=`: the root comes first.
    Equals,
    /// `is`.
    Is,
}

/// Which way an interval is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs)]
pub enum Way {
    Up,
    Down,
}

/// Reads a span as a phrase; `None` where it is none of the forms.
pub fn read(text: &str) -> Option<Phrase> {
    if text.len() > LONGEST {
        return None;
    }
    let whole = Slice { text, start: 0 }.trim();
    bars_of_block(whole)
        .or_else(|| statement(whole))
        .or_else(|| within(whole))
        .or_else(|| thing(whole))
        .or_else(|| block(whole))
}

/// A piece of the phrase's text that knows where it stands.
#[derive(Clone, Copy)]
struct Slice<'t> {
    text: &'t str,
    start: usize,
}

impl<'t> Slice<'t> {
    fn trim(self) -> Slice<'t> {
        let front = self.text.trim_start();
        Slice { text: front.trim_end(), start: self.start + self.text.len() - front.len() }
    }

    /// What stands before and behind the first place of a joining word, both trimmed.
    fn split(self, joint: &str) -> Option<(Slice<'t>, Slice<'t>)> {
        let (before, behind) = self.text.split_once(joint)?;
        let start = self.start + before.len() + joint.len();
        let before = Slice { text: before, start: self.start };
        Some((before.trim(), Slice { text: behind, start }.trim()))
    }

    /// The text behind a word at its front.
    fn behind(self, word: &str) -> Option<Slice<'t>> {
        let rest = self.text.strip_prefix(word)?;
        rest.starts_with(char::is_whitespace)
            .then(|| Slice { text: rest, start: self.start + word.len() }.trim())
    }

    /// The text before a word at its end.
    fn before(self, word: &str) -> Option<Slice<'t>> {
        let rest = self.text.strip_suffix(word)?;
        rest.ends_with(char::is_whitespace).then(|| Slice { text: rest, ..self }.trim())
    }

    /// The text without an article before it.
    fn without_article(self) -> Slice<'t> {
        ["a", "an", "the"].iter().find_map(|article| self.behind(article)).unwrap_or(self)
    }

    /// The words, parted by spaces or commas.
    fn words(self) -> impl Iterator<Item = Slice<'t>> {
        let base = self.text.as_ptr() as usize;
        let parted = self.text.split(|c: char| c.is_whitespace() || c == ',');
        parted.filter(|word| !word.is_empty()).map(move |word| Slice {
            text: word,
            start: self.start + word.as_ptr() as usize - base,
        })
    }

    fn part<T>(self, value: T) -> Part<T> {
        Part { value, place: self.start..self.start + self.text.len() }
    }

    /// Every word read alike, at least one.
    fn list<T>(self, read: impl Fn(&str) -> Option<T>) -> Option<Vec<Part<T>>> {
        let parts = self.words().map(|word| Some(word.part(read(word.text)?)));
        parts.collect::<Option<Vec<_>>>().filter(|list| !list.is_empty())
    }
}

/// Reads `A is B`, `A = B`; either side may come first.
fn statement(whole: Slice) -> Option<Phrase> {
    let equals = whole.split("=").map(|sides| (Sign::Equals, sides));
    let is = || whole.split(" is ").or_else(|| whole.split(" are ")).map(|sides| (Sign::Is, sides));
    let (sign, (left, right)) = equals.or_else(is)?;
    let either_way =
        |read: fn(Slice, Slice) -> Option<Phrase>| read(left, right).or_else(|| read(right, left));
    either_way(function)
        .or_else(|| either_way(degree))
        .or_else(|| either_way(distance))
        .or_else(|| either_way(sounds))
        .or_else(|| tones(left, right, sign))
        .or_else(|| tones(right, left, sign))
        .or_else(|| same_note(left, right))
        .or_else(|| either_way(unread_chord))
}

/// Reads `C# E in F#m7`, `C# is in A`, `ii7 V7 in E major`.
fn within(whole: Slice) -> Option<Phrase> {
    let (left, right) = whole.split(" in ")?;
    if let Some(numerals) = numerals(whole) {
        return Some(Phrase::Numerals(numerals));
    }
    let left = ["is", "are"].iter().find_map(|verb| left.before(verb)).unwrap_or(left);
    let notes = notes(left)?;
    match subject(right) {
        Some(subject) => Some(Phrase::Within { notes, subject }),
        None => not_a_chord(right),
    }
}

/// Reads one thing, or several of a kind, of which nothing is said.
fn thing(whole: Slice) -> Option<Phrase> {
    let named = whole.without_article();
    chords(whole)
        .map(Phrase::Chords)
        .or_else(|| notes(whole).map(Phrase::Notes))
        .or_else(|| Scale::parse(named.text).map(|scale| Phrase::Scale(named.part(scale))))
        .or_else(|| fingering(whole).map(Phrase::Fingering))
        .or_else(|| numerals(whole).map(Phrase::Numerals))
        .or_else(|| lone_interval(named))
}

/// An interval by itself; a bare figure is more likely a number.
fn lone_interval(named: Slice) -> Option<Phrase> {
    let is_figure = named.text.bytes().all(|byte| byte.is_ascii_digit());
    let name = IntervalName::parse(named.text).filter(|_| !is_figure)?;
    Some(Phrase::Interval(named.part(name)))
}

fn function(left: Slice, right: Slice) -> Option<Phrase> {
    let numerals = numerals(right)?;
    let in_words = || chord(left).map(|chord| vec![left.part(chord)]);
    let Some(chords) = chords(left).or_else(in_words) else {
        return not_a_chord(left);
    };
    (chords.len() == numerals.list.len()).then_some(Phrase::Function { chords, numerals })
}

fn degree(left: Slice, right: Slice) -> Option<Phrase> {
    let (name, of) = right.split(" of ")?;
    let name = name.without_article();
    let name = name.part(IntervalName::parse(name.text)?);
    let note = left.part(note(left.text)?);
    match subject(of) {
        Some(subject) => Some(Phrase::Degree { note, name, subject }),
        None => not_a_chord(of),
    }
}

fn distance(left: Slice, right: Slice) -> Option<Phrase> {
    let (from, to) = left.split(" to ")?;
    let (from, before) = way_behind(from);
    let (right, behind) = way_behind(right);
    let name = right.part(IntervalName::parse(right.text)?);
    let (from, to) = (from.part(note(from.text)?), to.part(note(to.text)?));
    Some(Phrase::Distance { from, to, name, way: behind.or(before).unwrap_or(Way::Up) })
}

/// Takes `up` or `down` off the end of a text.
fn way_behind(text: Slice) -> (Slice, Option<Way>) {
    let ways = [("up", Way::Up), ("down", Way::Down)];
    let found = ways.iter().find_map(|(word, way)| Some((text.before(word)?, Some(*way))));
    found.unwrap_or((text, None))
}

fn sounds(left: Slice, right: Slice) -> Option<Phrase> {
    let fingering = fingering(left)?;
    match chord(right) {
        Some(chord) => Some(Phrase::Sounds { fingering, chord: right.part(chord) }),
        None => not_a_chord(right),
    }
}

/// Reads what has tones on the left, and the tones on the right. One letter against another says
/// nothing of tones.
fn tones(left: Slice, right: Slice, sign: Sign) -> Option<Phrase> {
    let (subject, notes) = (subject(left)?, notes(right)?);
    let letters_alone = notes.len() == 1 && Note::parse(left.text).is_some();
    (!letters_alone).then_some(Phrase::Tones { subject, notes, sign })
}

fn same_note(left: Slice, right: Slice) -> Option<Phrase> {
    Some(Phrase::SameNote(left.part(note(left.text)?), right.part(note(right.text)?)))
}

/// Reads several notes on the right; only a chord could stand on the left.
fn unread_chord(left: Slice, right: Slice) -> Option<Phrase> {
    notes(right).filter(|notes| notes.len() > 1)?;
    not_a_chord(left)
}

/// What looks like a symbol and isn't one.
fn not_a_chord(text: Slice) -> Option<Phrase> {
    let looks_so = text.text.starts_with(|c: char| matches!(c, 'A'..='G'))
        && !text.text.contains(char::is_whitespace);
    if !looks_so {
        return None;
    }
    let error = Chord::parse(text.text).err()?;
    Some(Phrase::NotAChord(text.part(error)))
}

fn subject(text: Slice) -> Option<Part<Subject>> {
    let subject = match (chord(text), Scale::parse(text.text)) {
        (Some(chord), Some(scale)) => Subject::Either(chord, scale),
        (Some(chord), None) => Subject::Chord(chord),
        (None, Some(scale)) => Subject::Scale(scale),
        (None, None) => return None,
    };
    Some(text.part(subject))
}

/// Reads one chord: `F#m7`, `A over C#`, `A major`, `A minor`.
fn chord(text: Slice) -> Option<Chord> {
    if let Some((over, bass)) = text.split(" over ") {
        let chord = chord(over).filter(|chord| chord.bass.is_none())?;
        return Chord::of(chord.root, &chord.suffix, Some(Note::parse(bass.text)?)).ok();
    }
    let in_words = || {
        let (root, length) = Note::read(text.text)?;
        let suffix = match text.text.get(length..)?.trim_start() {
            "major" => "",
            "minor" => "m",
            _ => return None,
        };
        Chord::of(root, suffix, None).ok()
    };
    Chord::read(text.text).or_else(in_words)
}

/// Reads one chord in any form, or several symbols.
fn chords(text: Slice) -> Option<Vec<Part<Chord>>> {
    let has_words = text.text.ends_with("major") || text.text.ends_with("minor");
    let one = || chord(text).filter(|_| !has_words).map(|chord| vec![text.part(chord)]);
    one().or_else(|| text.list(Chord::read))
}

fn note(text: &str) -> Option<NoteName> {
    let plain = Note::parse(text).map(|note| NoteName { note, octave: None });
    let with_octave = |pitch: Pitch| NoteName { note: pitch.note, octave: Some(pitch.octave) };
    plain.or_else(|| Pitch::parse(text).map(with_octave))
}

fn notes(text: Slice) -> Option<Vec<Part<NoteName>>> {
    text.list(note)
}

/// Reads a fret for each string, run together or parted by spaces.
fn fingering(text: Slice) -> Option<Part<Frets>> {
    let fret = |fret: &str| match fret {
        "x" | "X" => Some(None),
        _ => fret.parse().ok().map(Some),
    };
    let run_together = !text.text.contains(char::is_whitespace);
    let frets: Option<Frets> = if run_together {
        text.text.chars().map(|c| fret(c.encode_utf8(&mut [0; 4]))).collect()
    } else {
        text.text.split_whitespace().map(fret).collect()
    };
    Some(text.part(frets.filter(|frets| (3..=12).contains(&frets.len()))?))
}

fn numerals(text: Slice) -> Option<Numerals> {
    let (list, key) = match text.split(" in ") {
        Some((list, key)) => (list, Some(key.part(Key::parse(key.text)?))),
        None => (text, None),
    };
    Some(Numerals { list: list.without_article().list(Numeral::parse)?, key })
}

/// Reads `bar 2 of the hook`, `bars 1 to 2 of hook`, `bars 1-2 of hook`.
fn bars_of_block(whole: Slice) -> Option<Phrase> {
    let (bars, name) = whole.split(" of ")?;
    let number = |text: Slice| text.text.parse::<u32>().ok();
    let bars = match bars.behind("bar") {
        Some(bar) => (number(bar)?, number(bar)?),
        None => {
            let bars = bars.behind("bars")?;
            let range = [" to ", "--", "-", "–", "—"].iter().find_map(|joint| bars.split(joint));
            let (first, last) = range?;
            (number(first)?, number(last)?)
        }
    };
    let name = name.behind("the").unwrap_or(name);
    reference(name, Some(bars))
}

/// Reads `the hook`.
fn block(whole: Slice) -> Option<Phrase> {
    reference(whole.behind("the")?, None)
}

fn reference(name: Slice, bars: Option<(u32, u32)>) -> Option<Phrase> {
    let is_name = name.text.starts_with(char::is_alphabetic)
        && name.text.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'));
    is_name.then(|| Phrase::Reference { name: name.part(name.text.to_lowercase()), bars })
}

#[cfg(test)]
mod tests {
    use super::*;

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
        match read(text) {
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
            Some(Phrase::NotAChord(part)) => format!("no chord at {:?}", part.place),
        }
    }

    #[test]
    fn every_form_is_read_either_way_round() {
        let rows = [
            ("F#m7", "chords F#m7"),
            ("A F#m7 D", "chords A F#m7 D"),
            ("A5 D5, E5", "chords A5 D5 E5"),
            ("A C# E", "chords A C# E"),
            ("E2 A2", "notes E2 A2"),
            ("A2", "notes A2"),
            ("C7(b9 b13)", "chords C7b9b13"),
            ("A over C#", "chords A/C#"),
            ("A/C#", "chords A/C#"),
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
            ("the hook", "block hook None"),
            ("bar 2 of the hook", "block hook Some((2, 2))"),
            ("bars 1 to 2 of Hook-high", "block hook-high Some((1, 2))"),
            ("bars 1–2 of the third", "block third Some((1, 2))"),
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
        for (text, meant) in rows {
            assert_eq!(said(text), meant, "{text}");
        }
    }

    #[test]
    fn parts_know_where_they_stand() {
        let text = " C♯ is the  third of A ";
        let Some(Phrase::Degree { note, name, subject }) = read(text) else {
            panic!("{:?}", read(text));
        };
        let at = |place: Range<usize>| text.get(place);
        assert_eq!(at(note.place), Some("C♯"));
        assert_eq!(at(name.place), Some("third"));
        assert_eq!(at(subject.place), Some("A"));
    }

    #[test]
    fn a_long_span_is_no_phrase() {
        assert_eq!(read(&"A ".repeat(100_000)), None);
    }
}
