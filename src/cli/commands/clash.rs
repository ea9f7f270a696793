//! Clashes: what a run is to write is held against what it reads and against itself before the first
//! file is written.

use super::files::folder_of;
use super::writing::led_to;
use std::collections::BTreeMap;
use std::fmt;
use std::fs;
use std::path::{Component, Path, PathBuf};
use unicode_normalization::UnicodeNormalization;

/// What a run reads and what it is to write, by where it lies, whatever names lead there.
#[derive(Debug, Default)]
pub struct Claims {
    read: BTreeMap<Spot, String>,
    written: BTreeMap<Spot, Claim>,
}

/// A file that is to be written: its path, and what it is in words.
type Claim = (PathBuf, String);

/// A file that would take the place of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Clash {
    /// What the run is to write lies where it reads.
    Replaces {
        /// What is to be written.
        claim: Claim,
        /// What is read, in words.
        read: String,
    },
    /// Two files lie at one place.
    Twice {
        /// The one that was claimed first.
        first: Claim,
        /// The other.
        second: Claim,
    },
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Clash::Replaces { claim: (path, what), read } => {
                write!(f, "{what} would replace `{}`, which is {read}", path.display())?;
            }
            Clash::Twice { first: (path, one), second: (other, two) } if path == other => {
                write!(f, "{one} and {two} would both be `{}`", path.display())?;
            }
            Clash::Twice { first: (path, one), second: (other, two) } => {
                let (path, other) = (path.display(), other.display());
                write!(f, "{one} and {two} would be one file, `{path}` and `{other}`")?;
            }
        }
        write!(f, "; {ADVICE}")
    }
}

/// By what a file is known.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Spot {
    /// Where it lies, links followed.
    Place(PathBuf),
    /// The same with its name as systems read it that don't tell capital letters from small ones.
    AnyCase(PathBuf),
    /// What it is on the disk under all its names: its device and its number there.
    #[cfg(unix)]
    Inode(u64, u64),
}

impl Claims {
    /// Takes note of a file that the run reads; `what` it is in words.
    pub fn read(&mut self, path: &Path, what: impl Into<String>) {
        let what = what.into();
        for spot in known_by(path) {
            self.read.entry(spot).or_insert_with(|| what.clone());
        }
    }

    /// Whether the run reads a file.
    pub fn reads(&self, path: &Path) -> bool {
        known_by(path).iter().any(|spot| self.read.contains_key(spot))
    }

    /// Takes note of a file that the run is to write; `what` it is in words.
    ///
    /// # Errors
    ///
    /// Where the run reads that file, or is to write it twice.
    pub fn write(&mut self, path: &Path, what: impl Into<String>) -> Result<(), Clash> {
        let claim = (path.to_path_buf(), what.into());
        let mut spots = known_by(path);
        if let Some(read) = spots.iter().find_map(|spot| self.read.get(spot)) {
            return Err(Clash::Replaces { claim, read: read.clone() });
        }
        spots.push(Spot::AnyCase(in_any_case(&location(path))));
        if let Some(first) = spots.iter().find_map(|spot| self.written.get(spot)) {
            return Err(Clash::Twice { first: first.clone(), second: claim });
        }
        self.written.extend(spots.into_iter().map(|spot| (spot, claim.clone())));
        Ok(())
    }
}

const ADVICE: &str = "give one of them another name, or choose another folder with --out";

fn known_by(path: &Path) -> Vec<Spot> {
    let mut spots = vec![Spot::Place(location(path))];
    #[cfg(unix)]
    if let Ok(facts) = fs::metadata(path) {
        use std::os::unix::fs::MetadataExt;
        spots.push(Spot::Inode(facts.dev(), facts.ino()));
    }
    spots
}

/// Where the file lies that a path leads to, be it there or not: from the root on, without links.
pub fn location(path: &Path) -> PathBuf {
    let file = led_to(path).unwrap_or_else(|_| path.to_path_buf());
    let folder = whole(&folder_of(&file));
    file.file_name().map_or_else(|| folder.clone(), |name| folder.join(name))
}

/// A folder's path from the root on, without links: what of it isn't there yet is taken as it is
/// written.
fn whole(folder: &Path) -> PathBuf {
    if let Ok(real) = fs::canonicalize(folder) {
        return real;
    }
    let mut parts = folder.components();
    let Some(last) = parts.next_back() else { return folder.to_path_buf() };
    let rest = parts.as_path();
    let mut before = if rest.as_os_str().is_empty() { whole(Path::new(".")) } else { whole(rest) };
    match last {
        Component::Normal(name) => before.push(name),
        Component::ParentDir => drop(before.pop()),
        _ => {}
    }
    before
}

fn in_any_case(place: &Path) -> PathBuf {
    let name = place.file_name().unwrap_or_default().to_string_lossy();
    place.with_file_name(name.nfc().collect::<String>().to_lowercase())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use tempfile::tempdir;

    #[test]
    fn one_file_is_known_by_all_its_names() {
        let folder = tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("in")).unwrap();
        fs::write(at("a.png"), "").unwrap();
        fs::hard_link(at("a.png"), at("hard.png")).unwrap();
        let names = ["a.png", "./a.png", "in/../a.png", "none/../a.png", "hard.png"];
        for name in names {
            let mut claims = Claims::default();
            claims.read(&at("a.png"), "a picture");
            let told = claims.write(&at(name), "page 1").unwrap_err().to_string();
            assert!(told.starts_with("page 1 would replace `"), "{told}");
            assert!(told.contains("which is a picture"), "{told}");
        }
        let mut claims = Claims::default();
        claims.read(&at("a.png"), "a picture");
        claims.write(&at("b.png"), "page 1").unwrap();
        for name in ["b.png", "in/../b.png", "B.png"] {
            let told = claims.write(&at(name), "page 2").unwrap_err().to_string();
            assert!(told.starts_with("page 1 and page 2 would"), "{told}");
        }
        claims.write(&at("none/b.png"), "page 3").unwrap();
        assert!(claims.write(&at("none/in/../b.png"), "page 4").is_err());
    }

    #[cfg(unix)]
    #[test]
    fn links_are_followed_also_where_they_lead_nowhere_yet() {
        use std::os::unix::fs::symlink;
        let folder = tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        fs::create_dir(at("real")).unwrap();
        symlink("real", at("link")).unwrap();
        symlink("real/b.pdf", at("dangling.pdf")).unwrap();
        let mut claims = Claims::default();
        claims.write(&at("real/a.pdf"), "one").unwrap();
        assert!(claims.write(&at("link/a.pdf"), "other").is_err());
        claims.write(&at("link/b.pdf"), "one").unwrap();
        assert!(claims.write(&at("dangling.pdf"), "other").is_err());
    }
}
