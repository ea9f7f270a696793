//! The lessons that a command's arguments name: files, and of a folder its lessons and those of the
//! folders in it.

use super::files::{Deed, FileFailure, Input};
use super::outputs::Wanted;
use crate::cli::watch::lessons;
use std::fs::{self, DirEntry};
use std::path::{Path, PathBuf};

/// A lesson, and where it was found.
#[derive(Debug)]
pub struct Lesson {
    /// The lesson's file.
    pub path: PathBuf,
    /// What it holds.
    pub input: Input,
    /// The folder that was named and that it lies in; `None` where its own file was named.
    library: Option<PathBuf>,
}

/// Reads all lessons that arguments name, those of a folder in the order of their paths.
///
/// # Errors
///
/// Where a file or a folder can't be read, or there is no lesson in a folder.
pub fn read(arguments: &[PathBuf]) -> Result<Vec<Lesson>, FileFailure> {
    let mut lessons = Vec::new();
    for argument in arguments {
        let (paths, library) = match argument.is_dir() {
            true => (within(argument)?, Some(argument)),
            false => (vec![argument.clone()], None),
        };
        for path in paths {
            let input = Input::read(&path)?;
            lessons.push(Lesson { path, input, library: library.cloned() });
        }
    }
    Ok(lessons)
}

/// The lessons in a folder and below it, in the order of their paths.
fn within(library: &Path) -> Result<Vec<PathBuf>, FileFailure> {
    let mut folders = vec![library.to_path_buf()];
    let mut found = Vec::new();
    while let Some(folder) = folders.pop() {
        found.extend(lessons::in_folder(&folder)?);
        folders.extend(folders_in(&folder)?);
    }
    if found.is_empty() {
        let why = "no lesson is in it, which is a `.md` file that begins with a header".to_owned();
        return Err(FileFailure { deed: Deed::Read, path: library.to_path_buf(), why });
    }
    found.sort();
    Ok(found)
}

/// The folders in a folder, but hidden ones and links, which may lead in a circle.
fn folders_in(folder: &Path) -> Result<Vec<PathBuf>, FileFailure> {
    let entries = fs::read_dir(folder);
    let entries = entries.map_err(|error| FileFailure::new(Deed::Read, folder, &error))?;
    let is_gone_into = |entry: &DirEntry| {
        let hidden = entry.file_name().to_string_lossy().starts_with('.');
        !hidden && entry.file_type().is_ok_and(|kind| kind.is_dir())
    };
    Ok(entries.flatten().filter(is_gone_into).map(|entry| entry.path()).collect())
}

impl Lesson {
    /// The folder to write to for it: below the one that is wanted, a lesson of a library keeps its place.
    pub fn folder(&self, wanted: &Wanted) -> PathBuf {
        match self.root(wanted) {
            Some(root) if self.below().as_os_str().is_empty() => root,
            Some(root) if root == Path::new(".") => self.below().to_path_buf(),
            Some(root) => root.join(self.below()),
            None => wanted.folder(&self.input.place).to_path_buf(),
        }
    }

    /// The folder to write to for the whole library; `None` where the lesson is of none.
    pub fn root(&self, wanted: &Wanted) -> Option<PathBuf> {
        self.library.as_deref().map(|library| wanted.folder(library).to_path_buf())
    }

    /// Its name among the lessons of a library; `None` where that is no text.
    pub fn shelf_mark(&self) -> Option<String> {
        Some(self.below().join(&self.input.stem).to_str()?.to_owned())
    }

    /// Its page's address from the library on, `/` between the names.
    pub fn address(&self, ending: &str) -> String {
        let folders = self.below().iter().map(|name| name.to_string_lossy().into_owned());
        let names = folders.chain(std::iter::once(format!("{}.{ending}", self.input.stem)));
        names.collect::<Vec<_>>().join("/")
    }

    /// The folder that it lies in, from its library on.
    fn below(&self) -> &Path {
        let library = self.library.as_deref().unwrap_or(&self.input.place);
        self.input.place.strip_prefix(library).unwrap_or(Path::new(""))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    const LESSON: &str = "---\ntitle: T\n---\n";

    #[test]
    fn lessons_of_a_folder_and_below_it_are_found_in_order() {
        let place = tempfile::tempdir().unwrap();
        let library = place.path().join("lib");
        for (name, text) in [
            ("b.md", LESSON),
            ("a/z.md", LESSON),
            ("a/deep/y.md", LESSON),
            ("notes.md", "No header.\n"),
            ("c.txt", LESSON),
            (".hidden.md", LESSON),
            (".hidden/d.md", LESSON),
        ] {
            let path = library.join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        #[cfg(unix)]
        std::os::unix::fs::symlink(&library, library.join("round")).unwrap();
        let found = read(std::slice::from_ref(&library)).unwrap();
        let marks: Vec<String> = found.iter().filter_map(Lesson::shelf_mark).collect();
        let mark = |parts: &[&str]| parts.iter().collect::<PathBuf>().to_str().unwrap().to_owned();
        assert_eq!(marks, [mark(&["a", "deep", "y"]), mark(&["a", "z"]), "b".to_owned()]);

        fs::create_dir(place.path().join("empty")).unwrap();
        let told = read(&[place.path().join("empty")]).unwrap_err().to_string();
        assert!(told.contains("no lesson is in it"), "{told}");
    }
}
