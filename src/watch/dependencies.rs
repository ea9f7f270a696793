//! The dependency file: what each handout is made of, as rules that make and its relatives read.

use crate::commands::Failure;
use std::collections::BTreeSet;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// A handout, and the files that it was made from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    /// The handout.
    pub target: PathBuf,
    /// The lesson, its pictures, its template.
    pub from: Vec<PathBuf>,
}

/// The rules as text: one for each handout, and an empty one for each file that it is made from, so
/// that a picture which is no longer there doesn't stop the next build.
///
/// # Errors
///
/// Where a file's name has a line end in it, or a handout's a `%`, which such a file can't say.
pub fn text(made: &[Made]) -> Result<String, Failure> {
    let mut rules = String::new();
    for one in made {
        let from = one.from.iter().map(|path| escaped(path)).collect::<Result<Vec<_>, _>>()?;
        // Writing to a string does not fail.
        let _ = writeln!(rules, "{}: {}", target(&one.target)?, from.join(" "));
    }
    let sources: BTreeSet<&PathBuf> = made.iter().flat_map(|one| &one.from).collect();
    // With a percent sign the rule would be one for many files.
    for source in sources.into_iter().filter_map(|path| target(path).ok()) {
        let _ = write!(rules, "\n{source}:\n");
    }
    Ok(rules)
}

fn target(path: &Path) -> Result<String, Failure> {
    if path.to_string_lossy().contains('%') { Err(unsayable(path)) } else { escaped(path) }
}

/// A path as make reads it back (GNU make's manual, sections 4.3 and 6.1): spaces, `#` and `:`
/// behind a backslash, a dollar sign doubled.
fn escaped(path: &Path) -> Result<String, Failure> {
    let mut name = String::new();
    for c in path.to_string_lossy().chars() {
        match c {
            '\n' | '\r' => return Err(unsayable(path)),
            ' ' | '\t' | '#' | ':' if !is_drive(path, c, &name) => name.extend(['\\', c]),
            '$' => name.push_str("$$"),
            c => name.push(c),
        }
    }
    Ok(name)
}

fn unsayable(path: &Path) -> Failure {
    let name = path.to_string_lossy().replace(['\n', '\r'], "␤");
    Failure(format!("`{name}` has a line end or a percent sign in it, which --deps can't say"))
}

/// Whether a colon follows the letter of a drive, where none is escaped.
fn is_drive(path: &Path, c: char, before: &str) -> bool {
    cfg!(windows) && c == ':' && before.len() == 1 && path.is_absolute()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn rules_name_each_file_once_more() {
        let made = |target: &str, from: &[&str]| Made {
            target: target.into(),
            from: from.iter().map(PathBuf::from).collect(),
        };
        let rules = text(&[
            made("out/a.pdf", &["a.md", "the hand.png"]),
            made("out/b.pdf", &["b.md", "the hand.png", "1$#.toml"]),
        ]);
        assert_eq!(
            rules.unwrap(),
            "out/a.pdf: a.md the\\ hand.png\nout/b.pdf: b.md the\\ hand.png 1$$\\#.toml\n\
             \n1$$\\#.toml:\n\na.md:\n\nb.md:\n\nthe\\ hand.png:\n"
        );
        assert!(text(&[made("a.pdf", &["a\nb.md"])]).is_err());
        assert!(text(&[made("a%.pdf", &["a%.md"])]).is_err());
        let percent = text(&[made("out.pdf", &["a%.md", "b.md"])]);
        assert_eq!(percent.unwrap(), "out.pdf: a%.md b.md\n\nb.md:\n");
    }
}
