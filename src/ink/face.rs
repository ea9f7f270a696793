//! The type faces: where they come from, their measures and their outlines.

use super::own_font::OwnFont;
use super::shaping::{self, Shaper, Way, Word};
use super::signs::Cut;
use super::text::Style;
use super::units::{Pt, pt};
use harfrust::font::glyph::outline::{DrawMemory, DrawOptions, PathSink};
use harfrust::{Font, GlyphId};
use std::cell::OnceCell;
use std::rc::Rc;
use std::sync::Arc;

/// A face of the house, or a lesson's own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    /// Prose.
    Serif,
    /// Chord names, meters.
    SerifSemibold,
    /// The same with small capitals for its small letters: what is to be done while one speaks.
    SmallCaps,
    /// Headings, strong words.
    SerifBold,
    /// Emphasis.
    SerifItalic,
    /// Both.
    SerifBoldItalic,
    /// Digits and labels in figures.
    Sans,
    /// Those that matter most.
    SansSemibold,
    /// Those that are remarks.
    SansItalic,
    /// Printed code.
    Mono,
    /// Letters and signs that no other face of the house has; nothing is set in it by itself.
    Spare,
    /// The signs ♯ ♭ ♮ 𝄪 𝄫 ♩, which are ours and the same among the letters of every face; nothing else is
    /// set in it.
    Signs,
    /// A lesson's own font, for letters that the faces of the house lack; its number is the hash of its
    /// file.
    Own(u64),
}

impl Face {
    /// Every face of the house.
    pub const ALL: [Face; 12] = [
        Face::Serif,
        Face::SerifSemibold,
        Face::SerifBold,
        Face::SerifItalic,
        Face::SerifBoldItalic,
        Face::Sans,
        Face::SansSemibold,
        Face::SansItalic,
        Face::Mono,
        Face::Spare,
        Face::Signs,
        Face::SmallCaps,
    ];

