//! `press`: checks lessons and prints their handouts.

mod made;
mod pictures;
mod run;

pub use made::NoBooklet;

use super::files::read_at_most;
use super::library;
use super::looks::Looks;
use super::outputs::Wanted;
use super::record::{self, Records};
use super::{Failure, Status, each, say, writing};
use clap::Args;
use fretleaf::ink::Fonts;
use fretleaf::page::Template;
use made::{Job, Pressed, Told};
use run::Run;
use std::path::{Path, PathBuf};

/// Check lessons and print their handouts
#[derive(Debug, Clone, Args)]
pub struct Press {
    /// The lessons' files; `-` reads one from standard input; of a folder, its `.md` files that begin with a header, and
    /// those of the folders in it, each keeping its place under --out, and only what changed is printed anew
    #[arg(required = true, value_name = "LESSON")]
    lessons: Vec<PathBuf>,
    #[command(flatten)]
    wanted: Wanted,
    #[command(flatten)]
    looks: Looks,
    /// Of a booklet (A5), write NAME-fold.pdf too: two pages on each side of A4 in folding order, to be printed on
    /// both sides, turned on the short edge, and folded once
    #[arg(long)]
    fold: bool,
    /// Write NAME.txt too: the lesson as plain text to be read aloud, its figures told in words
    #[arg(long)]
    words: bool,
    /// Write NAME.html too: the lesson as a page for a student's screen, one file that fetches nothing
    #[arg(long)]
    web: bool,
    /// Print a lesson with faults too, each faulty place marked
    #[arg(long)]
    draft: bool,
    /// Write what each handout is made from, as rules for make
    #[arg(long, value_name = "FILE")]
    deps: Option<PathBuf>,
}

impl Press {
    /// Prints the handouts. A lesson with faults is refused unless it is a draft; the others are printed.
    pub fn run(self) -> Result<Status, Failure> {
        let lessons = library::read(&self.lessons)?;
        let roots = lessons.iter().filter_map(|lesson| lesson.root(&self.wanted));
        // The way before the template, so that a template which changes meanwhile is noticed by the next run.
        let records = Records::read(self.way(), roots.collect());
        let wishes = self.looks.wishes(self.looks.given_template()?);
        let job = Job { command: &self, wishes, records: &records };
        let pressed = each::of(&lessons, Fonts::new, |fonts, lesson| job.press(lesson, fonts));
        let pressed = pressed.into_iter().map(Told::tell);
        let run = Run { lessons: &lessons, pressed: pressed.collect::<Result<_, _>>()? };
        let rules = self.deps.as_ref().map(|_| run.rules(&self)).transpose()?;
        let mut after = records.after(run.printed(&self.wanted));
        after.extend(run.lists(&self));
        run.claim(&self, &after)?;
        let others = after.iter().map(|(path, text)| (path.clone(), text.as_slice()));
        let rules =
            self.deps.iter().zip(&rules).map(|(path, text)| (path.clone(), text.as_bytes()));
        let files = run.pressed.iter().flat_map(Pressed::files).chain(rules).chain(others);
        match self.draft {
            true => writing::write_drafts(files)?,
            false => writing::write_all(files)?,
        }
        run.told().iter().for_each(|line| say(line));
        let faulty = run.pressed.iter().any(|one| one.faults > 0);
        Ok(if faulty { Status::Faulty } else { Status::Sound })
    }

    /// Whatever decides what is made of a lesson but the lesson and what it names, in short.
    fn way(&self) -> u64 {
        let options = Press { lessons: Vec::new(), deps: None, ..self.clone() };
        let template = self.looks.template_file().map(Path::new);
        let template = template.and_then(|file| read_at_most(file, Template::LARGEST).ok());
        record::way(&format!("{options:?}"), &template.unwrap_or_default())
    }
}
