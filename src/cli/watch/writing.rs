//! What is written for each lesson: its handout, its script, the dependency file.

use super::*;
use crate::cli::commands::figures::Folder;
use crate::cli::commands::files::FileFailure;
use fretleaf::ink::pdf::PdfError;
use fretleaf::ink::png::PngError;
use std::fmt;

/// Why a lesson's file shows nothing new.
#[derive(Debug)]
pub(super) enum Unwritten {
    /// It can't be painted.
    Unpainted(String),
    /// It can't be written now and waits.
    Waits(FileFailure),
    /// What lies there can't be read or cleared.
    Stays(FileFailure),
}

impl From<PdfError> for Unwritten {
    fn from(why: PdfError) -> Unwritten {
        Unwritten::Unpainted(why.to_string())
    }
}

impl From<PngError> for Unwritten {
    fn from(why: PngError) -> Unwritten {
        Unwritten::Unpainted(why.to_string())
    }
}

impl From<FileFailure> for Unwritten {
    fn from(why: FileFailure) -> Unwritten {
        Unwritten::Stays(why)
    }
}

impl fmt::Display for Unwritten {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unwritten::Unpainted(why) => f.write_str(why),
            Unwritten::Stays(why) => why.fmt(f),
            Unwritten::Waits(why) => write!(f, "{why}; it is written as soon as it can be"),
        }
    }
}

impl Watch {
    /// Prints the handout, unless what it shows is what is printed already.
    pub(super) fn print(&mut self, path: &Path, built: &Built) -> Result<(), Unwritten> {
        let target = self.target(path, &format!("{}.pdf", files::stem_of(path)));
        self.put_pages(path, target, (&built.document, &built.fonts))
    }

    /// Writes the script's files where they are wanted; what the line says of it.
    pub(super) fn write_script(&mut self, path: &Path, built: &Built) -> Vec<String> {
        let Some(scripted) = built.script.as_ref().filter(|_| self.wishes.script) else {
            return Vec::new();
        };
        let pages = scripted.pages(built.faults(), &built.fonts);
        let stem = files::stem_of(path);
        let target = self.target(path, &script::files::pages_name(&stem));
        let mut troubles = vec![self.put_pages(path, target, (&pages, &built.fonts))];
        for (name, text) in script::files::texts(&scripted.script, &scripted.pictures, &stem) {
            troubles.push(self.put_text(path, self.target(path, &name), text));
        }
        let last = self.lessons.get(path).and_then(|lesson| lesson.last.as_ref());
        let before = last.and_then(|(built, _)| built.script.as_ref());
        let before = before.map(|scripted| &scripted.script);
        let runs = line::script(&scripted.script, before);
        let joined = script::chapters::joined_in_words(&scripted.script);
        std::iter::once(runs)
            .chain(joined)
            .chain(troubles.into_iter().filter_map(Result::err).map(|why| why.to_string()))
            .collect()
    }

    /// Writes the pictures for the screen where they are wanted, and clears those that no cue shows any more;
    /// none while the lesson has faults, since what they hide may be shown again by the next save.
    pub(super) fn write_figures(&mut self, path: &Path, built: &Built) -> Result<(), Unwritten> {
        let Some((scripted, wanted)) = built.script.as_ref().zip(self.wishes.figures) else {
            return Ok(());
        };
        let folder = Folder::of(&self.folder(path), &files::stem_of(path))?;
        let figures = script::files::figures(&scripted.screens, &wanted);
        let names = figures.iter().map(script::files::Figure::name).collect();
        if let Some(list) = folder.whole_list(&names) {
            self.put_text(path, folder.list(), list)?;
        }
        for figure in figures {
            let target = self.target(path, &folder.path_of(&figure.name()));
            let print = build::short(figure.svg().as_bytes());
            self.put(path, target, print, || Ok(figure.bytes()?))?;
        }
        if built.faults() > 0 {
            return Ok(());
        }
        let is_read = |file: &Path| self.places.reader(file).is_some();
        match folder.clear_outdated(&names, is_read)? {
            Some(list) => self.put_text(path, folder.list(), list),
            None => Ok(()),
        }
    }

