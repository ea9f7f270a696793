//! Intervals by number and quality, and the words that name them.

use super::{Degree, Note};
use std::fmt;

/// The interval from a lower note up to a higher one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Interval {
    /// The number: 1 unison, 3 third, 8 octave, 9 ninth.
    pub number: u8,
    /// Half steps.
    pub semitones: i32,
}

impl Interval {
    /// The perfect octave.
    pub const OCTAVE: Interval = Interval::of(Degree::new(8, 0));

    /// The interval from a root up to one of its degrees.
    pub const fn of(degree: Degree) -> Interval {
        Interval { number: degree.number, semitones: degree.semitones() }
    }

    /// The interval upwards between two notes, less than an octave; a note's own letter lowered is
    /// a diminished octave, since a unison can't shrink.
    ///
    /// ```
    /// use fretleaf::theory::{Interval, Note};
    ///
    /// let (low, high) = (Note::parse("C#").unwrap(), Note::parse("E").unwrap());
    /// assert_eq!(Interval::between(low, high).to_string(), "minor third");
    /// ```
    pub fn between(low: Note, high: Note) -> Interval {
        let degree = Degree::between(low, high);
        let number = if degree.number == 1 && degree.alter < 0 { 8 } else { degree.number };
        Interval::of(Degree { number, ..degree })
    }

    /// The degree that the interval's upper note is above its lower one: a minor third is `b3`.
    pub const fn degree(self) -> Degree {
        let natural = Degree::new(self.number, 0).semitones();
        Degree::new(self.number, (self.semitones - natural) as i8)
    }

    /// The interval within one octave: a ninth becomes a second, an octave a unison.
    pub const fn simple(self) -> Interval {
        Interval::of(self.degree().simple())
    }

    /// The note this far above another, spelled by the interval's number.
    pub fn above(self, low: Note) -> Note {
        self.degree().above(low)
    }

    /// The note this far below another, spelled by the interval's number.
    pub fn below(self, high: Note) -> Note {
        let inverse = Degree::new(9 - self.simple().number, 0);
        let natural = inverse.above(high);
        let missing = i32::from(high.class()) - self.semitones - i32::from(natural.class());
        let shift = (missing + 6).rem_euclid(12) - 6;
        Note::new(natural.letter, natural.accidental + shift as i8).called(high.names)
    }

    /// Reads words that name one interval: `minor third`, `an octave`, `tritone`, `b3`. A fourth,
    /// a fifth and their compounds are perfect unless a word says otherwise; a second, third,
    /// sixth or seventh alone is not one interval.
    pub fn parse(words: &str) -> Option<Interval> {
        match IntervalName::parse(words)? {
            IntervalName::Exact(interval) => Some(interval),
            IntervalName::Number(number) if is_perfect(number) => {
                Some(Interval::of(Degree::new(number, 0)))
            }
            IntervalName::Number(_) => None,
            IntervalName::HalfSteps(1) => Some(Interval::of(Degree::new(2, -1))),
            IntervalName::HalfSteps(2) => Some(Interval::of(Degree::new(2, 0))),
            IntervalName::HalfSteps(_) => Some(Interval::of(Degree::new(4, 1))),
        }
    }
}

impl fmt::Display for Interval {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let alter = self.degree().alter;
        let word = number_word(self.number);
        match (is_perfect(self.number), alter) {
            (true, 0) if matches!(self.number, 1 | 8) => f.write_str(word),
            (true, 0) => write!(f, "perfect {word}"),
            (false, 0) => write!(f, "major {word}"),
            (false, -1) => write!(f, "minor {word}"),
            (true, down @ ..0) => write!(f, "{}diminished {word}", times(down.unsigned_abs())),
            (false, down @ ..0) => write!(f, "{}diminished {word}", times(down.unsigned_abs() - 1)),
            (_, up) => write!(f, "{}augmented {word}", times(up.unsigned_abs())),
        }
    }
}

/// What words say about an interval: all of it, or only its number, or only its size.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IntervalName {
    /// Number and quality: `minor third`, `flat seven`, `octave`.
    Exact(Interval),
    /// The number alone: `third` is any third.
    Number(u8),
    /// The size alone, however it is spelled: `half step` 1, `whole step` 2, `tritone` 6.
    HalfSteps(i32),
}

