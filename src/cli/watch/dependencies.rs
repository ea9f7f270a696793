//! The dependency file: what each handout is made of, as rules that make and its relatives read.

use fretleaf::findings::report::visible;
use std::collections::BTreeSet;
use std::fmt::{self, Write};
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
/// Where make would read a file's name, or a part of it, as something else.
pub fn text(made: &[Made]) -> Result<String, Untold> {
    let mut rules = String::new();
    for one in made {
        let from = one.from.iter().map(|path| escaped(path)).collect::<Result<Vec<_>, _>>()?;
        // Writing to a string does not fail.
        let _ = writeln!(rules, "{}: {}", escaped(&one.target)?, from.join(" "));
    }
    let sources: BTreeSet<&PathBuf> = made.iter().flat_map(|one| &one.from).collect();
    for source in sources {
        let _ = write!(rules, "\n{}:\n", escaped(source)?);
    }
    Ok(rules)
}

/// A path as make reads it back (GNU make's manual, sections 3.1, 4.3, 4.4 and 6.1): spaces, `#`, `:`
/// and the signs of patterns behind a backslash, a dollar sign doubled.
fn escaped(path: &Path) -> Result<String, Untold> {
    let name = path.to_str().filter(|name| is_sayable(name));
    let name = name.ok_or_else(|| Untold::Unsayable(path.to_path_buf()))?;
    let mut escaped = String::new();
    for c in name.chars() {
        match c {
            '\\' => escaped.push('/'),
            ' ' | '#' | ':' | '*' | '?' | '[' if !is_drive(path, c, &escaped) => {
                escaped.extend(['\\', c]);
            }
            '$' => escaped.push_str("$$"),
            c => escaped.push(c),
        }
    }
    Ok(escaped)
}

/// Whether a file's name can be told to make at all. There is no way to escape the signs of a recipe,
/// a variable, an order and a pattern (`;`, `=`, `|`, `%`) in every place, nor a user's folder (`~`), a
/// member of an archive (`a(b)`), targets that are made together (`&:`), or a name by which make itself
/// is told something (`.PHONY`).
fn is_sayable(name: &str) -> bool {
    // On some systems a backslash parts folders.
    let parts_none = |c: char| c == '\\' && !std::path::is_separator(c);
    let taken = |c: char| c.is_control() || matches!(c, ';' | '=' | '|' | '%') || parts_none(c);
    let plain = name.strip_prefix("./").unwrap_or(name);
    let first = plain.starts_with('~') || (plain.starts_with('.') && !plain.contains('/'));
    let last = name.ends_with([')', '&']) || name.contains("&:");
    !name.contains(taken) && !first && !last
}

/// Why no dependency file is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Untold {
    /// Make would misread a file's name.
    Unsayable(PathBuf),
    /// A lesson reads the file that is to be written.
    Read {
        /// The file.
        file: PathBuf,
        /// The lesson.
        lesson: PathBuf,
    },
}

impl fmt::Display for Untold {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Untold::Unsayable(path) => {
                let name = visible::on_one_line(&path.to_string_lossy());
                write!(
                    f,
                    "no dependency file is written: make would misread the name `{name}`; give it \
                     another one, of letters, digits, spaces, `-`, `_` and `.`"
                )
            }
            Untold::Read { file, lesson } => {
                let (file, lesson) = (file.display(), lesson.display());
                write!(f, "`{file}` is not written, since `{lesson}` reads it")
            }
        }
    }
}

/// Whether a colon follows the letter of a drive, where none is escaped.
fn is_drive(path: &Path, c: char, before: &str) -> bool {
    cfg!(windows) && c == ':' && before.len() == 1 && path.is_absolute()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use std::time::{Duration, UNIX_EPOCH};

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
        for name in [
            "a\nb.md",
            "a\tb.md",
            "hand%.png;touch${IFS}X",
            "a=b.md",
            "a|b.md",
            "a\\b.md",
            "~a.md",
            "./.PHONY",
            "a(1)",
            "a&",
            "a&:b",
        ] {
            let told = text(&[made("out.pdf", &["b.md", name])]).unwrap_err().to_string();
            assert!(told.contains("make would misread the name `"), "{name}: {told}");
            assert!(text(&[made(name, &["b.md"])]).is_err(), "{name}");
        }
    }

    /// Names that make reads back as they are, by real make where there is one.
    #[test]
    fn make_reads_the_names_back() {
        let names = ["a b.md", "é.md", "a#b", "a:b", "a$b", "a[1]", "a*b", "a?b", "a&b (1).md"];
        let folder = tempfile::tempdir().unwrap();
        let from: Vec<PathBuf> = names.iter().map(PathBuf::from).collect();
        let rules = text(&[Made { target: "the out.pdf".into(), from }]).unwrap();
        let head =
            "the\\ out.pdf: a\\ b.md é.md a\\#b a\\:b a$$b a\\[1] a\\*b a\\?b a&b\\ (1).md\n";
        assert!(rules.starts_with(head), "{rules}");
        let recipe = "\t@touch \"$@\"\n";
        let rules = rules.replacen('\n', &format!("\n{recipe}"), 1);
        std::fs::write(folder.path().join("rules"), rules).unwrap();
        let make = |arguments: &[&str]| {
            let mut make = std::process::Command::new("make");
            make.args(["-f", "rules", "the out.pdf"]).args(arguments).current_dir(&folder);
            make.status()
        };
        let set = |name: &str, seconds: u64| {
            let file = std::fs::File::create(folder.path().join(name)).unwrap();
            file.set_modified(UNIX_EPOCH + Duration::from_secs(seconds)).unwrap();
        };
        names.iter().for_each(|name| set(name, 1_000));
        // Where there is no make, what stands in the rules was seen above.
        let Ok(made) = make(&[]) else { return };
        assert!(made.success());
        for name in names {
            set("the out.pdf", 2_000);
            assert!(make(&["-q"]).unwrap().success(), "all is older");
            set(name, 3_000);
            assert_eq!(make(&["-q"]).unwrap().code(), Some(1), "{name} is newer");
            set(name, 1_000);
        }
    }
}
