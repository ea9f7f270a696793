//! Files: lessons read whole, and what their outputs are called.

use super::clash::Claims;
use fretleaf::findings::Source;
use fretleaf::lesson::world::FolderWorld;
use std::collections::BTreeSet;
use std::fmt;
use std::fs::File;
use std::io::{self, Read};
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
    /// Where the file can't be opened or read, or is larger than a lesson can be; of that no more is
    /// read than it takes to know.
    pub fn read(path: &Path) -> Result<Input, FileFailure> {
        let name = path.to_string_lossy().into_owned();
        let read = if is_standard_input(path) {
            at_most(io::stdin().lock(), Source::LARGEST)
        } else {
            read_at_most(path, Source::LARGEST)
        };
        let bytes = read.map_err(|error| FileFailure::new(Deed::Read, path, &error))?;
        Ok(Input { name, place: folder_of(path), stem: stem_of(path), bytes })
    }

    /// The folder that the lesson's pictures and templates are looked for in.
    pub fn folder(&self) -> FolderWorld {
        FolderWorld::new(&self.place)
    }

    /// The lesson in its folder.
    pub fn world(&self) -> FolderWorld {
        self.folder().with_lesson(Source::new(&self.name, &self.bytes))
    }

    /// Takes note of the files that the lesson names: paths from its folder on.
    pub fn claim_named(&self, named: &BTreeSet<String>, claims: &mut Claims) {
        for path in named {
            let what = format!("a file that `{}` names", self.name);
            claims.read(&place_in(&self.place, path), what);
        }
    }
}

/// Takes note that a run reads a lesson.
pub fn claim_lesson(path: &Path, claims: &mut Claims) {
    if !is_standard_input(path) {
        claims.read(path, format!("the lesson `{}`", path.display()));
    }
}

/// Whether a path stands for standard input.
pub fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// Reads a file of at most so many bytes. A larger one is refused before it is read; what has no size
/// of its own, such as a pipe, as soon as more has come.
///
/// # Errors
///
/// Where it can't be read, or is larger.
pub fn read_at_most(path: &Path, most: usize) -> io::Result<Vec<u8>> {
    let file = File::open(path)?;
    let size = file.metadata()?.len();
    if size > most as u64 {
        return Err(too_large(&format!("has {size} bytes"), most));
    }
    at_most(file, most)
}

fn at_most(from: impl Read, most: usize) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    from.take(most as u64 + 1).read_to_end(&mut bytes)?;
    if bytes.len() > most { Err(too_large("goes on", most)) } else { Ok(bytes) }
}

fn too_large(what: &str, most: usize) -> io::Error {
    let words = format!("it {what}; at most {most} are read ({} MiB)", most >> 20);
    io::Error::new(io::ErrorKind::FileTooLarge, words)
}

/// The folder that a lesson's file lies in; the current one for standard input.
pub fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent.to_path_buf(),
        _ => PathBuf::from("."),
    }
}

/// A file's path in a folder, as short as it can be written.
pub fn place_in(folder: &Path, name: &str) -> PathBuf {
    if folder == Path::new(".") { PathBuf::from(name) } else { folder.join(name) }
}

/// A lesson's file name without its ending; `lesson` for standard input.
pub fn stem_of(path: &Path) -> String {
    match path.file_stem() {
        Some(stem) if stem != "-" => stem.to_string_lossy().into_owned(),
        _ => "lesson".to_owned(),
    }
}

/// A path as one word of a shell's command, so that what is advised can be pasted.
pub fn quoted(path: &Path) -> String {
    let name = path.to_string_lossy();
    // A name that begins with a hyphen would be taken for an option.
    let name = if name.starts_with('-') { format!("./{name}") } else { name.into_owned() };
    shlex::try_quote(&name).map(|quoted| quoted.into_owned()).unwrap_or(name)
}

/// What can't be done with a file or a folder, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileFailure {
    /// What is to be done.
    pub deed: Deed,
    /// The file or folder.
    pub path: PathBuf,
    /// Why it can't be, in words.
    pub why: String,
}

/// What is done with a file or a folder.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// It is read.
    Read,
    /// It is written.
    Write,
    /// It is cleared away.
    Clear,
    /// The folder is made.
    MakeFolder,
}

impl FileFailure {
    /// What the system refuses to do.
    pub fn new(deed: Deed, path: &Path, error: &io::Error) -> FileFailure {
        FileFailure { deed, path: path.to_path_buf(), why: in_words(error) }
    }
}

impl fmt::Display for FileFailure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let deed = match self.deed {
            Deed::Read => "read",
            Deed::Write => "write",
            Deed::Clear => "clear",
            Deed::MakeFolder => "make the folder",
        };
        write!(f, "can't {deed} `{}`: {}", self.path.display(), self.why)
    }
}

impl std::error::Error for FileFailure {}

/// What stopped a file from being opened, in plain words.
pub fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "permission denied".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a file stands where a folder should be".to_owned(),
        io::ErrorKind::InvalidFilename => "its name is too long".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_never_ends_is_read_up_to_the_cap_only() {
        let refused = at_most(io::repeat(b'a'), 1 << 20).unwrap_err();
        assert_eq!(refused.to_string(), "it goes on; at most 1048576 are read (1 MiB)");
        assert_eq!(at_most(&b"abc"[..], 3).unwrap(), b"abc");
    }

    #[test]
    fn names_are_quoted_where_a_shell_would_part_or_obey_them() {
        for (name, word) in [
            ("first-steps.md", "first-steps.md"),
            ("in/Übung 1.md", "'in/Übung 1.md'"),
            ("-x.md", "./-x.md"),
            ("it's $HOME.md", "\"it's \"'$HOME.md'"),
            ("a;b.md", "'a;b.md'"),
        ] {
            assert_eq!(quoted(Path::new(name)), word);
        }
    }
}
