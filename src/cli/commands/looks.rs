//! How a handout is to look, as the command line asks for it.

use super::clash::Claims;
use super::{Failure, files};
use clap::{Args, ValueEnum};
use fretleaf::Wishes;
use fretleaf::lesson::header::Paper;
use fretleaf::page::{Template, TemplateError};
use std::fmt;
use std::path::Path;

/// What the command line says of a handout's looks; the lesson's own header holds where it is silent.
#[derive(Debug, Clone, Default, Args)]
pub struct Looks {
    /// The paper
    #[arg(long)]
    paper: Option<PaperName>,
    /// The page template: handout, large-print, chart, booklet, or a file of your own
    #[arg(long)]
    template: Option<String>,
    /// Mirror the diagrams for a left-handed player
    #[arg(long)]
    pub left_handed: bool,
}

/// A template's file that can't be used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unusable {
    template: String,
    why: Why,
}

/// Why a template's file can't be used.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Why {
    /// It can't be read; why, in words.
    Unreadable(String),
    NoText,
    Faulty(TemplateError),
}

impl fmt::Display for Unusable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "can't use the template `{}`: ", self.template)?;
        match &self.why {
            Why::Unreadable(why) => f.write_str(why),
            Why::NoText => f.write_str("it is not UTF-8"),
            Why::Faulty(error) => error.fmt(f),
        }
    }
}

/// The papers as the command line names them.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum PaperName {
    /// 210 × 297 mm
    A4,
    /// 148 × 210 mm
    A5,
    /// 8½ × 11 in
    Letter,
}

impl Looks {
    /// The template that the command line names: a built-in one, or a file from the current folder.
    ///
    /// # Errors
    ///
    /// Where there is no such template, or it can't be used.
    pub fn given_template(&self) -> Result<Option<Template>, Failure> {
        let Some(name) = &self.template else { return Ok(None) };
        if let Some(file) = self.template_file() {
            let unusable = |why| Unusable { template: name.clone(), why };
            let read = files::read_at_most(Path::new(file), Template::LARGEST)
                .map_err(|error| unusable(Why::Unreadable(files::in_words(&error))))?;
            let text = String::from_utf8(read).map_err(|_| unusable(Why::NoText))?;
            let parsed = Template::parse(&text).map_err(|error| unusable(Why::Faulty(error)))?;
            return Ok(Some(parsed));
        }
        Ok(Some(Template::load(name, |_| None)?))
    }

    /// What is asked of a lesson, in the template that was given.
    pub fn wishes(&self, template: Option<Template>) -> Wishes {
        Wishes { template, paper: self.paper(), left_handed: self.left_handed }
    }

    /// The paper that is asked for.
    pub fn paper(&self) -> Option<Paper> {
        self.paper.map(|paper| match paper {
            PaperName::A4 => Paper::A4,
            PaperName::A5 => Paper::A5,
            PaperName::Letter => Paper::Letter,
        })
    }

    /// Claims for the template's file that the command line names: the run reads it.
    pub fn claims(&self) -> Claims {
        let mut claims = Claims::default();
        if let Some(file) = self.template_file() {
            claims.read(Path::new(file), "the template");
        }
        claims
    }

    /// The template's file that the command line names; `None` where it names a built-in template
    /// or none.
    pub fn template_file(&self) -> Option<&str> {
        self.template.as_deref().filter(|name| !Template::is_built_in(name))
    }

    /// What it asks for that a template doesn't have of itself: another template than the usual one, by
    /// its name, and another paper than the template's.
    pub fn beyond(&self, usual: &str, template: &Template) -> (Option<&str>, Option<&'static str>) {
        let other = self.template.as_deref().filter(|name| *name != usual);
        let paper = match self.paper {
            Some(PaperName::A4) if template.paper != Paper::A4 => Some("a4"),
            Some(PaperName::A5) if template.paper != Paper::A5 => Some("a5"),
            Some(PaperName::Letter) if template.paper != Paper::Letter => Some("letter"),
            _ => None,
        };
        (other, paper)
    }
}
