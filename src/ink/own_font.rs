//! A lesson's own font, for letters that the faces of the house lack: what may be one, and whether it
//! can be embedded.

use super::face::{Face, Loaded, Manner};
use super::hash;
use super::pdf;
use super::shaping::Words;
use harfrust::Font;
use harfrust::font::glyph::outline::{DrawMemory, DrawOptions, PathSink};
use harfrust::font::name::NameId;
use read_fonts::types::Tag;
use read_fonts::{FontRef, TableProvider};
use std::fmt;
use std::rc::Rc;
use std::sync::Arc;

/// A font file that was looked through and may be used. Copies share one font.
#[derive(Clone)]
pub struct OwnFont(Rc<Inner>);

struct Inner {
    /// The hash of the file.
    number: u64,
    bytes: Arc<Vec<u8>>,
    name: String,
    loaded: Loaded,
    /// The words that were shaped with its help, by the face that was asked for.
    words: [Words; Face::ALL.len()],
}

/// Why a file can't be a lesson's own font; `Display` says it in words that go on from its name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FontTrouble {
    /// It is larger than [`OwnFont::LARGEST`].
    TooLarge,
    /// It is something else.
    NoFont,
    /// It holds several fonts.
    Collection,
    /// It is packed for the web.
    Packed,
    /// It is cut off, or says something that can't be.
    Broken,
    /// Its letters aren't drawn as outlines.
    NoOutlines,
    /// Its licence forbids embedding it.
    NoEmbedding,
    /// Its licence forbids embedding a part of it.
    NoSubset,
}

impl fmt::Display for FontTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            FontTrouble::TooLarge => "is larger than 32 MiB",
            FontTrouble::NoFont => "is no TTF or OTF font",
            FontTrouble::Collection => "holds several fonts; a TTF or OTF file holds one",
            FontTrouble::Packed => "is packed for the web; a TTF or OTF file isn't",
            FontTrouble::Broken => "is a broken font file",
            FontTrouble::NoOutlines => "has no letters drawn as outlines, which print needs",
            FontTrouble::NoEmbedding => "says that its licence forbids embedding it in a handout",
            FontTrouble::NoSubset => {
                "says that its licence forbids embedding a part of it, and a handout holds only the \
                 letters it uses"
            }
        })
    }
}

/// `fsType` in the table OS/2 (OpenType, OS/2 chapter): the bits of which one at most should be set
/// (the most generous holds), "restricted", "no subsetting" and "bitmaps only".
const USAGE: u16 = 0x000F;
const RESTRICTED: u16 = 0x0002;
const NO_SUBSETTING: u16 = 0x0100;
const BITMAPS_ONLY: u16 = 0x0200;

impl OwnFont {
    /// The largest font file in bytes: 32 MiB. Assumed: one with all Chinese characters has 20.
    pub const LARGEST: usize = 32 << 20;

    /// Looks a font file through.
    ///
    /// # Errors
    ///
    /// Where it is no sound TTF or OTF file, or its licence forbids what is needed.
    pub fn read(bytes: Vec<u8>) -> Result<OwnFont, FontTrouble> {
        if bytes.len() > OwnFont::LARGEST {
            return Err(FontTrouble::TooLarge);
        }
        check_kind(&bytes)?;
        check_tables(&bytes)?;
        let (number, bytes) = (hash::of(&bytes), Arc::new(bytes));
        let shared: Arc<dyn AsRef<[u8]> + Send + Sync> = bytes.clone();
        let font = Font::new(shared, 0).ok_or(FontTrouble::Broken)?;
        // The sizes that OpenType allows (its chapter on the table head).
        if !(16..=16_384).contains(&font.units_per_em()) || !font.charmap().has_unicode() {
            return Err(FontTrouble::Broken);
        }
        let (name, loaded) = (name_of(&font), Loaded::new(font, Manner::Prose));
        Ok(OwnFont(Rc::new(Inner { number, bytes, name, loaded, words: Default::default() })))
    }

