//! `press`: checks lessons and prints their handouts.

use super::files::{self, Input};
use super::looks::Looks;
use super::outputs::{self, Outputs, Pictures};
use super::proof::colour_of;
use super::{Failure, Status, say};
use crate::blocks;
use crate::blocks::Elaborated;
use crate::blocks::figure::{Desk, Figure};
use crate::ink::{Document, Drawing, Fonts, svg};
use crate::lesson::{self, Source};
use crate::page::{self, Job};
use crate::proof::report::{Counts, terminal};
use crate::proof::{Finding, Findings};
use clap::Args;
use std::path::PathBuf;

/// Check lessons and print their handouts
#[derive(Debug, Args)]
pub struct Press {
    /// The lessons' files; `-` reads one from standard input
    #[arg(required = true, value_name = "LESSON")]
    lessons: Vec<PathBuf>,
    /// Write each page and each figure as SVG too
    #[arg(long)]
    svg: bool,
    /// Write each page and each figure as PNG too
    #[arg(long)]
    png: bool,
    /// The folder to write to, instead of the lesson's own
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    #[command(flatten)]
    looks: Looks,
    /// Print a lesson with faults too, each faulty place marked
    #[arg(long)]
    draft: bool,
}

impl Press {
    /// Prints the handouts. A lesson with faults is refused unless it is a draft.
    pub fn run(self) -> Result<Status, Failure> {
        files::all_different(
            self.lessons
                .iter()
                .map(|path| self.out_folder(&files::folder_of(path)).join(files::stem_of(path))),
        )?;
        let inputs = self.lessons.iter().map(|path| Input::read(path));
        let inputs = inputs.collect::<Result<Vec<Input>, Failure>>()?;
        let fonts = Fonts::new();
        let mut status = Status::Sound;
        for input in &inputs {
            if self.press(input, &fonts)? == Status::Faulty {
                status = Status::Faulty;
            }
        }
        Ok(status)
    }

    fn out_folder(&self, own: &std::path::Path) -> PathBuf {
        self.out.clone().unwrap_or_else(|| own.to_path_buf())
    }

    fn press(&self, input: &Input, fonts: &Fonts) -> Result<Status, Failure> {
        let mut findings = Findings::default();
        let source = Source::new(&input.name, &input.bytes, &mut findings);
        let folder = input.folder();
        let mut lesson = lesson::read(&source, &folder, &mut findings);
        if self.looks.left_handed {
            lesson.play_left_handed();
        }
        let template = self.looks.template(&lesson, &folder)?;
        template.lend_font(&mut lesson, &folder, &mut findings);
        let paper = self.looks.paper(&lesson, &template);
        let elaborated = blocks::elaborate(lesson, &mut findings);
        let findings = findings.sorted();
        let counts = report(&source, &findings);
        if counts.fault > 0 && !self.draft {
            say(&format!(
                "{} is not printed: mend its faults first, or print a draft with --draft",
                source.name
            ));
            return Ok(Status::Faulty);
        }
        let fonts = fonts.with(elaborated.lesson.font.clone());
        let job = Job { template: &template, paper, fonts: &fonts, draft: self.draft };
        let document = page::set(&elaborated, &job);
        let outputs = self.outputs(input, &elaborated, &job, &document)?;
        outputs.write(&self.out_folder(&input.place))?;
        Ok(if counts.fault > 0 { Status::Faulty } else { Status::Sound })
    }

    /// Everything that is to be written.
    fn outputs(
        &self,
        input: &Input,
        elaborated: &Elaborated<'_>,
        job: &Job<'_>,
        document: &Document,
    ) -> Result<Outputs, Failure> {
        let (stem, fonts) = (&input.stem, job.fonts);
        let mut outputs = Outputs::of(document, stem, fonts)?;
        if self.svg || self.png {
            let figures =
                figures(elaborated, job).map(|(name, drawing)| (format!("{stem}-{name}"), drawing));
            let wanted = Pictures { svg: self.svg, png: self.png };
            outputs.add(outputs::pages(document, stem, fonts).chain(figures), wanted)?;
        }
        Ok(outputs)
    }
}

/// Prints the findings on standard error and counts them.
pub(super) fn report(source: &Source, findings: &[Finding]) -> Counts {
    let counts = Counts::of(findings);
    if !findings.is_empty() {
        let text = terminal::render(source, findings, colour_of(&std::io::stderr()));
        say(&format!("{text}{}: {}", source.name, counts.in_words()));
    }
    counts
}

/// Each printed block's figure as SVG, under the block's name, or its number in the lesson.
fn figures<'e>(
    elaborated: &'e Elaborated<'_>,
    job: &'e Job<'_>,
) -> impl Iterator<Item = (String, String)> + 'e {
    let blocks = elaborated.blocks.iter().zip(&elaborated.lesson.fences).enumerate();
    blocks.filter(|(_, (block, _))| block.printed).filter_map(move |(index, (block, fence))| {
        let desk = Desk { fonts: job.fonts, look: &job.template.figure, width: job.column().0 };
        let figure = match job.draft {
            true => block.draft_figure(&desk, &fence.setting)?,
            false => block.figure(&desk, &fence.setting)?,
        };
        let name = match &fence.name {
            Some(name) => name.value.to_lowercase(),
            None => format!("block-{}", index + 1),
        };
        let title = block.caption.as_deref().unwrap_or(&name);
        let drawing: Drawing = Figure::stacked(&figure);
        Some((name.clone(), svg::figure(&drawing, title, &figure.words, job.fonts)))
    })
}
