//! Files: lessons read whole, outputs written whole or not at all.

use super::Failure;
use crate::lesson::folder::DiskFolder;
use std::collections::BTreeSet;
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// A lesson's bytes under the name that reports give it.
#[derive(Debug)]
pub struct Input {
    /// The name as the user wrote it, `-` for standard input.
    pub name: String,
    /// The folder that it lies in.
    pub place: PathBuf,
    /// The name of its outputs, without an ending.
    pub stem: String,
    /// What the file holds.
    pub bytes: Vec<u8>,
}

impl Input {
    /// Reads a lesson's file, or standard input for `-`.
    ///
    /// # Errors
    ///
    /// Where the file can't be opened or read.
    pub fn read(path: &Path) -> Result<Input, Failure> {
        let name = path.to_string_lossy().into_owned();
        let bytes = if name == "-" { from_standard_input() } else { fs::read(path) }
            .map_err(|error| Failure(format!("can't read `{name}`: {}", in_words(&error))))?;
        Ok(Input { name, place: folder_of(path), stem: stem_of(path), bytes })
    }

    /// The folder that the lesson's pictures and templates are looked for in.
    pub fn folder(&self) -> DiskFolder {
        DiskFolder::new(&self.place)
    }
}

fn from_standard_input() -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    io::stdin().lock().read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The folder that a lesson's file lies in; the current one for standard input.
pub fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

/// A lesson's file name without its ending; `lesson` for standard input.
pub fn stem_of(path: &Path) -> String {
    match path.file_stem() {
        Some(stem) if stem != "-" => stem.to_string_lossy().into_owned(),
        _ => "lesson".to_owned(),
    }
}

/// Makes sure that no two lessons would write the same file.
///
/// # Errors
///
/// Names the first file that two lessons share.
pub fn all_different(outputs: impl IntoIterator<Item = PathBuf>) -> Result<(), Failure> {
    let mut seen = BTreeSet::new();
    for output in outputs {
        if let Some(twice) = seen.replace(output) {
            let twice = twice.display();
            return Err(Failure(format!(
                "two lessons would both write `{twice}`; print them into different folders"
            )));
        }
    }
    Ok(())
}

/// Writes a file whole or not at all: beside its place first, then renamed over it.
///
/// # Errors
///
/// Where the folder can't be written to; what stood at the place is then still there.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.{}.part", std::process::id()));
    let written = write_through(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    written.map_err(|error| {
        // The half-written file is of no use to anyone; that it can't be removed either is not
        // what the user needs to hear.
        let _ = fs::remove_file(&beside);
        Failure(format!("can't write `{}`: {}", path.display(), in_words(&error)))
    })
}

fn write_through(path: &Path, bytes: &[u8]) -> io::Result<()> {
    fs::File::create(path)?.write_all(bytes)
}

/// What stopped a file from being opened, in plain words.
pub fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        _ => error.to_string(),
    }
}
