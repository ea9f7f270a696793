//! Setting a paragraph: words are shaped one by one, the places where a line may end are found, and
//! the best set of lines is chosen for the paragraph as a whole (Knuth and Plass 1981).

use super::line::{Line, set_line};
use super::template::LineEnds;
use crate::ink::bidi::{Isolate, Level, Levels, Reading};
use crate::ink::{Face, Fonts, Pt, Style, Text, pt};
use std::ops::Range;
use textwrap::core::Fragment;
use textwrap::wrap_algorithms::{Penalties, wrap_optimal_fit};
use unicode_linebreak::{BreakOpportunity, linebreaks};
use unicode_segmentation::UnicodeSegmentation;

/// The narrowest a space may become, as a share of its own width (assumed from what printers'
/// handbooks allow: a quarter em shrunk to a fifth).
pub(super) const TIGHTEST: f32 = 0.82;
/// The widest a space may become; a line that would need more is left short, its spaces as they are (chosen by eye:
/// wider ones show as holes, and a line that is both wide and short as a mistake).
pub(super) const LOOSEST: f32 = 1.75;
/// Lines are compared on a measure of this many units, so that costs don't depend on the size of
/// type.
const UNITS: f64 = 100.0;
/// What makes a set of lines bad, in squared hundredths of the measure. An overflow costs more than
/// any gap; a last line of one word under an eighth of the measure as much as a gap of a fifth; each line a little, so
/// that of equals the fewer lines are taken (assumed, to be measured).
const PENALTIES: Penalties = Penalties {
    nline_penalty: 20,
    overflow_penalty: 1_000_000,
    short_last_line_fraction: 8,
    short_last_line_penalty: 420,
    // What it costs to part a short phrase: as much as a gap of a tenth, about what the spaces of a line can't fill.
    hyphen_penalty: 100,
};

/// A phrase or code within a line is whole where it takes no more than this share of the measure: a third, where the
/// line above can still be filled well without it (assumed).
const WHOLE_PHRASE: f32 = 0.33;
/// The width that tells the search for the best lines that a line's end behind a word parts a short phrase.
const PARTED: f64 = 1e-9;

/// Ends a line on paper too; the line separator of Unicode.
const LINE_END: char = '\u{2028}';

/// How words look and behave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dress {
    /// Face, size, height.
    pub style: Style,
    /// Where a line may end in them.
    pub ends: Ends,
    /// The link that they belong to, by a number of the caller's.
    pub link: Option<usize>,
    /// The checked phrase that they belong to, by its index in the lesson's phrases.
    pub phrase: Option<usize>,
    /// Whether a draft marks them.
    pub faulty: bool,
}

/// Where a line may end within words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ends {
    /// Wherever the language's rules allow (Unicode Standard Annex 14).
    Anywhere,
    /// Only at spaces: musical words stay whole.
    Spaces,
}

impl Dress {
    /// Plain words in a style.
    pub const fn plain(style: Style) -> Dress {
        Dress { style, ends: Ends::Anywhere, link: None, phrase: None, faulty: false }
    }
}

/// A paragraph's words, each in its dress.
#[derive(Debug, Default)]
pub struct Passage {
    text: String,
    /// Where each dress ends in the text, rising.
    dresses: Vec<(usize, Dress)>,
    /// What stands apart in it, in the order in which it stands.
    isolates: Vec<Isolate>,
}

impl Passage {
    /// One line of words in a style.
    pub fn plain(words: &str, style: Style) -> Passage {
        let mut passage = Passage::default();
        passage.push(words, Dress::plain(style));
        passage
    }

    /// Adds words. Runs of spaces become one, what can't be seen is dropped.
    pub fn push(&mut self, words: &str, dress: Dress) {
        for c in words.chars() {
            let blank = c.is_whitespace() && c != '\u{a0}' && c != '\u{202f}';
            let after_blank = self.text.is_empty() || self.text.ends_with([' ', LINE_END]);
            match c {
                _ if blank && after_blank => {}
                _ if blank => self.text.push(' '),
                '\u{ad}' => {}
                _ if c.is_control() => {}
                _ => self.text.push(c),
            }
        }
        self.dress_up_to_here(dress);
    }

    /// Adds words that stand apart from those around them, be these read the other way.
    pub fn apart(&mut self, reading: Reading, add: impl FnOnce(&mut Passage)) {
        let start = self.text.len();
        add(self);
        self.isolates.push(Isolate { place: start..self.text.len(), reading });
    }

    /// Whether it is read from the right as a whole.
    pub fn is_from_right(&self) -> bool {
        self.levels().is_some_and(|levels| levels.base.is_rtl())
    }