    /// Tries letters out: each that the font has can be drawn, and all can be embedded.
    ///
    /// # Errors
    ///
    /// Where the font is broken in one of them.
    pub fn try_out<'l>(&self, letters: impl Iterator<Item = &'l str>) -> Result<(), FontTrouble> {
        let font = &self.loaded().font;
        let charmap = font.charmap();
        let ids = letters.flat_map(str::chars).filter_map(|c| charmap.map_unicode(c));
        let ids: Vec<u16> = ids.filter_map(|id| id.to_u32().try_into().ok()).collect();
        let outlines = font.outline_glyphs();
        let drawn = |id: &u16| {
            let outline = outlines.get(harfrust::GlyphId::from(*id));
            let drawn = |outline: harfrust::font::glyph::outline::OutlineGlyph<'_>| {
                outline.draw(&DrawOptions::new(), DrawMemory::Scratch, &mut Nowhere).is_ok()
            };
            outline.is_some_and(drawn)
        };
        let sound = ids.iter().all(drawn) && pdf::can_embed(self.bytes(), self.name(), &ids);
        if sound { Ok(()) } else { Err(FontTrouble::Broken) }
    }

    /// The face that it is.
    pub fn face(&self) -> Face {
        Face::Own(self.0.number)
    }

    /// Its PostScript name.
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// The file.
    pub(super) fn bytes(&self) -> &[u8] {
        &self.0.bytes
    }

    pub(super) fn loaded(&self) -> &Loaded {
        &self.0.loaded
    }

    /// The words that were shaped with its help where a face was asked for.
    pub(super) fn words(&self, face: Face) -> Option<&Words> {
        self.0.words.get(face.index())
    }
}

impl fmt::Debug for OwnFont {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("OwnFont").field(&self.0.name).finish()
    }
}

/// Makes sure that bytes begin as a TTF or OTF file does (OpenType, "Organization of an OpenType
/// font").
fn check_kind(bytes: &[u8]) -> Result<(), FontTrouble> {
    match bytes.get(..4) {
        Some(b"\0\x01\0\0" | b"true" | b"OTTO") => Ok(()),
        Some(b"ttcf") => Err(FontTrouble::Collection),
        Some(b"wOFF" | b"wOF2") => Err(FontTrouble::Packed),
        _ => Err(FontTrouble::NoFont),
    }
}

/// Makes sure that every table lies within the file, that those are there that print needs, and that
/// the licence allows it.
fn check_tables(bytes: &[u8]) -> Result<(), FontTrouble> {
    let font = FontRef::new(bytes).map_err(|_| FontTrouble::Broken)?;
    let whole = font.table_directory.table_records().iter().all(|record| {
        let end = record.offset().checked_add(record.length());
        end.is_some_and(|end| end as usize <= bytes.len())
    });
    let has = |tag: &[u8; 4]| font.table_data(Tag::new(tag)).is_some();
    if !whole || ![b"head", b"hhea", b"hmtx", b"maxp", b"cmap"].into_iter().all(has) {
        return Err(FontTrouble::Broken);
    }
    let outlines = has(b"CFF ") || (has(b"glyf") && has(b"loca"));
    if !outlines {
        return Err(FontTrouble::NoOutlines);
    }
    let allowed = font.os2().map_or(0, |table| table.fs_type());
    if allowed & USAGE == RESTRICTED || allowed & BITMAPS_ONLY != 0 {
        return Err(FontTrouble::NoEmbedding);
    }
    if allowed & NO_SUBSETTING != 0 {
        return Err(FontTrouble::NoSubset);
    }
    Ok(())
}

/// A font's PostScript name, of the signs that a name in a file may have.
fn name_of(font: &Font) -> String {
    let found = font.names().get(NameId::POSTSCRIPT_NAME);
    let name = found.and_then(|found| found.english_or_first());
    let name = name.map(|name| name.name().to_string()).unwrap_or_default();
    let name: String = name.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
    // The longest name that PostScript has (ISO 32000-1, annex C), the tag of a subset left off.
    let name: String = name.chars().take(63).collect();
    if name.is_empty() { "Own".to_owned() } else { name }
}

