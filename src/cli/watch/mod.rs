//! Watching: lessons are built again whenever something that they read is saved.
//!
//! [`lessons`] finds what is to be watched; [`folders`] watches where it lies; [`quiet`] waits until
//! a save is over; `readers` knows which lessons a file concerns; [`build`] makes the pages; [`change`] compares them with the last ones; [`mod@line`]
//! says so; [`outputs`] writes the files; [`dependencies`] says what they were made from. The loop
//! that joins them is here.

mod blocks;
pub mod build;
pub mod change;
pub mod clash;
pub mod dependencies;
pub mod folders;
mod inbox;
pub mod lessons;
pub mod line;
pub mod outputs;
pub mod quiet;
mod readers;
mod writing;

use crate::cli::commands::clash::location;
use crate::cli::commands::looks::Looks;
use crate::cli::commands::{Failure, Status, files};
use crate::cli::preview::{self, Preview};
use build::{Built, Trouble};
use change::Change;
use clash::Places;
use dependencies::Made;
use folders::Folders;
use fretleaf::ink::{Document, Fonts, fingerprint, pdf};
use fretleaf::lesson::world::read_plain;
use fretleaf::script;
use fretleaf::script::screen::Wanted;
use inbox::{Inbox, Told};
use outputs::Outputs;
use quiet::{QUIET, Quiet, Save};
use readers::Readers;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::mpsc::Receiver;
use std::time::{Duration, Instant};

/// How often is looked whether folders were replaced, and whether what couldn't be written can be.
const LOOK_AGAIN: Duration = Duration::from_millis(500);
/// How long a lesson may be gone, empty or half saved before that is told. Assumed: an editor that
/// saves by deleting and writing takes less.
const PATIENCE: Duration = Duration::from_millis(250);

/// What is to be watched, and what is to be made of it.
#[derive(Debug, Clone, Default)]
pub struct Wishes {
    /// Lessons and folders of lessons.
    pub named: Vec<PathBuf>,
    /// How the handouts look.
    pub looks: Looks,
    /// The folder to write to, instead of each lesson's own.
    pub out: Option<PathBuf>,
    /// The dependency file.
    pub dependencies: Option<PathBuf>,
    /// Whether the script's files are written too.
    pub script: bool,
    /// The pictures for the screen that are written too.
    pub figures: Option<Wanted>,
}

/// Something that may be a reason to build.
#[derive(Debug)]
pub enum News {
    /// Something happened in a watched folder.
    Files(notify::Result<notify::Event>),
    /// It is to end.
    End,
}

/// Whoever is told a line.
pub type Listener = Box<dyn FnMut(&str)>;

/// The lessons, their last builds, and what stays loaded between builds.
pub struct Watch {
    wishes: Wishes,
    fonts: Fonts,
    lessons: BTreeMap<PathBuf, Watched>,
    readers: Readers,
    /// Lessons that came later and would write another's handout.
    refused: BTreeSet<PathBuf>,
    /// Where all that is read and written lies.
    places: Places,
    /// The named folders of lessons, by their paths without links.
    named: BTreeMap<PathBuf, PathBuf>,
    outputs: Outputs,
    preview: Option<Preview>,
    tell: Listener,
}

/// A lesson that is watched.
#[derive(Debug, Default)]
struct Watched {
    last: Option<(Built, change::Looks)>,
    /// The fingerprint of what each file on the disk shows.
    printed: BTreeMap<PathBuf, u64>,
    /// What is wrong since when, and whether that was told.
    trouble: Option<(Trouble, Instant, bool)>,
}

impl Watch {
    /// Takes the lessons in; nothing is built yet.
    ///
    /// # Errors
    ///
    /// Where a lesson can't be read, or two would write the same file.
    pub fn new(wishes: Wishes, preview: Option<Preview>, tell: Listener) -> Result<Watch, Failure> {
        let found = lessons::named(&wishes.named)?;
        let mut watch = Watch {
            wishes,
            fonts: Fonts::new(),
            lessons: found.into_iter().map(|path| (path, Watched::default())).collect(),
            readers: Readers::default(),
            places: Places::default(),
            refused: BTreeSet::new(),
            named: BTreeMap::new(),
            outputs: Outputs::default(),
            preview,
            tell,
        };
        watch.claim()?;
        watch.find_named();
        Ok(watch)
    }

