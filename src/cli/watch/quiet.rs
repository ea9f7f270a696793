//! The debounce: from what the system tells of files to the moment at which each is read again.

use notify::event::{AccessKind, AccessMode, EventKind, ModifyKind, RenameMode};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

/// How long nothing must happen to a file before it is read, where the system does not tell that a
/// save is over. Assumed: an editor writes a lesson in less, and a reader doesn't notice it.
pub const QUIET: Duration = Duration::from_millis(30);

/// Whether this system tells that a file which was written to is closed. Where it does, a write is
/// no reason to read the file: its end is.
const TELLS_CLOSING: bool = cfg!(any(target_os = "linux", target_os = "android"));

/// What an event says about a save.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Save {
    /// It is over.
    Over,
    /// It may go on.
    Begun,
    /// It goes on, if it has begun.
    GoesOn,
}

/// What an event of a kind says; `None` for those that change nothing, such as reading.
pub fn told(kind: EventKind) -> Option<Save> {
    match kind {
        EventKind::Access(AccessKind::Close(AccessMode::Write))
        | EventKind::Modify(ModifyKind::Name(RenameMode::To | RenameMode::Both)) => {
            Some(Save::Over)
        }
        EventKind::Access(_) | EventKind::Modify(ModifyKind::Metadata(_)) => None,
        EventKind::Modify(ModifyKind::Data(_) | ModifyKind::Any) if TELLS_CLOSING => {
            Some(Save::GoesOn)
        }
        EventKind::Modify(_)
        | EventKind::Create(_)
        | EventKind::Remove(_)
        | EventKind::Any
        | EventKind::Other => Some(Save::Begun),
    }
}

/// The files that are to be read again, and when.
#[derive(Debug, Default)]
pub struct Quiet {
    due: BTreeMap<PathBuf, Instant>,
}

impl Quiet {
    /// Takes note of what was told of a file.
    pub fn note(&mut self, path: &Path, save: Save, now: Instant) {
        let due = match save {
            Save::Over => now,
            Save::Begun => now + QUIET,
            Save::GoesOn if self.due.contains_key(path) => now + QUIET,
            Save::GoesOn => return,
        };
        self.due.insert(path.to_path_buf(), due);
    }

    /// Asks for a file to be read after a while, unless it is to be read anyway.
    pub fn later(&mut self, path: &Path, at: Instant) {
        self.due.entry(path.to_path_buf()).or_insert(at);
    }

    /// When the first file is due.
    pub fn next(&self) -> Option<Instant> {
        self.due.values().min().copied()
    }

    /// The files that are due.
    pub fn take(&mut self, now: Instant) -> Vec<PathBuf> {
        let due: Vec<PathBuf> =
            self.due.iter().filter(|(_, at)| **at <= now).map(|(path, _)| path.clone()).collect();
        for path in &due {
            self.due.remove(path);
        }
        due
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use notify::event::{CreateKind, DataChange, MetadataKind, RemoveKind};

    #[test]
    fn only_what_changes_a_file_counts() {
        let wrote = EventKind::Modify(ModifyKind::Data(DataChange::Any));
        for (kind, save) in [
            (EventKind::Access(AccessKind::Open(AccessMode::Any)), None),
            (EventKind::Access(AccessKind::Close(AccessMode::Read)), None),
            (EventKind::Modify(ModifyKind::Metadata(MetadataKind::Any)), None),
            (EventKind::Access(AccessKind::Close(AccessMode::Write)), Some(Save::Over)),
            (EventKind::Modify(ModifyKind::Name(RenameMode::To)), Some(Save::Over)),
            (EventKind::Modify(ModifyKind::Name(RenameMode::From)), Some(Save::Begun)),
            (EventKind::Create(CreateKind::File), Some(Save::Begun)),
            (EventKind::Remove(RemoveKind::File), Some(Save::Begun)),
            (wrote, Some(if TELLS_CLOSING { Save::GoesOn } else { Save::Begun })),
        ] {
            assert_eq!(told(kind), save, "{kind:?}");
        }
    }

    #[test]
    fn a_file_is_due_at_once_or_when_it_is_quiet() {
        let (path, start) = (Path::new("a.md"), Instant::now());
        let after = |steps: &[(Save, u64)]| {
            let mut quiet = Quiet::default();
            for (save, millis) in steps {
                quiet.note(path, *save, start + Duration::from_millis(*millis));
            }
            quiet.next().map(|due| due - start)
        };
        assert_eq!(after(&[(Save::GoesOn, 0)]), None);
        assert_eq!(after(&[(Save::Begun, 0)]), Some(QUIET));
        assert_eq!(
            after(&[(Save::Begun, 0), (Save::GoesOn, 9)]),
            Some(QUIET + Duration::from_millis(9))
        );
        assert_eq!(after(&[(Save::Begun, 0), (Save::Over, 2)]), Some(Duration::from_millis(2)));
    }

    #[test]
    fn what_is_due_is_taken_once() {
        let (now, mut quiet) = (Instant::now(), Quiet::default());
        quiet.note(Path::new("a.md"), Save::Over, now);
        quiet.note(Path::new("b.md"), Save::Begun, now);
        assert_eq!(quiet.take(now), [PathBuf::from("a.md")]);
        assert_eq!(quiet.take(now), Vec::<PathBuf>::new());
        assert_eq!(quiet.take(now + QUIET), [PathBuf::from("b.md")]);
        assert_eq!(quiet.next(), None);
    }
}
