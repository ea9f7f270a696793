//! The glyphs that a file uses: their codes and widths, and their faces embedded.

use super::{PdfError, strings};
use crate::ink::face::{Face, Fonts};
use crate::ink::own_font::OwnFont;
use lopdf::{Dictionary, Stream};
use printpdf::{
    Codepoint, FontId, Mm, Op, ParsedFont, PdfDocument, PdfFont, PdfFontHandle, PdfPage,
    PdfSaveOptions, TextItem,
};
use subsetter::GlyphRemapper;

/// The faces of the house, and the lesson's own.
const FACES: usize = Face::ALL.len() + 1;

/// The glyphs in use, face by face.
pub(super) struct Glyphs<'a> {
    fonts: &'a Fonts,
    /// Those of the house, then the lesson's own.
    faces: [InFace; FACES],
}

/// The glyphs of one face.
#[derive(Default)]
struct InFace {
    /// By the glyph's number in the face.
    used: Vec<Option<Used>>,
    /// The glyphs' numbers in the order of their codes, which begin with 1.
    order: Vec<u16>,
}

/// A glyph in use.
#[derive(Clone)]
pub(super) struct Used {
    /// Its code in the file: its number in the embedded subset.
    pub(super) code: u16,
    /// Its width in thousandths of the size of type, as the file states it.
    pub(super) width: u16,
    /// What it stands for wherever nothing else is said.
    pub(super) characters: Box<str>,
}

impl<'a> Glyphs<'a> {
    pub(super) fn new(fonts: &'a Fonts) -> Glyphs<'a> {
        Glyphs { fonts, faces: Default::default() }
    }

    /// A glyph with its code; the characters are kept if it is new.
    pub(super) fn use_glyph(&mut self, face: Face, id: u16, characters: &str) -> Option<&Used> {
        let InFace { used, order } = self.faces.get_mut(face.index())?;
        if used.len() <= usize::from(id) {
            used.resize(usize::from(id) + 1, None);
        }
        let glyph = used.get_mut(usize::from(id))?;
        if glyph.is_none() {
            order.push(id);
            *glyph = Some(Used {
                code: order.len().try_into().ok()?,
                width: stated_width(self.fonts, face, id),
                characters: characters.into(),
            });
        }
        glyph.as_ref()
    }

    /// What is to be embedded.
    ///
    /// # Errors
    ///
    /// Where a face in use isn't in the program.
    pub(super) fn faces_in_use(&self) -> Result<FacesInUse<'a>, PdfError> {
        let own = self.fonts.own().map(OwnFont::face);
        let in_use = Face::ALL.into_iter().chain(own).zip(&self.faces);
        let in_use = in_use.filter(|(_, glyphs)| !glyphs.order.is_empty());
        let faces = in_use.map(|(face, glyphs)| {
            let name = self.fonts.name(face);
            let missing = || PdfError::Face(name.to_owned(), "it is not in the program".into());
            Ok(FaceInUse {
                short_name: face.short_name(),
                name,
                bytes: self.fonts.bytes(face).ok_or_else(missing)?,
                weight: face.weight(),
                order: glyphs.order.clone(),
                codepoints: glyphs.codepoints(),
            })
        });
        Ok(FacesInUse(faces.collect::<Result<_, PdfError>>()?))
    }
}

/// The faces of which glyphs are in use, to be embedded wherever there is time for it.
pub(super) struct FacesInUse<'a>(Vec<FaceInUse<'a>>);

struct FaceInUse<'a> {
    short_name: &'static str,
    name: &'a str,
    bytes: &'a [u8],
    weight: u16,
    order: Vec<u16>,
    codepoints: Vec<Codepoint>,
}

impl FacesInUse<'_> {
    /// A document of one page that shows each glyph in use, so that its faces are in the file.
    pub(super) fn embedded(self) -> Result<lopdf::Document, PdfError> {
        let mut document = PdfDocument::new("");
        let mut showing = Vec::new();
        for face in self.0 {
            let failed = |why: String| PdfError::Face(face.name.to_owned(), why);
            let mut font = subset(face.bytes, face.name, &face.order).map_err(failed)?;
            font.pdf_font_metrics.us_weight_class = face.weight;
            let id = FontId(face.short_name.into());
            document.resources.fonts.map.insert(id.clone(), PdfFont::new(font));
            let size = printpdf::Pt(1.0);
            showing.push(Op::SetFont { font: PdfFontHandle::External(id), size });
            showing.push(Op::ShowText { items: vec![TextItem::GlyphIds(face.codepoints)] });
        }
        document.pages.push(PdfPage::new(Mm(1.0), Mm(1.0), showing));
        let options = PdfSaveOptions { subset_fonts: false, ..PdfSaveOptions::default() };
        Ok(document.to_lopdf_document(&options, &mut Vec::new()))
    }
}