    fn levels(&self) -> Option<Levels> {
        Levels::with_isolates(&self.text, &self.isolates)
    }

    /// Ends the line. A space before its end parts the words for whoever is read to.
    pub fn end_line(&mut self, dress: Dress) {
        self.push(" ", dress);
        self.text.push(LINE_END);
        self.dress_up_to_here(dress);
    }

    /// Whether there is nothing to print.
    pub fn is_blank(&self) -> bool {
        self.text.chars().all(char::is_whitespace)
    }

    fn dress_up_to_here(&mut self, dress: Dress) {
        match self.dresses.last_mut() {
            Some((end, last)) if *last == dress => *end = self.text.len(),
            _ => self.dresses.push((self.text.len(), dress)),
        }
    }

    /// Shapes the words and finds where lines may end.
    pub fn shape(&self, fonts: &Fonts) -> Shaped {
        let levels = self.levels();
        let base = levels.as_ref().map_or(Level::ltr(), |levels| levels.base);
        let mut shaper = Shaper { fonts, passage: self, levels, dress: 0, at: 0 };
        let words = linebreaks(&self.text)
            .filter(|(end, kind)| *kind == BreakOpportunity::Mandatory || self.may_end_at(*end))
            .filter_map(|(end, _)| shaper.word_up_to(end))
            .collect();
        Shaped { words, base }
    }

    /// Whether a line may end before the byte `end`, where the language's rules allow it.
    fn may_end_at(&self, end: usize) -> bool {
        let here = self.dresses.partition_point(|(dress_end, _)| *dress_end < end);
        let next = self.dresses.partition_point(|(dress_end, _)| *dress_end <= end);
        let whole = |index: usize| {
            self.dresses.get(index).is_some_and(|(_, dress)| dress.ends == Ends::Spaces)
        };
        let after_space = self.text.get(..end).is_some_and(|before| before.ends_with(' '));
        after_space || !(whole(here) && (here == next || whole(next)))
    }
}

/// Shapes a passage from its front to its end.
struct Shaper<'a> {
    fonts: &'a Fonts,
    passage: &'a Passage,
    /// Which way its words are read, where some are read from the right.
    levels: Option<Levels>,
    /// The dress that holds at `at`, by its index.
    dress: usize,
    at: usize,
}

impl Shaper<'_> {
    fn word_up_to(&mut self, end: usize) -> Option<Word> {
        let passage = self.passage;
        let mut word = Word::default();
        while self.at < end {
            let (dress_end, dress) = *passage.dresses.get(self.dress)?;
            let stop = end.min(dress_end);
            let words = passage.text.get(self.at..stop).unwrap_or_default();
            word.ends_line = words.ends_with(LINE_END);
            let words = words.trim_end_matches(LINE_END);
            match &self.levels {
                None if words.is_empty() => {}
                None => word.push(words, dress, Level::ltr(), self.fonts),
                Some(levels) => {
                    let place = self.at..self.at + words.len();
                    word.push_levels(&passage.text, place, levels, dress, self.fonts);
                }
            }
            self.at = stop;
            self.dress += usize::from(stop == dress_end);
        }
        Some(word)
    }
}

/// Shaped words of one dress and one way to read them.
#[derive(Debug, Clone)]
pub(super) struct Piece {
    pub(super) text: Text,
    pub(super) dress: Dress,
    pub(super) level: Level,
}

/// What no line's end divides, the space behind it included.
#[derive(Debug, Clone, Default)]
pub(super) struct Word {
    pub(super) pieces: Vec<Piece>,
    /// Without the space behind it.
    pub(super) width: Pt,
    pub(super) space: Pt,
    /// Whether the line ends behind it whatever its length.
    ends_line: bool,
}

impl Word {
    /// Adds what stands in a text at a place, parted by its levels; the space behind the word is a
    /// piece of its own, since at a line's end it is no part of the words.
    fn push_levels(
        &mut self,
        text: &str,
        place: Range<usize>,
        levels: &Levels,
        dress: Dress,
        fonts: &Fonts,
    ) {
        for (stretch, level) in levels.stretches(place) {
            let words = text.get(stretch).unwrap_or_default();
            let (words, space) = words.split_at(words.trim_end_matches(' ').len());
            for part in [words, space].into_iter().filter(|part| !part.is_empty()) {
                self.push(part, dress, level, fonts);
            }
        }
    }

