//! Folders of tests.

#![allow(clippy::unwrap_used)]

use std::fs;
use std::path::PathBuf;

/// A folder of a test's own, empty at its start.
pub fn own_folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    let _ = fs::remove_dir_all(&folder);
    fs::create_dir_all(&folder).unwrap();
    folder
}
