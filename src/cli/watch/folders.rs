//! The folders that are watched. Folders and not files, since most editors save by putting another
//! file in the old one's place, and the old one then is watched in vain.

use crate::cli::commands::writing::led_to;
use crate::cli::commands::{Failure, Service, files};
use notify::{EventHandler, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::{BTreeMap, BTreeSet};
use std::fs::Metadata;
use std::path::{Path, PathBuf};

/// The folders that are watched.
pub struct Folders {
    watcher: RecommendedWatcher,
    /// Each folder by the name that it was asked for, with what is watched for it; `None` while it
    /// isn't there.
    watched: BTreeMap<PathBuf, Option<Standing>>,
}

/// A folder as it stands on the disk.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Standing {
    /// Its path without links.
    path: PathBuf,
    /// What tells it from another folder of that path.
    identity: Identity,
}

#[cfg(unix)]
type Identity = (u64, u64);
#[cfg(not(unix))]
type Identity = Option<std::time::SystemTime>;

#[cfg(unix)]
fn identity(folder: &Metadata) -> Identity {
    use std::os::unix::fs::MetadataExt;
    (folder.dev(), folder.ino())
}

#[cfg(not(unix))]
fn identity(folder: &Metadata) -> Identity {
    folder.created().ok()
}

impl Standing {
    fn of(folder: &Path) -> Option<Standing> {
        let path = folder.canonicalize().ok()?;
        let facts = path.metadata().ok().filter(Metadata::is_dir)?;
        Some(Standing { path, identity: identity(&facts) })
    }
}

impl Folders {
    /// No folders yet; what happens in those to come is told to a handler.
    ///
    /// # Errors
    ///
    /// Where the system doesn't let folders be watched.
    pub fn new(handler: impl EventHandler) -> Result<Folders, Failure> {
        let watcher =
            notify::recommended_watcher(handler).map_err(|error| Service::Saves.denied(error))?;
        Ok(Folders { watcher, watched: BTreeMap::new() })
    }

    /// Watches these folders and no others. Whether some are new: what happened in those before went
    /// unheard.
    pub fn want(&mut self, wanted: &BTreeSet<PathBuf>) -> bool {
        let left: Vec<PathBuf> =
            self.watched.keys().filter(|folder| !wanted.contains(*folder)).cloned().collect();
        for folder in left {
            if let Some(Some(standing)) = self.watched.remove(&folder) {
                self.leave(&standing);
            }
        }
        let new: Vec<&PathBuf> =
            wanted.iter().filter(|folder| !self.watched.contains_key(*folder)).collect();
        for folder in &new {
            let standing = self.enter(folder);
            self.watched.insert((*folder).clone(), standing);
        }
        !new.is_empty()
    }

    /// Looks whether each folder still is the one that is watched: another may stand in its place,
    /// which nobody tells. The folders that were entered anew.
    pub fn look_again(&mut self) -> Vec<PathBuf> {
        let stale: Vec<PathBuf> = self
            .watched
            .iter()
            .filter(|(folder, standing)| Standing::of(folder) != **standing)
            .map(|(folder, _)| folder.clone())
            .collect();
        for folder in &stale {
            if let Some(Some(old)) = self.watched.remove(folder) {
                self.leave(&old);
            }
            let standing = self.enter(folder);
            self.watched.insert(folder.clone(), standing);
        }
        stale
    }

    fn enter(&mut self, folder: &Path) -> Option<Standing> {
        let standing = Standing::of(folder)?;
        self.watcher.watch(&standing.path, RecursiveMode::NonRecursive).ok()?;
        Some(standing)
    }

    /// Ceases to watch a folder, unless it is watched under another name too.
    fn leave(&mut self, standing: &Standing) {
        if !self.watched.values().flatten().any(|other| other.path == standing.path) {
            // Where it is gone already, so is its watch.
            let _ = self.watcher.unwatch(&standing.path);
        }
    }
}

/// The names under which the system may tell of a file: in its folder, and where it is a link, what
/// it leads to.
pub fn names_of(file: &Path) -> Vec<PathBuf> {
    let Some(name) = file.file_name() else { return Vec::new() };
    let folder = files::folder_of(file);
    let mut names = vec![folder.canonicalize().unwrap_or(folder).join(name)];
    names.extend(real(file).filter(|real| !names.contains(real)));
    names
}

/// Where a file lies, links followed, be it there or not: one that is gone may come back.
fn real(file: &Path) -> Option<PathBuf> {
    let file = led_to(file).ok()?;
    let folder = files::folder_of(&file);
    Some(folder.canonicalize().unwrap_or(folder).join(file.file_name()?))
}

/// The folders to watch for a file: its own, and where it is a link, that of what it leads to.
pub fn around(file: &Path) -> impl Iterator<Item = PathBuf> {
    let real = real(file).map(|real| files::folder_of(&real));
    let own = files::folder_of(file);
    let real = real.filter(|real| own.canonicalize().ok().as_ref() != Some(real));
    std::iter::once(own).chain(real)
}

#[cfg(all(test, unix))]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::os::unix::fs::symlink;

    #[test]
    fn what_a_link_leads_to_is_watched_while_it_is_gone() {
        let place = tempfile::tempdir().unwrap();
        let link = place.path().join("a.md");
        symlink("real/a.md", &link).unwrap();
        let real = place.path().join("real");
        assert!(around(&link).any(|folder| folder == real));
        std::fs::create_dir(&real).unwrap();
        let name = real.canonicalize().unwrap().join("a.md");
        assert!(names_of(&link).contains(&name));
    }
}