    fn push(&mut self, words: &str, dress: Dress, level: Level, fonts: &Fonts) {
        let text = Text::set_level(fonts, words, dress.style, level);
        self.width += self.space + text.width;
        self.space = Pt::ZERO;
        if words.ends_with(' ') {
            self.space = fonts.measures(dress.style.face, dress.style.size).space.min(text.width);
            self.width -= self.space;
        }
        self.pieces.push(Piece { text, dress, level });
    }

    /// Whether the next word is of the phrase, or the code, with which this one ends.
    fn goes_on_in(&self, next: &Word) -> bool {
        let (Some(last), Some(first)) = (self.pieces.last(), next.pieces.first()) else {
            return false;
        };
        match last.dress.phrase {
            Some(_) => last.dress.phrase == first.dress.phrase,
            None => last.dress.style.face == Face::Mono && last.dress == first.dress,
        }
    }

    /// The word in parts that are no wider than the measure, cut between letters.
    fn cut(self, measure: Pt, fonts: &Fonts) -> Vec<Word> {
        if self.width <= measure {
            return vec![self];
        }
        let mut parts = vec![Word::default()];
        for piece in &self.pieces {
            let words = piece.text.characters();
            for chunk in cut_to_fit(&words, piece.dress.style, measure, fonts) {
                let mut part = Word::default();
                part.push(chunk, piece.dress, piece.level, fonts);
                match parts.last_mut() {
                    Some(last) if last.width + last.space + part.width <= measure => {
                        last.push(chunk, piece.dress, piece.level, fonts);
                    }
                    _ => parts.push(part),
                }
            }
        }
        if let Some(last) = parts.last_mut() {
            last.ends_line = self.ends_line;
        }
        parts
    }
}

/// Cuts words into parts that are no wider than a measure, each of one letter at least: behind a
/// space where there is one in the part's second half, else between letters. There is at least one
/// part, be it empty.
pub fn cut_to_fit<'w>(words: &'w str, style: Style, measure: Pt, fonts: &Fonts) -> Vec<&'w str> {
    let mut parts = Vec::new();
    let (mut start, mut width) = (0, Pt::ZERO);
    // Where the last space ends, and how wide the part is up to there.
    let mut space = (0, Pt::ZERO);
    for (at, letter) in words.grapheme_indices(true) {
        let own = Text::set(fonts, letter, style).width;
        if at > start && width + own > measure && letter != " " {
            let late = space.0 > start && space.1 > measure / 2.0;
            let (end, before) = if late { space } else { (at, width) };
            parts.extend(words.get(start..end));
            (start, width) = (end, width - before);
        }
        width += own;
        if letter == " " {
            space = (at + 1, width);
        }
    }
    parts.extend(words.get(start..));
    parts
}

/// A passage whose words are shaped.
#[derive(Debug, Clone)]
pub struct Shaped {
    words: Vec<Word>,
    /// Which way the passage as a whole is read.
    base: Level,
}

impl Shaped {
    /// The width of its widest word.
    pub fn widest_word(&self) -> Pt {
        self.words.iter().fold(Pt::ZERO, |widest, word| widest.max(word.width))
    }

    /// The width that it takes where no line is broken.
    pub fn unbroken_width(&self) -> Pt {
        let mut widest = Pt::ZERO;
        let mut line = Pt::ZERO;
        let mut space = Pt::ZERO;
        for word in &self.words {
            line += space + word.width;
            widest = widest.max(line);
            space = word.space;
            if word.ends_line {
                (line, space) = (Pt::ZERO, Pt::ZERO);
            }
        }
        widest
    }

    /// Breaks it into lines of a measure.
    pub fn lines(self, measure: Pt, ends: LineEnds, fonts: &Fonts) -> Vec<Line> {
        let measure = measure.max(pt(1.0));
        let words = self.words.into_iter().flat_map(|word| word.cut(measure, fonts));
        let words: Vec<Word> = words.collect();
        let mut lines = Vec::new();
        for stretch in words.split_inclusive(|word| word.ends_line) {
            lines.extend(best_lines(stretch, measure, ends, self.base));
        }
        lines
    }
}

impl Shaped {
    /// Breaks it into ragged lines that are about equally long, no more of them than the measure asks for: titles
    /// are read as pictures, and a lone word on a last line is a hole in them.
    pub fn balanced_lines(self, measure: Pt, fonts: &Fonts) -> Vec<Line> {
        let lines = self.clone().lines(measure, LineEnds::Ragged, fonts);
        let forced = self.words.iter().rev().skip(1).any(|word| word.ends_line);
        if lines.len() < 2 || forced {
            return lines;
        }
        #[allow(clippy::cast_precision_loss)] // A title's lines are few.
        let least = self.unbroken_width() / lines.len() as f32;
        let tries = (0..BALANCED_TRIES).map(|step| {
            let share = f32::from(step) / f32::from(BALANCED_TRIES);
            let narrow = least + (measure - least) * share;
            self.clone().lines(narrow.max(self.widest_word()), LineEnds::Ragged, fonts)
        });
        let mut even = tries.filter(|narrow| narrow.len() <= lines.len());
        even.next().unwrap_or(lines)
    }
}

