//! What is made of a lesson: its handout and what is wanted beside it, or why there is none.

use super::{Press, pictures};
use crate::cli::commands::clash::{Claims, Clash};
use crate::cli::commands::files::{Input, place_in};
use crate::cli::commands::library::Lesson;
use crate::cli::commands::outputs::{self, Outputs};
use crate::cli::commands::record::{self, Printed, Records, Witness};
use crate::cli::commands::report::reported;
use crate::cli::commands::{Failure, each, say_as_it_is};
use fretleaf::findings::report::visible::visible;
use fretleaf::ink::{Fonts, pdf};
use fretleaf::page::{self, fold, told};
use fretleaf::web;
use fretleaf::web::shelf::Card;
use fretleaf::words::Lang;
use fretleaf::{Compiled, Wishes};
use std::fmt;
use std::path::PathBuf;
use std::thread;

/// A lesson that can't be folded: its pages are no half sheets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoBooklet {
    lesson: String,
}

impl fmt::Display for NoBooklet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lesson = visible(&self.lesson);
        write!(
            f,
            "--fold lays pages of A5 on sheets of A4, and {lesson} isn't set on A5: add --template booklet or --paper a5"
        )
    }
}

/// A lesson that was checked, and its handout.
pub(super) struct Pressed {
    pub(super) faults: usize,
    pub(super) folder: PathBuf,
    pub(super) outputs: Made,
    /// What it was made of, and what was made.
    pub(super) printed: Printed,
}

/// What became of a lesson.
pub(super) enum Made {
    /// It has faults.
    Refused,
    /// Its handout was printed before, and nothing has changed.
    Before,
    /// What is to be written.
    Anew(Outputs),
}

impl Pressed {
    pub(super) fn claim(&self, of: &str, claims: &mut Claims) -> Result<(), Clash> {
        match &self.outputs {
            Made::Refused => Ok(()),
            Made::Anew(outputs) => outputs.claim(&self.folder, of, claims),
            Made::Before => self.printed.outputs().try_for_each(|name| {
                claims.write(&place_in(&self.folder, name), format!("an output of {of}"))
            }),
        }
    }

    fn anew(&self) -> Option<&Outputs> {
        match &self.outputs {
            Made::Anew(outputs) => Some(outputs),
            Made::Refused | Made::Before => None,
        }
    }

    pub(super) fn files(&self) -> impl Iterator<Item = (PathBuf, &[u8])> {
        self.anew().into_iter().flat_map(|outputs| outputs.files(&self.folder))
    }

    pub(super) fn told(&self) -> Option<String> {
        self.anew().map(|outputs| outputs.told(&self.folder))
    }
}

/// What came of a lesson, with what is to be told of it first.
pub(super) struct Told {
    report: Option<String>,
    pressed: Result<Pressed, Failure>,
}

impl Told {
    pub(super) fn tell(self) -> Result<Pressed, Failure> {
        self.report.iter().for_each(|report| say_as_it_is(report));
        self.pressed
    }
}

/// What is to be made of each lesson.
pub(super) struct Job<'a> {
    pub(super) command: &'a Press,
    pub(super) wishes: Wishes,
    pub(super) records: &'a Records,
}