    /// Takes the places of all that is to be written, where no lesson lies.
    fn claim(&mut self) -> Result<(), Failure> {
        let mut claims = self.wishes.looks.claims();
        self.lessons.keys().for_each(|path| files::claim_lesson(path, &mut claims));
        if let Some(file) = &self.wishes.dependencies {
            claims.write(file, "the dependency file")?;
            // The first to be admitted finds every place free.
            let _ = self.places.admit(file, std::slice::from_ref(file));
        }
        for path in self.lessons.keys() {
            let targets = self.targets(path);
            for target in &targets {
                claims.write(target, format!("an output of `{}`", path.display()))?;
            }
            // All are different, as was just seen.
            let _ = self.places.admit(path, &targets);
            let named = build::read(path).map(|input| build::named(&input)).unwrap_or_default();
            self.places.note(path, named.iter());
        }
        Ok(())
    }

    /// Builds every lesson once.
    ///
    /// # Errors
    ///
    /// Where a lesson can't be printed, a file can't be written, or the dependency file can't be.
    pub fn once(mut self) -> Result<Status, Failure> {
        let paths: Vec<PathBuf> = self.lessons.keys().cloned().collect();
        let mut printed = true;
        for path in &paths {
            self.build(path);
            if self.lessons.get(path).is_some_and(|lesson| lesson.trouble.is_some()) {
                printed = self.tell_trouble(path);
            }
        }
        self.write_dependencies()?;
        Ok(if !printed || self.outputs.is_waiting() { Status::Failed } else { self.status() })
    }

    /// Builds every lesson, and each again when something that it reads is saved, until it is told
    /// to end.
    ///
    /// # Errors
    ///
    /// Where the dependency file can't be written at the start.
    pub fn run(mut self, news: &Receiver<News>, mut folders: Folders) -> Result<Status, Failure> {
        // Watched before they are built, so that no save falls between.
        let paths: Vec<PathBuf> = self.lessons.keys().cloned().collect();
        paths.iter().for_each(|path| self.note_reads(path));
        folders.want(&self.folders());
        let (mut quiet, mut inbox) = (Quiet::default(), Inbox::new(news));
        let now = Instant::now();
        paths.iter().for_each(|path| quiet.note(path, Save::Over, now));
        self.build_due(&mut quiet, &mut inbox);
        self.write_dependencies()?;
        self.watch_reads(&mut folders, &mut quiet);
        let mut look_again = Instant::now() + LOOK_AGAIN;
        loop {
            inbox.wait(quiet.next().map_or(look_again, |due| due.min(look_again)));
            if inbox.is_over() {
                return Ok(Status::Sound);
            }
            for event in inbox.events() {
                self.hear(event, &mut quiet);
            }
            if self.build_due(&mut quiet, &mut inbox) {
                self.watch_reads(&mut folders, &mut quiet);
                if let Err(failure) = self.write_dependencies() {
                    (self.tell)(&failure.to_string());
                }
            }
            if Instant::now() >= look_again {
                look_again = Instant::now() + LOOK_AGAIN;
                self.look_again(&mut folders, &mut quiet);
            }
        }
    }

    /// Watches the folders of all that the lessons read now.
    fn watch_reads(&self, folders: &mut Folders, quiet: &mut Quiet) {
        if folders.want(&self.folders()) {
            self.note_all(quiet);
        }
    }

    /// Has every lesson looked at again: something may have happened unheard.
    fn note_all(&self, quiet: &mut Quiet) {
        let now = Instant::now();
        self.lessons.keys().for_each(|path| quiet.note(path, Save::Begun, now));
    }

    fn status(&self) -> Status {
        let built = self.lessons.values().filter_map(|lesson| lesson.last.as_ref());
        let faults: usize = built.map(|(built, _)| built.faults()).sum();
        if faults > 0 { Status::Faulty } else { Status::Sound }
    }

