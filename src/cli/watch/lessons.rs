//! Which lessons are watched: files as named, and of a folder the `.md` files that begin with a
//! header.

use crate::cli::commands::Failure;
use crate::cli::commands::files::{Deed, FileFailure};
use fretleaf::lesson::header;
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};

/// How much of a file is read to see whether it begins with a header, in bytes. Assumed: a header is
/// shorter.
const ENOUGH_FOR_A_HEADER: u64 = 1 << 16;

/// The lessons that arguments name, each once.
///
/// # Errors
///
/// Where there is no such file or folder, or where it can't be read.
pub fn named(arguments: &[PathBuf]) -> Result<Vec<PathBuf>, Failure> {
    let mut seen = BTreeSet::new();
    let mut lessons = Vec::new();
    for argument in arguments {
        let found = if argument.is_dir() { in_folder(argument)? } else { vec![file(argument)?] };
        lessons.extend(found.into_iter().filter(|path| seen.insert(path.clone())));
    }
    Ok(lessons)
}

fn file(path: &Path) -> Result<PathBuf, Failure> {
    if path.as_os_str() == "-" {
        return Err(Failure::WatchedInput);
    }
    fs::metadata(path).map_err(|error| unreadable(path, &error))?;
    Ok(path.to_path_buf())
}

/// The lessons in a folder, in the order of their names.
///
/// # Errors
///
/// Where the folder can't be read.
pub fn in_folder(folder: &Path) -> Result<Vec<PathBuf>, FileFailure> {
    let entries = fs::read_dir(folder).map_err(|error| unreadable(folder, &error))?;
    let paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
    let mut lessons: Vec<PathBuf> = paths.filter(|path| is_lesson(path)).collect();
    lessons.sort();
    Ok(lessons)
}

/// Whether a file among others in a folder is a lesson: it is called so and begins with a header.
pub fn is_lesson(path: &Path) -> bool {
    let hidden = path.file_name().is_some_and(|name| name.to_string_lossy().starts_with('.'));
    let called_so = path.extension().is_some_and(|ending| ending == "md");
    !hidden && called_so && path.is_file() && begins_with_header(path)
}

fn begins_with_header(path: &Path) -> bool {
    let mut start = Vec::new();
    let read =
        File::open(path).and_then(|file| file.take(ENOUGH_FOR_A_HEADER).read_to_end(&mut start));
    let text = String::from_utf8_lossy(&start);
    read.is_ok() && header::length(text.trim_start_matches('\u{feff}')) > 0
}

fn unreadable(path: &Path, error: &std::io::Error) -> FileFailure {
    FileFailure::new(Deed::Read, path, error)
}
