//! From the pieces of a paragraph in the lesson to words in their dress.

use super::paragraph::{Dress, Ends, Passage};
use crate::blocks::figure::styled;
use crate::checks::SetPhrase;
use crate::ink::bidi::Reading;
use crate::ink::measure::TypeSize;
use crate::ink::{Face, Pt, Style};
use crate::lesson::prose::Inline;
use crate::theory::Printed;
use std::borrow::Cow;

/// The size of code among prose, as a share of the prose's: its small letters are as high then.
const CODE_SIZE: f32 = 0.84;

/// A part of a paragraph that stands on lines of its own.
#[derive(Debug)]
pub enum Stretch {
    /// Words.
    Words(Passage),
    /// A picture, by its index in the lesson's pictures.
    Picture(usize),
}

/// A paragraph's words in their dress, and what of them is a part of its own.
#[derive(Debug, Default)]
pub struct Composed {
    /// Words and pictures in turn.
    pub stretches: Vec<Stretch>,
    /// What is a part of its own.
    pub inner: Inner,
}

/// What of a paragraph's words is a part of its own.
#[derive(Debug, Default)]
pub struct Inner {
    /// The addresses of the links, by the numbers that dresses give them.
    pub addresses: Vec<String>,
    /// The phrases that a draft marks, by their indices, each as it is printed.
    pub faulty: Vec<(usize, String)>,
}

/// Dresses the pieces of a paragraph whose plain words have a style, the smallest size of raised ones given.
pub fn compose(
    inlines: &[Inline],
    style: Style,
    least_raised: Pt,
    phrases: &[SetPhrase],
) -> Composed {
    let (words, composed) = (Passage::default(), Composed::default());
    let mut composer = Composer { phrases, least_raised, told: Told::default(), words, composed };
    composer.all(inlines, Dress::plain(style));
    composer.end_words();
    composer.composed
}

/// The words of a paragraph without their dress, as a bookmark shows them.
pub fn plain_words(inlines: &[Inline], phrases: &[SetPhrase]) -> String {
    let mut words = String::new();
    gather_words(inlines, phrases, &mut words);
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn gather_words(inlines: &[Inline], phrases: &[SetPhrase], words: &mut String) {
    for inline in inlines {
        match inline {
            Inline::Text(text) | Inline::Code(text) => words.push_str(text),
            Inline::Space | Inline::Break => words.push(' '),
            Inline::Phrase(index) => {
                words.extend(phrases.get(*index).map(|phrase| phrase.printed.text()));
            }
            Inline::Emphasis(inner) | Inline::Strong(inner) | Inline::Link { words: inner, .. } => {
                gather_words(inner, phrases, words);
            }
            Inline::Picture(_) => {}
        }
    }
}

/// The numbers of figures that a paragraph has given: each once is enough.
#[derive(Debug, Default)]
pub struct Told {
    figures: Vec<String>,
}

impl Told {
    /// A phrase as it is printed next, without the numbers that were given.
    pub fn printed(&mut self, phrase: &SetPhrase) -> Printed {
        let mut printed = phrase.printed.clone();
        for number in &phrase.figures {
            if !self.figures.contains(number) {
                self.figures.push(number.clone());
                continue;
            }
            for run in &mut printed.runs {
                run.text = run.text.replace(number.as_str(), "");
            }
        }
        printed
    }
}

struct Composer<'a> {
    phrases: &'a [SetPhrase],
    /// The smallest size of raised words.
    least_raised: Pt,
    told: Told,
    /// The words that are being gathered.
    words: Passage,
    composed: Composed,
}

impl Composer<'_> {
    fn all(&mut self, inlines: &[Inline], dress: Dress) {
        inlines.iter().for_each(|inline| self.one(inline, dress));
    }

    fn one(&mut self, inline: &Inline, dress: Dress) {
        match inline {
            Inline::Text(words) => self.words.push(&with_apostrophes(words), dress),
            Inline::Space => self.words.push(" ", dress),
            Inline::Break => self.words.end_line(dress),
            Inline::Emphasis(inner) => self.all(inner, in_face(dress, slanted)),
            Inline::Strong(inner) => self.all(inner, in_face(dress, heavy)),
            Inline::Code(words) => {
                let size = (dress.style.size * CODE_SIZE).max(TypeSize::SMALLEST);
                let style = Style { face: Face::Mono, size, ..dress.style };
                self.words.push(words, Dress { style, ..dress });
            }
            Inline::Phrase(index) => self.phrase(*index, dress),
            Inline::Link { address, words } => self.link(address, words, dress),
            Inline::Picture(index) => {
                self.end_words();
                self.composed.stretches.push(Stretch::Picture(*index));
            }
        }
    }

    /// Ends the words gathered so far.
    fn end_words(&mut self) {
        let words = std::mem::take(&mut self.words);
        if !words.is_blank() {
            self.composed.stretches.push(Stretch::Words(words));
        }
    }

    fn phrase(&mut self, index: usize, dress: Dress) {
        let Some(phrase) = self.phrases.get(index) else { return };
        let (ends, phrase_of) = (Ends::Spaces, Some(index));
        let dress = Dress { ends, phrase: phrase_of, faulty: phrase.faulty, ..dress };
        let printed = self.told.printed(phrase);
        if phrase.faulty {
            self.composed.inner.faulty.push((index, printed.text()));
        }
        self.words.apart(Reading::FromLeft, |words| {
            for (piece, style) in styled(&printed, dress.style, self.least_raised) {
                words.push(&unparted(piece), Dress { style, ..dress });
            }
        });
    }

    /// Words that lead somewhere; those of an address that isn't kept are plain.
    fn link(&mut self, address: &str, words: &[Inline], dress: Dress) {
        if !is_safe(address) {
            return self.all(words, dress);
        }
        let addresses = &mut self.composed.inner.addresses;
        let link = Some(addresses.len());
        addresses.push(address.to_owned());
        self.all(words, Dress { link, ..dress });
    }
}