    /// Takes in what happened in a watched folder.
    fn hear(&mut self, event: Told, quiet: &mut Quiet) {
        let event = match event {
            Ok(event) if !event.need_rescan() => event,
            _ => {
                self.admit_all(self.named.clone().into_values());
                return self.note_all(quiet);
            }
        };
        let now = Instant::now();
        let Some(save) = quiet::told(event.kind) else { return };
        for happened in &event.paths {
            self.welcome(happened);
            self.readers.of(happened).for_each(|lesson| quiet.note(lesson, save, now));
        }
    }

    /// Takes a file in that has come into a watched folder of lessons, if it is one.
    fn welcome(&mut self, file: &Path) {
        let (Some(folder), Some(name)) = (file.parent(), file.file_name()) else { return };
        let Some(lesson) = self.named.get(folder).map(|folder| folder.join(name)) else { return };
        if !self.lessons.contains_key(&lesson) && lessons::is_lesson(&lesson) {
            self.admit(lesson);
        }
    }

    /// Finds where the named folders of lessons lie.
    fn find_named(&mut self) {
        let folders = self.wishes.named.iter().filter(|named| named.is_dir());
        let placed = folders.filter_map(|named| Some((named.canonicalize().ok()?, named.clone())));
        self.named = placed.collect();
    }

    /// Takes in all lessons of some folders.
    fn admit_all(&mut self, folders: impl Iterator<Item = PathBuf>) {
        let found = folders.filter_map(|folder| lessons::in_folder(&folder).ok()).flatten();
        found.for_each(|lesson| self.admit(lesson));
    }

    /// Takes a lesson in, unless another one has its handout.
    fn admit(&mut self, lesson: PathBuf) {
        if self.lessons.contains_key(&lesson) || self.refused.contains(&lesson) {
            return;
        }
        let targets = self.targets(&lesson);
        if let Err((target, _)) = self.places.admit(&lesson, &targets) {
            let (name, target) = (lesson.display(), target.display());
            let line = format!("{name}: not watched, since another lesson writes `{target}`");
            (self.tell)(&line::one_line(&line));
            self.refused.insert(lesson);
            return;
        }
        self.lessons.insert(lesson.clone(), Watched::default());
        self.note_reads(&lesson);
    }

    /// Notes the files that a lesson is made from.
    fn note_reads(&mut self, path: &Path) {
        if let Some(lesson) = self.lessons.get(path) {
            self.readers.note(path, reads(path, lesson));
        }
    }

    fn look_again(&mut self, folders: &mut Folders, quiet: &mut Quiet) {
        for written in self.outputs.retry() {
            (self.tell)(&format!("`{}` is written now", written.display()));
        }
        let entered = folders.look_again();
        if entered.is_empty() {
            return;
        }
        self.find_named();
        let named = self.wishes.named.iter().filter(|named| entered.contains(named));
        self.admit_all(named.cloned().collect::<Vec<_>>().into_iter());
        self.note_all(quiet);
    }

    /// Builds the lessons that are due, unless it is to end; whether there were any.
    fn build_due(&mut self, quiet: &mut Quiet, inbox: &mut Inbox<'_>) -> bool {
        let due = quiet.take(Instant::now());
        for path in &due {
            if inbox.is_over() {
                break;
            }
            self.build(path);
            self.note_reads(path);
            let Some((_, since, told)) =
                self.lessons.get(path).and_then(|lesson| lesson.trouble.as_ref())
            else {
                continue;
            };
            if !told && since.elapsed() >= PATIENCE {
                self.tell_trouble(path);
            } else if !told {
                quiet.later(path, Instant::now() + QUIET);
            }
        }
        !due.is_empty()
    }

    /// Says why there are no new pages; always `false`.
    fn tell_trouble(&mut self, path: &Path) -> bool {
        let Some(lesson) = self.lessons.get_mut(path) else { return false };
        let has_pages = lesson.last.is_some();
        if let Some((trouble, _, told)) = &mut lesson.trouble {
            *told = true;
            let line = line::one_line(&line::trouble(&path.to_string_lossy(), trouble, has_pages));
            (self.tell)(&line);
            if let Some(preview) = &self.preview {
                preview.trouble(path, &line);
            }
        }
        false
    }

