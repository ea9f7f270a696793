//! Writing: every file whole or not at all, beside its place first, then renamed over it.
//!
//! A file that is there keeps its mode; where a link is there, what it names is written. What waits
//! beside its place when the run is interrupted is cleared away.

use super::files::{Deed, FileFailure, folder_of};
use std::collections::BTreeSet;
use std::fs::{self, File, Permissions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::process;
use std::sync::{Mutex, MutexGuard, Once, PoisonError};
use tempfile::{Builder, TempPath};

/// How many links are followed to what one names: what Linux follows (path_resolution(7)).
const MOST_LINKS: usize = 40;
/// The status of a run that was interrupted: that of a shell's, 128 and the number of the signal.
const INTERRUPTED: i32 = 130;

/// What waits beside its place. Locked while a file is begun, renamed or taken away, so that who holds
/// it knows of each.
static PARTS: Mutex<BTreeSet<PathBuf>> = Mutex::new(BTreeSet::new());

// A thread that panicked while it held the names leaves them whole.
fn parts() -> MutexGuard<'static, BTreeSet<PathBuf>> {
    PARTS.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Writes files, their folders too where they are missing: none takes its place before all are
/// written and on the disk.
///
/// # Errors
///
/// Where a folder can't be made or written to, or a pipe, a device or a folder stands in a file's
/// place. Nothing is changed then.
pub fn write_all<'f>(
    files: impl IntoIterator<Item = (PathBuf, &'f [u8])>,
) -> Result<(), FileFailure> {
    write_made(files.into_iter().map(holding))
}

/// Writes files as [`write_all`] does, each made by what fills it, so that none is held in memory.
///
/// # Errors
///
/// As for [`write_all`], and where one can't be made.
pub fn write_made<F: FnOnce(&mut File) -> io::Result<()>>(
    files: impl IntoIterator<Item = (PathBuf, F)>,
) -> Result<(), FileFailure> {
    let folders = put_in_place(files, File::sync_all)?;
    folders.iter().for_each(|folder| sync_folder(folder));
    Ok(())
}

/// Writes drafts, which are made anew soon: as [`write_all`] does, but nobody waits until they are on
/// the disk, which takes longer than a page does.
///
/// # Errors
///
/// As for [`write_all`].
pub fn write_drafts<'f>(
    files: impl IntoIterator<Item = (PathBuf, &'f [u8])>,
) -> Result<(), FileFailure> {
    put_in_place(files.into_iter().map(holding), |_| Ok(())).map(drop)
}

/// A file that is to hold some bytes.
fn holding(
    (path, bytes): (PathBuf, &[u8]),
) -> (PathBuf, impl FnOnce(&mut File) -> io::Result<()> + '_) {
    (path, |file| file.write_all(bytes))
}

/// Fills files beside their places, then puts them there. The folders that they came into.
fn put_in_place<F: FnOnce(&mut File) -> io::Result<()>>(
    files: impl IntoIterator<Item = (PathBuf, F)>,
    sync: Sync,
) -> Result<BTreeSet<PathBuf>, FileFailure> {
    let mut written = Vec::new();
    for (path, fill) in files {
        make_folder(&path)?;
        written.push(Part::of(&path, fill, sync).map_err(|error| cant_write(&path, &error))?);
    }
    let mut folders = BTreeSet::new();
    for part in written {
        folders.insert(folder_of(&part.place));
        part.take_place()?;
    }
    Ok(folders)
}

/// Writes a file where nothing is, not even a link that leads nowhere.
///
/// # Errors
///
/// Where something is there, or the folder can't be written to.
pub fn write_new(path: &Path, bytes: &[u8]) -> Result<(), FileFailure> {
    let fill = |file: &mut File| file.write_all(bytes);
    let part = Part::beside(path.to_path_buf(), None, fill, File::sync_all)
        .map_err(|error| cant_write(path, &error))?;
    let folder = folder_of(path);
    part.take_free_place()?;
    sync_folder(&folder);
    Ok(())
}

/// Ends the run at once with a status, nothing half-written being left and nothing begun any more.
pub fn leave(status: i32) -> ! {
    let parts = parts();
    for part in parts.iter() {
        // One that can't be removed is not what the user needs to hear.
        let _ = fs::remove_file(part);
    }
    process::exit(status)
}

/// The file that a path leads to, links followed, be it there or not.
///
/// # Errors
///
/// Where links lead in a circle.
pub fn led_to(path: &Path) -> io::Result<PathBuf> {
    let mut at = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match fs::read_link(&at) {
            Ok(next) => at = folder_of(&at).join(next),
            Err(_) => return Ok(at),
        }
    }
    Err(io::Error::other("its links lead in a circle"))
}

