//! The type faces: where they come from, their measures and their outlines.

use super::shaping::{self, Shaper, Word};
use super::units::{Pt, pt};
use harfrust::font::glyph::outline::{DrawMemory, DrawOptions, PathSink};
use harfrust::font::name::NameId;
use harfrust::{Font, GlyphId};
use std::cell::OnceCell;
use std::rc::Rc;

/// A face of the house.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Face {
    /// Prose.
    Serif,
    /// Headings, strong words.
    SerifBold,
    /// Emphasis.
    SerifItalic,
    /// Both.
    SerifBoldItalic,
    /// Figures.
    Sans,
    /// Figures, heavy.
    SansBold,
    /// Printed code.
    Mono,
}

impl Face {
    /// Every face.
    pub const ALL: [Face; 7] = [
        Face::Serif,
        Face::SerifBold,
        Face::SerifItalic,
        Face::SerifBoldItalic,
        Face::Sans,
        Face::SansBold,
        Face::Mono,
    ];

    /// The face's PostScript name.
    pub const fn name(self) -> &'static str {
        match self {
            Face::Serif => "LibertinusSerif-Regular",
            Face::SerifBold => "LibertinusSerif-Bold",
            Face::SerifItalic => "LibertinusSerif-Italic",
            Face::SerifBoldItalic => "LibertinusSerif-BoldItalic",
            Face::Sans => "DejaVuSansCondensed",
            Face::SansBold => "DejaVuSansCondensed-Bold",
            Face::Mono => "DejaVuSansMono",
        }
    }

    /// A few letters for the face, for names inside files.
    pub(super) const fn short_name(self) -> &'static str {
        match self {
            Face::Serif => "s",
            Face::SerifBold => "sb",
            Face::SerifItalic => "si",
            Face::SerifBoldItalic => "sbi",
            Face::Sans => "g",
            Face::SansBold => "gb",
            Face::Mono => "m",
        }
    }

    /// The faces that are asked for a character, this one first.
    pub(super) const fn candidates(self) -> &'static [Face] {
        match self {
            Face::Serif => &[Face::Serif, Face::Sans],
            Face::SerifBold => &[Face::SerifBold, Face::SansBold, Face::Sans],
            Face::SerifItalic => &[Face::SerifItalic, Face::Serif, Face::Sans],
            Face::SerifBoldItalic => {
                &[Face::SerifBoldItalic, Face::SerifBold, Face::SansBold, Face::Sans]
            }
            Face::Sans => &[Face::Sans],
            Face::SansBold => &[Face::SansBold, Face::Sans],
            Face::Mono => &[Face::Mono, Face::Sans],
        }
    }

    /// The face whose signs ♯ ♭ ♮ are set between this one's letters. The prose face has them in its
    /// upright form only, the flat no higher than a small letter.
    pub(super) const fn signs(self) -> Face {
        match self {
            Face::Serif | Face::SerifItalic | Face::Sans => Face::Sans,
            Face::SerifBold | Face::SerifBoldItalic | Face::SansBold => Face::SansBold,
            Face::Mono => Face::Mono,
        }
    }

    /// How wide a line goes around the signs ♯ ♭ ♮ to make them as dark as the letters, as a part of
    /// the size of type. The heavy face's own are as thin as the normal face's; the number was
    /// chosen by eye.
    pub(super) const fn sign_line(self) -> f32 {
        match self {
            Face::SerifBold | Face::SerifBoldItalic | Face::SansBold => 0.045,
            Face::Serif | Face::SerifItalic | Face::Sans | Face::Mono => 0.0,
        }
    }

    /// Whether letters may melt into ligatures: they do in prose; figures and code are set letter by
    /// letter.
    pub(super) const fn has_ligatures(self) -> bool {
        !matches!(self, Face::Sans | Face::SansBold | Face::Mono)
    }

    /// The weight class of OpenType: 400 is normal, 700 bold.
    pub(super) const fn weight(self) -> u16 {
        match self {
            Face::SerifBold | Face::SerifBoldItalic | Face::SansBold => 700,
            Face::Serif | Face::SerifItalic | Face::Sans | Face::Mono => 400,
        }
    }

    /// The font file.
    pub(super) fn bytes(self) -> Option<&'static [u8]> {
        match self {
            Face::Sans => Some(dejavu::sans_condensed::regular()),
            Face::SansBold => Some(dejavu::sans_condensed::bold()),
            Face::Mono => Some(dejavu::sans_mono::regular()),
            prose => {
                prose_fonts().into_iter().flatten().find(|bytes| is_called(bytes, prose.name()))
            }
        }
    }
}

