//! The files that a run makes: a document as PDF, its pages and figures as pictures, and texts.

use super::clash::{Claims, Clash};
use super::files::{FileFailure, place_in};
use super::writing;
use clap::Args;
use fretleaf::ink::png::PngError;
use fretleaf::ink::{Document, Fonts, png, svg};
use fretleaf::words::{counted, listed};
use std::path::{Path, PathBuf};

/// Dots an inch of the PNG pages: a screen's doubled.
const PNG_DOTS_PER_INCH: f32 = 192.0;

/// What is wanted beside the PDF, and where, as the command line says it.
#[derive(Debug, Clone, Args)]
pub struct Wanted {
    /// Write each page as SVG too; of a lesson each figure too
    #[arg(long)]
    pub svg: bool,
    /// Write each page as PNG too; of a lesson each figure too
    #[arg(long)]
    pub png: bool,
    /// The folder to write to, instead of the lesson's own; for a chart, instead of the current one
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

impl Wanted {
    /// Whether any pictures are wanted.
    pub fn pictures(&self) -> bool {
        self.svg || self.png
    }

    /// The folder to write to, where `own` is the usual one.
    pub fn folder<'a>(&'a self, own: &'a Path) -> &'a Path {
        self.out.as_deref().unwrap_or(own)
    }
}

/// A page or a figure as a picture.
#[derive(Debug)]
pub struct Picture {
    /// Its file's name without an ending.
    pub name: String,
    /// What it is, in words.
    pub what: String,
    /// The SVG's text.
    pub svg: String,
}

/// What is to be written into a folder.
#[derive(Debug, Default)]
pub struct Outputs {
    files: Vec<Output>,
}

/// A file that is to be written.
#[derive(Debug)]
struct Output {
    /// Its name, from the folder on.
    name: String,
    /// What it is, in words.
    what: String,
    bytes: Vec<u8>,
}

impl Outputs {
    /// The PDF of a document.
    pub fn of(pages: Vec<u8>, stem: &str) -> Outputs {
        let mut outputs = Outputs::default();
        outputs.put(format!("{stem}.pdf"), "the PDF", pages);
        outputs
    }

    /// Adds a file; `what` it is in words.
    pub fn put(&mut self, name: String, what: impl Into<String>, bytes: Vec<u8>) {
        self.files.push(Output { name, what: what.into(), bytes });
    }

    /// Adds pictures in the formats wanted.
    ///
    /// # Errors
    ///
    /// Where one can't be painted.
    pub fn add(
        &mut self,
        pictures: impl Iterator<Item = Picture>,
        wanted: &Wanted,
    ) -> Result<(), PngError> {
        for Picture { name, what, svg } in pictures {
            if wanted.png {
                let dots = png::paint(&svg, PNG_DOTS_PER_INCH, png::Ground::White)?;
                self.put(format!("{name}.png"), what.clone(), dots);
            }
            if wanted.svg {
                self.put(format!("{name}.svg"), what, svg.into_bytes());
            }
        }
        Ok(())
    }

    /// Claims each file's place in a folder; `of` says whose they are, in words.
    ///
    /// # Errors
    ///
    /// Where the run reads one of them, or is to write it twice.
    pub fn claim(&self, folder: &Path, of: &str, claims: &mut Claims) -> Result<(), Clash> {
        let mut files = self.files.iter();
        files.try_for_each(|file| {
            claims.write(&place_in(folder, &file.name), format!("{} of {of}", file.what))
        })
    }

    /// The files with their names.
    pub fn contents(&self) -> impl Iterator<Item = (&str, &[u8])> {
        self.files.iter().map(|file| (file.name.as_str(), file.bytes.as_slice()))
    }

    /// The files with their paths in a folder.
    pub fn files(&self, folder: &Path) -> impl Iterator<Item = (PathBuf, &[u8])> {
        self.files.iter().map(|file| (place_in(folder, &file.name), file.bytes.as_slice()))
    }

    /// Writes everything into a folder, which is made where it is missing.
    ///
    /// # Errors
    ///
    /// Where the folder can't be made or a file can't be written; nothing is changed then.
    pub fn write(&self, folder: &Path) -> Result<(), FileFailure> {
        writing::write_all(self.files(folder))
    }

    /// What was written into a folder, as one line: documents by their names, and how many pictures.
    pub fn told(&self, folder: &Path) -> String {
        let names = self.files.iter().map(|file| file.name.as_str());
        let is_named =
            |name: &&str| [".pdf", ".html", ".txt"].iter().any(|end| name.ends_with(end));
        let (texts, pictures): (Vec<&str>, Vec<&str>) = names.partition(is_named);
        let named = texts.iter().map(|name| format!("`{}`", place_in(folder, name).display()));
        let named = listed(&named.collect::<Vec<_>>());
        match pictures.len() {
            0 if texts.len() > 1 => format!("{named} are written"),
            0 => format!("{named} is written"),
            number => format!("{named} and {} are written", counted(number, "picture")),
        }
    }
}

/// Each page as a picture, under its number.
pub fn pages<'a>(
    document: &'a Document,
    stem: &'a str,
    fonts: &'a Fonts,
) -> impl Iterator<Item = Picture> + 'a {
    (0..document.pages.len()).map(move |index| Picture {
        name: format!("{stem}-page-{}", index + 1),
        what: format!("page {}", index + 1),
        svg: svg::page(document, index, fonts),
    })
}
