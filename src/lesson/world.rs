//! The world that a lesson is read from: its text, and the files of its own folder, the only ones that it
//! may name.

use crate::findings::Source;
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::io::Read;
use std::path::{Component, Path, PathBuf};

/// The largest file that a lesson may name, in bytes: 64 MiB. Assumed: a photograph has 10 or so.
pub(super) const LARGEST: u64 = 64 << 20;

/// Where lessons come from, and the files that they name: all that is ever read of the outside.
pub trait World {
    /// The text of a lesson, under the name that reports give it.
    ///
    /// # Errors
    /// Where there is no lesson of that name.
    fn source(&self, name: &str) -> Result<&Source, Refusal>;

    /// Reads a file that a lesson names, in its folder or below it.
    ///
    /// # Errors
    /// Where the path leads out of the folder, or where there is no file that can be read.
    fn read(&self, path: &str) -> Result<Vec<u8>, Refusal>;
}

/// Why a file was not read; `Display` says it in a few words that go on from the file's name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// The path leads out of the lesson's folder, or is an address.
    Outside,
    /// No file is there.
    Missing,
    /// The file is too large.
    TooLarge,
    /// It is no file, or the system does not let it be read.
    Unreadable,
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Refusal::Outside => "is outside the lesson's folder",
            Refusal::Missing => "is missing",
            Refusal::TooLarge => "is larger than 64 MiB",
            Refusal::Unreadable => "can't be read",
        })
    }
}

/// Lessons whose files lie in a folder on the disk.
#[derive(Debug, Clone)]
pub struct FolderWorld {
    root: PathBuf,
    lessons: Lessons,
}

/// The lessons of a world by their names.
type Lessons = BTreeMap<String, Source>;

impl FolderWorld {
    /// The folder at a path; an empty path is the current folder.
    pub fn new(root: impl Into<PathBuf>) -> FolderWorld {
        let root = root.into();
        let root = if root.as_os_str().is_empty() { PathBuf::from(".") } else { root };
        FolderWorld { root, lessons: Lessons::new() }
    }

    /// The world with a lesson, wherever its text is from.
    #[must_use]
    pub fn with_lesson(mut self, source: Source) -> FolderWorld {
        self.lessons.insert(source.name.clone(), source);
        self
    }
}

impl World for FolderWorld {
    fn source(&self, name: &str) -> Result<&Source, Refusal> {
        self.lessons.get(name).ok_or(Refusal::Missing)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, Refusal> {
        let below = inside(path)?;
        let root = self.root.canonicalize().map_err(|error| refusal(&error))?;
        // Links are followed before the check, so that none leads out.
        let file = root.join(below).canonicalize().map_err(|error| refusal(&error))?;
        if !file.starts_with(&root) {
            return Err(Refusal::Outside);
        }
        read_plain(&file)
    }
}

/// Reads a plain file that a lesson may name; a pipe or a device, which might never end, is none.
///
/// # Errors
///
/// Where there is none, it is too large, or it can't be read.
pub fn read_plain(path: &Path) -> Result<Vec<u8>, Refusal> {
    let facts = path.metadata().map_err(|error| refusal(&error))?;
    if !facts.is_file() {
        return Err(Refusal::Unreadable);
    }
    if facts.len() > LARGEST {
        return Err(Refusal::TooLarge);
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(|error| refusal(&error))?;
    file.take(LARGEST).read_to_end(&mut bytes).map_err(|error| refusal(&error))?;
    Ok(bytes)
}

fn refusal(error: &std::io::Error) -> Refusal {
    match error.kind() {
        std::io::ErrorKind::NotFound | std::io::ErrorKind::NotADirectory => Refusal::Missing,
        _ => Refusal::Unreadable,
    }
}

/// A world that notes which files are asked of another, be they there or not: they may come.
pub struct Noting<'w> {
    world: &'w dyn World,
    named: RefCell<BTreeSet<String>>,
}

impl<'w> Noting<'w> {
    /// Notes what is asked of a world.
    pub fn new(world: &'w dyn World) -> Noting<'w> {
        Noting { world, named: RefCell::default() }
    }

    /// The paths that were asked for and lie inside.
    pub fn named(&self) -> BTreeSet<String> {
        self.named.borrow().clone()
    }
}

impl World for Noting<'_> {
    fn source(&self, name: &str) -> Result<&Source, Refusal> {
        self.world.source(name)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, Refusal> {
        let read = self.world.read(path);
        if read.as_ref().err() != Some(&Refusal::Outside) {
            self.named.borrow_mut().insert(path.to_owned());
        }
        read
    }
}

/// A world in memory.
#[derive(Debug, Clone, Default)]
pub struct MemoryWorld {
    lessons: Lessons,
    /// The files, each under its path with `/` between the names.
    pub files: BTreeMap<PathBuf, Vec<u8>>,
}

impl MemoryWorld {
    /// The world with one more lesson.
    #[must_use]
    pub fn with_lesson(mut self, name: &str, bytes: impl AsRef<[u8]>) -> MemoryWorld {
        self.lessons.insert(name.to_owned(), Source::new(name, bytes.as_ref()));
        self
    }