    /// The face's PostScript name; a font of the lesson's own has its name in its file.
    pub const fn name(self) -> &'static str {
        match self {
            Face::Serif => "LibertinusSerif-Regular",
            Face::SerifSemibold | Face::SmallCaps => "LibertinusSerif-Semibold",
            Face::SerifBold => "LibertinusSerif-Bold",
            Face::SerifItalic => "LibertinusSerif-Italic",
            Face::SerifBoldItalic => "LibertinusSerif-BoldItalic",
            Face::Sans => "SourceSans3-Regular",
            Face::SansSemibold => "SourceSans3-SemiBold",
            Face::SansItalic => "SourceSans3-Italic",
            Face::Mono => "SourceCodePro-Regular",
            Face::Spare => "DejaVuSansCondensed",
            Face::Signs => "FretleafSigns",
            Face::Own(_) => "",
        }
    }

    /// A few letters for the face, for names inside files.
    pub(super) const fn short_name(self) -> &'static str {
        match self {
            Face::Serif => "s",
            Face::SerifSemibold => "ss",
            Face::SerifBold => "sb",
            Face::SerifItalic => "si",
            Face::SerifBoldItalic => "sbi",
            Face::Sans => "g",
            Face::SansSemibold => "gs",
            Face::SansItalic => "gi",
            Face::Mono => "m",
            Face::Spare => "x",
            Face::Signs => "a",
            Face::SmallCaps => "sc",
            Face::Own(_) => "o",
        }
    }

    /// The faces of the house that are asked for a character, this one first. A letter that one style
    /// of type has, all have.
    pub(super) const fn candidates(self) -> &'static [Face] {
        use Face::{
            Mono, Own, Sans, SansItalic, SansSemibold, Serif, SerifBold, SerifBoldItalic,
            SerifItalic, SerifSemibold, Signs, SmallCaps, Spare,
        };
        match self {
            Serif => &[Serif, Sans, Mono, Spare],
            SerifSemibold => &[SerifSemibold, SerifBold, SansSemibold, Serif, Sans, Mono, Spare],
            SmallCaps => &[SmallCaps, SerifBold, SansSemibold, Serif, Sans, Mono, Spare],
            SerifBold => &[SerifBold, SerifSemibold, SansSemibold, Serif, Sans, Mono, Spare],
            SerifItalic => &[SerifItalic, Serif, SansItalic, Sans, Mono, Spare],
            SerifBoldItalic => &[SerifBoldItalic, SerifBold, SansSemibold, Serif, Mono, Spare],
            Sans => &[Sans, Serif, Mono, Spare],
            SansSemibold => &[SansSemibold, SerifSemibold, Sans, Serif, Mono, Spare],
            SansItalic => &[SansItalic, SerifItalic, Sans, Serif, Mono, Spare],
            Mono => &[Mono, Sans, Serif, Spare],
            Spare | Signs => &[Spare, Sans, Serif, Mono],
            Own(_) => &[],
        }
    }

    /// Its place among the faces of the house, and one past them for a lesson's own.
    pub(super) const fn index(self) -> usize {
        match self {
            Face::Serif => 0,
            Face::SerifSemibold => 1,
            Face::SerifBold => 2,
            Face::SerifItalic => 3,
            Face::SerifBoldItalic => 4,
            Face::Sans => 5,
            Face::SansSemibold => 6,
            Face::SansItalic => 7,
            Face::Mono => 8,
            Face::Spare => 9,
            Face::Signs => 10,
            Face::SmallCaps => 11,
            Face::Own(_) => 12,
        }
    }

    /// How its letters are set: they melt into ligatures in prose; figures and code are set letter by letter.
    pub(super) const fn manner(self) -> Manner {
        match self {
            Face::Sans | Face::SansSemibold | Face::SansItalic | Face::Mono => Manner::ByLetter,
            Face::SmallCaps => Manner::SmallCaps,
            _ => Manner::Prose,
        }
    }

    /// The weight class of OpenType: 400 is normal, 600 half bold, 700 bold.
    pub(super) const fn weight(self) -> u16 {
        match self {
            Face::SerifBold | Face::SerifBoldItalic => 700,
            Face::SerifSemibold | Face::SmallCaps | Face::SansSemibold => 600,
            Face::Serif
            | Face::SerifItalic
            | Face::Sans
            | Face::SansItalic
            | Face::Mono
            | Face::Spare
            | Face::Signs
            | Face::Own(_) => 400,
        }
    }

    /// The font file of a face of the house. The prose face's crate lists its fonts without naming
    /// them; each is asked for by a fixed number, so that the compiler leaves the other twelve (eight
    /// megabytes) out of the program.
    fn bytes(self) -> Option<&'static [u8]> {
        let listed = typst_assets::fonts;
        match self {
            Face::Serif => listed().next(),
            Face::SerifBold => listed().nth(1),
            Face::SerifItalic => listed().nth(2),
            Face::SerifBoldItalic => listed().nth(3),
            Face::SerifSemibold | Face::SmallCaps => listed().nth(4),
            Face::Sans => Some(include_bytes!("../../templates/fonts/SourceSans3-Regular.ttf")),
            Face::SansSemibold => {
                Some(include_bytes!("../../templates/fonts/SourceSans3-Semibold.ttf"))
            }
            Face::SansItalic => {
                Some(include_bytes!("../../templates/fonts/SourceSans3-Italic.ttf"))
            }
            Face::Mono => Some(include_bytes!("../../templates/fonts/SourceCodePro-Regular.ttf")),
            Face::Spare => Some(dejavu::sans_condensed::regular()),
            Face::Signs => Some(include_bytes!("../../templates/fonts/FretleafSigns.ttf")),
            Face::Own(_) => None,
        }
    }
}

/// How letters are set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Manner {
    /// With the ligatures of the font.
    Prose,
    /// Letter by letter.
    ByLetter,
    /// Letter by letter, with the font's small capitals for small letters.
    SmallCaps,
}

/// A face's measures at a size of type.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measures {
    /// How far the face reaches above the baseline.
    pub ascent: Pt,
    /// How far it reaches below, as a positive length.
    pub descent: Pt,
    /// The height of capitals.
    pub cap_height: Pt,
    /// The height of small letters.
    pub x_height: Pt,
    /// The width of a space.
    pub space: Pt,
}

impl Measures {
    fn scaled(self, by: f32) -> Measures {
        Measures {
            ascent: self.ascent * by,
            descent: self.descent * by,
            cap_height: self.cap_height * by,
            x_height: self.x_height * by,
            space: self.space * by,
        }
    }
}

/// The loaded faces and the words shaped so far. A face is loaded when it is first used.
#[derive(Default)]
pub struct Fonts {
    house: Rc<House>,
    /// A lesson's own font.
    own: Option<OwnFont>,
}

impl std::fmt::Debug for Fonts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Fonts").field("own", &self.own).finish_non_exhaustive()
    }
}