fn make_folder(file: &Path) -> Result<(), FileFailure> {
    let folder = folder_of(file);
    fs::create_dir_all(&folder).map_err(|error| {
        let failure = FileFailure::new(Deed::MakeFolder, &folder, &error);
        match error.kind() {
            io::ErrorKind::AlreadyExists => {
                FileFailure { why: "a file of that name stands there".to_owned(), ..failure }
            }
            _ => failure,
        }
    })
}

fn cant_write(path: &Path, error: &io::Error) -> FileFailure {
    FileFailure::new(Deed::Write, path, error)
}

/// A file that waits beside its place.
struct Part {
    /// The name by which it was asked for.
    asked: PathBuf,
    /// Where it is to be.
    place: PathBuf,
    /// Where it waits; taken when it leaves.
    waits: Option<TempPath>,
}

impl Part {
    /// Fills the file that is to be at a path or at what a link there names. `sync` waits until it
    /// is on the disk.
    fn of(
        path: &Path,
        fill: impl FnOnce(&mut File) -> io::Result<()>,
        sync: Sync,
    ) -> io::Result<Part> {
        let place = led_to(path)?;
        let mode = match fs::metadata(&place) {
            Ok(facts) if facts.is_file() => Some(facts.permissions()),
            Ok(facts) if facts.is_dir() => return Err(io::ErrorKind::IsADirectory.into()),
            Ok(_) => return Err(io::Error::other("it is a pipe or a device")),
            Err(error) if error.kind() == io::ErrorKind::NotFound => None,
            Err(error) => return Err(error),
        };
        let mut part = Part::beside(place, mode, fill, sync)?;
        part.asked = path.to_path_buf();
        Ok(part)
    }

    fn beside(
        place: PathBuf,
        mode: Option<Permissions>,
        fill: impl FnOnce(&mut File) -> io::Result<()>,
        sync: Sync,
    ) -> io::Result<Part> {
        clear_up_when_interrupted();
        let (mut file, waits) = begun_in(&folder_of(&place))?;
        let part = Part { asked: place.clone(), place, waits: Some(waits) };
        fill(&mut file)?;
        if let Some(mode) = mode {
            file.set_permissions(mode)?;
        }
        sync(&file)?;
        Ok(part)
    }

    /// Puts it over whatever is at its place.
    fn take_place(mut self) -> Result<(), FileFailure> {
        self.leave_with(|waits, place| waits.persist(place).map_err(|failed| failed.error))
    }

    /// Puts it at its place if nothing is there.
    fn take_free_place(mut self) -> Result<(), FileFailure> {
        self.leave_with(|waits, place| {
            waits.persist_noclobber(place).map_err(|failed| failed.error)
        })
    }

    fn leave_with(
        &mut self,
        rename: impl FnOnce(TempPath, &Path) -> io::Result<()>,
    ) -> Result<(), FileFailure> {
        let mut parts = parts();
        let Some(waits) = self.waits.take() else { return Ok(()) };
        parts.remove(&*waits);
        rename(waits, &self.place).map_err(|error| cant_write(&self.asked, &error))
    }
}

impl Drop for Part {
    /// Takes away what didn't come to its place.
    fn drop(&mut self) {
        let mut parts = parts();
        if let Some(waits) = self.waits.take() {
            parts.remove(&*waits);
        }
    }
}

/// How a file is brought onto the disk.
type Sync = fn(&File) -> io::Result<()>;

/// An empty file in a folder under a short name that no other has.
fn begun_in(folder: &Path) -> io::Result<(File, TempPath)> {
    let mut builder = Builder::new();
    builder.prefix(".").suffix(".part");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // What everyone may do that the user's own mask lets them.
        builder.permissions(Permissions::from_mode(0o666));
    }
    let mut parts = parts();
    let (file, waits) = builder.tempfile_in(folder)?.into_parts();
    parts.insert(waits.to_path_buf());
    Ok((file, waits))
}