impl IntervalName {
    /// Reads the words of an interval or a degree. Articles are dropped, case is ignored.
    pub fn parse(words: &str) -> Option<IntervalName> {
        let lower = words.to_lowercase();
        let words: Vec<&str> =
            lower.split_whitespace().filter(|word| !matches!(*word, "a" | "an" | "the")).collect();
        match words.as_slice() {
            ["tritone"] => Some(IntervalName::HalfSteps(6)),
            ["half", "step"] => Some(IntervalName::HalfSteps(1)),
            ["whole", "step"] => Some(IntervalName::HalfSteps(2)),
            ["root" | "unison"] => Some(IntervalName::Exact(Interval::of(Degree::ROOT))),
            ["octave"] => Some(IntervalName::Exact(Interval::OCTAVE)),
            [word] => ordinal(word).map(IntervalName::Number).or_else(|| signed_number(word)),
            [quality, number] => with_quality(quality, number, 1),
            ["double" | "doubly", quality, number] => with_quality(quality, number, 2),
            _ => None,
        }
    }

    /// Whether an interval is what the words say, simple and compound taken as one.
    pub fn covers(self, interval: Interval) -> bool {
        match self {
            IntervalName::Exact(named) => named.simple() == interval.simple(),
            IntervalName::Number(number) => {
                Degree::new(number, 0).simple().number == interval.simple().number
            }
            IntervalName::HalfSteps(size) => size == interval.semitones.rem_euclid(12),
        }
    }
}

impl fmt::Display for IntervalName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            IntervalName::Exact(interval) => interval.fmt(f),
            IntervalName::Number(number) => f.write_str(number_word(*number)),
            IntervalName::HalfSteps(1) => f.write_str("half step"),
            IntervalName::HalfSteps(2) => f.write_str("whole step"),
            IntervalName::HalfSteps(_) => f.write_str("tritone"),
        }
    }
}

/// The words of the numbers 1 to 13, as an interval or a degree is called.
const NUMBER_WORDS: [&str; 13] = [
    "unison",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "octave",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
];

/// The counting words that stand behind `flat` and `sharp`.
const COUNTING_WORDS: [&str; 13] = [
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen",
];

/// The word of a number; larger ones than 13 have none and are called by what they are.
pub(super) fn number_word(number: u8) -> &'static str {
    let place = usize::from(number).wrapping_sub(1);
    NUMBER_WORDS.get(place).copied().unwrap_or("interval beyond a thirteenth")
}

/// How often an interval is augmented or diminished, as a word before it.
fn times(count: u8) -> String {
    match count {
        1 => String::new(),
        2 => "doubly ".to_owned(),
        3 => "triply ".to_owned(),
        _ => format!("{count} times "),
    }
}

/// Whether the intervals of a number are perfect rather than major and minor.
const fn is_perfect(number: u8) -> bool {
    matches!((number - 1) % 7, 0 | 3 | 4)
}

/// The number that a word such as `third` or `3rd` names, 1 to 13.
fn ordinal(word: &str) -> Option<u8> {
    if let Some(place) = NUMBER_WORDS.iter().position(|name| *name == word) {
        return Some(place as u8 + 1);
    }
    let digits = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let number: u8 = digits.parse().ok().filter(|number| (1..=13).contains(number))?;
    let ending = match number {
        1 => "st",
        2 => "nd",
        3 => "rd",
        _ => "th",
    };
    (word.strip_prefix(digits)? == ending).then_some(number)
}

/// A sign with a figure, `b3` or `#11`, or a figure alone.
fn signed_number(word: &str) -> Option<IntervalName> {
    let (alter, length) = super::note_names::read_accidental(word);
    // `x4` says how often, not a double sharp.
    let number = word.get(length..).filter(|_| !word.starts_with('x'));
    let number: u8 = number?.parse().ok().filter(|n| (1..=13).contains(n))?;
    if length == 0 {
        return Some(IntervalName::Number(number));
    }
    Some(IntervalName::Exact(Interval::of(Degree::new(number, alter))))
}