/// How many measures are tried for lines that are about equally long; the first that needs no more lines is taken.
const BALANCED_TRIES: u8 = 16;

/// Words that no line's end parts, as the search for the best lines sees them.
#[derive(Debug)]
struct Measured {
    width: f64,
    space: f64,
    /// How many words they are.
    count: usize,
    /// Whether a line's end behind them parts a short phrase.
    parts_short: bool,
}

impl Measured {
    /// Words on a measure, the spaces between them as narrow as they may be.
    fn of(words: &[Word], measure: Pt, tightest: f32) -> Measured {
        let (mut width, mut space) = (Pt::ZERO, Pt::ZERO);
        for word in words {
            width += space + word.width;
            space = word.space * tightest;
        }
        let units = |length: Pt| f64::from(length / measure) * UNITS;
        Measured {
            width: units(width),
            space: units(space),
            count: words.len(),
            parts_short: false,
        }
    }

    /// The words of a phrase, or a word of no phrase, as lines on a measure may part them: a short phrase only where
    /// the line's spaces would grow too wide else.
    fn of_phrase(words: &[Word], measure: Pt, ends: LineEnds) -> Vec<Measured> {
        let tightest = match ends {
            LineEnds::Justified => TIGHTEST,
            LineEnds::Ragged => 1.0,
        };
        let is_short = is_short(words, measure);
        let groups = match is_short && ends == LineEnds::Ragged {
            true => vec![words],
            false => bound(words, measure),
        };
        let last = groups.len().saturating_sub(1);
        let measured = groups.into_iter().enumerate().map(|(index, words)| Measured {
            parts_short: is_short && index < last,
            ..Measured::of(words, measure, tightest)
        });
        measured.collect()
    }
}

/// Whether words take no more than a short phrase does.
fn is_short(words: &[Word], measure: Pt) -> bool {
    words.iter().map(|word| word.width + word.space).sum::<Pt>() <= measure * WHOLE_PHRASE
}

/// The words of a phrase as they are bound: its first word to the second, which says what is told of it, and its last
/// to the one before: a lone numeral or name at a line's edge is stumbled over.
fn bound(words: &[Word], measure: Pt) -> Vec<&[Word]> {
    let mut groups = Vec::new();
    let mut rest = words;
    while !rest.is_empty() {
        let at_edge = rest.len() == words.len() || rest.len() == 2;
        let most = match words.len() {
            3 => 3,
            _ if at_edge => 2,
            _ => 1,
        };
        let (group, after) = rest.split_at(most.min(rest.len()));
        match is_short(group, measure) {
            true => groups.push(group),
            false => groups.extend(group.chunks(1)),
        }
        rest = after;
    }
    groups
}

impl Fragment for Measured {
    fn width(&self) -> f64 {
        self.width
    }

    fn whitespace_width(&self) -> f64 {
        self.space
    }

    fn penalty_width(&self) -> f64 {
        if self.parts_short { PARTED } else { 0.0 }
    }
}

fn best_lines(words: &[Word], measure: Pt, ends: LineEnds, base: Level) -> Vec<Line> {
    let measured: Vec<Measured> = words
        .chunk_by(Word::goes_on_in)
        .flat_map(|phrase| Measured::of_phrase(phrase, measure, ends))
        .collect();
    // The search fails only where costs overflow a float; a line a word is then as good as any.
    let counts: Vec<usize> = wrap_optimal_fit(&measured, &[UNITS], &PENALTIES)
        .map(|lines| lines.iter().map(|line| line.iter().map(|whole| whole.count).sum()).collect())
        .unwrap_or_else(|_| vec![1; words.len()]);
    let mut rest = words;
    let mut lines = Vec::with_capacity(counts.len());
    for (index, count) in counts.iter().enumerate() {
        let Some((line, after)) = rest.split_at_checked(*count) else { break };
        rest = after;
        let last = index + 1 == counts.len();
        let ends = if last { LineEnds::Ragged } else { ends };
        lines.push(set_line(line, measure, ends, base));
    }
    lines
}

#[cfg(test)]
mod tests;
