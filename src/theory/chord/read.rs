//! Reading a chord symbol, from left to right.

use super::nearest;
use super::recipe::{ALTERATIONS, FLAT_FIVE, Recipe, SHARP_FIVE, Third};
use super::two_ways;
use super::{Chord, ChordError, Degree, Note};
use crate::theory::note_names::with_typed_signs;

/// No symbol needs more bytes than this; a longer text is not looked at.
pub(super) const LONGEST: usize = 64;

/// Reads a whole symbol: root, suffix, and a bass behind a slash.
pub(super) fn symbol(text: &str) -> Result<Chord, ChordError> {
    without_advice(text).map_err(|message| match two_ways::readings(text) {
        Some(readings) => {
            let [one, other] = &readings;
            let message = format!(
                "`{text}` means different chords in different places; write `{one}` or `{other}`"
            );
            ChordError { message, meant: readings.into() }
        }
        None => ChordError { message, meant: nearest::symbol(text).into_iter().collect() },
    })
}

/// Reads a symbol; the error is the message alone.
pub(super) fn without_advice(text: &str) -> Result<Chord, String> {
    if text.len() > LONGEST {
        return Err("this is too long for a chord symbol".to_owned());
    }
    let (root, length) = Note::read(text).ok_or_else(|| {
        format!("`{text}` doesn't begin with a root, a capital letter from A to G")
    })?;
    let rest = text.get(length..).unwrap_or_default();
    let (kind, bass) = split_bass(rest)?;
    Ok(Chord::from_recipe(root, &suffix(&kind)?, bass))
}

/// Takes the bass off what stands behind the root. The slash of `6/9` is none of its business.
pub(super) fn split_bass(rest: &str) -> Result<(String, Option<Note>), String> {
    let Some((before, after)) = rest.rsplit_once('/') else {
        return Ok((rest.to_owned(), None));
    };
    if before.ends_with('6') && after.trim_start_matches('9').len() < after.len() {
        return Ok((rest.to_owned(), None));
    }
    let in_brackets = before.strip_suffix('(').zip(after.strip_suffix(')'));
    let (before, after) = in_brackets.unwrap_or((before, after));
    let bass =
        Note::parse(after).ok_or_else(|| format!("`{after}` behind the slash is no bass note"))?;
    Ok((before.to_owned(), Some(bass)))
}

/// Reads a suffix, with or without brackets and signs.
pub(super) fn suffix(text: &str) -> Result<Recipe, String> {
    let typed = plain(text);
    check_brackets(&typed)?;
    let mut reader = SuffixReader { rest: &typed, recipe: Recipe::default(), stage: Stage::Start };
    reader.quality();
    while reader.skip_brackets() {
        reader.part()?;
    }
    reader.finish()
}

/// A suffix with the signs that one types.
pub(super) fn plain(text: &str) -> String {
    with_typed_signs(text).replace('−', "-").replace(['∆', '△'], "Δ")
}

/// Brackets come in pairs, with something between them; gaps only stand inside.
fn check_brackets(text: &str) -> Result<(), String> {
    let mut open = 0;
    let mut before = ' ';
    for c in text.chars() {
        match c {
            '(' => open += 1,
            ')' if open > 0 && before != '(' => open -= 1,
            ')' => return Err("the brackets don't fit together".to_owned()),
            ' ' | ',' if open == 0 => return Err("a chord symbol has no gaps".to_owned()),
            _ => {}
        }
        before = c;
    }
    if open > 0 { Err("a bracket is not closed".to_owned()) } else { Ok(()) }
}

const MAJOR: &[&str] = &["maj", "Maj", "mj", "Mj", "ma", "Ma"];
const MAJOR_SIGNS: &[&str] = &["M", "Δ"];
const MINOR: &[&str] = &["min", "Min", "mi", "m", "-"];
const DIMINISHED: &[&str] = &["dim", "°", "º", "o"];
const HALF_DIMINISHED: &[&str] = &["ø"];
const AUGMENTED: &[&str] = &["aug", "+"];

/// The qualities, each with all ways of writing it.
pub(super) const QUALITIES: [(&str, &[&str]); 6] = [
    ("major, of a seventh", MAJOR),
    ("the same", MAJOR_SIGNS),
    ("minor", MINOR),
    ("diminished", DIMINISHED),
    ("half-diminished seventh", HALF_DIMINISHED),
    ("augmented", AUGMENTED),
];

