//! The files of a script: what they are called, what they hold, and the list of those that are ours.

use super::figures::Screen;
use super::{Script, captions, chapters, text};
use crate::ink::png::{self, Ground, PngError};
use std::collections::{BTreeMap, BTreeSet};
use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::Path;

/// The sizes of PNG figures: what their files are called, and the dots an inch that this makes.
const SIZES: [(&str, f32); 2] = [("1920x1080", 96.0), ("3840x2160", 192.0)];

/// The name of the script's pages, for a lesson's name.
pub fn pages_name(stem: &str) -> String {
    format!("{stem}-script.pdf")
}

/// The name of the file to read from.
pub fn reading_name(stem: &str) -> String {
    format!("{stem}-read.html")
}

fn text_names(stem: &str) -> [String; 3] {
    [format!("{stem}-script.txt"), format!("{stem}-chapters.txt"), format!("{stem}.vtt")]
}

/// The names of all that is written without the figures.
pub fn names(stem: &str) -> impl Iterator<Item = String> {
    std::iter::once(pages_name(stem)).chain(text_names(stem))
}

/// The texts that go with the pages, by their files' names: the script, the chapters, the captions.
pub fn texts(script: &Script, stem: &str) -> impl Iterator<Item = (String, String)> {
    let texts = [text::write(script), chapters::list(script), captions::write(script)];
    text_names(stem).into_iter().zip(texts)
}

/// The folder of the figures for the screen.
pub fn figures_name(stem: &str) -> String {
    format!("{stem}-figures")
}

/// The files of figures for the screen, by their names in their folder.
///
/// # Errors
///
/// Where one can't be painted.
pub fn figures(screens: Vec<Screen>) -> Result<BTreeMap<String, Vec<u8>>, PngError> {
    let mut files = BTreeMap::new();
    for Screen { name, svg } in screens {
        for (size, dots_per_inch) in SIZES {
            let dots = png::paint(&svg, dots_per_inch, Ground::Clear)?;
            files.insert(format!("{name}-{size}.png"), dots);
        }
        files.insert(format!("{name}.svg"), svg.into_bytes());
    }
    Ok(files)
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
        let names = BTreeSet::from(["01-hook.svg", "01-hook-1920x1080.png"]);
        fs::write(&path, list(&names) + "../slow-ferry.md\n/etc/passwd\n..\n\n").unwrap();
        let read = listed(&path).unwrap();
        assert!(read.iter().map(String::as_str).eq(names), "{read:?}");
        fs::write(&path, "my own notes\n").unwrap();
        assert!(listed(&path).is_err());
    }
}
