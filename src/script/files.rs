//! The files of a script: what they are called, what they hold, and which of older ones nobody needs
//! any more.

use super::figures::Screen;
use super::{Script, captions, chapters, text};
use crate::ink::png::{self, Ground, PngError};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// The sizes of PNG figures: what their files are called, and the dots an inch that this makes.
const SIZES: [(&str, f32); 2] = [("1920x1080", 96.0), ("3840x2160", 192.0)];
/// By what a figure for the screen is known among other SVG files.
const SCREEN: &str = "viewBox=\"0 0 1440 810\"";

/// The name of the script's pages, for a lesson's name.
pub fn pages_name(stem: &str) -> String {
    format!("{stem}-script.pdf")
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

/// Figures of earlier runs in a folder that are not among those of this one. Ours is only what
/// stands there whole: an SVG for the screen under a number, with its PNG in both sizes. Anything
/// else is the teacher's.
///
/// # Errors
///
/// Where the folder is there and can't be read.
pub fn outdated(folder: &Path, now: &BTreeSet<&str>) -> io::Result<Vec<PathBuf>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let names = entries.map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned()));
    let names: BTreeSet<String> = names.collect::<io::Result<_>>()?;
    let figures = names.iter().filter_map(|name| name.strip_suffix(".svg"));
    let ours = figures.filter(|figure| is_numbered(figure)).filter_map(|figure| {
        let pictures = SIZES.map(|(size, _)| format!("{figure}-{size}.png"));
        let svg = format!("{figure}.svg");
        let whole = pictures.iter().all(|picture| names.contains(picture));
        let text = fs::read_to_string(folder.join(&svg)).unwrap_or_default();
        (whole && text.contains(SCREEN)).then(|| pictures.into_iter().chain([svg]))
    });
    let old = ours.flatten().filter(|name| !now.contains(name.as_str()));
    Ok(old.map(|name| folder.join(name)).collect())
}

/// Whether a name begins with two digits or more and a hyphen.
fn is_numbered(name: &str) -> bool {
    let number = name.split('-').next().unwrap_or_default();
    number.len() >= 2 && number.len() < name.len() && number.bytes().all(|b| b.is_ascii_digit())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn only_whole_figures_of_ours_are_outdated() {
        let folder = std::env::temp_dir().join(format!("fretleaf-figures-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        assert!(outdated(&folder, &BTreeSet::new()).unwrap().is_empty(), "no folder");
        fs::create_dir_all(&folder).unwrap();
        let ours = format!("<svg {SCREEN}/>");
        for name in ["01-hook", "02-verse", "photo", "03-half"] {
            fs::write(folder.join(format!("{name}.svg")), &ours).unwrap();
            fs::write(folder.join(format!("{name}-1920x1080.png")), "").unwrap();
        }
        for name in ["01-hook", "02-verse", "photo", "04-mine"] {
            fs::write(folder.join(format!("{name}-3840x2160.png")), "").unwrap();
        }
        fs::write(folder.join("04-mine.svg"), "<svg/>").unwrap();
        fs::write(folder.join("04-mine-1920x1080.png"), "").unwrap();
        let now = BTreeSet::from(["01-hook.svg", "01-hook-1920x1080.png", "01-hook-3840x2160.png"]);
        let old = outdated(&folder, &now).unwrap();
        let names: Vec<String> = old
            .iter()
            .map(|path| path.file_name().unwrap().to_string_lossy().into_owned())
            .collect();
        assert_eq!(names, ["02-verse-1920x1080.png", "02-verse-3840x2160.png", "02-verse.svg"]);
        fs::remove_dir_all(&folder).unwrap();
    }
}
