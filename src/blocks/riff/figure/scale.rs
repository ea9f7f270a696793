//! The lengths and type of a tab, all of them worked out from the template's looks.

use crate::blocks::figure::Desk;
use crate::ink::measure::TypeSize;
use crate::ink::{Face, Pt, Style, Text, pt};
use crate::neck::StringIndex;
use crate::theory::Printed;
use crate::words::paper::tab;

/// How high figures and capitals of the figures' face stand above the baseline, in parts of the
/// size: 660 of 1000 units in Source Sans 3; those of the prose face, 645 to 658, are near enough.
const CAP_HEIGHT: f32 = 0.66;

/// The size of sung syllables among that of counts (looks, "Tab": 9.5 and 9 pt).
const SYLLABLE: f32 = 9.5 / 9.0;

/// How high the numerals of a meter are at most, in distances between tab lines (by eye: heavier than chord symbols, and
/// no blot beside the frets).
const MOST_METER: f32 = 1.5;

/// The size of round brackets among that of the fret between them: 0.91 of theirs is their height, which is to leave
/// 0.25 mm between those on lines 3.0 mm apart.
const BRACKET: f32 = 0.84;

/// How high the middle of round brackets lies above the baseline, in parts of their size (Source Sans 3).
const BRACKET_MIDDLE: f32 = 0.285;

/// What a fret number stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    /// A note that is picked or lasts.
    Full,
    /// A grace note, or the end of a release: set smaller.
    Grace,
    /// A muted stroke's cross, which is small among figures and set larger.
    Cross,
}

/// The lengths and type of a stave of so many lines.
#[derive(Clone, Copy)]
pub(in super::super) struct Scale<'a> {
    pub desk: &'a Desk<'a>,
    pub strings: usize,
}

impl<'a> Scale<'a> {
    /// The lengths of a stave of so many lines.
    pub(super) fn of(&self, lines: usize) -> Scale<'a> {
        Scale { strings: lines, ..*self }
    }

    /// The distance between tab lines, which most other lengths follow.
    pub fn gap(&self) -> Pt {
        self.desk.look.string_gap
    }

    /// So many distances between tab lines.
    pub fn gaps(&self, times: f32) -> Pt {
        self.gap() * times
    }

    /// From the highest tab line to the lowest.
    pub fn staff_height(&self) -> Pt {
        self.gap() * self.strings.saturating_sub(1) as f32
    }

    /// How far a string's line lies below the highest one.
    pub fn line_of(&self, string: StringIndex) -> Pt {
        self.gap() * self.strings.saturating_sub(string.index() + 1) as f32
    }

    /// The width of tab lines (looks, "Tab": 0.16 mm where they lie 3.0 apart); no line is under 0.4 pt (design
    /// section 4).
    pub fn fine(&self) -> Pt {
        self.gaps(0.16 / 3.0).max(pt(0.4))
    }

    /// The width of the lines of spans and frames: 0.24 mm (looks has 0.18, of which a copy
    /// leaves less; by eye).
    pub fn thin(&self) -> Pt {
        self.gaps(0.24 / 3.0).max(pt(0.4))
    }

    /// The width of stems, slurs and brackets: heavier than the lines that they cross, so that a copy of a copy
    /// shows each; by eye, on blurred prints.
    pub fn firm(&self) -> Pt {
        self.gaps(0.12).max(pt(0.6))
    }

    /// How far beneath the middle of a figure or capital its baseline lies.
    pub fn half_cap(&self, size: Pt) -> Pt {
        self.cap_height(size) / 2.0
    }

    /// How high figures and capitals of a size are.
    pub fn cap_height(&self, size: Pt) -> Pt {
        size * CAP_HEIGHT
    }

    /// The size of a fret number of a weight.
    pub(super) fn fret_size(&self, weight: Weight) -> Pt {
        let size = self.desk.look.fret_size;
        match weight {
            Weight::Full => size,
            Weight::Grace => self.desk.look.grace_size(),
            // By eye: as high as the letter x.
            Weight::Cross => size * 1.35,
        }
    }

    /// The size of counts, fingers and remarks.
    pub fn small_size(&self) -> Pt {
        self.desk.look.small_size.max(TypeSize::SMALLEST)
    }

    /// The size of strings' letters.
    pub(super) fn letter_size(&self) -> Pt {
        self.desk.look.letter_size()
    }

    /// The size of sung syllables.
    pub fn syllable_size(&self) -> Pt {
        self.small_size() * SYLLABLE
    }

    /// A fret number.
    pub(super) fn fret(&self, number: &str, weight: Weight) -> Text {
        self.desk.words(number, Style::new(Face::SansSemibold, self.fret_size(weight)))
    }

    /// A muted stroke's cross, in round brackets where it is optional.
    pub(super) fn cross(&self, ghost: bool) -> Text {
        let cross = self.fret("×", Weight::Cross);
        if !ghost {
            return cross;
        }
        self.bracketed(cross, Weight::Cross)
    }

    /// A fret number in round brackets: so small that those on neighbouring strings keep apart.
    pub(super) fn ghost(&self, number: &str, weight: Weight) -> Text {
        self.bracketed(self.fret(number, weight), weight)
    }

    fn bracketed(&self, inner: Text, weight: Weight) -> Text {
        let whole = if weight == Weight::Cross { Weight::Full } else { weight };
        let size = (self.fret_size(whole) * BRACKET).max(TypeSize::SMALLEST);
        let rise = self.half_cap(self.fret_size(weight)) - size * BRACKET_MIDDLE;
        let style = Style { rise, ..Style::new(Face::SansSemibold, size) };
        let bracket = |sign: &str| self.desk.words(sign, style);
        bracket("(").then(inner).then(bracket(")"))
    }

    /// Small words in a face.
    pub fn small(&self, words: &str, face: Face) -> Text {
        self.desk.words(words, Style::new(face, self.small_size()))
    }

    /// How far a string is bent, in quarter tones.
    pub(super) fn bent(&self, quarters: i32) -> Text {
        let by = tab::bent(quarters.unsigned_abs());
        self.desk.moved(&self.desk.lang.said(&by), self.small_size())
    }

    /// A chord symbol.
    pub fn symbol(&self, symbol: &Printed) -> Text {
        self.desk.symbol(symbol, Style::new(Face::SerifSemibold, self.desk.look.symbol_size))
    }

    /// The size of the numerals of a meter: two of them stand between the outer lines, which lead on
    /// to the bar line, but they don't grow with the strings.
    pub fn meter_size(&self) -> Pt {
        let half = (self.staff_height() / 2.0 - self.gaps(0.33)).min(self.gaps(MOST_METER));
        (half / CAP_HEIGHT).max(TypeSize::SMALLEST)
    }

    /// A numeral of a meter.
    pub fn numeral(&self, number: u8) -> Text {
        self.desk.words(&number.to_string(), Style::new(Face::SerifSemibold, self.meter_size()))
    }
}
