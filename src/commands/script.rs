//! `script`: what is said in a filmed lesson, with its cues, its clock, its chapters and the figures
//! for the screen.

use super::files::{Input, in_words, write_whole};
use super::looks::Looks;
use super::press::report;
use super::{Failure, Status, say};
use crate::blocks;
use crate::ink::{Fonts, pdf};
use crate::lesson::{self, Source};
use crate::proof::Findings;
use crate::script::figures::{self, Ink, Screen};
use crate::script::{self, Script, chapters, clock, files, page};
use clap::{Args, ValueEnum};
use std::collections::BTreeMap;
use std::fs;
use std::io;
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
        let mut findings = Findings::default();
        let source = Source::new(&input.name, &input.bytes, &mut findings);
        let mut lesson = lesson::read(&source, &input.folder(), &mut findings);
        let template = Looks::default().template(&lesson, &input.folder())?;
        template.lend_font(&mut lesson, &input.folder(), &mut findings);
        let paper = Looks::default().paper(&lesson, &template);
        let elaborated = blocks::elaborate(lesson, &mut findings);
        let findings = findings.sorted();
        let faults = report(&source, &findings).fault;
        if faults > 0 && !self.draft {
            say(&format!(
                "{}: no script is written: mend its faults first, or write a draft with --draft",
                source.name
            ));
            return Ok(Status::Faulty);
        }
        let script = script::of(&elaborated);
        let folder = self.out.as_ref().unwrap_or(&input.place);
        let look = &template.figure;
        let fonts = Fonts::new().with(elaborated.lesson.font.clone());
        let job = page::Job {
            figures: &figures::beside(&elaborated, &script, look, &fonts),
            paper,
            faults,
            fonts: &fonts,
        };
        write(folder, &outputs(&input.stem, &script, &job)?)?;
        if self.figures {
            let screens = figures::screens(&elaborated, &script, look, &fonts, self.ink.into());
            write_figures(&folder.join(files::figures_name(&input.stem)), screens)?;
        }
        let joined = chapters::joined_in_words(&script);
        let joined = joined.map(|joined| format!("; {joined}")).unwrap_or_default();
        say(&format!("{}: the script runs {}{joined}", source.name, clock::told(script.runs)));
        Ok(if faults > 0 { Status::Faulty } else { Status::Sound })
    }
}

/// The script's pages and texts, by their files' names.
fn outputs(
    stem: &str,
    script: &Script,
    job: &page::Job<'_>,
) -> Result<BTreeMap<String, Vec<u8>>, Failure> {
    let pages = pdf::paint(&page::set(script, job), job.fonts);
    let pages = pages.map_err(|error| Failure(error.to_string()))?;
    let texts = files::texts(script, stem).map(|(name, text)| (name, text.into_bytes()));
    Ok(texts.chain([(files::pages_name(stem), pages)]).collect())
}

/// Writes the figures for the screen, and clears those of earlier runs that no cue shows any more.
fn write_figures(folder: &Path, screens: Vec<Screen>) -> Result<(), Failure> {
    let outputs = files::figures(screens).map_err(|error| Failure(error.to_string()))?;
    write(folder, &outputs)?;
    let now = outputs.keys().map(String::as_str).collect();
    let cant = |path: &Path, error: &io::Error| {
        Failure(format!("can't clear `{}`: {}", path.display(), in_words(error)))
    };
    for old in files::outdated(folder, &now).map_err(|error| cant(folder, &error))? {
        fs::remove_file(&old).map_err(|error| cant(&old, &error))?;
    }
    Ok(())
}

fn write(folder: &Path, outputs: &BTreeMap<String, Vec<u8>>) -> Result<(), Failure> {
    if outputs.is_empty() {
        return Ok(());
    }
    fs::create_dir_all(folder).map_err(|error| {
        Failure(format!("can't make `{}`: {}", folder.display(), in_words(&error)))
    })?;
    outputs.iter().try_for_each(|(name, bytes)| write_whole(&folder.join(name), bytes))
}
