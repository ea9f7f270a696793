//! Which lessons are made from which files, so that what happened to a file leads straight to them,
//! however many lessons there are.

use super::folders;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// The lessons by the files that they are made from.
#[derive(Debug, Default)]
pub struct Readers {
    /// For each name under which the system may tell of a file, the lessons that are made from it.
    lessons: BTreeMap<PathBuf, BTreeSet<PathBuf>>,
    /// What is known of each lesson.
    known: BTreeMap<PathBuf, Known>,
}

/// What is known of a lesson.
#[derive(Debug, Default)]
struct Known {
    /// The names under which the system may tell of its files.
    names: BTreeSet<PathBuf>,
    /// The folders to watch for them.
    folders: BTreeSet<PathBuf>,
}

impl Readers {
    /// Notes the files that a lesson is made from, as they lie now.
    pub fn note<'f>(&mut self, lesson: &Path, files: impl Iterator<Item = &'f Path>) {
        let mut known = Known::default();
        for file in files {
            known.names.extend(folders::names_of(file));
            known.folders.extend(folders::around(file));
        }
        let before = self.known.remove(lesson).unwrap_or_default();
        for name in before.names.difference(&known.names) {
            self.leave(name, lesson);
        }
        for name in known.names.difference(&before.names) {
            self.lessons.entry(name.clone()).or_default().insert(lesson.to_path_buf());
        }
        self.known.insert(lesson.to_path_buf(), known);
    }

    /// Forgets that a lesson is made from a file.
    fn leave(&mut self, file: &Path, lesson: &Path) {
        let Some(lessons) = self.lessons.get_mut(file) else { return };
        lessons.remove(lesson);
        if lessons.is_empty() {
            self.lessons.remove(file);
        }
    }

    /// The lessons that are made from a file.
    pub fn of(&self, file: &Path) -> impl Iterator<Item = &PathBuf> {
        self.lessons.get(file).into_iter().flatten()
    }

    /// The folders to watch for all lessons.
    pub fn folders(&self) -> impl Iterator<Item = &PathBuf> {
        self.known.values().flat_map(|known| &known.folders)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_leads_to_the_lessons_that_are_made_from_it_now() {
        let (one, two, picture) =
            (Path::new("/no/1.md"), Path::new("/no/2.md"), Path::new("/no/p.png"));
        let mut readers = Readers::default();
        readers.note(one, [one, picture].into_iter());
        readers.note(two, [two, picture].into_iter());
        let of = |readers: &Readers, file| readers.of(file).cloned().collect::<Vec<_>>();
        assert_eq!(of(&readers, picture), [one, two]);
        assert_eq!(of(&readers, one), [one]);
        readers.note(one, [one].into_iter());
        assert_eq!(of(&readers, picture), [two]);
        assert_eq!(
            readers.folders().collect::<BTreeSet<_>>(),
            BTreeSet::from([&PathBuf::from("/no")])
        );
    }
}
