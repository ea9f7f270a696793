//! `script`: what is said in a filmed lesson, with its cues, its clock, its chapters and the figures
//! for the screen.

use super::clash::Claims;
use super::figures::{Folder, ScreenLooks};
use super::files::{Input, claim_lesson};
use super::outputs::Outputs;
use super::report::report;
use super::{Failure, Status, say, writing};
use clap::Args;
use fretleaf::blocks::figure::Desk;
use fretleaf::compile;
use fretleaf::ink::Fonts;
use fretleaf::ink::pdf::{self, PdfError};
use fretleaf::ink::png::PngError;
use fretleaf::lesson::world::Noting;
use fretleaf::script::names::{self, Pictures};
use fretleaf::script::screen::{self, Screen, Wanted};
use fretleaf::script::{Script, chapters, clock, figures, files, page, reading};
use std::collections::BTreeSet;
use std::path::PathBuf;

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
    #[command(flatten)]
    screen: ScreenLooks,
}

impl WriteScript {
    /// Writes the script's files. A lesson with faults is refused unless it is a draft.
    pub fn run(self) -> Result<Status, Failure> {
        let input = Input::read(&self.lesson)?;
        let world = input.world();
        let noting = Noting::new(&world);
        let compiled = compile(&noting, &input.name)?;
        let faults = report(compiled.source(), &compiled.findings, compiled.lang()).fault;
        if faults > 0 && !self.draft {
            let words = format!(
                "{}: no script is written: mend its faults first, or write a draft with --draft",
                input.name
            );
            say(&compiled.lang().reported("line", &words));
            return Ok(Status::Faulty);
        }
        let script = compiled.script();
        let template = compiled.template()?;
        let (look, fonts) = (&template.figure, compiled.fonts(&Fonts::new()));
        let paper = compiled.paper(&template);
        let lang = compiled.lesson.lesson.header.lang;
        let desk = Desk { lang, fonts: &fonts, look, width: page::measure(paper) };
        let job = page::Job {
            figures: &figures::beside(&compiled.lesson, &script, &desk),
            paper,
            faults,
            fonts: &fonts,
        };
        let pictures = names::pictures(&compiled.lesson, &script);
        let mut outputs = outputs(&input.stem, &script, &pictures, &job)?;
        if self.read {
            let page = reading::page(&script).into_bytes();
            outputs.put(files::reading_name(&input.stem), "the page to read from", page);
        }
        let folder = self.out.clone().unwrap_or_else(|| input.place.clone());
        let wanted = self.screen.wanted();
        let screen_job = screen::Job { lesson: &compiled.lesson, look, fonts: &fonts, wanted };
        let screens = self.figures.then(|| screen::screens(&pictures, &screen_job));
        let figures = screens.map(|screens| -> Result<_, Failure> {
            let figures = Folder::of(&folder, &input.stem)?;
            let names = put_figures(&screens, &wanted, &figures, &mut outputs)?;
            Ok((figures, names))
        });
        let figures = figures.transpose()?;
        let mut claims = Claims::default();
        claim_lesson(&self.lesson, &mut claims);
        input.claim_named(&noting.named(), &mut claims);
        outputs.claim(&folder, &format!("`{}`", input.name), &mut claims)?;
        match self.draft {
            true => writing::write_drafts(outputs.files(&folder))?,
            false => outputs.write(&folder)?,
        }
        // What a fault hides may be shown again by the next run.
        if let Some((figures, names)) = figures.filter(|_| faults == 0)
            && let Some(list) = figures.clear_outdated(&names, |path| claims.reads(path))?
        {
            writing::write_all([(figures.list(), list.as_bytes())])?;
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
fn outputs(
    stem: &str,
    script: &Script,
    pictures: &Pictures,
    job: &page::Job<'_>,
) -> Result<Outputs, PdfError> {
    let pages = pdf::paint(&page::set(script, job), job.fonts)?;
    let mut outputs = Outputs::default();
    outputs.put(files::pages_name(stem), "the script's PDF", pages);
    for (name, text) in files::texts(script, pictures, stem) {
        outputs.put(name, "the script's text", text.into_bytes());
    }
    Ok(outputs)
}

/// Adds the figures for the screen with their list. Their names in their folder.
fn put_figures(
    screens: &[Screen],
    wanted: &Wanted,
    folder: &Folder,
    outputs: &mut Outputs,
) -> Result<BTreeSet<String>, PngError> {
    let mut names = BTreeSet::new();
    for figure in files::figures(screens, wanted) {
        let name = figure.name();
        outputs.put(folder.path_of(&name), "a figure for the screen", figure.bytes()?);
        names.insert(name);
    }
    if let Some(list) = folder.whole_list(&names) {
        outputs.put(folder.path_of(files::LIST), "the list of figures", list.into_bytes());
    }
    Ok(names)
}