/// Takes an outline and keeps nothing of it.
struct Nowhere;

impl PathSink for Nowhere {
    fn move_to(&mut self, _: f32, _: f32) {}
    fn line_to(&mut self, _: f32, _: f32) {}
    fn quad_to(&mut self, _: f32, _: f32, _: f32, _: f32) {}
    fn curve_to(&mut self, _: f32, _: f32, _: f32, _: f32, _: f32, _: f32) {}
    fn close(&mut self) {}
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::ink::{Fonts, Style, Text, pt};

    const HAN: &[u8] = include_bytes!("../../tests/fonts/han.ttf");
    const HAN_OTF: &[u8] = include_bytes!("../../tests/fonts/han.otf");
    const DEVANAGARI: &[u8] = include_bytes!("../../tests/fonts/devanagari.ttf");

    fn trouble(bytes: Vec<u8>) -> Option<FontTrouble> {
        OwnFont::read(bytes).err()
    }

    /// A font with a number of two bytes in its table OS/2 replaced: the licence.
    fn licensed(bits: u16) -> Vec<u8> {
        let mut bytes = HAN.to_vec();
        let records = FontRef::new(HAN).unwrap();
        let records = records.table_directory.table_records();
        let record = records.iter().find(|record| record.tag() == Tag::new(b"OS/2")).unwrap();
        let at = record.offset() as usize + 8;
        bytes[at..at + 2].copy_from_slice(&bits.to_be_bytes());
        bytes
    }

    fn set(own: &OwnFont, words: &str) -> Text {
        let fonts = Fonts::new().with(Some(own.clone()));
        Text::set(&fonts, words, Style::new(Face::Serif, pt(10.0)))
    }

    #[test]
    fn sound_fonts_are_taken() {
        for (bytes, name) in [
            (HAN, "LessonTestHan-Regular"),
            (HAN_OTF, "LessonTestHanOTF-Regular"),
            (DEVANAGARI, "LessonTestDevanagari-Regular"),
        ] {
            let own = OwnFont::read(bytes.to_vec()).unwrap();
            assert_eq!(own.name(), name);
            assert_eq!(own.try_out(["日", "本", "हि", "x"].into_iter()), Ok(()), "{name}");
        }
    }

    #[test]
    fn what_is_no_sound_font_is_told_apart() {
        for (bytes, expected) in [
            (Vec::new(), FontTrouble::NoFont),
            (b"\x89PNG".to_vec(), FontTrouble::NoFont),
            (b"ttcf\0\x01\0\0".to_vec(), FontTrouble::Collection),
            (b"wOF2".to_vec(), FontTrouble::Packed),
            (b"OTTO".to_vec(), FontTrouble::Broken),
            (vec![0; OwnFont::LARGEST + 1], FontTrouble::TooLarge),
            (licensed(0x0002), FontTrouble::NoEmbedding),
            (licensed(0x0204), FontTrouble::NoEmbedding),
            (licensed(0x0108), FontTrouble::NoSubset),
        ] {
            assert_eq!(trouble(bytes), Some(expected));
        }
        for allowed in [0x0000, 0x0004, 0x0008, 0x0006] {
            assert_eq!(trouble(licensed(allowed)), None, "{allowed:#x}");
        }
    }

    #[test]
    fn a_font_that_is_cut_off_anywhere_is_broken() {
        for font in [HAN, HAN_OTF, DEVANAGARI] {
            for length in (4..font.len() - 4).step_by(7) {
                assert_eq!(trouble(font[..length].to_vec()), Some(FontTrouble::Broken), "{length}");
            }
        }
    }