/// How far the reading has come, which decides what a figure means.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stage {
    /// Nothing but the root.
    Start,
    /// A quality.
    Quality(Quality),
    /// Figures.
    Figures,
    /// Anything behind the figures.
    Changes,
}

/// The quality that is written before the figures.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Quality {
    Major,
    Minor,
    MinorMajor,
    Diminished,
    DiminishedMajor,
    HalfDiminished,
    Augmented,
    AugmentedMajor,
}

struct SuffixReader<'t> {
    rest: &'t str,
    recipe: Recipe,
    stage: Stage,
}

impl SuffixReader<'_> {
    /// Takes one of the words off the front.
    fn take(&mut self, words: &[&str]) -> bool {
        for word in words {
            if let Some(rest) = self.rest.strip_prefix(word) {
                self.rest = rest;
                return true;
            }
        }
        false
    }

    /// Steps over brackets and what parts the things in them; whether anything is left.
    fn skip_brackets(&mut self) -> bool {
        self.rest = self.rest.trim_start_matches(['(', ')', ',', ' ']);
        !self.rest.is_empty()
    }

    /// Takes a word that makes the seventh major; `Δ` says so even without a figure. The letters of
    /// `ma` are also the beginning of `madd9`.
    fn major(&mut self) -> bool {
        if self.rest.starts_with('Δ') {
            self.recipe.seventh = Some(0);
            self.recipe.top = 7;
        }
        let adds = self.rest.get(1..).is_some_and(|behind| behind.starts_with("add"));
        let spelled = !adds && self.take(MAJOR);
        spelled || self.take(MAJOR_SIGNS)
    }

    /// Reads the quality, if there is one.
    fn quality(&mut self) {
        self.skip_brackets();
        // A minor chord has no `5`: the sign belongs to the figure.
        if self.rest.starts_with("-5") || self.rest.starts_with("+5") {
            return;
        }
        let quality = if self.major() {
            Quality::Major
        } else if !self.rest.starts_with("omit") && self.take(DIMINISHED) {
            self.recipe.third = Third::Minor;
            self.recipe.alter(FLAT_FIVE);
            Quality::Diminished
        } else if self.take(HALF_DIMINISHED) {
            self.recipe.third = Third::Minor;
            self.recipe.alter(FLAT_FIVE);
            self.recipe.seventh = Some(-1);
            self.recipe.top = 7;
            Quality::HalfDiminished
        } else if self.take(AUGMENTED) {
            self.recipe.alter(SHARP_FIVE);
            Quality::Augmented
        } else if self.take(MINOR) {
            self.recipe.third = Third::Minor;
            Quality::Minor
        } else {
            return;
        };
        self.stage = Stage::Quality(self.with_major_seventh(quality));
    }

    /// A quality with `maj` behind it: `m(maj7)`.
    fn with_major_seventh(&mut self, quality: Quality) -> Quality {
        let with_major = match quality {
            Quality::Minor => Quality::MinorMajor,
            Quality::Diminished => Quality::DiminishedMajor,
            Quality::Augmented => Quality::AugmentedMajor,
            _ => return quality,
        };
        self.skip_brackets();
        if self.major() { with_major } else { quality }
    }

    /// Reads one part behind the quality.
    fn part(&mut self) -> Result<(), String> {
        if starts_with_figure(self.rest) {
            return self.figures();
        }
        if !self.alteration() && !self.suspension()? && !self.addition()? && !self.omission()? {
            self.altered_dominant()?;
        }
        self.stage = Stage::Changes;
        Ok(())
    }

    fn unread(&self) -> String {
        format!("`{}` can't be read in a chord symbol", self.rest)
    }

    /// Reads figures: what they mean hangs on what stands before them.
    fn figures(&mut self) -> Result<(), String> {
        let unread = self.unread();
        let end = self.rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(self.rest.len());
        let (figures, rest) = self.rest.split_at(end);
        self.rest = rest;
        match (self.stage, figures) {
            (Stage::Start, "5") => self.recipe.third = Third::Missing,
            (Stage::Start | Stage::Quality(Quality::Major | Quality::Minor), "6" | "69") => {
                if self.recipe.seventh.is_some() {
                    return Err(unread);
                }
                self.recipe.sixth = true;
                if figures == "69" || self.take(&["/9"]) {
                    self.recipe.add(9);
                }
            }
            (Stage::Start | Stage::Quality(_), "7" | "9" | "11" | "13") => {
                self.seventh(figures.parse().unwrap_or(7)).ok_or(unread)?;
            }
            (Stage::Figures, "9" | "11" | "13") => self.recipe.add(figures.parse().unwrap_or(9)),
            _ => return Err(unread),
        }
        self.stage = Stage::Figures;
        Ok(())
    }

    /// Takes in a seventh, or thirds piled up over one; a diminished chord goes no further than
    /// its seventh.
    fn seventh(&mut self, top: u8) -> Option<()> {
        let alter = match self.stage {
            Stage::Quality(Quality::Diminished) if top > 7 => return None,
            Stage::Quality(Quality::Diminished) => -2,
            Stage::Quality(
                Quality::Major
                | Quality::MinorMajor
                | Quality::DiminishedMajor
                | Quality::AugmentedMajor,
            ) => 0,
            _ => -1,
        };
        self.recipe.seventh = Some(alter);
        self.recipe.top = top;
        Some(())
    }

    /// Takes an alteration; behind figures and qualities `+` and `-` are as good as `#` and `b`.
    fn alteration(&mut self) -> bool {
        let alter = match self.rest.chars().next() {
            Some('b' | '-') => -1,
            Some('#' | '+') => 1,
            _ => return false,
        };
        let behind = self.rest.get(1..).unwrap_or_default();
        let end = behind.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind.len());
        let (figures, rest) = behind.split_at(end);
        let degree = figures.parse().ok().map(|number| Degree::new(number, alter));
        let Some(degree) = degree.filter(|degree| ALTERATIONS.contains(degree)) else {
            return false;
        };
        self.recipe.alter(degree);
        self.rest = rest;
        true
    }

    fn suspension(&mut self) -> Result<bool, String> {
        let third = if self.take(&["sus2"]) {
            Third::Second
        } else if self.take(&["sus4", "sus"]) {
            Third::Fourth
        } else {
            return Ok(false);
        };
        if starts_with_figure(self.rest) {
            return Err(self.unread());
        }
        if self.recipe.third != Third::Major {
            return Err(
                "a suspended chord has no third, so nothing else can stand for it".to_owned()
            );
        }
        self.recipe.third = third;
        Ok(true)
    }

    fn addition(&mut self) -> Result<bool, String> {
        let before = self.rest;
        if !self.take(&["add"]) {
            return Ok(false);
        }
        if self.alteration() {
            return Ok(true);
        }
        let numbers = [("9", 9), ("2", 9), ("11", 11), ("4", 11), ("13", 13)];
        let found = numbers.iter().find(|(figures, _)| self.take(&[figures]));
        let Some((_, number)) = found.filter(|_| !starts_with_figure(self.rest)) else {
            return Err(format!("`{before}` adds no tone that chords have"));
        };
        self.recipe.add(*number);
        Ok(true)
    }

    fn omission(&mut self) -> Result<bool, String> {
        if !self.take(&["no", "omit"]) {
            return Ok(false);
        }
        if self.take(&["3"]) {
            self.recipe.third = Third::Missing;
        } else if self.take(&["5"]) {
            self.recipe.no_fifth = true;
        } else {
            return Err("only the third and the fifth can be left out of a symbol".to_owned());
        }
        Ok(true)
    }

    /// Reads `alt`, which stands behind a plain `7`.
    fn altered_dominant(&mut self) -> Result<(), String> {
        let plain = Recipe { seventh: Some(-1), top: 7, ..Recipe::default() };
        if self.recipe != plain || !self.take(&["alt"]) {
            return Err(self.unread());
        }
        self.recipe.any_alteration = true;
        Ok(())
    }

    fn finish(mut self) -> Result<Recipe, String> {
        if self.stage == Stage::Quality(Quality::MinorMajor) && self.recipe.seventh.is_none() {
            return Err(
                "a chord is either minor or major; a major seventh needs its figure".to_owned()
            );
        }
        if self.recipe.no_fifth && (self.recipe.alters(5) || self.recipe.any_alteration) {
            return Err("the fifth can't be altered and left out".to_owned());
        }
        self.recipe.settle();
        if self.recipe.tones().len() < 2 {
            return Err("this leaves nothing but the root".to_owned());
        }
        Ok(self.recipe)
    }
}

fn starts_with_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
}
