//! `script`: what is said in a filmed lesson, with its cues, its clock, its chapters and the figures
//! for the screen.

use super::clash::Claims;
use super::files::{Deed, FileFailure, Input, claim_lesson};
use super::outputs::Outputs;
use super::press::report;
use super::{Failure, Status, say, writing};
use clap::{Args, ValueEnum};
use fretleaf::compile;
use fretleaf::ink::Fonts;
use fretleaf::ink::pdf::{self, PdfError};
use fretleaf::lesson::world::Noting;
use fretleaf::script::figures::{self, Ink, Screen};
use fretleaf::script::{Script, chapters, clock, files, page, reading};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// Write the spoken script of a lesson: to read from, as text, chapters and captions
#[derive(Debug, Args)]
pub struct WriteScript {
    /// The lesson's file; `-` reads it from standard input
    #[arg(value_name = "LESSON")]
    lesson: PathBuf,
    /// The folder to write to, instead of the lesson's own
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write the script of a lesson with faults too, each faulty place marked
    #[arg(long)]
    draft: bool,
    /// Write a page to read from too, for a browser: it moves at the pace and waits at cues
    #[arg(long)]
    read: bool,
    /// Write the figures that cues show for the screen, as SVG and PNG
    #[arg(long)]
    figures: bool,
    /// The colour of the figures' lines and letters: light for dark pictures
    #[arg(long, value_enum, default_value_t = InkName::Dark, requires = "figures")]
    ink: InkName,
}

/// The inks as the command line names them.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum InkName {
    /// Black, for light pictures
    Dark,
    /// White, for dark pictures
    Light,
}

impl From<InkName> for Ink {
    fn from(name: InkName) -> Ink {
        match name {
            InkName::Dark => Ink::Dark,
            InkName::Light => Ink::Light,
        }
    }
}

impl WriteScript {
    /// Writes the script's files. A lesson with faults is refused unless it is a draft.
    pub fn run(self) -> Result<Status, Failure> {
        let input = Input::read(&self.lesson)?;
        let world = input.world();
        let noting = Noting::new(&world);
        let compiled = compile(&noting, &input.name)?;
        let faults = report(compiled.source(), &compiled.findings).fault;
        if faults > 0 && !self.draft {
            say(&format!(
                "{}: no script is written: mend its faults first, or write a draft with --draft",
                input.name
            ));
            return Ok(Status::Faulty);
        }
        let script = compiled.script();
        let template = compiled.template()?;
        let (look, fonts) = (&template.figure, compiled.fonts(&Fonts::new()));
        let job = page::Job {
            figures: &figures::beside(&compiled.lesson, &script, look, &fonts),
            paper: compiled.paper(&template),
            faults,
            fonts: &fonts,
        };
        let mut outputs = outputs(&input.stem, &script, &job)?;
        if self.read {
            let page = reading::page(&script).into_bytes();
            outputs.put(files::reading_name(&input.stem), "the page to read from", page);
        }
        let mut claims = Claims::default();
        claim_lesson(&self.lesson, &mut claims);
        input.claim_named(&noting.named(), &mut claims);
        let folder = self.out.clone().unwrap_or_else(|| input.place.clone());
        let wanted = self.figures.then(|| {
            let screens =
                figures::screens(&compiled.lesson, &script, look, &fonts, self.ink.into());
            ScreenFigures::of(screens, &folder, &input.stem)
        });
        let screen_figures = wanted.transpose()?;
        if let Some(figures) = &screen_figures {
            figures.add_to(&mut outputs);
        }
        outputs.claim(&folder, &format!("`{}`", input.name), &mut claims)?;
        match self.draft {
            true => writing::write_drafts(outputs.files(&folder))?,
            false => outputs.write(&folder)?,
        }
        if let Some(figures) = &screen_figures {
            figures.clear_outdated(&folder, &claims)?;
        }
        let joined = chapters::joined_in_words(&script);
        let joined = joined.map(|joined| format!("; {joined}")).unwrap_or_default();
        let runs = std::iter::once(clock::told(script.runs)).chain(script.clauses());
        let runs = runs.collect::<Vec<_>>().join(", ");
        say(&format!("{}: the script runs {runs}{joined}", input.name));
        Ok(if faults > 0 { Status::Faulty } else { Status::Sound })
    }
}

/// The script's pages and texts.
fn outputs(stem: &str, script: &Script, job: &page::Job<'_>) -> Result<Outputs, PdfError> {
    let pages = pdf::paint(&page::set(script, job), job.fonts)?;
    let mut outputs = Outputs::default();
    outputs.put(files::pages_name(stem), "the script's PDF", pages);
    for (name, text) in files::texts(script, stem) {
        outputs.put(name, "the script's text", text.into_bytes());
    }
    Ok(outputs)
}

/// The figures for the screen in their folder, with the list of those that we wrote there.
struct ScreenFigures {
    /// The folder's name.
    name: String,
    files: BTreeMap<String, Vec<u8>>,
    /// What earlier runs wrote.
    listed: BTreeSet<String>,
}

impl ScreenFigures {
    fn of(screens: Vec<Screen>, folder: &Path, stem: &str) -> Result<ScreenFigures, Failure> {
        let name = files::figures_name(stem);
        let list = folder.join(&name).join(files::LIST);
        let listed =
            files::listed(&list).map_err(|error| FileFailure::new(Deed::Read, &list, &error))?;
        let files = files::figures(screens)?;
        Ok(ScreenFigures { name, files, listed })
    }

    fn place_of(&self, file: &str) -> String {
        format!("{}/{file}", self.name)
    }

    /// Adds the figures, and the list with what earlier runs wrote and what this one does: whatever
    /// happens before the old ones are cleared, the next run knows of them.
    fn add_to(&self, outputs: &mut Outputs) {
        let all: BTreeSet<&str> =
            self.listed.iter().chain(self.files.keys()).map(String::as_str).collect();
        if all.is_empty() {
            return;
        }
        for (name, bytes) in &self.files {
            outputs.put(self.place_of(name), "a figure for the screen", bytes.clone());
        }
        let list = files::list(&all).into_bytes();
        outputs.put(self.place_of(files::LIST), "the list of figures", list);
    }

    /// Clears the figures of earlier runs that no cue shows any more, but none that the lesson reads.
    fn clear_outdated(&self, folder: &Path, claims: &Claims) -> Result<(), FileFailure> {
        let own = folder.join(&self.name);
        let old = self.listed.iter().filter(|name| !self.files.contains_key(*name));
        let old: Vec<PathBuf> =
            old.map(|name| own.join(name)).filter(|path| !claims.reads(path)).collect();
        for path in old.iter().filter(|path| is_plain_file(path)) {
            fs::remove_file(path).map_err(|error| FileFailure::new(Deed::Clear, path, &error))?;
        }
        if self.listed.is_empty() {
            return Ok(());
        }
        let now = self.files.keys().map(String::as_str).collect();
        writing::write_all([(own.join(files::LIST), files::list(&now).as_bytes())])
    }
}

fn is_plain_file(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok_and(|facts| facts.is_file())
}
