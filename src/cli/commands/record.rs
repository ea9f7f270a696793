//! What was printed of a folder's lessons, and of what it was made, so that the next run prints only
//! what changed. The record is a hidden file beside what was printed; where it is missing or can't be
//! read, all is printed anew.

use super::files::{Input, place_in};
use crate::cli::watch::build::short;
use fretleaf::findings::Source;
use fretleaf::lesson::world::{Refusal, World, read_plain};
use fretleaf::web::shelf::Card;
use serde::{Deserialize, Serialize};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::{env, fs};

/// The record's name.
pub const NAME: &str = ".fretleaf-pressed";

/// The records of all folders that a run writes to.
#[derive(Debug)]
pub struct Records {
    way: u64,
    before: BTreeMap<PathBuf, Record>,
}

/// What was printed below a folder in one run.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
struct Record {
    /// The program and its options, in short.
    way: u64,
    /// The lessons that had no faults, by their places in the library.
    lessons: BTreeMap<String, Printed>,
}

/// A lesson that was printed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Printed {
    /// Its bytes, in short.
    lesson: u64,
    /// Each further file that was asked for.
    others: BTreeMap<String, Seen>,
    /// Each file that was written, in short.
    outputs: BTreeMap<String, u64>,
    /// What a list of lessons says of it.
    pub card: Option<Card>,
}

/// What came of asking for a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Seen {
    /// Its bytes, in short.
    Bytes(u64),
    /// It could not be read, which may change.
    Refused,
    /// It lay outside of the lesson's folder; where a link led there, that may change too.
    Outside,
}

impl Seen {
    fn of(read: &Result<Vec<u8>, Refusal>) -> Seen {
        match read {
            Ok(bytes) => Seen::Bytes(short(bytes)),
            Err(Refusal::Outside) => Seen::Outside,
            Err(_) => Seen::Refused,
        }
    }
}

/// The program and what it is asked for, in short: its version, its own file, since what is being
/// worked on keeps its version, and the options with what they read.
pub fn way(options: &str, read: &[u8]) -> u64 {
    let facts = env::current_exe().and_then(fs::metadata);
    let own = facts.map(|facts| (facts.len(), facts.modified().ok())).ok();
    let way = (env!("CARGO_PKG_VERSION"), own, options, short(read));
    short(format!("{way:?}").as_bytes())
}

impl Records {
    /// Reads the records of folders for a run that goes some way.
    pub fn read(way: u64, roots: BTreeSet<PathBuf>) -> Records {
        let before = roots.into_iter().filter_map(|root| {
            let text = read_plain(&file(&root)).ok()?;
            Some((root, serde_json::from_slice(&text).ok()?))
        });
        Records { way, before: before.collect() }
    }

    /// What was printed of a lesson, where all that it was made of is as it was, and what was made too.
    pub fn current(&self, root: &Path, mark: &str, made: &Place<'_>) -> Option<&Printed> {
        let record = self.before.get(root).filter(|record| record.way == self.way)?;
        record.lessons.get(mark).filter(|printed| printed.is_current(made))
    }

    /// The records after a run, each with its place; those that say nothing new are left out.
    pub fn after<'p>(
        &self,
        printed: impl Iterator<Item = (PathBuf, String, &'p Printed)>,
    ) -> Vec<(PathBuf, Vec<u8>)> {
        let mut records: BTreeMap<PathBuf, Record> = BTreeMap::new();
        for (root, mark, one) in printed {
            let record = records.entry(root);
            let record = record.or_insert(Record { way: self.way, ..Record::default() });
            record.lessons.insert(mark, one.clone());
        }
        let news = records.into_iter().filter(|(root, new)| self.before.get(root) != Some(new));
        let texts =
            news.filter_map(|(root, new)| Some((file(&root), serde_json::to_vec(&new).ok()?)));
        texts.collect()
    }
}

/// The record's place in a folder.
pub fn file(root: &Path) -> PathBuf {
    place_in(root, NAME)
}

/// A lesson and the folder that is written to for it.
#[derive(Debug, Clone, Copy)]
pub struct Place<'a> {
    /// The lesson.
    pub input: &'a Input,
    /// The folder.
    pub folder: &'a Path,
}

impl Printed {
    /// What was made of a lesson, a witness having seen what was read for it, and what a list says of it.
    pub fn new<'o>(
        input: &Input,
        seen: BTreeMap<String, Seen>,
        outputs: impl Iterator<Item = (&'o str, &'o [u8])>,
        card: Option<Card>,
    ) -> Printed {
        let outputs = outputs.map(|(name, bytes)| (name.to_owned(), short(bytes)));
        Printed { lesson: short(&input.bytes), others: seen, outputs: outputs.collect(), card }
    }

    /// The further files in its folder that were asked for.
    pub fn named(&self) -> BTreeSet<String> {
        let inside = self.others.iter().filter(|(_, seen)| **seen != Seen::Outside);
        inside.map(|(name, _)| name.clone()).collect()
    }

    /// The names of what was written.
    pub fn outputs(&self) -> impl Iterator<Item = &str> {
        self.outputs.keys().map(String::as_str)
    }

    fn is_current(&self, made: &Place<'_>) -> bool {
        let world = made.input.folder();
        let output =
            |name: &str| read_plain(&place_in(made.folder, name)).ok().map(|bytes| short(&bytes));
        self.lesson == short(&made.input.bytes)
            && self.others.iter().all(|(name, known)| Seen::of(&world.read(name)) == *known)
            && self.outputs.iter().all(|(name, known)| output(name) == Some(*known))
    }
}

/// A world that sees what another gives: each file in short as it is read, so that one which changes
/// meanwhile is noticed by the next run.
pub struct Witness<'w> {
    world: &'w dyn World,
    seen: RefCell<BTreeMap<String, Seen>>,
}

impl<'w> Witness<'w> {
    /// Sees what a world gives.
    pub fn new(world: &'w dyn World) -> Witness<'w> {
        Witness { world, seen: RefCell::default() }
    }

    /// All that was asked for.
    pub fn seen(&self) -> BTreeMap<String, Seen> {
        self.seen.borrow().clone()
    }
}

impl World for Witness<'_> {
    fn source(&self, name: &str) -> Result<&Source, Refusal> {
        self.world.source(name)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, Refusal> {
        let read = self.world.read(path);
        self.seen.borrow_mut().entry(path.to_owned()).or_insert_with(|| Seen::of(&read));
        read
    }
}
