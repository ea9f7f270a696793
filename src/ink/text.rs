//! A line of words, shaped and measured.

use super::bidi::{self, Level, Levels};
use super::face::{Face, Fonts};
use super::shaping::{Way, Word, is_joiner};
use super::units::{Pt, pt};
use std::borrow::Cow;
use std::sync::Arc;
use unicode_normalization::{IsNormalized, UnicodeNormalization, is_nfc_quick};

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Style {
    /// The face.
    pub face: Face,
    /// The size of type.
    pub size: Pt,
    /// The shade, 0 black to 1 white.
    pub shade: f32,
    /// How far the words are raised above the baseline.
    pub rise: Pt,
}

impl Style {
    /// Black words on the baseline.
    pub const fn new(face: Face, size: Pt) -> Style {
        Style { face, size, shade: 0.0, rise: pt(0.0) }
    }
}

/// A line of words, shaped: its runs in the order in which they are read.
#[derive(Debug, Clone, Default)]
pub struct Text {
    /// The sum of the advances.
    pub width: Pt,
    /// The words with their looks and places.
    pub runs: Vec<Run>,
    /// When what they say sounds, in ticks from the beginning of what is written; `None` of words that don't sound.
    pub moment: Option<u32>,
}

/// A word in one style, with the spaces behind it.
#[derive(Debug, Clone)]
pub struct Run {
    /// How far from the beginning of the line it begins.
    pub x: Pt,
    /// The looks.
    pub style: Style,
    /// The glyphs.
    pub word: Arc<Word>,
}

impl Text {
    /// Sets words in one style. A tab or line break is a space, other control characters vanish.
    pub fn set(fonts: &Fonts, words: &str, style: Style) -> Text {
        let Some(levels) = Levels::of(words) else { return Text::rightwards(fonts, words, style) };
        let stretches = levels.stretches(0..words.len());
        let pieces = stretches.flat_map(|(place, level)| {
            Text::pieces(fonts, words.get(place).unwrap_or_default(), style, level)
        });
        Text::in_order(pieces.collect())
    }

    /// Sets words that are all of one level.
    pub(crate) fn set_level(fonts: &Fonts, words: &str, style: Style, level: Level) -> Text {
        match bidi::way(level) {
            Way::Right => Text::rightwards(fonts, words, style),
            Way::Left => Text::in_order(Text::pieces(fonts, words, style, level)),
        }
    }

    /// Sets words that are read from left to right.
    fn rightwards(fonts: &Fonts, words: &str, style: Style) -> Text {
        let clean = printable(words);
        // Most are one word.
        let mut text = Text { runs: Vec::with_capacity(1), ..Text::default() };
        for word in words_of(&clean) {
            let word = fonts.word(&style, word, Way::Right);
            let x = text.width;
            text.width += style.size * word.width;
            text.runs.push(Run { x, style, word });
        }
        text
    }

    /// Sets words of one level one by one.
    fn pieces(fonts: &Fonts, words: &str, style: Style, level: Level) -> Vec<(Level, Text)> {
        let piece = |word: &str| {
            let word = fonts.word(&style, word, bidi::way(level));
            let width = style.size * word.width;
            (level, Text { width, runs: vec![Run { x: Pt::ZERO, style, word }], moment: None })
        };
        words_of(&printable(words)).map(piece).collect()
    }

    /// Puts pieces, given in the order in which they are read, where their levels have them stand.
    fn in_order(pieces: Vec<(Level, Text)>) -> Text {
        let levels: Vec<Level> = pieces.iter().map(|(level, _)| *level).collect();
        let widths: Vec<Pt> = pieces.iter().map(|(_, piece)| piece.width).collect();
        let places = places(&levels, &widths);
        let mut text = Text::gap(widths.into_iter().sum());
        for ((_, piece), x) in pieces.into_iter().zip(places) {
            text.runs.extend(piece.runs.into_iter().map(|run| Run { x: run.x + x, ..run }));
        }
        text
    }

    /// Nothing, of a width.
    pub fn gap(width: Pt) -> Text {
        Text { width, ..Text::default() }
    }

    /// The line with more words behind it.
    #[must_use]
    pub fn then(mut self, more: Text) -> Text {
        let behind = self.width;
        self.width += more.width;
        self.runs.extend(more.runs.into_iter().map(|run| Run { x: run.x + behind, ..run }));
        self
    }

    /// The line as what sounds at a moment, in ticks from the beginning of what is written.
    #[must_use]
    pub fn sounding(self, moment: u32) -> Text {
        Text { moment: Some(moment), ..self }
    }

    /// The line so many times as large.
    #[must_use]
    pub fn scaled(&self, times: f32) -> Text {
        let run = |run: &Run| {
            let (size, rise) = (run.style.size * times, run.style.rise * times);
            let style = Style { size, rise, ..run.style };
            Run { x: run.x * times, style, word: Arc::clone(&run.word) }
        };
        Text { width: self.width * times, runs: self.runs.iter().map(run).collect(), ..*self }
    }

    /// The line with light for dark.
    #[must_use]
    pub fn inverted(&self) -> Text {
        let run = |run: &Run| {
            let style = Style { shade: 1.0 - run.style.shade, ..run.style };
            Run { x: run.x, style, word: Arc::clone(&run.word) }
        };
        Text { runs: self.runs.iter().map(run).collect(), ..*self }
    }

