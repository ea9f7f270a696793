//! A lesson's own font, read from its folder.

use super::Lesson;
use super::folder::Folder;
use crate::findings::Findings;
use crate::findings::Span;
use crate::findings::rules::header_value;
use crate::ink::OwnFont;

impl Lesson<'_> {
    /// Takes a font file in the lesson's folder for the letters that our faces lack. One that can't be
    /// read or can't be used is a fault at the place that names it.
    pub fn take_font(
        &mut self,
        path: &str,
        place: Span,
        folder: &dyn Folder,
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
    fn font_at(&self, path: &str, folder: &dyn Folder) -> Result<OwnFont, String> {
        let bytes = folder.read(path).map_err(|refusal| refusal.to_string())?;
        let font = OwnFont::read(bytes).map_err(|trouble| trouble.to_string())?;
        font.try_out(self.letters.all()).map_err(|trouble| trouble.to_string())?;
        Ok(font)
    }

    /// Takes the font that the header names.
    pub(super) fn take_header_font(&mut self, folder: &dyn Folder, findings: &mut Findings) {
        if let Some(named) = self.header.font.clone() {
            self.take_font(&named.value, named.span, folder, findings);
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::lesson::folder::MemoryFolder;

    const HAN: &[u8] = include_bytes!("../../tests/fonts/han.ttf");

    /// The findings of a lesson with header lines and a letter that the faces of the house lack.
    fn found(header: &str, folder: MemoryFolder) -> Vec<String> {
        let text = format!("---\ntitle: a\n{header}---\n\nThe river is 川.\n");
        let checked = crate::check("a.md", text.as_bytes(), &folder);
        let told = |found: &crate::findings::Finding| {
            let place = checked.source.slice(found.span);
            format!("{} `{place}`: {}", found.rule.name, found.message)
        };
        checked.findings.iter().map(told).collect()
    }

    fn folder() -> MemoryFolder {
        MemoryFolder::default().with("han.ttf", HAN).with("below/han.ttf", HAN)
    }

    #[test]
    fn the_headers_font_has_the_letters_that_ours_lack() {
        const LACKING: &str = "no-glyph `川`: no face has `川`; a □ is printed for each";
        assert_eq!(found("", folder()), [LACKING]);
        assert_eq!(found("font: han.ttf\n", folder()), [""; 0]);
        assert_eq!(found("Font: \"below/han.ttf\"\n", folder()), [""; 0]);
        for (header, message) in [
            ("font: no.ttf\n", "`no.ttf`: the font `no.ttf` is missing"),
            (
                "font: ../han.ttf\n",
                "`../han.ttf`: the font `../han.ttf` is outside the lesson's folder",
            ),
            ("font: short.ttf\n", "`short.ttf`: the font `short.ttf` is a broken font file"),
            ("font: text.ttf\n", "`text.ttf`: the font `text.ttf` is no TTF or OTF font"),
            ("font:\n", "`font`: the font is missing behind its key"),
        ] {
            let short = HAN.get(..3000).unwrap_or_default();
            let folder = folder().with("short.ttf", short).with("text.ttf", *b"a text");
            let message = format!("header-value {message}");
            assert_eq!(found(header, folder), [message, LACKING.to_owned()], "{header}");
        }
    }

    #[test]
    fn a_templates_font_serves_where_the_header_names_none() {
        let folder = |font: &str| folder().with("mine.toml", format!("font = \"{font}\"\n"));
        assert_eq!(found("template: mine.toml\n", folder("below/han.ttf")), [""; 0]);
        assert_eq!(found("template: mine.toml\nfont: han.ttf\n", folder("no.ttf")), [""; 0]);
        let found = found("template: mine.toml\n", folder("no.ttf"));
        assert_eq!(
            found.first().map(String::as_str),
            Some("header-value `mine.toml`: the font `no.ttf` is missing")
        );
    }
}