/// The prose face's files. Their crate lists its fonts without naming them, so the names in the files
/// decide which is which; ours stand among the first four. Each is asked for by a fixed number, so
/// that the compiler leaves the other thirteen (eight megabytes) out of the program.
fn prose_fonts() -> [Option<&'static [u8]>; 4] {
    let listed = typst_assets::fonts;
    [listed().next(), listed().nth(1), listed().nth(2), listed().nth(3)]
}

/// Whether a font file has a PostScript name.
fn is_called(bytes: &'static [u8], name: &str) -> bool {
    Font::new(bytes, 0).is_some_and(|font| {
        let found = font.names().get(NameId::POSTSCRIPT_NAME);
        found.and_then(|found| found.english_or_first()).is_some_and(|found| found.name() == name)
    })
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
    faces: [OnceCell<Option<Loaded>>; Face::ALL.len()],
}

/// A face in use.
pub(super) struct Loaded {
    pub(super) font: Font,
    pub(super) shaper: Shaper,
    /// For a size of one point.
    measures: Measures,
}

impl Fonts {
    /// All faces, none of them loaded yet.
    pub fn new() -> Fonts {
        Fonts::default()
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
        self.loaded(face).map_or(zero, |loaded| loaded.measures.scaled(size.0))
    }

    /// Forgets the shaped words that were not used since this was last called; a program that sets one
    /// text after another calls it between them, and what they share stays.
    pub fn forget_unused(&self) {
        for loaded in self.faces.iter().filter_map(|face| face.get()?.as_ref()) {
            loaded.shaper.end_generation();
        }
    }

    /// A word, shaped; the same word of a face is shaped once.
    pub(super) fn word(&self, face: Face, word: &str) -> Rc<Word> {
        shaping::word(self, face, word)
    }

    /// The face, ready for use.
    pub(super) fn loaded(&self, face: Face) -> Option<&Loaded> {
        self.faces.get(face as usize)?.get_or_init(|| Loaded::new(face)).as_ref()
    }

    /// How many of a face's units make the size of type.
    pub(super) fn units_per_em(&self, face: Face) -> f32 {
        self.loaded(face).map_or(1000.0, |loaded| f32::from(loaded.font.units_per_em()))
    }

    /// A glyph's advance in the face's units, as the font states it.
    pub(super) fn advance(&self, face: Face, glyph: u16) -> f32 {
        let width = |loaded: &Loaded| loaded.font.glyph_metrics().h_advance(GlyphId::from(glyph));
        self.loaded(face).map_or(0.0, width)
    }

    /// Draws a glyph's outline in the face's units, y upwards.
    pub(super) fn draw(&self, face: Face, glyph: u16, sink: &mut dyn PathSink) {
        let Some(loaded) = self.loaded(face) else { return };
        let Some(outline) = loaded.font.outline_glyphs().get(GlyphId::from(glyph)) else { return };
        // The faces are our own and sound: a glyph that can't be drawn has no outline.
        let _ = outline.draw(&DrawOptions::new(), DrawMemory::Scratch, sink);
    }
}

impl Loaded {
    fn new(face: Face) -> Option<Loaded> {
        let font = Font::new(face.bytes()?, 0)?;
        let shaper = Shaper::new(&font, face.has_ligatures());
        let measures = measures_of(&font);
        Some(Loaded { font, shaper, measures })
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

    #[test]
    fn every_face_is_in_the_program_and_is_the_one_it_is_called() {
        for face in Face::ALL {
            let bytes = face.bytes().unwrap_or_else(|| panic!("{face:?} is not there"));
            assert!(is_called(bytes, face.name()), "{face:?}");
        }
    }

    #[test]
    fn measures_grow_with_the_size_and_stand_in_order() {
        let fonts = Fonts::new();
        for face in Face::ALL {
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
