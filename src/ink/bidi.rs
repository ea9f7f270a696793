//! Words that are read from right to left among others: which stretches of a text are read which way,
//! and in what order they stand (Unicode Standard Annex 9).

use super::shaping::Way;
use std::ops::Range;
use unicode_bidi::{BidiClass, BidiInfo, bidi_class};

/// Ends an isolate.
const POP_ISOLATE: char = '\u{2069}';
/// Is read as a letter from the left is, and doesn't show.
const LEFT_TO_RIGHT_MARK: char = '\u{200E}';

/// How deep a stretch lies in others that are read the other way; even ones are read from the left.
pub use unicode_bidi::Level;

/// Which way a level is read.
pub fn way(level: Level) -> Way {
    if level.is_rtl() { Way::Left } else { Way::Right }
}

/// Words among others: neither has a bearing on the order of the other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Isolate {
    /// The bytes at which they stand.
    pub place: Range<usize>,
    /// Which way they are read.
    pub reading: Reading,
}

/// Which way isolated words are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// From the left, as music is.
    FromLeft,
    /// As the first of them with a direction is.
    AsFirst,
}

/// The levels of a text.
#[derive(Debug)]
pub struct Levels {
    /// That of the text as a whole.
    pub base: Level,
    /// One for each byte.
    of_bytes: Vec<Level>,
}

impl Levels {
    /// The levels of a text; `None` where all of it is read from the left, as nearly all are.
    pub fn of(text: &str) -> Option<Levels> {
        Levels::with_isolates(text, &[])
    }

    /// The levels of a text with isolates in it, in the order in which they stand.
    pub fn with_isolates(text: &str, isolates: &[Isolate]) -> Option<Levels> {
        if text.is_ascii() || !text.chars().any(turns) {
            return None;
        }
        let signed = Signed::new(text, isolates);
        let info = BidiInfo::new(&signed.text, None);
        let first = info.paragraphs.first()?;
        let levels = info.levels.iter().zip(&signed.written);
        let of_bytes = levels.filter(|(_, written)| **written).map(|(level, _)| *level).collect();
        Some(Levels { base: first.level, of_bytes })
    }

    /// The stretches of one level in a range of bytes, in the order in which they are read.
    pub fn stretches(&self, range: Range<usize>) -> impl Iterator<Item = (Range<usize>, Level)> {
        let mut start = range.start;
        std::iter::from_fn(move || {
            let rest = self.of_bytes.get(start..range.end)?;
            let level = *rest.first()?;
            let length = rest.iter().take_while(|other| **other == level).count();
            let stretch = start..start + length;
            start = stretch.end;
            Some((stretch, level))
        })
    }
}

/// A text with signs of direction put in.
#[derive(Default)]
struct Signed {
    text: String,
    /// For each byte whether it is the text's own.
    written: Vec<bool>,
}

impl Signed {
    /// Signs stand around each isolate, and behind an accidental that follows a note's letter: a sharp
    /// has no direction of its own, and would go with the words behind it.
    fn new(text: &str, isolates: &[Isolate]) -> Signed {
        let mut signed = Signed::default();
        let mut isolates = isolates.iter().filter(|isolate| !isolate.place.is_empty()).peekable();
        let mut end = None;
        let mut note = false;
        for (at, c) in text.char_indices() {
            if end.is_some_and(|end| at >= end) {
                signed.put(POP_ISOLATE, false);
                end = None;
            }
            if let Some(isolate) = isolates.next_if(|isolate| isolate.place.start <= at) {
                signed.put(isolate.reading.sign(), false);
                end = Some(isolate.place.end);
            }
            signed.put(c, true);
            let accidental = note && matches!(c, '#' | '♯' | '♭' | '♮' | '𝄪' | '𝄫');
            if accidental {
                signed.put(LEFT_TO_RIGHT_MARK, false);
            }
            note = accidental || matches!(c, 'A'..='G');
        }
        if end.is_some() {
            signed.put(POP_ISOLATE, false);
        }
        signed
    }

    fn put(&mut self, c: char, written: bool) {
        self.text.push(c);
        self.written.extend(std::iter::repeat_n(written, c.len_utf8()));
    }
}

impl Reading {
    /// What begins an isolate (Unicode Standard Annex 9, section 2.4).
    fn sign(self) -> char {
        match self {
            Reading::FromLeft => '\u{2066}',
            Reading::AsFirst => '\u{2068}',
        }
    }
}

/// Whether a character is read from the right, or makes others so.
fn turns(c: char) -> bool {
    // The first letter that is, is in the block Hebrew.
    c >= '\u{590}'
        && matches!(
            bidi_class(c),
            BidiClass::R | BidiClass::AL | BidiClass::RLE | BidiClass::RLO | BidiClass::RLI
        )
}

/// The order in which stretches of these levels stand from the left, each by its index.
pub fn from_the_left(levels: &[Level]) -> Vec<usize> {
    BidiInfo::reorder_visual(levels)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// The stretches that are read from the left, as they are written.
    fn from_left<'t>(text: &'t str, isolates: &[Isolate]) -> Vec<&'t str> {
        let levels = Levels::with_isolates(text, isolates).unwrap();
        let stretches = levels.stretches(0..text.len());
        stretches.filter(|(_, level)| !level.is_rtl()).map(|(place, _)| &text[place]).collect()
    }

    #[test]
    fn accidentals_stay_with_their_notes() {
        for (text, left) in [
            ("סולם F#", vec!["F#"]),
            ("סולם F♯", vec!["F♯"]),
            ("הריף ב־C#m ואז B♭", vec!["C#m", "B♭"]),
            ("תו F𝄪!", vec!["F𝄪"]),
            ("מספר #", vec![]),
        ] {
            assert_eq!(from_left(text, &[]), left, "{text}");
        }
    }

    #[test]
    fn isolates_have_no_bearing_on_what_is_around() {
        let isolate = |text: &str, words: &str, reading| {
            let start = text.find(words).unwrap();
            [Isolate { place: start..start + words.len(), reading }]
        };
        let text = "הסולם °7 = A°! קל";
        assert_eq!(from_left(text, &isolate(text, "°7 = A°", Reading::FromLeft)), ["°7 = A°"]);
        let text = "Figure 1. סולם F#, קל.";
        let isolates = isolate(text, "סולם F#, קל.", Reading::AsFirst);
        assert_eq!(from_left(text, &isolates), ["Figure 1. ", "F#"]);
        let levels = Levels::with_isolates("C# סולם", &isolate("C# סולם", "C#", Reading::FromLeft));
        assert!(levels.unwrap().base.is_rtl());
    }
}
