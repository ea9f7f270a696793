//! Figures that tell which tone of a chord is lowest, and the chords that have names of their own.

use crate::theory::Chord;
use crate::theory::function::AugmentedSixth;

/// Figured bass: the intervals above the lowest tone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figures {
    /// `6`: a triad with its third lowest; of a numeral that may have an added sixth, that.
    Six,
    /// `64`: a triad with its fifth lowest.
    SixFour,
    /// `65`: a seventh chord with its third lowest.
    SixFive,
    /// `43`: a seventh chord with its fifth lowest.
    FourThree,
    /// `42`: a seventh chord with its seventh lowest.
    FourTwo,
}

impl Figures {
    const ALL: [Figures; 5] =
        [Figures::SixFour, Figures::SixFive, Figures::FourThree, Figures::FourTwo, Figures::Six];

    /// Reads figures at the end of a text, with what stands before them.
    pub(super) fn read(text: &str) -> Option<(String, Figures)> {
        let behind =
            |figures: Figures| Some((text.strip_suffix(figures.written())?.into(), figures));
        Figures::ALL.into_iter().find_map(behind)
    }

    /// The figures of a triad or a seventh chord that is inverted; other chords have none.
    pub(super) fn of(chord: &Chord) -> Option<Figures> {
        let numbers: Vec<u8> = chord.tones.iter().map(|tone| tone.degree.number).collect();
        let plain = matches!(numbers.as_slice(), [1, 3, 5] | [1, 3, 5, 7]);
        Figures::ALL.into_iter().find(|figures| plain && figures.are_true_of(chord))
    }

    /// As they are written.
    pub const fn written(self) -> &'static str {
        match self {
            Figures::Six => "6",
            Figures::SixFour => "64",
            Figures::SixFive => "65",
            Figures::FourThree => "43",
            Figures::FourTwo => "42",
        }
    }

    /// The number of the chord's tone that is lowest.
    pub const fn lowest(self) -> u8 {
        match self {
            Figures::Six | Figures::SixFive => 3,
            Figures::SixFour | Figures::FourThree => 5,
            Figures::FourTwo => 7,
        }
    }

    /// What a numeral without figures writes for the seventh that they are of.
    pub(super) const fn seventh(self) -> &'static str {
        match self {
            Figures::Six | Figures::SixFour => "",
            Figures::SixFive | Figures::FourThree | Figures::FourTwo => "7",
        }
    }

    /// Whether a chord names the bass that they tell, and has the seventh that they are of.
    pub(super) fn are_true_of(self, chord: &Chord) -> bool {
        let tone = |number| chord.tones.iter().find(|tone| tone.degree.number == number);
        let lowest = tone(self.lowest()).map(|tone| tone.degree.above(chord.root));
        lowest == Some(chord.lowest()) && tone(7).is_some() != self.seventh().is_empty()
    }
}

/// A chord that has a name beside its degree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// `N`: the major triad on the lowered second degree.
    Neapolitan,
    /// `It+6`: the augmented sixth chord of three tones.
    Italian,
    /// `Fr+6`: the one with an augmented fourth.
    French,
    /// `Ger+6`: the one with a fifth.
    German,
    /// `subV7`: the dominant seventh a half step above its goal.
    Substitute,
}

impl Named {
    const ALL: [Named; 5] =
        [Named::Neapolitan, Named::Italian, Named::French, Named::German, Named::Substitute];

    /// Reads a name, with the figure of the Neapolitan sixth.
    pub(super) fn read(text: &str) -> Option<(Named, Option<Figures>)> {
        if text == "N6" {
            return Some((Named::Neapolitan, Some(Figures::Six)));
        }
        let named = Named::ALL.into_iter().find(|named| named.name() == text)?;
        Some((named, None))
    }

    /// As it is written.
    pub const fn name(self) -> &'static str {
        match self {
            Named::Neapolitan => "N",
            Named::Italian => "It+6",
            Named::French => "Fr+6",
            Named::German => "Ger+6",
            Named::Substitute => "subV7",
        }
    }

    /// Whether it is one of the augmented sixth chords.
    pub(super) const fn is_augmented_sixth(self) -> bool {
        matches!(self, Named::Italian | Named::French | Named::German)
    }

    /// The plain numeral of the same sound.
    pub(super) const fn stands_for(self) -> &'static str {
        match self {
            Named::Neapolitan => "bII",
            Named::Italian => "bVI7no5",
            Named::French => "bVI7b5",
            Named::German => "bVI7",
            Named::Substitute => "bII7",
        }
    }
}

impl From<AugmentedSixth> for Named {
    fn from(kind: AugmentedSixth) -> Named {
        match kind {
            AugmentedSixth::Italian => Named::Italian,
            AugmentedSixth::French => Named::French,
            AugmentedSixth::German => Named::German,
        }
    }
}
