//! A compiler for guitar lessons: one plain-text lesson in, a checked and printed handout out.
//!
//! The way of a lesson, one direction only:
//!
//! ```text
//! text ─▶ lesson ─▶ elaborated lesson ─▶ findings
//!                          ├─▶ figures ─▶ pages ─▶ SVG · PDF · PNG
//!                          └─▶ script
//! ```
//!
//! [`compile`] goes it: [`lesson::read`] makes a lesson of a text that a [`World`] has, each fence with its kind
//! of block, and [`checks::elaborate()`] has [`blocks::read()`] understand its music, checks everything that it
//! says and works out what is printed. Of what is [`Compiled`] come pages ([`Compiled::press`]), which the
//! painters in [`ink`] put into files, and the script ([`Compiled::script`]). Each step gives a result even
//! where there are faults, and tells the faults beside it.
//!
//! What a block sounds like, to play along with, is made by [`hear`].
//!
//! Beside this way a [`chart`] is drawn without a lesson, and [`paste`] makes a lesson of an old tab. What all of
//! them know is [`theory`], the [`neck`], what is played as [`music`], and our own [`words`]. The program, `src/cli`,
//! names this library as any other would.
//!
//! ```
//! use fretleaf::ink::{Fonts, pdf};
//! use fretleaf::lesson::world::MemoryWorld;
//! use fretleaf::{compile, page};
//!
//! let text = "---\ntitle: First Steps\n---\n\n~~~ shape\nAm x02210\n~~~\n";
//! let world = MemoryWorld::default().with_lesson("first-steps.md", text);
//! let compiled = compile(&world, "first-steps.md").unwrap();
//! assert_eq!(compiled.counts().fault, 0);
//!
//! let (template, fonts) = (compiled.template().unwrap(), Fonts::new());
//! let paper = compiled.paper(&template);
//! let job = page::Job { template: &template, paper, fonts: &fonts, draft: false };
//! let file = pdf::paint(&compiled.press(&job), &fonts).unwrap();
//! assert!(file.starts_with(b"%PDF"));
//! ```

pub mod blocks;
pub mod chart;
pub mod checks;
pub mod findings;
pub mod hear;
pub mod help;
pub mod ink;
pub mod lesson;
pub mod music;
pub mod neck;
pub mod page;
pub mod paste;
pub mod script;
pub mod theory;
pub mod web;
pub mod words;

pub use findings::{Finding, Source};
pub use lesson::world::World;

use checks::Elaborated;
use findings::Findings;
use findings::report::{Counts, Tally};
use ink::{Document, Fonts};
use lesson::Lesson;
use lesson::header::Paper;
use lesson::world::{MemoryWorld, Noting, Refusal};
use page::{Template, TemplateError};
use script::Script;
use std::collections::BTreeSet;
use words::Lang;

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
    /// What was found, in the order of the places, said in the lesson's language.
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
        Ok(self.compile_source(world.source(main)?, world))
    }

    /// Compiles a text with these wishes; the files that it names are looked for in a world.
    fn compile_source<'s>(&self, source: &'s Source, world: &dyn World) -> Compiled<'s> {
        let mut findings = Findings::default();
        let (mut lesson, template) = self.read_source(source, world, &mut findings);
        if self.left_handed {
            lesson.play_left_handed();
        }
        if let Some(template) = &template {
            template.lend(&mut lesson, world, &mut findings);
        }
        let paper = self.paper.or(lesson.header.paper);
        let lesson = checks::elaborate(lesson, &mut findings);
        script::check(&lesson, &mut findings);
        let lang = lesson.lesson.header.lang;
        let findings = findings.sorted().into_iter().map(|finding| finding.said_in(lang)).collect();
        Compiled { lesson, findings, template, paper }
    }

    /// Reads a text and what it names, the first step of compiling it: the lesson, and its template.
    fn read_source<'s>(
        &self,
        source: &'s Source,
        world: &dyn World,
        findings: &mut Findings,
    ) -> (Lesson<'s>, Option<Template>) {
        let lesson = lesson::read(source, &blocks::kinds(), world, findings);
        let template = match &self.template {
            Some(template) => Some(template.clone()),
            None => page::chosen_template::template(&lesson, world, findings),
        };
        (lesson, template)
    }

    /// The files that a text compiled with these wishes asks for, as far as its own words name them: none of
    /// them is read, and nothing is worked out.
    pub fn named(&self, source: &Source) -> BTreeSet<String> {
        let nothing = MemoryWorld::default();
        let noting = Noting::new(&nothing);
        self.read_source(source, &noting, &mut Findings::default());
        noting.named()
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

    /// The language of the words beside the author's.
    pub fn lang(&self) -> Lang {
        self.lesson.lesson.header.lang
    }

    /// How many findings of each weight there are.
    pub fn counts(&self) -> Counts {
        Counts::of(&self.findings)
    }

    /// Its handout.
    pub fn press(&self, job: &page::Job<'_>) -> Document {
        page::set(&self.lesson, job)
    }

    /// Its page for a student's screen, one HTML file.
    pub fn web(&self, job: &web::Job<'_>) -> String {
        web::page(&self.lesson, job)
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
    /// What was found, in the order of the places, said in the lesson's language.
    pub findings: Vec<Finding>,
    /// How much there was to check.
    pub tally: Tally,
    /// The lesson's language.
    pub lang: Lang,
}

/// Checks the bytes of a lesson's file; the files that it names are looked for in a world.
///
/// ```
/// use fretleaf::lesson::world::MemoryWorld;
///
/// let text = "---\ntitle: A Slip\n---\n\n~~~ shape\nA x02210\n~~~\n";
/// let checked = fretleaf::check("slip.md", text.as_bytes(), &MemoryWorld::default());
/// assert_eq!(checked.findings[0].rule.name, "shape-misnamed");
/// ```
pub fn check(name: &str, bytes: &[u8], world: &dyn World) -> Checked {
    let source = Source::new(name, bytes);
    let compiled = Wishes::default().compile_source(&source, world);
    let (tally, lang) = (compiled.lesson.tally(), compiled.lang());
    let findings = compiled.findings;
    Checked { source, findings, tally, lang }
}
