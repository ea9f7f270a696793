//! A build: from a lesson's file to its pages, and what they were made from.

use super::blocks::{self, BlockText};
use crate::cli::commands::Failure;
use crate::cli::commands::files::{self, Input};
use crate::cli::commands::looks::Looks;
use fretleaf::blocks::figure::Desk;
use fretleaf::findings::Finding;
use fretleaf::findings::Source;
use fretleaf::findings::report::Counts;
use fretleaf::ink::{Document, Fonts};
use fretleaf::lesson::header;
use fretleaf::lesson::header::Paper;
use fretleaf::lesson::world::{Noting, read_plain};
use fretleaf::page::{self, Template};
use fretleaf::script::names::{self, Pictures};
use fretleaf::script::screen::{self, Screen, Wanted};
use fretleaf::script::{self, Script, figures};
use fretleaf::{Compiled, Wishes};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::fs::{self, Metadata};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::io;
use std::path::{Path, PathBuf};

/// A lesson that was built.
#[derive(Debug)]
pub struct Built {
    /// Its text.
    pub source: Source,
    /// What was found in it.
    pub findings: Vec<Finding>,
    /// Its blocks in the order they stand.
    pub blocks: Vec<BlockText>,
    /// Its title.
    pub title: String,
    /// Its template.
    pub template: Template,
    /// Its pages.
    pub document: Document,
    /// Its script, where that is wanted.
    pub script: Option<Scripted>,
    /// The faces that its pages are set in.
    pub fonts: Fonts,
    /// What was asked of it.
    pub wishes: Wishes,
    /// What it was made from.
    pub reads: Reads,
}

/// The script of a lesson that was built.
#[derive(Debug)]
pub struct Scripted {
    /// What is said, shown and played.
    pub script: Script,
    /// The figures that its cues show.
    pub figures: figures::Beside,
    /// What the pictures for the screen are called.
    pub pictures: Pictures,
    /// Those pictures, where they are wanted.
    pub screens: Vec<Screen>,
    /// Its paper.
    pub paper: Paper,
}

impl Scripted {
    /// Its pages; `faults` are those of the lesson.
    pub fn pages(&self, faults: usize, fonts: &Fonts) -> Document {
        let Scripted { figures, paper, .. } = self;
        let job = script::page::Job { figures, paper: *paper, faults, fonts };
        script::page::set(&self.script, &job)
    }
}

/// The files that a build read.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Reads {
    /// The lesson's bytes, in short.
    pub lesson: u64,
    /// Each further file that the lesson names with its bytes, in short; `None` where it can't be
    /// read, which may change.
    pub others: BTreeMap<PathBuf, Option<u64>>,
}

impl Reads {
    /// Whether all further files still hold what they held.
    pub fn others_are_the_same(&self) -> bool {
        self.others.iter().all(|(path, known)| in_short(path) == *known)
    }
}

/// A file's bytes in short; `None` where a lesson can't read it.
fn in_short(file: &Path) -> Option<u64> {
    read_plain(file).ok().map(|bytes| short(&bytes))
}

/// Bytes in short: others are told apart from them within this run of the program.
pub fn short(bytes: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    bytes.hash(&mut hasher);
    hasher.finish()
}

/// Why there are no new pages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Trouble {
    /// No file is there.
    Gone,
    /// The file is being written, or has just been emptied to be.
    InMidSave,
    /// Nothing can be printed from it.
    Unprintable(Unprintable),
}

/// Why nothing can be printed from a lesson's file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unprintable {
    /// It can't be read; why, in words.
    Unreadable(String),
    /// It is a folder, a pipe or a device.
    NoFile,
    /// It has so many bytes, and is larger than a lesson can be.
    TooLarge(u64),
    /// What was found in it leaves nothing to print; the finding's message.
    Fault(String),
    /// The command can't be carried out.
    Failure(Failure),
}

impl fmt::Display for Unprintable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unprintable::Unreadable(why) => write!(f, "it can't be read: {why}"),
            Unprintable::NoFile => f.write_str("it is no file"),
            Unprintable::TooLarge(size) => {
                write!(f, "it has {size} bytes; a lesson has at most {}", Source::LARGEST)
            }
            Unprintable::Fault(message) => f.write_str(message),
            Unprintable::Failure(failure) => failure.fmt(f),
        }
    }
}

impl<F: Into<Failure>> From<F> for Trouble {
    fn from(failure: F) -> Trouble {
        Trouble::Unprintable(Unprintable::Failure(failure.into()))
    }
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::Gone => f.write_str("the file is gone"),
            Trouble::InMidSave => f.write_str("the file is empty or still being saved"),
            Trouble::Unprintable(why) => why.fmt(f),
        }
    }
}

