//! `press`: checks lessons and prints their handouts.

use super::files::{Input, claim_lesson};
use super::looks::Looks;
use super::outputs::{self, Outputs, Picture, Wanted};
use super::proof::colour_of;
use super::{Failure, Status, say, say_as_it_is, writing};
use clap::Args;
use fretleaf::blocks::Block;
use fretleaf::blocks::figure::{Desk, Figure};
use fretleaf::checks::Elaborated;
use fretleaf::findings::report::visible::visible;
use fretleaf::findings::report::{Counts, terminal};
use fretleaf::ink::{Drawing, Fonts, pdf, svg};
use fretleaf::lesson::fence::Fence;
use fretleaf::lesson::world::Noting;
use fretleaf::page::{self, fold, told};
use fretleaf::{Compiled, Finding, Source, Wishes};
use std::collections::BTreeSet;
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

/// Check lessons and print their handouts
#[derive(Debug, Args)]
pub struct Press {
    /// The lessons' files; `-` reads one from standard input
    #[arg(required = true, value_name = "LESSON")]
    lessons: Vec<PathBuf>,
    #[command(flatten)]
    wanted: Wanted,
    #[command(flatten)]
    looks: Looks,
    /// Of a booklet (A5), write NAME-fold.pdf too: two pages on each side of A4 in folding order, to be printed on
    /// both sides, turned on the short edge, and folded once
    #[arg(long)]
    fold: bool,
    /// Write NAME.txt too: the lesson as plain text to be read aloud, its figures told in words
    #[arg(long)]
    words: bool,
    /// Print a lesson with faults too, each faulty place marked
    #[arg(long)]
    draft: bool,
}

impl Press {
    /// Prints the handouts. A lesson with faults is refused unless it is a draft.
    pub fn run(self) -> Result<Status, Failure> {
        let inputs = self.lessons.iter().map(|path| Input::read(path));
        let inputs = inputs.collect::<Result<Vec<Input>, _>>()?;
        let wishes = self.looks.wishes(self.looks.given_template()?);
        let job = Job { command: &self, wishes, fonts: &Fonts::new() };
        let pressed = inputs.iter().map(|input| job.press(input));
        let pressed = pressed.collect::<Result<Vec<Pressed>, Failure>>()?;
        self.claim(&inputs, &pressed)?;
        let files = pressed.iter().flat_map(Pressed::files);
        match self.draft {
            true => writing::write_drafts(files)?,
            false => writing::write_all(files)?,
        }
        pressed.iter().filter_map(Pressed::told).for_each(|line| say(&line));
        let faulty = pressed.iter().any(|one| one.faults > 0);
        Ok(if faulty { Status::Faulty } else { Status::Sound })
    }

    /// Holds what is to be written against all that is read, and against itself.
    fn claim(&self, inputs: &[Input], pressed: &[Pressed]) -> Result<(), Failure> {
        let mut claims = self.looks.claims();
        self.lessons.iter().for_each(|path| claim_lesson(path, &mut claims));
        for (input, one) in inputs.iter().zip(pressed) {
            input.claim_named(&one.named, &mut claims);
        }
        for (input, one) in inputs.iter().zip(pressed) {
            if let Some(outputs) = &one.outputs {
                outputs.claim(&one.folder, &format!("`{}`", input.name), &mut claims)?;
            }
        }
        Ok(())
    }
}

/// A lesson that was checked, and its handout.
struct Pressed {
    faults: usize,
    /// The files that the lesson names.
    named: BTreeSet<String>,
    folder: PathBuf,
    /// What is to be written; nothing where the lesson is refused.
    outputs: Option<Outputs>,
}

impl Pressed {
    fn files(&self) -> impl Iterator<Item = (PathBuf, &[u8])> {
        self.outputs.iter().flat_map(|outputs| outputs.files(&self.folder))
    }

    fn told(&self) -> Option<String> {
        self.outputs.as_ref().map(|outputs| outputs.told(&self.folder))
    }
}

/// What is to be made of each lesson.
struct Job<'a> {
    command: &'a Press,
    wishes: Wishes,
    fonts: &'a Fonts,
}

