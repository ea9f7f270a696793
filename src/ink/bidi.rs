//! Words that are read from right to left among others: which stretches of a text are read which way,
//! and in what order they stand (Unicode Standard Annex 9).

use super::shaping::Way;
use std::ops::Range;
use unicode_bidi::{BidiClass, BidiInfo, bidi_class};

/// How deep a stretch lies in others that are read the other way; even ones are read from the left.
pub use unicode_bidi::Level;

/// Which way a level is read.
pub fn way(level: Level) -> Way {
    if level.is_rtl() { Way::Left } else { Way::Right }
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
        if text.is_ascii() || !text.chars().any(turns) {
            return None;
        }
        let info = BidiInfo::new(text, None);
        let first = info.paragraphs.first()?;
        Some(Levels { base: first.level, of_bytes: info.levels })
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
