//! `new`: writes a starter lesson that passes.

use super::{Failure, Status, files, print};
use clap::Args;
use std::path::{Path, PathBuf};

/// The lesson that `new` writes, `{title}` standing for the title.
const STARTER: &str = include_str!("../../templates/starter.md");

/// Write a starter lesson
#[derive(Debug, Args)]
pub struct New {
    /// The lesson's name: `slow-ferry` writes `slow-ferry.md`
    name: PathBuf,
}

impl New {
    /// Writes the lesson; nothing is overwritten.
    pub fn run(self) -> Result<Status, Failure> {
        let path = if self.name.extension().is_some_and(|ending| ending == "md") {
            self.name
        } else {
            let mut name = self.name.into_os_string();
            name.push(".md");
            PathBuf::from(name)
        };
        if path.exists() {
            return Err(Failure(format!(
                "`{}` is there already; choose another name",
                path.display()
            )));
        }
        files::write_whole(&path, STARTER.replace("{title}", &title(&path)).as_bytes())?;
        let path = path.display();
        print(&format!(
            "{path} is written. Check it with `fretleaf proof {path}`, print it with `fretleaf press {path}`.\n"
        ))
    }
}

/// A title from a file's name: hyphens and underscores become spaces, the first letter a capital.
fn title(path: &Path) -> String {
    let words = files::stem_of(path).replace(['-', '_'], " ");
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
