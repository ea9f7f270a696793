//! A lesson's own font, read from its folder.

use super::Lesson;
use super::world::World;
use crate::findings::rules::header_value;
use crate::findings::{Findings, Span};
use crate::ink::OwnFont;

impl Lesson<'_> {
    /// Takes a font file in the lesson's folder for the letters that our faces lack. One that can't be
    /// read or can't be used is a fault at the place that names it.
    pub fn take_font(
        &mut self,
        path: &str,
        place: Span,
        folder: &dyn World,
        findings: &mut Findings,
    ) {
        match self.font_at(path, folder) {
            Ok(font) => self.font = Some(font),
            Err(why) => {
                findings.add(header_value::font(place, path, &why));
            }
        }
    }

    /// The font at a path, tried out with the lesson's letters; else what is wrong with it.
    fn font_at(&self, path: &str, folder: &dyn World) -> Result<OwnFont, String> {
        let bytes = folder.read(path).map_err(|refusal| refusal.to_string())?;
        let font = OwnFont::read(bytes).map_err(|trouble| trouble.to_string())?;
        font.try_out(self.letters.all()).map_err(|trouble| trouble.to_string())?;
        Ok(font)
    }

    /// Takes the font that the header names.
    pub(super) fn take_header_font(&mut self, folder: &dyn World, findings: &mut Findings) {
        if let Some(named) = self.header.font.clone() {
            self.take_font(&named.value, named.span, folder, findings);
        }
    }
}