    fn put_text(&mut self, path: &Path, target: PathBuf, text: String) -> Result<(), Unwritten> {
        let print = build::short(text.as_bytes());
        self.put(path, target, print, || Ok(text.into_bytes()))
    }

    pub(super) fn put_pages(
        &mut self,
        path: &Path,
        target: PathBuf,
        (document, fonts): (&Document, &Fonts),
    ) -> Result<(), Unwritten> {
        let print = fingerprint::of_document(document);
        self.put(path, target, print, || Ok(pdf::sketch(document, fonts)?))
    }

    /// Writes one of a lesson's files, unless what it shows is there already.
    pub(super) fn put(
        &mut self,
        path: &Path,
        target: PathBuf,
        print: u64,
        bytes: impl FnOnce() -> Result<Vec<u8>, Unwritten>,
    ) -> Result<(), Unwritten> {
        let Some(lesson) = self.lessons.get_mut(path) else { return Ok(()) };
        if lesson.printed.get(&target) == Some(&print) && target.exists() {
            return Ok(());
        }
        let bytes = bytes()?;
        let written = self.outputs.put(&target, bytes);
        lesson.printed.insert(target, print);
        written.map_err(Unwritten::Waits)
    }

    /// All files that are written for a lesson, the handout first.
    pub(super) fn targets(&self, path: &Path) -> Vec<PathBuf> {
        let stem = files::stem_of(path);
        let script = self.wishes.script.then(|| script::files::names(&stem));
        let names = std::iter::once(format!("{stem}.pdf")).chain(script.into_iter().flatten());
        names.map(|name| self.target(path, &name)).collect()
    }

    /// The pictures for the screen that are written for a lesson as it was built, and their list.
    pub(super) fn figure_targets(&self, path: &Path, built: &Built) -> Vec<PathBuf> {
        let wanted = built.script.as_ref().zip(self.wishes.figures);
        let figures = wanted.map(|(scripted, wanted)| {
            let figures = script::files::figures(&scripted.screens, &wanted);
            figures.iter().map(script::files::Figure::name).collect::<Vec<_>>()
        });
        let figures = figures.unwrap_or_default();
        let list = figures.first().map(|_| script::files::LIST.to_owned());
        let folder = script::files::figures_name(&files::stem_of(path));
        let all = figures.into_iter().chain(list);
        all.map(|name| self.target(path, &format!("{folder}/{name}"))).collect()
    }

    /// All files that are written for a lesson, those too that are known since its last build.
    pub(super) fn all_targets(&self, path: &Path) -> Vec<PathBuf> {
        let last = self.lessons.get(path).and_then(|lesson| lesson.last.as_ref());
        let figures = last.map(|(built, _)| self.figure_targets(path, built));
        self.targets(path).into_iter().chain(figures.into_iter().flatten()).collect()
    }

    /// A file of a name that is written for a lesson.
    pub(super) fn target(&self, path: &Path, name: &str) -> PathBuf {
        self.folder(path).join(name)
    }

    /// The folder that is written to for a lesson.
    fn folder(&self, path: &Path) -> PathBuf {
        let folder = self.wishes.out.clone().unwrap_or_else(|| files::folder_of(path));
        if folder == Path::new(".") { PathBuf::new() } else { folder }
    }

    /// Writes the dependency file, where one is wanted and says something new.
    pub(super) fn write_dependencies(&mut self) -> Result<(), Failure> {
        let Some(file) = self.wishes.dependencies.clone() else { return Ok(()) };
        if let Some(lesson) = self.places.reader(&file) {
            let lesson = lesson.to_path_buf();
            return Err(dependencies::Untold::Read { file, lesson }.into());
        }
        let made = self.lessons.iter().filter(|(_, lesson)| lesson.last.is_some());
        let made = made.flat_map(|(path, lesson)| {
            let files = reads(path, lesson).filter(|file| file.is_file());
            let from: Vec<PathBuf> = files.map(Path::to_path_buf).collect();
            self.all_targets(path)
                .into_iter()
                .map(move |target| Made { target, from: from.clone() })
        });
        let made: Vec<Made> = made.collect();
        let text = dependencies::text(&made)?;
        if read_plain(&file).is_ok_and(|old| old == text.as_bytes()) {
            return Ok(());
        }
        Ok(self.outputs.put(&file, text.into_bytes())?)
    }
}