/// Whether a reader's program may follow an address without danger; no other is kept.
pub fn is_safe(address: &str) -> bool {
    const SAFE: [&str; 3] = ["https://", "http://", "mailto:"];
    let lower = address.to_ascii_lowercase();
    SAFE.iter().any(|scheme| lower.starts_with(scheme))
}

fn in_face(dress: Dress, change: fn(Face) -> Face) -> Dress {
    Dress { style: Style { face: change(dress.style.face), ..dress.style }, ..dress }
}

/// The words of a phrase, what a line shouldn't begin with held to the word before it: an equals sign,
/// the number of a bar.
pub fn unparted(words: &str) -> String {
    let mut set = words.replace(" = ", "\u{a0}= ");
    for name in ["bar ", "bars ", "figure ", "Takt ", "Takte ", "Abbildung "] {
        let mut from = 0;
        while let Some(at) = set.get(from..).and_then(|rest| rest.find(name)).map(|at| at + from) {
            let space = at + name.len() - 1;
            from = space + 1;
            if set.get(from..).is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit())) {
                set.replace_range(space..from, "\u{a0}");
            }
        }
    }
    set
}

/// Words as a typesetter sets them: an apostrophe within a word is typed straight and printed curved.
pub fn with_apostrophes(words: &str) -> Cow<'_, str> {
    if !words.contains('\'') {
        return words.into();
    }
    let mut before = None;
    let mut letters = words.chars().peekable();
    let mut set = String::with_capacity(words.len() + 2);
    while let Some(letter) = letters.next() {
        let within = before.is_some_and(char::is_alphabetic)
            && letters.peek().copied().is_some_and(char::is_alphabetic);
        set.push(if letter == '\'' && within { '’' } else { letter });
        before = Some(letter);
    }
    set.into()
}

/// The face of stressed words among words of a face.
fn slanted(face: Face) -> Face {
    match face {
        Face::Serif => Face::SerifItalic,
        Face::SerifItalic => Face::Serif,
        Face::SerifSemibold | Face::SerifBold => Face::SerifBoldItalic,
        Face::SerifBoldItalic => Face::SerifBold,
        Face::Sans | Face::SansSemibold => Face::SansItalic,
        Face::SansItalic => Face::Sans,
        Face::SmallCaps | Face::Mono | Face::Spare | Face::Signs | Face::Own(_) => face,
    }
}

/// The face of strong words among words of a face.
pub fn heavy(face: Face) -> Face {
    match face {
        Face::Serif | Face::SerifSemibold | Face::SerifBold => Face::SerifBold,
        Face::SerifItalic | Face::SerifBoldItalic => Face::SerifBoldItalic,
        Face::Sans | Face::SansSemibold | Face::SansItalic => Face::SansSemibold,
        Face::SmallCaps | Face::Mono | Face::Spare | Face::Signs | Face::Own(_) => face,
    }
}

/// How far down a line its baseline is: the letters' middle, a little below half their size above
/// the baseline, stands in the middle of the line.
pub fn baseline(size: Pt, leading: Pt) -> Pt {
    leading / 2.0 + size * 0.32
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn apostrophes_within_words_are_curved() {
        assert_eq!(
            with_apostrophes("don't, the bend's 'goal' 12' o'"),
            "don’t, the bend’s 'goal' 12' o'"
        );
        assert_eq!(with_apostrophes("plain"), "plain");
    }

    #[test]
    fn numbers_and_signs_are_held_to_their_words() {
        for (words, set) in [
            ("bar 2 of the hook (figure 3)", "bar\u{a0}2 of the hook (figure\u{a0}3)"),
            ("bars 1 to 2", "bars\u{a0}1 to 2"),
            ("A = A C♯ E", "A\u{a0}= A C♯ E"),
            ("the bar line", "the bar line"),
        ] {
            assert_eq!(unparted(words), set);
        }
    }
}
