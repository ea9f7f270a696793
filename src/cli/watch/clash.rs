//! Clashes while watching: no lesson's output may take the place of what a lesson reads, or of another
//! output.

use super::build::Reads;
use crate::cli::commands::clash::{Claims, Clash, location};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// Who writes and who reads what, by where it lies, so that a build asks of its own files only, however
/// many lessons there are.
#[derive(Debug, Default)]
pub struct Places {
    /// Each output's place with its lesson, or the dependency file.
    written: BTreeMap<PathBuf, PathBuf>,
    /// The lessons that read or once read what lies at a place.
    readers: BTreeMap<PathBuf, BTreeSet<PathBuf>>,
}

impl Places {
    /// Takes a lesson or another writer in with all that it writes; with the first output that
    /// another has, nothing is taken in.
    ///
    /// # Errors
    ///
    /// That output and who has it.
    pub fn admit(&mut self, writer: &Path, outputs: &[PathBuf]) -> Result<(), (PathBuf, PathBuf)> {
        let places: Vec<PathBuf> = outputs.iter().map(|output| location(output)).collect();
        for (place, output) in places.iter().zip(outputs) {
            if let Some(other) = self.written.get(place) {
                return Err((output.clone(), other.clone()));
            }
        }
        self.written.extend(places.into_iter().map(|place| (place, writer.to_path_buf())));
        Ok(())
    }

    /// Notes that a lesson reads itself and other files.
    pub fn note<'f>(&mut self, lesson: &'f Path, others: impl Iterator<Item = &'f PathBuf>) {
        for file in std::iter::once(lesson).chain(others.map(PathBuf::as_path)) {
            self.readers.entry(location(file)).or_default().insert(lesson.to_path_buf());
        }
    }

    /// A lesson that reads or once read a file.
    pub fn reader(&self, file: &Path) -> Option<&Path> {
        self.readers.get(&location(file))?.first().map(PathBuf::as_path)
    }

    /// Holds a lesson's outputs against what it reads itself, and against what others do;
    /// `still_reads` says whether a lesson reads a place today.
    ///
    /// # Errors
    ///
    /// What would be replaced.
    pub fn hold(
        &self,
        lesson: &Path,
        reads: &Reads,
        outputs: &[PathBuf],
        still_reads: impl Fn(&Path, &Path) -> bool,
    ) -> Result<(), Clash> {
        let mut claims = Claims::default();
        claims.read(lesson, "the lesson");
        for file in reads.others.keys() {
            claims.read(file, "a file that it names");
        }
        for output in outputs {
            let place = location(output);
            let readers = self.readers.get(&place).into_iter().flatten();
            let mut others = readers.filter(|other| *other != lesson);
            if let Some(other) = others.find(|other| still_reads(other, &place)) {
                claims.read(output, format!("read for `{}`", other.display()));
            }
            claims.write(output, "an output")?;
        }
        Ok(())
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    fn reads(files: &[&str]) -> Reads {
        let others = files.iter().map(|file| (PathBuf::from(file), None)).collect();
        Reads { lesson: 0, others }
    }

    #[test]
    fn outputs_are_held_against_what_every_lesson_reads() {
        let mut places = Places::default();
        let (a, b) = (Path::new("a.md"), Path::new("b.md"));
        places.admit(a, &["a.pdf".into()]).unwrap();
        let taken = places.admit(b, &["./a.pdf".into()]).unwrap_err();
        assert_eq!(taken, (PathBuf::from("./a.pdf"), PathBuf::from("a.md")));
        places.admit(b, &["b.pdf".into()]).unwrap();
        places.note(b, [PathBuf::from("a.pdf")].iter());
        let held = |reads: &Reads, today: bool| {
            places
                .hold(a, reads, &["a.pdf".into()], |_, _| today)
                .map_err(|clash| clash.to_string())
        };
        assert!(held(&reads(&[]), true).unwrap_err().contains("read for `b.md`"));
        assert_eq!(held(&reads(&[]), false), Ok(()), "it did once");
        let own = held(&reads(&["in/../a.pdf"]), false).unwrap_err();
        assert!(own.starts_with("an output would replace `a.pdf`, which is a file that it names"));
    }
}
