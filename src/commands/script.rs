//! `script`: what is said in a filmed lesson, with its cues, its clock, its chapters and the figures
//! for the screen.

use super::files::{self, Input};
use super::press::report;
use super::{Failure, Status, say};
use crate::blocks::{self, Elaborated};
use crate::ink::{Fonts, pdf, png};
use crate::lesson::{self, Source};
use crate::page::Template;
use crate::proof::Findings;
use crate::script::figures::{Ink, screens};
use crate::script::{self, Script, captions, chapters, clock, page, text};
use clap::{Args, ValueEnum};
use std::collections::BTreeMap;
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

/// The PNG figures: their dots a line, and as many an inch as that makes.
const SCREENS: [(&str, f32); 2] = [("1920x1080", 96.0), ("3840x2160", 192.0)];

impl WriteScript {
    /// Writes the script's files. A lesson with faults is refused.
    pub fn run(self) -> Result<Status, Failure> {
        let input = Input::read(&self.lesson)?;
        let mut findings = Findings::default();
        let source = Source::new(&input.name, &input.bytes, &mut findings);
        let lesson = lesson::read(&source, &input.folder(), &mut findings);
        let elaborated = blocks::elaborate(lesson, &mut findings);
        let findings = findings.sorted();
        if report(&source, &findings).fault > 0 {
            say(&format!("{}: no script is written: mend its faults first", source.name));
            return Ok(Status::Faulty);
        }
        let script = script::of(&elaborated);
        let outputs = self.outputs(&input, &elaborated, &script)?;
        self.write(&input, &outputs)?;
        say(&format!("{}: the script runs {}", source.name, clock::told(script.runs)));
        Ok(Status::Sound)
    }

    /// Everything that is to be written, by its file's path in the folder.
    fn outputs(
        &self,
        input: &Input,
        lesson: &Elaborated<'_>,
        script: &Script,
    ) -> Result<BTreeMap<String, Vec<u8>>, Failure> {
        let fonts = Fonts::new();
        let template = Template::load("handout", |_| None);
        let template = template.map_err(|error| Failure(error.to_string()))?;
        let paper = lesson.lesson.header.paper.unwrap_or(template.paper);
        let document = page::set(lesson, script, paper, &template.figure, &fonts);
        let pages = pdf::paint(&document, &fonts).map_err(|error| Failure(error.to_string()))?;
        let stem = &input.stem;
        let mut outputs = BTreeMap::from([
            (format!("{stem}-script.pdf"), pages),
            (format!("{stem}-script.txt"), text::write(script).into_bytes()),
            (format!("{stem}-chapters.txt"), chapters::list(script).into_bytes()),
            (format!("{stem}.vtt"), captions::write(script).into_bytes()),
        ]);
        if !self.figures {
            return Ok(outputs);
        }
        let ink = match self.ink {
            InkName::Dark => Ink::Dark,
            InkName::Light => Ink::Light,
        };
        for screen in screens(lesson, script, &template.figure, &fonts, ink) {
            let name = format!("{stem}-figures/{}", screen.name);
            for (size, dots_per_inch) in SCREENS {
                let dots = png::paint(&screen.svg, dots_per_inch, png::Ground::Clear)
                    .map_err(|error| Failure(error.to_string()))?;
                outputs.insert(format!("{name}-{size}.png"), dots);
            }
            outputs.insert(format!("{name}.svg"), screen.svg.into_bytes());
        }
        Ok(outputs)
    }

    fn write(&self, input: &Input, outputs: &BTreeMap<String, Vec<u8>>) -> Result<(), Failure> {
        let folder = self.out.as_ref().unwrap_or(&input.place);
        for (name, bytes) in outputs {
            let path = folder.join(name);
            let parent = files::folder_of(&path);
            std::fs::create_dir_all(&parent).map_err(|error| {
                Failure(format!("can't make `{}`: {}", parent.display(), files::in_words(&error)))
            })?;
            files::write_whole(&path, bytes)?;
        }
        Ok(())
    }
}
