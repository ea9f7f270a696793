//! How a handout is to look, as the command line asks for it.

use super::Failure;
use crate::lesson::Lesson;
use crate::lesson::folder::Folder;
use crate::lesson::header::Paper;
use crate::page::Template;
use clap::{Args, ValueEnum};

/// What the command line says of a handout's looks; the lesson's own header holds where it is silent.
#[derive(Debug, Clone, Default, Args)]
pub struct Looks {
    /// The paper
    #[arg(long)]
    paper: Option<PaperName>,
    /// The page template: handout, large-print, chart, or a file of your own
    #[arg(long)]
    template: Option<String>,
    /// Mirror the diagrams for a left-handed player
    #[arg(long)]
    pub left_handed: bool,
}

/// The papers as the command line names them.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperName {
    /// 210 × 297 mm
    A4,
    /// 8½ × 11 in
    Letter,
}

impl Looks {
    /// The template that the command line names, in the current folder; else the lesson's, in its
    /// own folder.
    ///
    /// # Errors
    ///
    /// Where there is no such template, or it can't be read.
    pub fn template(&self, lesson: &Lesson<'_>, folder: &dyn Folder) -> Result<Template, Failure> {
        let outcome = match &self.template {
            Some(name) => Template::load(name, |path| std::fs::read_to_string(path).ok()),
            None => Template::of(lesson, folder),
        };
        outcome.map_err(|error| Failure(error.to_string()))
    }

    /// The template's file that the command line names; `None` where it names a built-in template
    /// or none.
    pub fn template_file(&self) -> Option<&str> {
        self.template.as_deref().filter(|name| !Template::is_built_in(name))
    }

    /// The paper: the command line's, the lesson's, or the template's.
    pub fn paper(&self, lesson: &Lesson<'_>, template: &Template) -> Paper {
        match self.paper {
            Some(PaperName::A4) => Paper::A4,
            Some(PaperName::Letter) => Paper::Letter,
            None => lesson.header.paper.unwrap_or(template.paper),
        }
    }
}
