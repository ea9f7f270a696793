//! Shaping: from the characters of a word to glyphs with their places, kerning, ligatures and
//! stand-ins included. No other module knows the shaper.

use super::face::{Face, Fonts, Loaded, Manner};
use super::own_font::OwnFont;
use super::signs::{self, Cut};
use super::text::printable;
use foldhash::fast::RandomState;
use harfrust::{
    Buffer, BufferFlags, Direction, Feature, Font, Script, ShapeOptions, ShapePlan, ShapePlanKey,
    ShaperFont, Tag,
};
use std::cell::RefCell;
use std::collections::HashMap;
use std::sync::Arc;
use unicode_segmentation::UnicodeSegmentation;

/// A shaped word at a size of one point.
#[derive(Debug, Default)]
pub struct Word {
    /// The sum of the advances.
    pub width: f32,
    /// Its glyphs in order from the left, in pieces of one face.
    pub pieces: Vec<Piece>,
}

/// Glyphs of one face, which may be a stand-in for the one that was asked for.
#[derive(Debug)]
pub struct Piece {
    /// The face.
    pub face: Face,
    /// Which way it is read.
    pub way: Way,
    /// The glyphs, from the left.
    pub glyphs: Vec<Glyph>,
}

/// Which way letters are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Hash)]
pub enum Way {
    /// From left to right.
    #[default]
    Right,
    /// From right to left.
    Left,
}

impl Piece {
    /// Its glyphs in clusters, from the left: one that stands for characters with those that belong to
    /// it.
    pub(super) fn clusters(&self) -> impl Iterator<Item = &[Glyph]> {
        self.glyphs.chunk_by(|_, next| next.characters.is_empty())
    }

    /// The characters that it stands for, in the order in which they are read.
    fn characters(&self) -> impl Iterator<Item = &str> {
        let (ahead, back) = match self.way {
            Way::Right => (self.glyphs.as_slice(), [].as_slice()),
            Way::Left => ([].as_slice(), self.glyphs.as_slice()),
        };
        ahead.iter().chain(back.iter().rev()).map(|glyph| &*glyph.characters)
    }
}

impl Word {
    /// Which way it is read.
    pub fn way(&self) -> Way {
        self.pieces.first().map_or(Way::Right, |piece| piece.way)
    }

    /// The characters that it stands for, in the order in which they are read.
    pub fn characters(&self) -> String {
        let pieces: Vec<&Piece> = match self.way() {
            Way::Right => self.pieces.iter().collect(),
            Way::Left => self.pieces.iter().rev().collect(),
        };
        pieces.into_iter().flat_map(Piece::characters).collect()
    }
}

/// One glyph; lengths are parts of the size of type.
#[derive(Debug, Clone, PartialEq)]
pub struct Glyph {
    /// Its number in its face.
    pub id: u16,
    /// How far the next glyph lies to the right.
    pub advance: f32,
    /// How far it is moved from its place, to the right and upwards.
    pub shift: (f32, f32),
    /// The characters that it stands for; empty for the later glyphs of a cluster.
    pub characters: Box<str>,
}

/// What a face needs to shape words, and the words shaped so far.
pub(super) struct Shaper {
    features: Vec<Feature>,
    latin: ShapePlan,
    words: Words,
}

/// Words shaped so far, by the way in which they are read and the cut of their signs.
#[derive(Default)]
pub(super) struct Words([RefCell<Kept>; 4]);

impl Words {
    fn find(&self, word: &str, way: Way, cut: Cut) -> Option<Arc<Word>> {
        self.0.get(way as usize + 2 * cut as usize)?.borrow_mut().find(word)
    }

    fn keep(&self, word: &str, way: Way, cut: Cut, shaped: &Arc<Word>) {
        let kept = self.0.get(way as usize + 2 * cut as usize);
        if let Some(kept) = kept.filter(|_| word.len() <= LONGEST) {
            kept.borrow_mut().keep(word, shaped);
        }
    }
}

/// Shaped words in two generations: when one ends, what it didn't use is forgotten.
#[derive(Default)]
struct Kept {
    young: HashMap<Box<str>, Arc<Word>, RandomState>,
    old: HashMap<Box<str>, Arc<Word>, RandomState>,
}

impl Kept {
    fn find(&mut self, word: &str) -> Option<Arc<Word>> {
        if let Some(known) = self.young.get(word) {
            return Some(Arc::clone(known));
        }
        let (word, known) = self.old.remove_entry(word)?;
        self.young.insert(word, Arc::clone(&known));
        Some(known)
    }

    fn keep(&mut self, word: &str, shaped: &Arc<Word>) {
        if self.young.len() >= MOST_WORDS {
            self.end_generation();
        }
        self.young.insert(word.into(), Arc::clone(shaped));
    }

    fn end_generation(&mut self) {
        self.old = std::mem::take(&mut self.young);
    }
}