/// Reads a lesson's file whole.
///
/// # Errors
///
/// Where it is gone, changes while it is read, is empty, or can't be read.
pub fn read(path: &Path) -> Result<Input, Trouble> {
    let trouble = |error: io::Error| match error.kind() {
        io::ErrorKind::NotFound => Trouble::Gone,
        _ => Trouble::Unprintable(Unprintable::Unreadable(files::in_words(&error))),
    };
    let before = fs::metadata(path).map_err(trouble)?;
    if !before.is_file() {
        return Err(Trouble::Unprintable(Unprintable::NoFile));
    }
    if before.len() > Source::LARGEST as u64 {
        return Err(Trouble::Unprintable(Unprintable::TooLarge(before.len())));
    }
    let bytes = files::read_at_most(path, Source::LARGEST).map_err(trouble)?;
    let after = fs::metadata(path).map_err(trouble)?;
    let as_before = |facts: &Metadata| (facts.len(), facts.modified().ok());
    if bytes.is_empty()
        || as_before(&before) != as_before(&after)
        || before.len() != bytes.len() as u64
    {
        return Err(Trouble::InMidSave);
    }
    let (place, stem) = (files::folder_of(path), files::stem_of(path));
    Ok(Input { name: path.to_string_lossy().into_owned(), place, stem, bytes })
}

/// The further files that a lesson names, as far as that is known before it is built.
pub fn named(input: &Input) -> Vec<PathBuf> {
    let source = Source::new(&input.name, &input.bytes);
    let names = Wishes::default().named(&source).into_iter();
    names.map(|name| files::place_in(&input.place, &name)).collect()
}

/// What a build is to make of a lesson.
#[derive(Debug, Clone, Copy)]
pub struct Job<'a> {
    /// How the handout looks.
    pub looks: &'a Looks,
    /// Whether its script is wanted too.
    pub script: bool,
    /// The pictures for the screen that are wanted.
    pub figures: Option<Wanted>,
}

/// Builds a lesson: its pages as a draft.
///
/// # Errors
///
/// Where it isn't UTF-8 or its template can't be used.
pub fn build(input: &Input, job: &Job<'_>, fonts: &Fonts) -> Result<Built, Trouble> {
    let looks = job.looks;
    let wishes = looks.wishes(looks.given_template()?);
    let world = input.world();
    let noting = Noting::new(&world);
    let compiled = wishes.compile(&noting, &input.name)?;
    let not_text = compiled.source().trouble.as_deref();
    if let Some(fault) = not_text.or_else(|| compiled.template_fault()) {
        return Err(Trouble::Unprintable(Unprintable::Fault(fault.message.clone())));
    }
    let template = compiled.template()?;
    let (paper, fonts) = (compiled.paper(&template), compiled.fonts(fonts));
    let page_job = page::Job { template: &template, paper, fonts: &fonts, draft: true };
    let document = compiled.press(&page_job);
    let script = job.script.then(|| scripted(&compiled, &page_job, job.figures));
    let source = compiled.source().clone();
    let (blocks, title) =
        (blocks::of(&compiled.lesson), compiled.lesson.lesson.header.title.clone());
    let findings = compiled.findings;
    let reads = Reads { lesson: short(&input.bytes), others: others(noting.named(), input, looks) };
    Ok(Built { source, findings, blocks, title, template, document, script, fonts, wishes, reads })
}

fn scripted(compiled: &Compiled<'_>, job: &page::Job<'_>, wanted: Option<Wanted>) -> Scripted {
    let script = compiled.script();
    let (lesson, look, fonts) = (&compiled.lesson, &job.template.figure, job.fonts);
    let figures = figures::beside(
        lesson,
        &script,
        &Desk {
            lang: lesson.lesson.header.lang,
            fonts,
            look,
            width: script::page::measure(job.paper),
        },
    );
    let pictures = names::pictures(lesson, &script);
    let screens = wanted
        .map(|wanted| screen::screens(&pictures, &screen::Job { lesson, look, fonts, wanted }));
    let screens = screens.unwrap_or_default();
    Scripted { figures, pictures, screens, script, paper: job.paper }
}

/// The further files that a build read, with what they hold.
fn others(named: BTreeSet<String>, input: &Input, looks: &Looks) -> BTreeMap<PathBuf, Option<u64>> {
    let pictures = named.iter().map(|path| files::place_in(&input.place, path));
    let template = looks.template_file().map(PathBuf::from);
    let files = pictures.chain(template);
    files.map(|path| (path.clone(), in_short(&path))).collect()
}

impl Built {
    /// How many faults were found.
    pub fn faults(&self) -> usize {
        Counts::of(&self.findings).fault
    }

    /// The header as it is written.
    pub fn header(&self) -> &str {
        self.source.text.get(..header::length(&self.source.text)).unwrap_or_default()
    }

    /// The lines outside of the header and the blocks; a block parts them as an empty line does, and several of
    /// these are as one.
    pub fn prose(&self) -> Vec<&str> {
        let starts = std::iter::once(header::length(&self.source.text))
            .chain(self.blocks.iter().map(|block| block.span.end));
        let ends = self.blocks.iter().map(|block| block.span.start);
        let ends = ends.chain(std::iter::once(self.source.text.len()));
        let text = |(start, end)| self.source.text.get(start..end).unwrap_or_default();
        let pieces = starts.zip(ends).map(text);
        let lines = pieces.flat_map(|piece| std::iter::once("").chain(piece.lines()).chain([""]));
        let mut lines: Vec<&str> = lines.map(str::trim_end).collect();
        lines.dedup_by(|line, before| line.is_empty() && before.is_empty());
        lines
    }
}
