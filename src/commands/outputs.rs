//! The files of a document: the PDF, and its pages and figures as pictures.

use super::{Failure, files};
use crate::ink::{Document, Fonts, pdf, png, svg};
use crate::proof::report::counted;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// Dots an inch of the PNG pages: a screen's doubled.
const PNG_DOTS_PER_INCH: f32 = 192.0;

/// Which pictures are wanted beside the PDF.
#[derive(Debug, Clone, Copy)]
pub struct Pictures {
    /// As SVG.
    pub svg: bool,
    /// As PNG.
    pub png: bool,
}

/// What is to be written, by its file's name.
#[derive(Debug, Default)]
pub struct Outputs {
    files: BTreeMap<String, Vec<u8>>,
}

impl Outputs {
    /// The PDF of a document.
    ///
    /// # Errors
    ///
    /// Where it can't be painted.
    pub fn of(document: &Document, stem: &str, fonts: &Fonts) -> Result<Outputs, Failure> {
        let pages = pdf::paint(document, fonts).map_err(|error| Failure(error.to_string()))?;
        Ok(Outputs { files: BTreeMap::from([(format!("{stem}.pdf"), pages)]) })
    }

    /// Adds drawings, each an SVG's text under its name without an ending, in the formats wanted.
    ///
    /// # Errors
    ///
    /// Where one can't be painted.
    pub fn add(
        &mut self,
        drawings: impl Iterator<Item = (String, String)>,
        wanted: Pictures,
    ) -> Result<(), Failure> {
        for (name, drawing) in drawings {
            if wanted.png {
                let dots = png::paint(&drawing, PNG_DOTS_PER_INCH, png::Ground::White)
                    .map_err(|error| Failure(error.to_string()))?;
                self.files.insert(format!("{name}.png"), dots);
            }
            if wanted.svg {
                self.files.insert(format!("{name}.svg"), drawing.into_bytes());
            }
        }
        Ok(())
    }

    /// Writes everything into a folder, which is made where it is missing.
    ///
    /// # Errors
    ///
    /// Where the folder can't be made or written to.
    pub fn write(&self, folder: &Path) -> Result<(), Failure> {
        std::fs::create_dir_all(folder).map_err(|error| {
            Failure(format!("can't make `{}`: {}", folder.display(), files::in_words(&error)))
        })?;
        let mut files = self.files.iter();
        files.try_for_each(|(name, bytes)| files::write_whole(&folder.join(name), bytes))
    }

    /// What was written into a folder, as one line: the PDF by its name, and how many pictures.
    pub fn told(&self, folder: &Path) -> String {
        let (pdfs, pictures): (Vec<&String>, Vec<&String>) =
            self.files.keys().partition(|name| name.ends_with(".pdf"));
        let named = pdfs.iter().map(|name| format!("`{}`", place_in(folder, name).display()));
        let named = named.collect::<Vec<_>>().join(" and ");
        match pictures.len() {
            0 => format!("{named} is written"),
            number => format!("{named} and {} are written", counted(number, "picture")),
        }
    }
}

/// A file's path in a folder, as short as it can be written.
fn place_in(folder: &Path, name: &str) -> PathBuf {
    if folder == Path::new(".") { PathBuf::from(name) } else { folder.join(name) }
}

/// Each page as SVG, under its number.
pub fn pages<'a>(
    document: &'a Document,
    stem: &'a str,
    fonts: &'a Fonts,
) -> impl Iterator<Item = (String, String)> + 'a {
    (0..document.pages.len())
        .map(move |index| (format!("{stem}-page-{}", index + 1), svg::page(document, index, fonts)))
}
