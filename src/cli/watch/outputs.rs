//! Files that are written as soon as they can be: whole, and later where another program holds them
//! open.

use crate::cli::commands::files::FileFailure;
use crate::cli::commands::writing;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What couldn't be written yet.
#[derive(Debug, Default)]
pub struct Outputs {
    waiting: BTreeMap<PathBuf, Vec<u8>>,
}

impl Outputs {
    /// Writes a file, its folder too where it is missing.
    ///
    /// # Errors
    ///
    /// Where it can't be written now; then it waits.
    pub fn put(&mut self, path: &Path, bytes: Vec<u8>) -> Result<(), FileFailure> {
        self.waiting.remove(path);
        let written = write(path, &bytes);
        if written.is_err() {
            self.waiting.insert(path.to_path_buf(), bytes);
        }
        written
    }

    /// Whether something waits.
    pub fn is_waiting(&self) -> bool {
        !self.waiting.is_empty()
    }

    /// Tries again to write what waits. The files that could be written.
    pub fn retry(&mut self) -> Vec<PathBuf> {
        let mut written = Vec::new();
        self.waiting.retain(|path, bytes| {
            let fails = write(path, bytes).is_err();
            if !fails {
                written.push(path.clone());
            }
            fails
        });
        written
    }
}

fn write(path: &Path, bytes: &[u8]) -> Result<(), FileFailure> {
    writing::write_drafts([(path.to_path_buf(), bytes)])
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::fs;

    #[test]
    fn what_cannot_be_written_is_written_later() {
        let folder = std::env::temp_dir().join(format!("fretleaf-outputs-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        // A folder that stands in a file's place keeps it from being written.
        fs::create_dir_all(folder.join("a.pdf/in-the-way")).unwrap();
        let mut outputs = Outputs::default();
        let told = outputs.put(&folder.join("a.pdf"), b"one".to_vec());
        assert!(told.unwrap_err().to_string().contains("a.pdf"));
        assert!(outputs.retry().is_empty() && outputs.is_waiting());
        assert!(outputs.put(&folder.join("a.pdf"), b"two".to_vec()).is_err());
        fs::remove_dir_all(folder.join("a.pdf")).unwrap();
        assert_eq!(outputs.retry(), [folder.join("a.pdf")]);
        assert_eq!(fs::read(folder.join("a.pdf")).unwrap(), b"two");
        assert!(!outputs.is_waiting());
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 1, "nothing half-written is left");
        fs::remove_dir_all(&folder).unwrap();
    }
}