impl Glyphs<'_> {
    /// Says for each face in the file, by its name there, which characters its codes stand for: as short as it can
    /// be said, so that it needn't be packed (ISO 32000-1, 9.10.3).
    pub(super) fn say_characters(&self, faces: &Dictionary, file: &mut lopdf::Document) {
        let own = self.fonts.own().map(OwnFont::face);
        for (face, glyphs) in Face::ALL.into_iter().chain(own).zip(&self.faces) {
            let map = faces
                .get_deref(face.short_name().as_bytes(), file)
                .and_then(|font| font.as_dict()?.get(b"ToUnicode")?.as_reference());
            let map = map.ok().and_then(|map| file.get_object_mut(map).ok()?.as_stream_mut().ok());
            if let Some(map) = map {
                *map = Stream::new(Dictionary::new(), glyphs.characters()).with_compression(false);
            }
        }
    }
}

impl InFace {
    /// The characters of the codes, as a CMap.
    fn characters(&self) -> Vec<u8> {
        let mut map = String::from(
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n\
             /CIDSystemInfo <</Registry(Adobe)/Ordering(UCS)/Supplement 0>> def\n\
             /CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n\
             1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n",
        );
        let said = |(code, id): (usize, &u16)| {
            let used = self.used.get(usize::from(*id)).and_then(Option::as_ref);
            let characters = used.map_or("", |used| &used.characters);
            let units = characters.encode_utf16().flat_map(u16::to_be_bytes).collect::<Vec<u8>>();
            format!("<{code:04X}> <{}>\n", strings::hexadecimal(&units))
        };
        // The codes begin with 1; a list has at most a hundred. Ranges with lists of characters would be
        // shorter, but some checkers know none.
        let lines: Vec<String> = (1..).zip(&self.order).map(said).collect();
        for list in lines.chunks(100) {
            map += &format!("{} beginbfchar\n{}endbfchar\n", list.len(), list.concat());
        }
        map += "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n";
        map.into_bytes()
    }

    fn codepoints(&self) -> Vec<Codepoint> {
        let used = self.used.iter().flatten();
        used.map(|used| Codepoint::with_cid(used.code, 0.0, used.characters.to_string())).collect()
    }
}

/// A glyph's width as the file states it: whole thousandths, cut.
fn stated_width(fonts: &Fonts, face: Face, id: u16) -> u16 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // The cut is what is meant.
    let width = (fonts.advance(face, id) * 1000.0 / fonts.units_per_em(face)) as u16;
    width
}

/// Whether glyphs of a font can be embedded.
pub(super) fn can_embed(bytes: &[u8], name: &str, glyphs: &[u16]) -> bool {
    subset(bytes, name, glyphs).is_ok()
}

/// A font cut down to glyphs in a given order; else why it can't be.
fn subset(bytes: &[u8], name: &str, order: &[u16]) -> Result<ParsedFont, String> {
    let mut remapper = GlyphRemapper::new();
    for &id in order {
        remapper.remap(id);
    }
    let subset = subsetter::subset(bytes, 0, &remapper).map_err(|error| error.to_string())?;
    let mut font = ParsedFont::from_bytes(&subset, 0, &mut Vec::new())
        .ok_or_else(|| "its subset can't be read".to_owned())?;
    font.font_name = Some(format!("{}+{name}", tag(&subset)));
    Ok(font)
}

/// Six capitals from the bytes of a subset (ISO 32000-1, 9.6.4).
fn tag(bytes: &[u8]) -> String {
    let mut rest = crate::ink::hash::of(bytes);
    (0..6)
        .map(|_| {
            let letter = u8::try_from(rest % 26).unwrap_or_default();
            rest /= 26;
            char::from(b'A' + letter)
        })
        .collect()
}