    /// The characters that it stands for.
    pub fn characters(&self) -> String {
        self.runs.iter().map(|run| run.word.characters()).collect()
    }
}

/// Where pieces of these levels and widths, given in the order in which they are read, stand side by
/// side.
pub(crate) fn places(levels: &[Level], widths: &[Pt]) -> Vec<Pt> {
    let mut places = vec![Pt::ZERO; widths.len()];
    let mut x = Pt::ZERO;
    for index in bidi::from_the_left(levels) {
        if let (Some(place), Some(width)) = (places.get_mut(index), widths.get(index)) {
            *place = x;
            x += *width;
        }
    }
    places
}

/// Text as it is printed: composed letters, plain spaces, no characters without looks but joiners
/// between letters that they may change.
pub(super) fn printable(text: &str) -> Cow<'_, str> {
    if text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return Cow::Borrowed(text);
    }
    let plain = |c: char| !matches!(replacement(c), Replacement::Other(_));
    if text.chars().all(plain) && is_nfc_quick(text.chars()) == IsNormalized::Yes {
        return Cow::Borrowed(text);
    }
    let mut replaced = String::with_capacity(text.len());
    for c in text.chars() {
        let joins = is_joiner(c) && replaced.ends_with(|before: char| !before.is_ascii());
        match replacement(c) {
            Replacement::Other(other) if !joins => replaced.push_str(other),
            _ => replaced.push(c),
        }
    }
    // Composing parts 𝅗𝅥 and its like, never ours.
    Cow::Owned(replaced.nfc().collect())
}

/// What is printed for a character.
enum Replacement {
    Itself,
    Other(&'static str),
}

/// What is printed for a character.
fn replacement(c: char) -> Replacement {
    match c {
        ' '..='~' => Replacement::Itself,
        '\t' | '\n' | '\r' | '\u{0B}' | '\u{0C}' | '\u{85}' | '\u{A0}' | '\u{2028}'
        | '\u{2029}' | '\u{202F}' => Replacement::Other(" "),
        // Soft hyphens, joiners, marks of direction, variation selectors, tags.
        '\u{AD}'
        | '\u{200B}'..='\u{200F}'
        | '\u{202A}'..='\u{202E}'
        | '\u{2060}'..='\u{206F}'
        | '\u{FE00}'..='\u{FE0F}'
        | '\u{FEFF}'
        | '\u{E0000}'..='\u{E0FFF}' => Replacement::Other(""),
        c if c.is_control() => Replacement::Other(""),
        _ => Replacement::Itself,
    }
}

/// Cuts text behind each run of spaces.
fn words_of(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        let word = rest.find(' ').unwrap_or(rest.len());
        let spaces = rest.get(word..)?.find(|c| c != ' ').map_or(rest.len(), |more| word + more);
        let (head, tail) = rest.split_at_checked(spaces)?;
        rest = tail;
        (!head.is_empty()).then_some(head)
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const BODY: Style = Style::new(Face::Serif, pt(10.0));

    #[test]
    fn text_is_made_printable() {
        let rows = [
            ("as it is", "as it is"),
            ("a\u{A0}b\tc\nd", "a b c d"),
            ("soft\u{AD}ly \u{200B}now\u{FEFF}", "softly now"),
            ("bell\u{7} zero\u{0}", "bell zero"),
            ("e\u{301}", "é"),
            ("F𝄪 B𝄫", "F𝄪 B𝄫"),
        ];
        for (typed, printed) in rows {
            assert_eq!(printable(typed), printed);
        }
    }

    #[test]
    fn text_is_cut_behind_its_spaces() {
        let rows: [(&str, &[&str]); 5] = [
            ("", &[]),
            ("one", &["one"]),
            ("one two", &["one ", "two"]),
            ("  a  b ", &["  ", "a  ", "b "]),
            (" ", &[" "]),
        ];
        for (text, words) in rows {
            assert_eq!(words_of(text).collect::<Vec<_>>(), words);
        }
    }

    #[test]
    fn lines_are_put_together_from_the_left() {
        let fonts = Fonts::new();
        let (one, two) = (Text::set(&fonts, "one ", BODY), Text::set(&fonts, "two", BODY));
        let (first, second) = (one.width, two.width);
        let line = one.then(Text::gap(pt(3.0))).then(two);
        assert_eq!(line.width, first + pt(3.0) + second);
        assert_eq!(line.runs.last().unwrap().x, first + pt(3.0));
        assert_eq!(line.characters(), "one two");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]
        #[test]
        fn any_text_is_set(text in any::<String>()) {
            let fonts = Fonts::new();
            for face in [Face::Serif, Face::SansSemibold, Face::Mono] {
                let set = Text::set(&fonts, &text, Style::new(face, pt(10.0)));
                prop_assert!(set.width.0.is_finite());
                // The marks of direction are heard before they vanish.
                let plain = |text: &str| text.nfd().collect::<String>();
                prop_assert_eq!(plain(&set.characters()), plain(&printable(&text)));
            }
        }
    }
}