    /// What bytes that were changed at random come to: an error, or glyphs and a file that may look
    /// wrong.
    #[test]
    fn broken_fonts_make_no_panic() {
        let mut seed = 7_u64;
        let mut next = |below: usize| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            usize::try_from(seed >> 33).unwrap() % below
        };
        for round in 0..600 {
            let font = [HAN, HAN_OTF, DEVANAGARI][round % 3];
            let mut bytes = font.to_vec();
            for _ in 0..=next(12) {
                let at = next(bytes.len());
                bytes[at] = u8::try_from(next(256)).unwrap();
            }
            let Ok(own) = OwnFont::read(bytes) else { continue };
            if own.try_out(["日本語曲六弦、。", "हिन्दी"].into_iter()).is_err()
            {
                continue;
            }
            let text = set(&own, "日本語 曲「六弦」 हिन्दी गिटार क्षर्म");
            assert!(text.width.0.is_finite(), "{round}");
            let mut drawing = crate::ink::Drawing::new(pt(300.0), pt(40.0));
            drawing.text(crate::ink::Point::new(pt(5.0), pt(20.0)), text);
            let fonts = Fonts::new().with(Some(own.clone()));
            let page = crate::ink::Page { drawing: drawing.clone(), ..Default::default() };
            let document = crate::ink::Document { pages: vec![page], ..Default::default() };
            let _ = pdf::paint(&document, &fonts);
            let image = crate::ink::svg::figure(&drawing, "", "", &fonts);
            assert!(resvg::usvg::roxmltree::Document::parse(&image).is_ok());
        }
    }

    #[test]
    fn letters_that_the_house_lacks_come_from_it() {
        let own = OwnFont::read(HAN.to_vec()).unwrap();
        let text = set(&own, "A 日本 and 字.");
        assert_eq!(text.characters(), "A 日本 and 字.");
        let pieces: Vec<(Face, String)> = text
            .runs
            .iter()
            .flat_map(|run| &run.word.pieces)
            .map(|piece| {
                (piece.face, piece.glyphs.iter().map(|glyph| &*glyph.characters).collect())
            })
            .collect();
        let piece = |face, words: &str| (face, words.to_owned());
        assert_eq!(
            pieces,
            [
                piece(Face::Serif, "A "),
                piece(own.face(), "日本"),
                piece(Face::Serif, " "),
                piece(Face::Serif, "and "),
                // The box for what no face has.
                piece(Face::Sans, "字"),
                piece(Face::Serif, "."),
            ]
        );
    }

    #[test]
    fn conjuncts_are_shaped() {
        let own = OwnFont::read(DEVANAGARI.to_vec()).unwrap();
        let text = set(&own, "हिन्दी");
        assert_eq!(text.characters(), "हिन्दी");
        let glyphs: Vec<_> =
            text.runs.iter().flat_map(|run| &run.word.pieces).flat_map(|p| &p.glyphs).collect();
        // The sign of the short i stands before its consonant, and n and d are joined.
        assert!(glyphs.len() < "हिन्दी".chars().count(), "{glyphs:?}");
        let charmap = own.loaded().font.charmap();
        let short_i = charmap.map_unicode('ि').unwrap().to_u32();
        let ha = charmap.map_unicode('ह').unwrap().to_u32();
        let place = |id: u32| glyphs.iter().position(|glyph| u32::from(glyph.id) == id);
        assert!(place(short_i).is_none() || place(short_i) < place(ha), "{glyphs:?}");
    }

    #[test]
    fn words_of_one_lesson_are_not_taken_for_anothers() {
        let house = Fonts::new();
        let style = Style::new(Face::Serif, pt(10.0));
        let own = OwnFont::read(HAN.to_vec()).unwrap();
        let faces = |fonts: &Fonts| {
            let text = Text::set(fonts, "日", style);
            text.runs
                .iter()
                .flat_map(|run| &run.word.pieces)
                .map(|piece| piece.face)
                .collect::<Vec<Face>>()
        };
        let (boxed, written): (Vec<Face>, Vec<Face>) = (vec![Face::Sans], vec![own.face()]);
        assert_eq!(faces(&house), boxed);
        assert_eq!(faces(&house.with(Some(own.clone()))), written);
        assert_eq!(faces(&house.with(Some(own))), written);
        assert_eq!(faces(&house), boxed);
    }
}