impl Job<'_> {
    fn press(&self, input: &Input) -> Result<Pressed, Failure> {
        let world = input.world();
        let noting = Noting::new(&world);
        let compiled = self.wishes.compile(&noting, &input.name)?;
        let faults = compiled.counts().fault;
        let (source, findings) = (compiled.source(), compiled.findings.as_slice());
        let tell = || report(source, findings);
        let outputs = if faults > 0 && !self.command.draft {
            tell();
            say(&format!(
                "{} is not printed: mend its faults first, or print a draft with --draft",
                input.name
            ));
            None
        } else {
            Some(beside(findings.len(), tell, || self.outputs(input, &compiled))?)
        };
        let folder = self.command.wanted.folder(&input.place).to_owned();
        Ok(Pressed { faults, named: noting.named(), folder, outputs })
    }

    /// Everything that is to be written.
    fn outputs(&self, input: &Input, compiled: &Compiled<'_>) -> Result<Outputs, Failure> {
        let (stem, fonts) = (&input.stem, compiled.fonts(self.fonts));
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
        let wanted = &self.command.wanted;
        if wanted.pictures() {
            let figures = figures(&compiled.lesson, &job, stem);
            outputs.add(outputs::pages(&document, stem, &fonts).chain(figures), wanted)?;
        }
        Ok(outputs)
    }
}

/// How many findings are worth a thread that tells them while pages are made; assumed, to be measured.
const MANY: usize = 20;

/// Does work while findings are told, which are all told when it is done.
fn beside<T>(findings: usize, tell: impl FnOnce() -> Counts + Send, work: impl FnOnce() -> T) -> T {
    if findings < MANY {
        tell();
        return work();
    }
    thread::scope(|scope| {
        scope.spawn(tell);
        work()
    })
}

/// Prints the findings on standard error and counts them.
pub(super) fn report(source: &Source, findings: &[Finding]) -> Counts {
    let counts = Counts::of(findings);
    if !findings.is_empty() {
        let text = terminal::render(source, findings, colour_of(&std::io::stderr()));
        say_as_it_is(&format!("{text}{}: {}", visible(&source.name), counts.in_words()));
    }
    counts
}

/// Each printed block's figure, under the block's name, or its number in the lesson; of one that is answered at the
/// lesson's end its answer too.
fn figures<'e>(
    elaborated: &'e Elaborated<'_>,
    job: &'e page::Job<'_>,
    stem: &'e str,
) -> impl Iterator<Item = Picture> + 'e {
    let blocks = elaborated.blocks.iter().zip(&elaborated.lesson.fences).enumerate();
    blocks.flat_map(move |(index, (block, fence))| {
        let named = Named { number: index + 1, block, fence, stem };
        let desk = Desk { fonts: job.fonts, look: &job.template.figure, width: job.column().0 };
        let printed = block.printed.then(|| block.printed_figure(&desk, &fence.setting, job.draft));
        let answer =
            block.answers.and_then(|_| block.answer_figure(&desk, &fence.setting, job.draft));
        let printed = printed.flatten().map(|figure| named.picture(figure, false, &desk));
        let beside_frame = printed.is_some();
        let answer = answer.map(|figure| named.picture(figure, beside_frame, &desk));
        printed.into_iter().chain(answer)
    })
}

/// A block whose figures become pictures.
struct Named<'a> {
    number: usize,
    block: &'a Block,
    fence: &'a Fence<'a>,
    stem: &'a str,
}

impl Named<'_> {
    /// A figure of it, in the lesson; the answer, where that stands beside its frame, says so in its name.
    fn picture(&self, figure: Figure, answer: bool, desk: &Desk<'_>) -> Picture {
        let figure = figure.with_notes_beneath(desk);
        let (name, what) = match &self.fence.name {
            Some(name) => (name.value.to_lowercase(), format!("figure `{}`", name.value)),
            None => (format!("block-{}", self.number), format!("figure of block {}", self.number)),
        };
        let (name, what) = match answer {
            true => (format!("{name}-answer"), format!("the answer to the {what}")),
            false => (name, format!("the {what}")),
        };
        let title = self.block.caption.as_deref().unwrap_or(&name);
        let drawing: Drawing = Figure::stacked(&figure);
        let svg = svg::figure(&drawing, title, &figure.words, desk.fonts);
        Picture { name: format!("{}-{name}", self.stem), what, svg }
    }
}