/// The faces of the house.
#[derive(Default)]
struct House {
    faces: [OnceCell<Option<Loaded>>; Face::ALL.len()],
}

/// A face in use.
pub(super) struct Loaded {
    pub(super) font: Font,
    shaper: OnceCell<Shaper>,
    manner: Manner,
    /// For a size of one point.
    measures: OnceCell<Measures>,
}

impl Fonts {
    /// All faces of the house, none of them loaded yet.
    pub fn new() -> Fonts {
        Fonts::default()
    }

    /// The same faces and the words that they have shaped, with a lesson's own font behind them.
    #[must_use]
    pub fn with(&self, own: Option<OwnFont>) -> Fonts {
        Fonts { house: Rc::clone(&self.house), own }
    }

    /// Whether a lesson's own font is among them.
    pub fn have_own(&self) -> bool {
        self.own.is_some()
    }

    /// A face's measures at a size of type.
    pub fn measures(&self, face: Face, size: Pt) -> Measures {
        let zero = Measures {
            ascent: Pt::ZERO,
            descent: Pt::ZERO,
            cap_height: Pt::ZERO,
            x_height: Pt::ZERO,
            space: Pt::ZERO,
        };
        self.loaded(face).map_or(zero, |loaded| loaded.measures().scaled(size.0))
    }

    /// Whether no face has a letter as it is printed, so that a box stands for it.
    pub fn lacks(&self, letter: &str) -> bool {
        shaping::lacks(self, letter)
    }

    /// Forgets the shaped words that were not used since this was last called; a program that sets one
    /// text after another calls it between them, and what they share stays.
    pub fn forget_unused(&self) {
        let faces = self.house.faces.iter().filter_map(|face| face.get()?.as_ref());
        faces.filter_map(|loaded| loaded.shaper.get()).for_each(Shaper::end_generation);
    }

    /// A word, shaped for a style; the same word of a face is shaped once.
    pub(super) fn word(&self, style: &Style, word: &str, way: Way) -> Arc<Word> {
        shaping::word(self, style.face, word, way, Cut::of(style, word))
    }

    /// The lesson's own font.
    pub(super) fn own(&self) -> Option<&OwnFont> {
        self.own.as_ref()
    }

    /// The face, ready for use.
    pub(super) fn loaded(&self, face: Face) -> Option<&Loaded> {
        match face {
            Face::Own(_) => self.own.as_ref().map(OwnFont::loaded),
            face => self
                .house
                .faces
                .get(face.index())?
                .get_or_init(|| Some(Loaded::new(Font::new(face.bytes()?, 0)?, face.manner())))
                .as_ref(),
        }
    }

    /// The face's PostScript name.
    pub(super) fn name(&self, face: Face) -> &str {
        match &self.own {
            Some(own) if face == own.face() => own.name(),
            _ => face.name(),
        }
    }

    /// The font file of a face.
    pub(super) fn bytes(&self, face: Face) -> Option<&[u8]> {
        match &self.own {
            Some(own) if face == own.face() => Some(own.bytes()),
            _ => face.bytes(),
        }
    }

    /// How many of a face's units make the size of type.
    pub(super) fn units_per_em(&self, face: Face) -> f32 {
        self.loaded(face).map_or(1000.0, Loaded::units_per_em)
    }

    /// A glyph's advance in the face's units, as the font states it.
    pub(super) fn advance(&self, face: Face, glyph: u16) -> f32 {
        let width = |loaded: &Loaded| loaded.font.glyph_metrics().h_advance(GlyphId::from(glyph));
        self.loaded(face).map_or(0.0, width)
    }

    /// The air between a glyph's outline and what follows it, in parts of the size of type; negative where it
    /// reaches over.
    pub(super) fn air_behind(&self, face: Face, glyph: u16) -> f32 {
        let Some(loaded) = self.loaded(face) else { return 0.0 };
        let (metrics, id) = (loaded.font.glyph_metrics(), GlyphId::from(glyph));
        let reach = metrics.extents(id).map_or(0.0, |extents| extents.x_bearing + extents.width);
        (metrics.h_advance(id) - reach) / loaded.units_per_em()
    }

