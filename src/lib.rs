//! A compiler for guitar lessons: one plain-text lesson in, a checked and printed handout out.
//!
//! The way of a lesson, one direction only:
//!
//! ```text
//! text ─▶ lesson ─▶ elaborated lesson ─▶ findings
//!                          └─▶ figures ─▶ pages ─▶ SVG · PDF · PNG
//! ```
//!
//! [`Source::new`] takes a file's bytes in, [`lesson::read`] makes a lesson of it,
//! [`checks::elaborate()`] works out and checks everything that it says, [`page::set`] puts it on
//! pages, and the painters in [`ink`] put the pages into files. Each step gives a result even where
//! there are faults, and tells the faults beside it.

pub mod blocks;
pub mod chart;
pub mod checks;
pub mod findings;
pub mod ink;
pub mod lesson;
pub mod neck;
pub mod page;
pub mod paste;
pub mod script;
pub mod theory;
pub mod words;

pub use findings::{Finding, Source};
pub use lesson::world::World;

use checks::Elaborated;
use findings::Findings;
use findings::report::{Counts, Tally};
use ink::{Document, Fonts};
use lesson::header::Paper;
use lesson::world::{Refusal, WithText};
use page::{Template, TemplateError};
use script::Script;

/// What is asked for besides what a lesson says of itself, which holds where nothing is asked.
#[derive(Debug, Clone, Default)]
pub struct Wishes {
    /// The template.
    pub template: Option<Template>,
    /// The paper.
    pub paper: Option<Paper>,
    /// Whether every diagram is mirrored for a left-handed player.
    pub left_handed: bool,
}

/// A lesson that was read, checked and worked out, and what can be made of it.
#[derive(Debug)]
pub struct Compiled<'w> {
    /// The lesson with everything worked out.
    pub lesson: Elaborated<'w>,
    /// What was found, in the order of the places.
    pub findings: Vec<Finding>,
    /// The template that is asked for, or that the lesson names.
    template: Option<Template>,
    /// The paper that is asked for, or that the lesson names.
    paper: Option<Paper>,
}

/// Compiles a lesson of a world as it asks for itself.
///
/// # Errors
///
/// Where the world has no lesson of that name. Whatever is wrong in the lesson is told by its findings.
pub fn compile<'w>(world: &'w dyn World, main: &str) -> Result<Compiled<'w>, Refusal> {
    Wishes::default().compile(world, main)
}

impl Wishes {
    /// Compiles a lesson of a world with these wishes.
    ///
    /// # Errors
    ///
    /// Where the world has no lesson of that name. Whatever is wrong in the lesson is told by its findings.
    pub fn compile<'w>(&self, world: &'w dyn World, main: &str) -> Result<Compiled<'w>, Refusal> {
        let mut findings = Findings::default();
        let mut lesson = lesson::read(world.source(main)?, world, &mut findings);
        if self.left_handed {
            lesson.play_left_handed();
        }
        let template = match &self.template {
            Some(template) => Some(template.clone()),
            None => page::chosen::template(&lesson, world, &mut findings),
        };
        if let Some(template) = &template {
            template.lend_font(&mut lesson, world, &mut findings);
        }
        let paper = self.paper.or(lesson.header.paper);
        let lesson = checks::elaborate(lesson, &mut findings);
        Ok(Compiled { lesson, findings: findings.sorted(), template, paper })
    }
}

impl Compiled<'_> {
    /// The template that is asked for, or that the lesson names; `None` where neither is.
    pub fn chosen_template(&self) -> Option<&Template> {
        self.template.as_ref()
    }

    /// The template that its pages are set in.
    ///
    /// # Errors
    ///
    /// Where the usual template, which is built in, can't be used.
    pub fn template(&self) -> Result<Template, TemplateError> {
        self.template.clone().map_or_else(Template::usual, Ok)
    }

    /// What is wrong with the template that the lesson names, where it can't be used.
    pub fn template_fault(&self) -> Option<&Finding> {
        let named =
            self.lesson.lesson.header.template.as_ref().filter(|_| self.template.is_none())?;
        self.findings.iter().find(|finding| finding.span == named.span)
    }

    /// The paper that its pages are set for, in a template.
    pub fn paper(&self, template: &Template) -> Paper {
        self.paper.unwrap_or(template.paper)
    }

    /// The faces of the house with the lesson's own.
    pub fn fonts(&self, fonts: &Fonts) -> Fonts {
        fonts.with(self.lesson.lesson.font.clone())
    }

    /// The lesson's text.
    pub fn source(&self) -> &Source {
        self.lesson.lesson.source
    }

    /// How many findings of each weight there are.
    pub fn counts(&self) -> Counts {
        Counts::of(&self.findings)
    }

    /// Its handout.
    pub fn press(&self, job: &page::Job<'_>) -> Document {
        page::set(&self.lesson, job)
    }

    /// What is said in it, shown and played.
    pub fn script(&self) -> Script {
        script::of(&self.lesson)
    }
}

/// A lesson that was checked.
#[derive(Debug)]
pub struct Checked {
    /// Its text.
    pub source: Source,
    /// What was found, in the order of the places.
    pub findings: Vec<Finding>,
    /// How much there was to check.
    pub tally: Tally,
}

/// Checks the bytes of a lesson's file; the files that it names are looked for in a world.
pub fn check(name: &str, bytes: &[u8], world: &dyn World) -> Checked {
    let world = WithText::new(Source::new(name, bytes), world);
    let (findings, tally) = match compile(&world, name) {
        Ok(compiled) => {
            let tally = compiled.lesson.tally();
            (compiled.findings, tally)
        }
        Err(_) => (Vec::new(), Tally::default()),
    };
    Checked { source: world.into_source(), findings, tally }
}