impl Shaper {
    /// A shaper for a font.
    pub(super) fn new(font: &Font, manner: Manner) -> Shaper {
        let feature = |tag, on| Feature::new(Tag::new(tag), on, ..);
        let features = match manner {
            Manner::Prose => Vec::new(),
            Manner::ByLetter => vec![feature(b"liga", 0), feature(b"clig", 0)],
            Manner::SmallCaps => vec![feature(b"smcp", 1), feature(b"liga", 0)],
        };
        let latin =
            ShapePlan::new(font, Direction::LeftToRight, Some(Script::LATIN), None, &features);
        Shaper { features, latin, words: Words::default() }
    }

    /// Forgets the words that were not used since this was last called.
    pub(super) fn end_generation(&self) {
        self.words.0.iter().for_each(|words| words.borrow_mut().end_generation());
    }
}

/// The most words of a generation, so that a program that sets many lessons one after the other
/// doesn't grow. Assumed: the longest lesson, a book of 300 pages, has fewer.
const MOST_WORDS: usize = 16_384;

/// The longest stretch in bytes that is shaped at once and kept; longer words are cut.
const LONGEST: usize = 64;

/// A word's glyphs in a face. What the faces of the house set is kept with the face, for all lessons;
/// what a lesson's own font helps with is kept with that.
pub(super) fn word(fonts: &Fonts, face: Face, word: &str, way: Way, cut: Cut) -> Arc<Word> {
    let Some(loaded) = fonts.loaded(face) else { return Arc::default() };
    let of_house = &loaded.shaper().words;
    let of_lesson = fonts.own().and_then(|own| own.words(face));
    let known = of_house.find(word, way, cut);
    if let Some(known) = known.or_else(|| of_lesson?.find(word, way, cut)) {
        return known;
    }
    let stretches = stretches(fonts, face, word);
    let beyond = |stretch: &Stretch| {
        matches!(stretch.setter.face, Face::Own(_)) || stretch.setter.kind == Kind::Missing
    };
    let keeper = if stretches.iter().any(beyond) { of_lesson } else { Some(of_house) };
    let shaped = Arc::new(set(fonts, stretches, way, cut));
    if let Some(keeper) = keeper {
        keeper.keep(word, way, cut, &shaped);
    }
    shaped
}

/// Whether no face has a letter as it is printed.
pub(super) fn lacks(fonts: &Fonts, letter: &str) -> bool {
    let printed = printable(letter);
    letters(&printed).any(|(_, letter)| setter(fonts, Face::Serif, letter).kind == Kind::Missing)
}

/// Shapes the stretches of a word.
fn set(fonts: &Fonts, stretches: Vec<Stretch<'_>>, way: Way, cut: Cut) -> Word {
    let piece = |stretch: Stretch<'_>| {
        let loaded = fonts.loaded(stretch.setter.face)?;
        let mut glyphs = match stretch.setter.kind {
            Kind::Missing => boxes(loaded, stretch.text),
            Kind::Letters => shape(loaded, stretch.text, way),
            Kind::Signs => signs::set(loaded, stretch.text, cut),
        };
        if stretch.setter.kind != Kind::Letters && way == Way::Left {
            glyphs.reverse();
        }
        Some(Piece { face: stretch.setter.face, way, glyphs })
    };
    let mut pieces: Vec<Piece> = stretches.into_iter().filter_map(piece).collect();
    if way == Way::Left {
        pieces.reverse();
    }
    signs::clear(fonts, &mut pieces);
    let width = pieces.iter().flat_map(|piece| &piece.glyphs).map(|glyph| glyph.advance).sum();
    Word { width, pieces }
}

/// A stretch of text that one face sets.
struct Stretch<'a> {
    setter: Setter,
    text: &'a str,
}

/// What sets a letter.
#[derive(Clone, Copy, PartialEq)]
struct Setter {
    face: Face,
    kind: Kind,
}

/// What is set.
#[derive(Clone, Copy, PartialEq)]
enum Kind {
    Letters,
    /// The signs ♯ ♭ ♮ 𝄪 𝄫.
    Signs,
    /// Characters that no face has.
    Missing,
}

/// Parts text by what sets it. Letters and their accents stay together.
fn stretches<'a>(fonts: &Fonts, face: Face, text: &'a str) -> Vec<Stretch<'a>> {
    // Every face that words are set in has these letters.
    if text.len() <= LONGEST && text.bytes().all(|byte| matches!(byte, b' '..=b'~')) {
        return vec![Stretch { setter: Setter { face, kind: Kind::Letters }, text }];
    }
    let mut found: Vec<Stretch> = Vec::new();
    let mut start = 0;
    for (at, letter) in letters(text) {
        let setter = setter(fonts, face, letter);
        let end = at + letter.len();
        match found.last_mut() {
            Some(last) if last.setter == setter && end - start <= LONGEST => {
                last.text = text.get(start..end).unwrap_or_default();
            }
            _ => {
                start = at;
                found.push(Stretch { setter, text: letter });
            }
        }
    }
    found
}

