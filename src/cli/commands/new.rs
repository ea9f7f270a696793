//! `new`: writes a starter lesson that passes, or a lesson made of an old tab.

use super::{Failure, Status, files, print, writing};
use clap::Args;
use fretleaf::paste::{self, Pasted};
use std::fmt;
use std::path::{Path, PathBuf};

/// The lesson that `new` writes, `{title}` standing for the title.
const STARTER: &str = include_str!("../../../templates/starter.md");

/// Write a starter lesson, or make one of a tab in plain text
#[derive(Debug, Args)]
pub struct New {
    /// The lesson's name: `slow-ferry` writes `slow-ferry.md`
    #[arg(required_unless_present = "from")]
    name: Option<PathBuf>,
    /// A tab in plain text to make the lesson of; without a name the lesson is called after it
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
}

impl New {
    /// Writes the lesson; nothing is overwritten.
    pub fn run(self) -> Result<Status, Failure> {
        let name = self.name.or_else(|| self.from.as_deref().map(named_after));
        let name = name.unwrap_or_default();
        if !is_a_name(&name) {
            return Err(NotMade::NoName(name).into());
        }
        let path = with_ending(name);
        // A link is there too, wherever it leads.
        if path.is_symlink() || path.exists() {
            return Err(NotMade::Taken(path).into());
        }
        let (lesson, report) = match &self.from {
            None => (STARTER.replace("{title}", &title(&path)), Vec::new()),
            Some(tab) => {
                let pasted = pasted(tab, &title(&path))?;
                (pasted.text, pasted.report)
            }
        };
        writing::write_new(&path, lesson.as_bytes())?;
        let path = files::quoted(&path);
        let report: String = report.into_iter().map(|line| line + "\n").collect();
        print(&format!(
            "{path} is written. Check it with `fretleaf proof {path}`, print it with `fretleaf press {path}`, make the script to film it with `fretleaf script {path}`.\n{report}"
        ))
    }
}

/// Why no lesson is begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NotMade {
    /// What is to be its name names nothing.
    NoName(PathBuf),
    /// Something is there under its name.
    Taken(PathBuf),
    /// The old tab's file, by its name, is empty.
    Empty(String),
    /// It is no text.
    NoText(String),
    /// It has no music.
    NoMusic(String),
}

impl fmt::Display for NotMade {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (tab, what) = match self {
            NotMade::NoName(name) => {
                let name = name.display();
                return write!(f, "`{name}` is no name for a lesson; `first-steps` is one");
            }
            NotMade::Taken(path) => {
                return write!(f, "`{}` is there already; choose another name", path.display());
            }
            NotMade::Empty(tab) => (tab, "is empty"),
            NotMade::NoText(tab) => (tab, "is no text"),
            NotMade::NoMusic(tab) => (tab, "has no tab, chords or shapes"),
        };
        write!(f, "`{tab}` {what}; nothing is written")
    }
}

/// The lesson's name where only the tab's file is named: the same, in the folder one is in.
fn named_after(tab: &Path) -> PathBuf {
    PathBuf::from(files::stem_of(tab))
}

/// Whether a path's last part names something besides a place, an ending or nothing at all.
fn is_a_name(path: &Path) -> bool {
    let path = path.to_string_lossy();
    let last = path.rsplit(std::path::is_separator).next().unwrap_or_default();
    !last.strip_suffix(".md").unwrap_or(last).trim_matches('.').is_empty()
}

fn with_ending(name: PathBuf) -> PathBuf {
    if name.extension().is_some_and(|ending| ending == "md") {
        return name;
    }
    let mut name = name.into_os_string();
    name.push(".md");
    PathBuf::from(name)
}

/// The lesson that is made of an old tab; a text without any music is none.
fn pasted(tab: &Path, title: &str) -> Result<Pasted, Failure> {
    let input = files::Input::read(tab)?;
    if input.bytes.trim_ascii().is_empty() {
        return Err(NotMade::Empty(input.name).into());
    }
    if !paste::is_text(&input.bytes) {
        return Err(NotMade::NoText(input.name).into());
    }
    let pasted = paste::lesson(title, &paste::decoded(&input.bytes));
    if !pasted.has_music {
        return Err(NotMade::NoMusic(input.name).into());
    }
    Ok(pasted)
}

/// A title from a file's name: hyphens and underscores become spaces, the first letter a capital.
fn title(path: &Path) -> String {
    let stem = files::stem_of(path);
    let words = stem.replace(|c: char| c.is_control() || matches!(c, '-' | '_'), " ");
    let mut letters = words.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
