//! A lesson's own font, read from its folder.

use super::Lesson;
use super::folder::Folder;
use crate::ink::OwnFont;
use crate::proof::rules::header_value;
use crate::proof::{Finding, Findings};

/// Why a lesson's own font can't be used, in words that begin with its path.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FontRefusal(String);

impl std::fmt::Display for FontRefusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for FontRefusal {}

impl Lesson<'_> {
    /// Takes a font file in the lesson's folder for the letters that our faces lack.
    ///
    /// # Errors
    ///
    /// Where the file can't be read or can't be used.
    pub fn take_font(&mut self, path: &str, folder: &dyn Folder) -> Result<(), FontRefusal> {
        let refused = |why: &dyn std::fmt::Display| FontRefusal(format!("the font `{path}` {why}"));
        let bytes = folder.read(path).map_err(|refusal| refused(&refusal))?;
        let font = OwnFont::read(bytes).map_err(|trouble| refused(&trouble))?;
        font.try_out(self.letters.all()).map_err(|trouble| refused(&trouble))?;
        self.font = Some(font);
        Ok(())
    }

    /// Takes the font that the header names; one that can't be used is a fault.
    pub(super) fn take_header_font(&mut self, folder: &dyn Folder, findings: &mut Findings) {
        let Some(named) = self.header.font.clone() else { return };
        if let Err(refusal) = self.take_font(&named.value, folder) {
            let finding = Finding::new(&header_value::RULE, named.span, refusal.to_string());
            findings
                .add(finding.note("allowed: a TTF or OTF file in the lesson's folder or below"));
        }
    }
}