    /// The world with one more file.
    #[must_use]
    pub fn with(mut self, path: &str, bytes: impl Into<Vec<u8>>) -> MemoryWorld {
        self.files.insert(PathBuf::from(path), bytes.into());
        self
    }
}

impl World for MemoryWorld {
    fn source(&self, name: &str) -> Result<&Source, Refusal> {
        self.lessons.get(name).ok_or(Refusal::Missing)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, Refusal> {
        self.files.get(&inside(path)?).cloned().ok_or(Refusal::Missing)
    }
}

/// The path within the folder, if it is one: no address, no drive, not absolute, without `..`.
fn inside(path: &str) -> Result<PathBuf, Refusal> {
    // A colon begins an address (`https:`) or follows a drive's letter; `\` parts names on some
    // systems only, so a lesson that uses it would not read the same everywhere.
    if path.contains([':', '\\']) {
        return Err(Refusal::Outside);
    }
    let mut within = PathBuf::new();
    for part in Path::new(path).components() {
        match part {
            Component::Normal(name) => within.push(name),
            Component::CurDir => {}
            _ => return Err(Refusal::Outside),
        }
    }
    Ok(within)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn paths_stay_inside() {
        let folder = MemoryWorld::default().with("a.png", *b"a").with("below/b.png", *b"b");
        for (path, found) in [
            ("a.png", Ok(b"a".to_vec())),
            ("./a.png", Ok(b"a".to_vec())),
            ("below//b.png", Ok(b"b".to_vec())),
            ("c.png", Err(Refusal::Missing)),
            ("", Err(Refusal::Missing)),
            ("../a.png", Err(Refusal::Outside)),
            ("below/../a.png", Err(Refusal::Outside)),
            ("/a.png", Err(Refusal::Outside)),
            ("C:a.png", Err(Refusal::Outside)),
            ("below\\b.png", Err(Refusal::Outside)),
            ("https://example.org/a.png", Err(Refusal::Outside)),
            ("data:image/png;base64,AAAA", Err(Refusal::Outside)),
        ] {
            assert_eq!(folder.read(path), found, "{path}");
        }
    }

    #[cfg(unix)]
    #[test]
    fn links_on_the_disk_do_not_lead_out() {
        let base = std::env::temp_dir().join(format!("fretleaf-folder-{}", std::process::id()));
        let root = base.join("lesson");
        std::fs::create_dir_all(root.join("below")).unwrap();
        std::fs::write(base.join("secret.png"), "s").unwrap();
        std::fs::write(root.join("below/b.png"), "b").unwrap();
        std::os::unix::fs::symlink(base.join("secret.png"), root.join("out.png")).unwrap();
        std::os::unix::fs::symlink("below/b.png", root.join("in.png")).unwrap();
        std::os::unix::fs::symlink("loop.png", root.join("loop.png")).unwrap();
        let folder = FolderWorld::new(&root);
        let found = ["below/b.png", "in.png", "out.png", "below", "no.png", "loop.png", "a\0b"]
            .map(|path| folder.read(path));
        std::fs::remove_dir_all(&base).unwrap();
        assert_eq!(
            found,
            [
                Ok(b"b".to_vec()),
                Ok(b"b".to_vec()),
                Err(Refusal::Outside),
                Err(Refusal::Unreadable),
                Err(Refusal::Missing),
                Err(Refusal::Unreadable),
                Err(Refusal::Unreadable),
            ]
        );
    }
}