/// Brings a folder's names onto the disk. Where the system doesn't let a folder be opened, its files
/// are there all the same.
fn sync_folder(folder: &Path) {
    if cfg!(unix) {
        let _ = File::open(folder).and_then(|folder| folder.sync_all());
    }
}

fn clear_up_when_interrupted() {
    static ONCE: Once = Once::new();
    // Who listens for interrupts already ends the run itself.
    ONCE.call_once(|| drop(ctrlc::set_handler(|| leave(INTERRUPTED))));
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use tempfile::tempdir;

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let names = entries.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned());
        let mut names: Vec<String> = names.collect();
        names.sort();
        names
    }

    #[test]
    fn where_one_file_cannot_be_written_none_is() {
        let folder = tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::write(at("a"), "old").unwrap();
        fs::create_dir(at("b")).unwrap();
        let files = [(at("a"), &b"new"[..]), (at("b"), b"new")];
        let failure = write_all(files).unwrap_err();
        assert!(failure.to_string().ends_with("b`: it is a folder"), "{failure}");
        assert_eq!(fs::read(at("a")).unwrap(), b"old");
        assert_eq!(names(folder.path()), ["a", "b"], "nothing half-written is left");
    }

    #[test]
    fn a_file_that_cannot_be_made_leaves_what_was_there() {
        let folder = tempdir().unwrap();
        let place = folder.path().join("a");
        fs::write(&place, "old").unwrap();
        let half = |file: &mut File| {
            file.write_all(b"half")?;
            Err(io::Error::other("the rest is missing"))
        };
        let failure = write_made([(place.clone(), half)]).unwrap_err();
        assert!(failure.to_string().ends_with("the rest is missing"), "{failure}");
        assert_eq!(fs::read(&place).unwrap(), b"old");
        assert_eq!(names(folder.path()), ["a"]);
    }

    #[test]
    fn a_new_file_replaces_nothing() {
        let folder = tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        write_new(&at("a"), b"one").unwrap();
        assert!(write_new(&at("a"), b"two").is_err());
        assert_eq!(fs::read(at("a")).unwrap(), b"one");
        assert_eq!(names(folder.path()), ["a"]);
    }

    #[cfg(unix)]
    #[test]
    fn mode_and_links_stay_and_pipes_are_refused() {
        use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
        let folder = tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("below")).unwrap();
        fs::write(at("below/real"), "old").unwrap();
        fs::set_permissions(at("below/real"), Permissions::from_mode(0o640)).unwrap();
        symlink("below/real", at("link")).unwrap();
        symlink("below/none", at("dangling")).unwrap();
        symlink("round", at("round")).unwrap();
        type Write<'f> = fn([(PathBuf, &'f [u8]); 1]) -> Result<(), FileFailure>;
        for write in [write_all as Write<'_>, write_drafts] {
            fs::write(at("below/real"), "old").unwrap();
            write([(at("link"), &b"new"[..])]).unwrap();
            assert!(at("link").is_symlink());
            assert_eq!(fs::read(at("below/real")).unwrap(), b"new");
            assert_eq!(fs::metadata(at("below/real")).unwrap().mode() & 0o777, 0o640);
        }
        let write = |path: PathBuf| write_all([(path, &b"new"[..])]).map_err(|failure| failure.why);
        write(at("dangling")).unwrap();
        assert_eq!(fs::read(at("below/none")).unwrap(), b"new");
        assert!(write(at("round")).unwrap_err().contains("in a circle"));
        assert!(write_new(&at("dangling"), b"new").is_err());
        let made = process::Command::new("mkfifo").arg(at("pipe")).status().unwrap();
        assert!(made.success());
        assert!(write(at("pipe")).unwrap_err().contains("a pipe or a device"));
        assert!(write("/dev/null".into()).unwrap_err().contains("a device"));
        assert_eq!(names(folder.path()), ["below", "dangling", "link", "pipe", "round"]);
    }

    #[test]
    fn a_name_as_long_as_they_can_be_is_written() {
        let folder = tempdir().unwrap();
        let longest = folder.path().join("x".repeat(255));
        write_all([(longest.clone(), &b"new"[..])]).unwrap();
        assert_eq!(fs::read(&longest).unwrap(), b"new");
        let longer = folder.path().join("x".repeat(256));
        let failure = write_all([(longer, &b"new"[..])]).unwrap_err();
        assert!(failure.to_string().contains("its name is too long"), "{failure}");
    }
}