    /// Draws a glyph's outline in the face's units, y upwards.
    pub(super) fn draw(&self, face: Face, glyph: u16, sink: &mut dyn PathSink) {
        let Some(loaded) = self.loaded(face) else { return };
        let Some(outline) = loaded.font.outline_glyphs().get(GlyphId::from(glyph)) else { return };
        // The faces of the house are sound, and so is what is used of a lesson's own: a glyph that
        // can't be drawn has no outline.
        let _ = outline.draw(&DrawOptions::new(), DrawMemory::Scratch, sink);
    }
}

impl Loaded {
    /// A font, ready for use.
    pub(super) fn new(font: Font, manner: Manner) -> Loaded {
        let (shaper, measures) = (OnceCell::new(), OnceCell::new());
        Loaded { font, shaper, manner, measures }
    }

    /// Its shaper.
    pub(super) fn shaper(&self) -> &Shaper {
        self.shaper.get_or_init(|| Shaper::new(&self.font, self.manner))
    }

    fn measures(&self) -> Measures {
        *self.measures.get_or_init(|| measures_of(&self.font))
    }

    /// How many units make the size of type.
    pub(super) fn units_per_em(&self) -> f32 {
        f32::from(self.font.units_per_em().max(1))
    }
}

/// A font's measures at a size of one point.
fn measures_of(font: &Font) -> Measures {
    let em = f32::from(font.units_per_em());
    let line = font.metrics().h_line();
    let space =
        font.charmap().map_unicode(' ').map_or(0.0, |id| font.glyph_metrics().h_advance(id));
    let ems = |units: f32| pt(units / em);
    Measures {
        ascent: ems(line.map_or(0.0, |line| line.ascender.to_f32())),
        descent: ems(line.map_or(0.0, |line| -line.descender.to_f32())),
        cap_height: ems(height_of(font, 'H')),
        x_height: ems(height_of(font, 'x')),
        space: ems(space),
    }
}

/// How far a letter reaches above the baseline in the font's units. Measured, since the faces for
/// figures don't state the heights of their letters.
fn height_of(font: &Font, letter: char) -> f32 {
    let extents =
        font.charmap().map_unicode(letter).and_then(|id| font.glyph_metrics().extents(id));
    extents.map_or(0.0, |extents| extents.y_bearing)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use harfrust::font::name::NameId;

    /// Whether a font file has a PostScript name.
    fn is_called(bytes: &'static [u8], name: &str) -> bool {
        Font::new(bytes, 0).is_some_and(|font| {
            let found = font.names().get(NameId::POSTSCRIPT_NAME);
            found
                .and_then(|found| found.english_or_first())
                .is_some_and(|found| found.name() == name)
        })
    }

    #[test]
    fn every_face_is_in_the_program_and_is_the_one_it_is_called() {
        for face in Face::ALL {
            let bytes = face.bytes().unwrap_or_else(|| panic!("{face:?} is not there"));
            assert!(is_called(bytes, face.name()), "{face:?}");
        }
    }

    #[test]
    fn every_face_has_its_place() {
        for (place, face) in Face::ALL.into_iter().enumerate() {
            assert_eq!(face.index(), place);
        }
        assert_eq!(Face::Own(1).index(), Face::ALL.len());
    }

    #[test]
    fn what_one_style_of_type_lacks_all_lack() {
        let fonts = Fonts::new();
        let maps = Face::ALL.map(|face| fonts.loaded(face).unwrap().font.charmap());
        let has = |face: Face, c: char| {
            let mut faces = face.candidates().iter();
            faces.any(|face| maps[face.index()].map_unicode(c).is_some())
        };
        for c in ('\u{21}'..='\u{2FFFF}').filter(|c| !c.is_control()) {
            let serif = has(Face::Serif, c);
            let apart = Face::ALL.into_iter().filter(|face| has(*face, c) != serif);
            let apart: Vec<Face> = apart.collect();
            assert!(apart.is_empty(), "{c} {:x} {apart:?}", u32::from(c));
        }
    }

    #[test]
    fn measures_grow_with_the_size_and_stand_in_order() {
        let fonts = Fonts::new();
        for face in Face::ALL.into_iter().filter(|&face| face != Face::Signs) {
            let small = fonts.measures(face, pt(10.0));
            assert!(
                small.x_height < small.cap_height && small.cap_height < small.ascent,
                "{face:?}"
            );
            assert!(small.descent > Pt::ZERO && small.space > Pt::ZERO, "{face:?}");
            let large = fonts.measures(face, pt(20.0));
            assert!((large.cap_height - small.cap_height * 2.0).abs() < pt(0.001), "{face:?}");
        }
    }
}
