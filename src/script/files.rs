//! The files of a script: what they are called, what they hold, and the list of those that are ours.

use super::names::Pictures;
use super::screen::{Screen, Size, Wanted};
use super::{Script, captions, chapters, cues, shots, text};
use crate::ink::png::{self, Ground, PngError};
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::Path;

/// The name of the script's pages, for a lesson's name.
pub fn pages_name(stem: &str) -> String {
    format!("{stem}-script.pdf")
}

/// The name of the file to read from.
pub fn reading_name(stem: &str) -> String {
    format!("{stem}-read.html")
}

fn text_names(stem: &str) -> [String; 5] {
    let names = ["-script.txt", "-chapters.txt", ".vtt", "-cues.csv", "-shots.txt"];
    names.map(|ending| format!("{stem}{ending}"))
}

/// The names of all that is written without the figures.
pub fn names(stem: &str) -> impl Iterator<Item = String> {
    std::iter::once(pages_name(stem)).chain(text_names(stem))
}

/// The texts that go with the pages, by their files' names: the script, the chapters, the captions, the cues
/// with the names of their pictures, the shots.
pub fn texts(
    script: &Script,
    pictures: &Pictures,
    stem: &str,
) -> impl Iterator<Item = (String, String)> {
    let (script_text, chapters) = (text::write(script), chapters::list(script));
    let (captions, cues) = (captions::write(script), cues::write(script, pictures));
    let texts = [script_text, chapters, captions, cues, shots::write(script)];
    text_names(stem).into_iter().zip(texts)
}

/// The folder of the figures for the screen.
pub fn figures_name(stem: &str) -> String {
    format!("{stem}-figures")
}

/// A file of a picture for the screen, which is painted when its bytes are asked for.
#[derive(Debug, Clone, Copy)]
pub struct Figure<'s> {
    screen: &'s Screen,
    /// The size of a PNG; an SVG has none.
    size: Option<Size>,
}

/// The files of pictures for the screen, each as SVG and as PNG in each size.
pub fn figures<'s>(screens: &'s [Screen], wanted: &Wanted) -> Vec<Figure<'s>> {
    let sizes = wanted.sizes();
    let of_one = |screen| {
        let sizes = sizes.iter().copied().map(Some).chain([None]);
        sizes.map(move |size| Figure { screen, size })
    };
    screens.iter().flat_map(of_one).collect()
}

impl Figure<'_> {
    /// Its name in the folder of the figures.
    pub fn name(&self) -> String {
        let name = &self.screen.name;
        match self.size {
            Some(size) => format!("{name}-{size}.png"),
            None => format!("{name}.svg"),
        }
    }

    /// The image that it is painted from.
    pub fn svg(&self) -> &str {
        &self.screen.svg
    }

    /// What it holds.
    ///
    /// # Errors
    ///
    /// Where it can't be painted.
    pub fn bytes(&self) -> Result<Vec<u8>, PngError> {
        match self.size {
            Some(Size { width, height }) => {
                png::paint_to(self.svg(), (width, height), Ground::Clear)
            }
            None => Ok(self.svg().as_bytes().to_vec()),
        }
    }
}

/// The name of the list of what we wrote into the folder of the figures.
pub const LIST: &str = "figures.txt";
/// By what the list is known.
const LIST_HEAD: &str = "What fretleaf wrote here; what no cue shows any more is cleared.";

/// The list of the figures' files.
pub fn list(names: &BTreeSet<&str>) -> String {
    std::iter::once(LIST_HEAD)
        .chain(names.iter().copied())
        .map(|name| format!("{name}\n"))
        .collect()
}

/// The names in a list that is there; none where there is none. What is no plain name in the folder is
/// passed over.
///
/// # Errors
///
/// Where it can't be read, or is a file of another's.
pub fn listed(list: &Path) -> io::Result<BTreeSet<String>> {
    let text = match fs::read_to_string(list) {
        Ok(text) => text,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(BTreeSet::new()),
        Err(error) => return Err(error),
    };
    let names = text
        .strip_prefix(LIST_HEAD)
        .ok_or_else(|| io::Error::other("it isn't our list of figures; give it another name"))?;
    let plain = |name: &&str| Path::new(name).file_name() == Some(OsStr::new(name));
    Ok(names.lines().filter(plain).map(str::to_owned).collect())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_list_gives_its_names_back_and_no_others_are_taken() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join(LIST);
        assert!(listed(&path).unwrap().is_empty(), "no list");
        let names = BTreeSet::from(["hook.svg", "hook-1920x1080.png"]);
        fs::write(&path, list(&names) + "../slow-ferry.md\n/etc/passwd\n..\n\n").unwrap();
        let read = listed(&path).unwrap();
        assert!(read.iter().map(String::as_str).eq(names), "{read:?}");
        fs::write(&path, "my own notes\n").unwrap();
        assert!(listed(&path).is_err());
    }
}