/// The letters of text with their places. One with more accents than any writing has is cut up, as
/// the shaper takes too long over it.
pub(super) fn letters(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.grapheme_indices(true).flat_map(|(start, letter)| {
        let whole = (letter.len() <= LONGEST).then_some((start, letter));
        let parts = if whole.is_some() { "" } else { letter };
        let parts = parts
            .char_indices()
            .filter_map(move |(at, c)| Some((start + at, letter.get(at..at + c.len_utf8())?)));
        whole.into_iter().chain(parts)
    })
}

/// What sets a letter: the first face that has all of its characters.
fn setter(fonts: &Fonts, face: Face, letter: &str) -> Setter {
    if signs::is_sign(letter) {
        return Setter { face: Face::Signs, kind: Kind::Signs };
    }
    let own = fonts.own().map(OwnFont::face);
    let mut candidates = face.candidates().iter().copied().chain(own);
    match candidates.find(|candidate| has(fonts, *candidate, letter)) {
        Some(face) => Setter { face, kind: Kind::Letters },
        // The face that has the box.
        None => Setter { face: Face::Sans, kind: Kind::Missing },
    }
}

/// Whether a face has every character of a letter.
fn has(fonts: &Fonts, face: Face, letter: &str) -> bool {
    fonts.loaded(face).is_some_and(|loaded| {
        let charmap = loaded.font.charmap();
        letter.chars().all(|c| is_joiner(c) || charmap.map_unicode(c).is_some())
    })
}

/// Whether a character only joins its neighbours or keeps them apart.
pub(super) fn is_joiner(c: char) -> bool {
    matches!(c, '\u{200C}' | '\u{200D}')
}

/// An empty box for each letter that no face has; the letter remains as its text.
fn boxes(loaded: &Loaded, text: &str) -> Vec<Glyph> {
    // The drawn square, and not the font's own glyph for what is missing: PDF/UA-1 forbids that
    // one (ISO 14289-1, 7.21.8).
    let id = loaded.font.charmap().map_unicode('□').unwrap_or_default();
    let em = loaded.units_per_em();
    let glyph = |letter: &str| Glyph {
        id: id.to_u32().try_into().unwrap_or_default(),
        advance: loaded.font.glyph_metrics().h_advance(id) / em,
        shift: (0.0, 0.0),
        characters: letter.into(),
    };
    letters(text).map(|(_, letter)| glyph(letter)).collect()
}

/// Shapes text that a face has all characters of.
fn shape(loaded: &Loaded, text: &str, way: Way) -> Vec<Glyph> {
    let Some(buffer) = shaped_buffer(loaded, text, way) else { return Vec::new() };
    let em = loaded.units_per_em();
    #[allow(clippy::cast_precision_loss)] // A font's lengths are of 16 bits.
    let ems = |units: i32| units as f32 / em;
    let ends = cluster_ends(&buffer, text.len());
    let mut before = None;
    let places = buffer.glyph_infos().iter().zip(buffer.glyph_positions());
    places
        .map(|(info, place)| {
            let start = info.cluster as usize;
            let first = before.replace(start) != Some(start);
            let end = ends.iter().copied().find(|&end| end > start).unwrap_or(text.len());
            let characters = if first { text.get(start..end).unwrap_or_default() } else { "" };
            Glyph {
                id: info.glyph_id.try_into().unwrap_or_default(),
                advance: ems(place.x_advance),
                shift: (ems(place.x_offset), ems(place.y_offset)),
                characters: characters.into(),
            }
        })
        .collect()
}

/// Where the characters of clusters end, in order.
fn cluster_ends(buffer: &Buffer, length: usize) -> Vec<usize> {
    let mut ends: Vec<usize> =
        buffer.glyph_infos().iter().map(|info| info.cluster as usize).collect();
    ends.push(length);
    ends.sort_unstable();
    ends.dedup();
    ends
}

/// Runs the shaper over text.
fn shaped_buffer(loaded: &Loaded, text: &str, way: Way) -> Option<Buffer> {
    let mut buffer = Buffer::new();
    buffer.push_str(text);
    buffer.set_flags(BufferFlags::REMOVE_DEFAULT_IGNORABLES);
    buffer.guess_segment_properties();
    buffer.set_direction(match way {
        Way::Right => Direction::LeftToRight,
        Way::Left => Direction::RightToLeft,
    });
    // The language is never guessed from where the program runs.
    buffer.set_language(None);
    let Shaper { features, latin, .. } = loaded.shaper();
    // Digits and signs alone have no script of their own.
    if buffer.script().is_none_or(|script| script == Script::UNKNOWN || script == Script::COMMON) {
        buffer.set_script(Some(Script::LATIN));
    }
    let key =
        ShapePlanKey::new(&loaded.font, buffer.script(), buffer.direction()).features(features);
    let plan = key.matches(latin).then_some(latin);
    let options = ShapeOptions::new().plan(plan).features(features);
    harfrust::shape(&ShaperFont::new(&loaded.font), &mut buffer, options).ok()?;
    Some(buffer)
}

#[cfg(test)]
mod tests;