impl Job<'_> {
    /// Prints a lesson, unless it was printed before and nothing changed.
    pub(super) fn press(&self, lesson: &Lesson, fonts: &Fonts) -> Told {
        let folder = lesson.folder(&self.command.wanted);
        let (input, wanted) = (&lesson.input, &self.command.wanted);
        let place = record::Place { input, folder: &folder };
        let root = lesson.root(wanted).zip(lesson.shelf_mark());
        let before = root.and_then(|(root, mark)| self.records.current(&root, &mark, &place));
        if let Some(printed) = before.cloned() {
            let pressed = Pressed { faults: 0, folder, outputs: Made::Before, printed };
            return Told { report: None, pressed: Ok(pressed) };
        }
        let told = self.press_anew(input, folder, fonts);
        fonts.forget_unused();
        told
    }

    fn press_anew(&self, input: &Input, folder: PathBuf, fonts: &Fonts) -> Told {
        let world = input.world();
        let witness = Witness::new(&world);
        let compiled = match self.wishes.compile(&witness, &input.name) {
            Ok(compiled) => compiled,
            Err(refusal) => return Told { report: None, pressed: Err(refusal.into()) },
        };
        let faults = compiled.counts().fault;
        let (source, findings) = (compiled.source(), compiled.findings.as_slice());
        let lang = compiled.lang();
        let is_refused = faults > 0 && !self.command.draft;
        let (report, outputs) = beside(
            findings.len(),
            || reported(source, findings, lang),
            || match is_refused {
                true => Ok(Made::Refused),
                false => self.outputs(input, &compiled, fonts).map(Made::Anew),
            },
        );
        let report = match is_refused {
            true => report.map(|report| report + &refusal(input, lang)),
            false => report,
        };
        let pressed = outputs.map(|outputs| {
            let card = self.command.web.then(|| Card::of(&compiled.lesson));
            let printed = printed(input, &witness, &outputs, card);
            Pressed { faults, folder, outputs, printed }
        });
        Told { report, pressed }
    }

    /// Everything that is to be written.
    fn outputs(
        &self,
        input: &Input,
        compiled: &Compiled<'_>,
        fonts: &Fonts,
    ) -> Result<Outputs, Failure> {
        let (stem, fonts) = (&input.stem, compiled.fonts(fonts));
        let template = compiled.template()?;
        let paper = compiled.paper(&template);
        let draft = self.command.draft;
        if self.command.fold && paper != fold::PAPER {
            return Err(NoBooklet { lesson: input.name.clone() }.into());
        }
        let job = page::Job { template: &template, paper, fonts: &fonts, draft };
        let document = compiled.press(&job);
        let paint = if draft { pdf::sketch } else { pdf::paint };
        let mut outputs = Outputs::of(paint(&document, &fonts)?, stem);
        if self.command.fold {
            let sheets = paint(&fold::folded(&document), &fonts)?;
            outputs.put(format!("{stem}-fold.pdf"), "the booklet to be folded", sheets);
        }
        if self.command.words {
            let text = told::text(&document);
            outputs.put(format!("{stem}.txt"), "the text", text.into_bytes());
        }
        if self.command.web {
            let page = web::Job { template: &template, fonts: &fonts, draft };
            let page = compiled.web(&page).into_bytes();
            outputs.put(format!("{stem}.html"), "the page for the screen", page);
        }
        let wanted = &self.command.wanted;
        if wanted.pictures() {
            let figures = pictures::of(&compiled.lesson, &job, stem);
            outputs.add(outputs::pages(&document, stem, &fonts).chain(figures), wanted)?;
        }
        Ok(outputs)
    }
}

/// What is said beneath the findings of a lesson that isn't printed.
fn refusal(input: &Input, lang: Lang) -> String {
    let name = visible(&input.name);
    let words =
        format!("{name} is not printed: mend its faults first, or print a draft with --draft");
    format!("\n{}", lang.reported("line", &words))
}

/// What is to be remembered of a lesson.
fn printed(input: &Input, witness: &Witness<'_>, outputs: &Made, card: Option<Card>) -> Printed {
    let outputs = match outputs {
        Made::Anew(outputs) => outputs.contents().collect(),
        Made::Refused | Made::Before => Vec::new(),
    };
    Printed::new(input, witness.seen(), outputs.into_iter(), card)
}

/// How many findings are worth a thread that words them while pages are made; assumed, to be measured.
const MANY: usize = 20;

/// Does work while findings are worded.
fn beside<T>(
    findings: usize,
    report: impl FnOnce() -> Option<String> + Send,
    work: impl FnOnce() -> T,
) -> (Option<String>, T) {
    if findings < MANY {
        return (report(), work());
    }
    thread::scope(|scope| {
        let report = scope.spawn(report);
        let done = work();
        (each::ended(report), done)
    })
}
