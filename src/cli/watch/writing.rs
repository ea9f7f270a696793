//! What is written for each lesson: its handout, its script, the dependency file.

use super::*;

impl Watch {
    /// Prints the handout, unless what it shows is what is printed already; why it can't be, in words.
    pub(super) fn print(&mut self, path: &Path, built: &Built) -> Result<(), String> {
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
        for (name, text) in script::files::texts(&scripted.script, &stem) {
            let target = self.target(path, &name);
            let print = build::short(text.as_bytes());
            troubles.push(self.put(path, target, print, || Ok(text.into_bytes())));
        }
        let last = self.lessons.get(path).and_then(|lesson| lesson.last.as_ref());
        let before = last.and_then(|(built, _)| built.script.as_ref());
        let before = before.map(|scripted| scripted.script.runs);
        let runs = line::runs(scripted.script.runs, before);
        let joined = script::chapters::joined_in_words(&scripted.script);
        std::iter::once(runs)
            .chain(joined)
            .chain(troubles.into_iter().filter_map(Result::err))
            .collect()
    }

    pub(super) fn put_pages(
        &mut self,
        path: &Path,
        target: PathBuf,
        (document, fonts): (&Document, &Fonts),
    ) -> Result<(), String> {
        let print = fingerprint::of_document(document);
        self.put(path, target, print, || {
            pdf::paint(document, fonts).map_err(|error| error.to_string())
        })
    }

    /// Writes one of a lesson's files, unless what it shows is there already; why it can't be, in
    /// words.
    pub(super) fn put(
        &mut self,
        path: &Path,
        target: PathBuf,
        print: u64,
        bytes: impl FnOnce() -> Result<Vec<u8>, String>,
    ) -> Result<(), String> {
        let Some(lesson) = self.lessons.get_mut(path) else { return Ok(()) };
        if lesson.printed.get(&target) == Some(&print) && target.exists() {
            return Ok(());
        }
        let bytes = bytes()?;
        let written = self.outputs.put(&target, bytes);
        lesson.printed.insert(target, print);
        written.map_err(|why| format!("{why}; it is written as soon as it can be"))
    }

    /// All files that are written for a lesson, the handout first.
    pub(super) fn targets(&self, path: &Path) -> Vec<PathBuf> {
        let stem = files::stem_of(path);
        let script = self.wishes.script.then(|| script::files::names(&stem));
        let names = std::iter::once(format!("{stem}.pdf")).chain(script.into_iter().flatten());
        names.map(|name| self.target(path, &name)).collect()
    }

    /// A file of a name that is written for a lesson.
    pub(super) fn target(&self, path: &Path, name: &str) -> PathBuf {
        let folder = self.wishes.out.clone().unwrap_or_else(|| files::folder_of(path));
        let folder = if folder == Path::new(".") { PathBuf::new() } else { folder };
        folder.join(name)
    }

    /// Writes the dependency file, where one is wanted and says something new.
    pub(super) fn write_dependencies(&mut self) -> Result<(), Failure> {
        let Some(file) = self.wishes.dependencies.clone() else { return Ok(()) };
        if let Some(lesson) = self.places.reader(&file) {
            let (file, lesson) = (file.display(), lesson.display());
            return Err(Failure(format!("`{file}` is not written, since `{lesson}` reads it")));
        }
        let made = self.lessons.iter().filter(|(_, lesson)| lesson.last.is_some());
        let made = made.flat_map(|(path, lesson)| {
            let files = reads(path, lesson).filter(|file| file.is_file());
            let from: Vec<PathBuf> = files.map(Path::to_path_buf).collect();
            self.targets(path).into_iter().map(move |target| Made { target, from: from.clone() })
        });
        let made: Vec<Made> = made.collect();
        let text = dependencies::text(&made)?;
        if read_plain(&file).is_ok_and(|old| old == text.as_bytes()) {
            return Ok(());
        }
        self.outputs.put(&file, text.into_bytes()).map_err(Failure)
    }
}