    /// Builds a lesson, unless all that it reads is as it was.
    pub fn build(&mut self, path: &Path) {
        let start = Instant::now();
        match self.rebuilt(path) {
            Ok(Some(built)) => self.take_over(path, built, start),
            Ok(None) => {}
            Err(trouble) => {
                let Some(lesson) = self.lessons.get_mut(path) else { return };
                let hopeless = matches!(trouble, Trouble::Unprintable(_));
                let same = lesson.trouble.take().filter(|(known, ..)| *known == trouble);
                // What time does not mend is told at once.
                let since =
                    if hopeless { start.checked_sub(PATIENCE).unwrap_or(start) } else { start };
                lesson.trouble = Some(same.unwrap_or((trouble, since, false)));
            }
        }
    }

    /// The lesson built anew; `None` where all that it reads is as it was and its handout is there.
    fn rebuilt(&mut self, path: &Path) -> Result<Option<Built>, Trouble> {
        let input = build::read(path)?;
        let printed = self.all_targets(path).iter().all(|target| target.exists());
        if let Some(Watched { last: Some((last, _)), trouble: None, .. }) = self.lessons.get(path)
            && printed
            && last.reads.lesson == build::short(&input.bytes)
            && last.reads.others_are_the_same()
        {
            return Ok(None);
        }
        let script = self.wishes.script || self.preview.is_some();
        let job = build::Job { looks: &self.wishes.looks, script, figures: self.wishes.figures };
        let built = build::build(&input, &job, &self.fonts)?;
        self.hold(path, &built)?;
        Ok(Some(built))
    }

    /// Makes sure that nothing which is written for a lesson takes the place of what is read.
    fn hold(&mut self, path: &Path, built: &Built) -> Result<(), Trouble> {
        let reads = &built.reads;
        self.places.note(path, reads.others.keys());
        let mut targets = self.targets(path);
        targets.extend(self.figure_targets(path, built));
        targets.extend(self.wishes.dependencies.clone());
        let still_reads = |other: &Path, place: &Path| {
            self.lessons.get(other).is_some_and(|lesson| {
                lesson.last.is_none()
                    || self::reads(other, lesson).any(|file| location(file) == place)
            })
        };
        Ok(self.places.hold(path, reads, &targets, still_reads)?)
    }

    /// Writes what was built, and says what changed.
    fn take_over(&mut self, path: &Path, built: Built, start: Instant) {
        let mut clauses = Vec::new();
        if let Err(trouble) = self.print(path, &built) {
            clauses.push(trouble.to_string());
        }
        clauses.extend(self.write_script(path, &built));
        clauses.extend(self.write_figures(path, &built).err().map(|why| why.to_string()));
        let time = start.elapsed();
        let looks = change::Looks::of(&built);
        let Some(lesson) = self.lessons.get_mut(path) else { return };
        lesson.trouble = None;
        let beside = line::Beside { clauses, time };
        let (line, brief, change) = match &lesson.last {
            None => {
                let change = Change::default();
                (line::first(&built, &line::all(&built), &beside), String::new(), change)
            }
            Some((old, old_looks)) => {
                let change = change::between((old, old_looks), (&built, &looks));
                let brief = line::brief(&built, &change, &beside);
                (line::next(&built, &change, &beside), brief, change)
            }
        };
        (self.tell)(&line);
        if let Some(preview) = &self.preview {
            let (built, looks, change, brief) = (&built, &looks, &change, brief.as_str());
            preview.show(&preview::Shown { path, built, looks, change, brief }, &built.fonts);
        }
        lesson.last = Some((built, looks));
        self.fonts.forget_unused();
    }

    /// The folders of all that the lessons read.
    fn folders(&self) -> BTreeSet<PathBuf> {
        let named = self.wishes.named.iter().filter(|named| named.is_dir()).cloned();
        named.chain(self.readers.folders().cloned()).collect()
    }
}

/// The files that a lesson is made from, itself first.
fn reads<'w>(path: &'w Path, lesson: &'w Watched) -> impl Iterator<Item = &'w Path> {
    let others = lesson.last.iter().flat_map(|(built, _)| built.reads.others.keys());
    std::iter::once(path).chain(others.map(PathBuf::as_path))
}