/// A quality or `flat`, `sharp` before a number; `count` is how often it alters.
fn with_quality(quality: &str, number: &str, count: i8) -> Option<IntervalName> {
    if matches!(quality, "flat" | "sharp") {
        let place = COUNTING_WORDS.iter().position(|word| *word == number);
        let number = place.map(|place| place as u8 + 1).or_else(|| ordinal(number))?;
        let alter = if quality == "flat" { -count } else { count };
        return Some(IntervalName::Exact(Interval::of(Degree::new(number, alter))));
    }
    let number = ordinal(number)?;
    let alter = match (quality, is_perfect(number)) {
        ("perfect", true) | ("major", false) if count == 1 => 0,
        ("minor", false) if count == 1 => -1,
        ("diminished", true) => -count,
        ("diminished", false) => -1 - count,
        ("augmented", _) => count,
        _ => return None,
    };
    Some(IntervalName::Exact(Interval::of(Degree::new(number, alter))))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn intervals_between_notes_have_their_textbook_names() {
        let rows = [
            ("C", "C", "unison"),
            ("C", "Db", "minor second"),
            ("C", "C#", "augmented unison"),
            ("C", "Cb", "diminished octave"),
            ("C#", "E", "minor third"),
            ("A", "C#", "major third"),
            ("C", "Eb", "minor third"),
            ("C", "D#", "augmented second"),
            ("F", "B", "augmented fourth"),
            ("B", "F", "diminished fifth"),
            ("E", "C#", "major sixth"),
            ("G#", "F", "diminished seventh"),
            ("B", "A#", "major seventh"),
            ("C", "B#", "augmented seventh"),
            ("C", "Dbb", "diminished second"),
            ("Cb", "F#", "doubly augmented fourth"),
            ("C#", "Gbb", "triply diminished fifth"),
            ("D#", "Fb", "doubly diminished third"),
        ];
        for (low, high, name) in rows {
            let (low, high) = (Note::parse(low).unwrap(), Note::parse(high).unwrap());
            assert_eq!(Interval::between(low, high).to_string(), name, "{low} to {high}");
        }
    }

    #[test]
    fn words_name_intervals_in_every_form() {
        use IntervalName::{Exact, HalfSteps, Number};
        let exact = |number, alter| Exact(Interval::of(Degree::new(number, alter)));
        let rows = [
            ("minor third", exact(3, -1)),
            ("a minor third", exact(3, -1)),
            ("Major Sixth", exact(6, 0)),
            ("major 3rd", exact(3, 0)),
            ("b3", exact(3, -1)),
            ("♭3", exact(3, -1)),
            ("the #11", exact(11, 1)),
            ("bb7", exact(7, -2)),
            ("flat seven", exact(7, -1)),
            ("the flat seventh", exact(7, -1)),
            ("sharp four", exact(4, 1)),
            ("double flat seven", exact(7, -2)),
            ("diminished fifth", exact(5, -1)),
            ("diminished seventh", exact(7, -2)),
            ("doubly augmented fourth", exact(4, 2)),
            ("doubly diminished third", exact(3, -3)),
            ("perfect eleventh", exact(11, 0)),
            ("root", exact(1, 0)),
            ("an octave", exact(8, 0)),
            ("a third", Number(3)),
            ("thirteenth", Number(13)),
            ("5th", Number(5)),
            ("5", Number(5)),
            ("tritone", HalfSteps(6)),
            ("a half step", HalfSteps(1)),
            ("whole step", HalfSteps(2)),
        ];
        for (words, meant) in rows {
            assert_eq!(IntervalName::parse(words), Some(meant), "{words}");
        }
        for words in
            ["", "a", "minor fifth", "perfect third", "minor", "3th", "14", "b", "step", "x4"]
        {
            assert_eq!(IntervalName::parse(words), None, "{words}");
        }
    }

    #[test]
    fn a_name_covers_simple_and_compound_intervals_alike() {
        let between =
            |low, high| Interval::between(Note::parse(low).unwrap(), Note::parse(high).unwrap());
        let covers = |words, low, high| {
            IntervalName::parse(words).is_some_and(|name| name.covers(between(low, high)))
        };
        assert!(covers("minor ninth", "C", "Db"));
        assert!(covers("octave", "C", "C"));
        assert!(covers("third", "C", "Eb") && covers("tenth", "C", "E"));
        assert!(covers("tritone", "F", "B") && covers("tritone", "B", "F"));
        assert!(covers("half step", "C", "C#") && covers("half step", "C", "Db"));
        assert!(!covers("augmented fourth", "B", "F"));
        assert!(!covers("octave", "C", "Cb"));
        assert!(covers("diminished octave", "C", "Cb"));
    }

    #[test]
    fn one_interval_is_read_from_words_or_none() {
        let rows = [
            ("up", None),
            ("third", None),
            ("fifth", Some((5, 7))),
            ("an octave", Some((8, 12))),
            ("minor tenth", Some((10, 15))),
            ("tritone", Some((4, 6))),
            ("half step", Some((2, 1))),
        ];
        for (words, meant) in rows {
            let meant = meant.map(|(number, semitones)| Interval { number, semitones });
            assert_eq!(Interval::parse(words), meant, "{words}");
        }
    }

    #[test]
    fn the_printed_name_reads_back_and_below_undoes_above() {
        for number in 1..=13 {
            for alter in -3..=3 {
                let interval = Interval::of(Degree::new(number, alter));
                let low = Note::parse("Eb").unwrap();
                assert_eq!(interval.below(interval.above(low)), low, "{interval}");
                if alter.abs() <= 2 && interval.degree().alter == alter {
                    assert_eq!(Interval::parse(&interval.to_string()), Some(interval));
                }
            }
        }
    }
}
