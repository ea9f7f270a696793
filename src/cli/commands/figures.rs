//! Figures for the screen: how they are asked for, and the folder that holds them with the list of those that
//! we wrote.

use super::files::{Deed, FileFailure};
use clap::{Args, ValueEnum};
use fretleaf::script::files;
use fretleaf::script::screen::{Ink, Size, Wanted};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// How the figures for the screen are to be.
#[derive(Debug, Args)]
pub struct ScreenLooks {
    /// The colour of the figures' lines and letters: light is white on black
    #[arg(long, value_enum, default_value_t = InkName::Dark, requires = "figures")]
    ink: InkName,
    /// Leave out the paper behind the figures, to lay them over a film
    #[arg(long, requires = "figures")]
    clear: bool,
    /// The figures' width and height in dots, 16 to 7680 each, instead of 1920x1080 and 3840x2160
    #[arg(long, value_name = "WIDTHxHEIGHT", requires = "figures")]
    at: Option<Size>,
}

/// The inks as the command line names them.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum InkName {
    /// Black, on white paper
    Dark,
    /// White, on black
    Light,
}

impl ScreenLooks {
    /// The figures that are wanted.
    pub fn wanted(&self) -> Wanted {
        let ink = match self.ink {
            InkName::Dark => Ink::Dark,
            InkName::Light => Ink::Light,
        };
        Wanted { ink, clear: self.clear, at: self.at }
    }
}

/// The folder of a lesson's figures.
pub struct Folder {
    /// Its name in the folder that is written to.
    pub name: String,
    place: PathBuf,
    /// What earlier runs wrote there.
    listed: BTreeSet<String>,
}

impl Folder {
    /// The folder of a lesson of a name, in the folder that is written to.
    ///
    /// # Errors
    ///
    /// Where its list can't be read, or is a file of another's.
    pub fn of(out: &Path, stem: &str) -> Result<Folder, FileFailure> {
        let name = files::figures_name(stem);
        let place = out.join(&name);
        let list = place.join(files::LIST);
        let listed =
            files::listed(&list).map_err(|error| FileFailure::new(Deed::Read, &list, &error))?;
        Ok(Folder { name, place, listed })
    }

    /// A file's path from the folder on that is written to.
    pub fn path_of(&self, file: &str) -> String {
        format!("{}/{file}", self.name)
    }

    /// The list of what earlier runs wrote and of what this one does: whatever happens before the old ones
    /// are cleared, the next run knows of them. `None` where there is nothing.
    pub fn whole_list(&self, now: &BTreeSet<String>) -> Option<String> {
        let all: BTreeSet<&str> = self.listed.iter().chain(now).map(String::as_str).collect();
        (!all.is_empty()).then(|| files::list(&all))
    }

    /// Clears the figures of earlier runs that no cue shows any more, but none that a lesson reads. The list
    /// of those that stay, where there was one.
    ///
    /// # Errors
    ///
    /// Where one can't be cleared.
    pub fn clear_outdated(
        &self,
        now: &BTreeSet<String>,
        is_read: impl Fn(&Path) -> bool,
    ) -> Result<Option<String>, FileFailure> {
        let old = self.listed.difference(now).map(|name| self.place.join(name));
        let old: Vec<PathBuf> = old.filter(|path| !is_read(path)).collect();
        for path in old.iter().filter(|path| is_plain_file(path)) {
            fs::remove_file(path).map_err(|error| FileFailure::new(Deed::Clear, path, &error))?;
        }
        let now = now.iter().map(String::as_str).collect();
        Ok((!self.listed.is_empty()).then(|| files::list(&now)))
    }

    /// Where the list lies.
    pub fn list(&self) -> PathBuf {
        self.place.join(files::LIST)
    }
}

fn is_plain_file(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|facts| facts.is_file())
}
