//! `press`: checks lessons and prints their handouts.

use super::clash::{Claims, Clash};
use super::files::{Input, claim_lesson, place_in, read_at_most};
use super::library::{self, Lesson};
use super::looks::Looks;
use super::outputs::{self, Outputs, Picture, Wanted};
use super::proof::colour_of;
use super::record::{self, Printed, Records, Witness};
use super::{Failure, Status, each, say, say_as_it_is, writing};
use crate::cli::watch::dependencies::{self, Made as Rule, Untold};
use clap::Args;
use fretleaf::blocks::Block;
use fretleaf::blocks::figure::{Desk, Figure};
use fretleaf::checks::Elaborated;
use fretleaf::findings::report::visible::visible;
use fretleaf::findings::report::{Counts, terminal};
use fretleaf::ink::{Drawing, Fonts, pdf, svg};
use fretleaf::lesson::fence::Fence;
use fretleaf::lesson::world::read_plain;
use fretleaf::page::{self, Template, fold, told};
use fretleaf::web;
use fretleaf::web::shelf::{self, Card};
use fretleaf::words::listed;
use fretleaf::{Compiled, Finding, Source, Wishes};
use std::collections::BTreeMap;
use std::fmt;
use std::path::{Path, PathBuf};
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
#[derive(Debug, Clone, Args)]
pub struct Press {
    /// The lessons' files; `-` reads one from standard input; of a folder, its `.md` files that begin with a header, and
    /// those of the folders in it, each keeping its place under --out, and only what changed is printed anew
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
    /// Write NAME.html too: the lesson as a page for a student's screen, one file that fetches nothing
    #[arg(long)]
    web: bool,
    /// Print a lesson with faults too, each faulty place marked
    #[arg(long)]
    draft: bool,
    /// Write what each handout is made from, as rules for make
    #[arg(long, value_name = "FILE")]
    deps: Option<PathBuf>,
}

impl Press {
    /// Prints the handouts. A lesson with faults is refused unless it is a draft; the others are printed.
    pub fn run(self) -> Result<Status, Failure> {
        let lessons = library::read(&self.lessons)?;
        let roots = lessons.iter().filter_map(|lesson| lesson.root(&self.wanted));
        // The way before the template, so that a template which changes meanwhile is noticed by the next run.
        let records = Records::read(self.way(), roots.collect());
        let wishes = self.looks.wishes(self.looks.given_template()?);
        let job = Job { command: &self, wishes, records: &records };
        let pressed = each::of(&lessons, Fonts::new, |fonts, lesson| job.press(lesson, fonts));
        let pressed = pressed.into_iter().map(Told::tell);
        let run = Run { lessons: &lessons, pressed: pressed.collect::<Result<_, _>>()? };
        let rules = self.deps.as_ref().map(|_| run.rules(&self)).transpose()?;
        let mut after = records.after(run.printed(&self.wanted));
        after.extend(run.lists(&self));
        run.claim(&self, &after)?;
        let others = after.iter().map(|(path, text)| (path.clone(), text.as_slice()));
        let rules =
            self.deps.iter().zip(&rules).map(|(path, text)| (path.clone(), text.as_bytes()));
        let files = run.pressed.iter().flat_map(Pressed::files).chain(rules).chain(others);
        match self.draft {
            true => writing::write_drafts(files)?,
            false => writing::write_all(files)?,
        }
        run.told().iter().for_each(|line| say(line));
        let faulty = run.pressed.iter().any(|one| one.faults > 0);
        Ok(if faulty { Status::Faulty } else { Status::Sound })
    }

    /// Whatever decides what is made of a lesson but the lesson and what it names, in short.
    fn way(&self) -> u64 {
        let options = Press { lessons: Vec::new(), deps: None, ..self.clone() };
        let template = self.looks.template_file().map(Path::new);
        let template = template.and_then(|file| read_at_most(file, Template::LARGEST).ok());
        record::way(&format!("{options:?}"), &template.unwrap_or_default())
    }
}

/// What was made of all lessons.
struct Run<'a> {
    lessons: &'a [Lesson],
    pressed: Vec<Pressed>,
}

impl Run<'_> {
    fn each(&self) -> impl Iterator<Item = (&Lesson, &Pressed)> {
        self.lessons.iter().zip(&self.pressed)
    }

    /// Holds what is to be written against all that is read, and against itself.
    fn claim(&self, command: &Press, records: &[(PathBuf, Vec<u8>)]) -> Result<(), Failure> {
        let mut claims = command.looks.claims();
        for (lesson, one) in self.each() {
            claim_lesson(&lesson.path, &mut claims);
            lesson.input.claim_named(&one.printed.named(), &mut claims);
        }
        for (lesson, one) in self.each() {
            one.claim(&format!("`{}`", lesson.input.name), &mut claims)?;
        }
        if let Some(file) = &command.deps {
            claims.write(file, "the dependency file")?;
        }
        for (file, _) in records {
            claims.write(file, "the list or the record of what was printed")?;
        }
        Ok(())
    }

    /// What is to be remembered of lessons that lie in a library: a faulty one is to be told again.
    fn printed(&self, wanted: &Wanted) -> impl Iterator<Item = (PathBuf, String, &Printed)> {
        let sound = self.each().filter(|(_, one)| one.faults == 0);
        sound.filter_map(|(lesson, one)| {
            Some((lesson.root(wanted)?, lesson.shelf_mark()?, &one.printed))
        })
    }

    /// The list of each library's pages, where they are wanted; one that says nothing new is left out.
    fn lists(&self, command: &Press) -> Vec<(PathBuf, Vec<u8>)> {
        let mut shelves: BTreeMap<PathBuf, Vec<(String, &Card)>> = BTreeMap::new();
        for (lesson, one) in self.each() {
            let (Some(root), Some(card)) = (lesson.root(&command.wanted), &one.printed.card) else {
                continue;
            };
            if !matches!(one.outputs, Made::Refused) {
                shelves.entry(root).or_default().push((lesson.address("html"), card));
            }
        }
        let pages = shelves.into_iter().map(|(root, cards)| {
            (place_in(&root, "index.html"), shelf::page(cards.into_iter()).into_bytes())
        });
        pages.filter(|(path, page)| read_plain(path).ok().as_ref() != Some(page)).collect()
    }

    /// What each handout is made from, as rules for make.
    fn rules(&self, command: &Press) -> Result<String, Untold> {
        let made = self.each().flat_map(|(lesson, one)| {
            let named = one.printed.named().into_iter();
            let named = named.map(|name| place_in(&lesson.input.place, &name));
            let template = command.looks.template_file().map(PathBuf::from);
            let from = std::iter::once(lesson.path.clone()).chain(named).chain(template);
            let from: Vec<PathBuf> = from.filter(|file| file.is_file()).collect();
            one.printed
                .outputs()
                .map(move |name| Rule { target: place_in(&one.folder, name), from: from.clone() })
        });
        dependencies::text(&made.collect::<Vec<_>>())
    }

    /// What was written, what was left as it was, and what wasn't printed.
    fn told(&self) -> Vec<String> {
        let mut lines: Vec<String> = self.pressed.iter().filter_map(Pressed::told).collect();
        let kept = self.pressed.iter().filter(|one| matches!(one.outputs, Made::Before)).count();
        match kept {
            0 => {}
            1 => lines.push("1 handout is left as it is: nothing changed".to_owned()),
            kept => lines.push(format!("{kept} handouts are left as they are: nothing changed")),
        }
        let refused = self.each().filter(|(_, one)| matches!(one.outputs, Made::Refused));
        let names: Vec<String> =
            refused.map(|(lesson, _)| format!("`{}`", lesson.input.name)).collect();
        if self.lessons.len() > 1 && !names.is_empty() {
            lines.push(format!("not printed for their faults: {}", listed(&names)));
        }
        lines
    }
}

/// A lesson that was checked, and its handout.
struct Pressed {
    faults: usize,
    folder: PathBuf,
    outputs: Made,
    /// What it was made of, and what was made.
    printed: Printed,
}

/// What became of a lesson.
enum Made {
    /// It has faults.
    Refused,
    /// Its handout was printed before, and nothing has changed.
    Before,
    /// What is to be written.
    Anew(Outputs),
}

impl Pressed {
    fn claim(&self, of: &str, claims: &mut Claims) -> Result<(), Clash> {
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

    fn files(&self) -> impl Iterator<Item = (PathBuf, &[u8])> {
        self.anew().into_iter().flat_map(|outputs| outputs.files(&self.folder))
    }

    fn told(&self) -> Option<String> {
        self.anew().map(|outputs| outputs.told(&self.folder))
    }
}

/// What came of a lesson, with what is to be told of it first.
struct Told {
    report: Option<String>,
    pressed: Result<Pressed, Failure>,
}

impl Told {
    fn tell(self) -> Result<Pressed, Failure> {
        self.report.iter().for_each(|report| say_as_it_is(report));
        self.pressed
    }
}

/// What is to be made of each lesson.
struct Job<'a> {
    command: &'a Press,
    wishes: Wishes,
    records: &'a Records,
}

impl Job<'_> {
    /// Prints a lesson, unless it was printed before and nothing changed.
    fn press(&self, lesson: &Lesson, fonts: &Fonts) -> Told {
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
        let is_refused = faults > 0 && !self.command.draft;
        let (report, outputs) = beside(
            findings.len(),
            || reported(source, findings),
            || match is_refused {
                true => Ok(Made::Refused),
                false => self.outputs(input, &compiled, fonts).map(Made::Anew),
            },
        );
        let report =
            if is_refused { report.map(|report| report + &refusal(input)) } else { report };
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
            let figures = figures(&compiled.lesson, &job, stem);
            outputs.add(outputs::pages(&document, stem, &fonts).chain(figures), wanted)?;
        }
        Ok(outputs)
    }
}

/// What is said beneath the findings of a lesson that isn't printed.
fn refusal(input: &Input) -> String {
    let name = visible(&input.name);
    format!("\n{name} is not printed: mend its faults first, or print a draft with --draft")
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

/// Prints the findings on standard error and counts them.
pub(super) fn report(source: &Source, findings: &[Finding]) -> Counts {
    reported(source, findings).iter().for_each(|report| say_as_it_is(report));
    Counts::of(findings)
}

/// The findings as standard error is told them; nothing where there are none.
fn reported(source: &Source, findings: &[Finding]) -> Option<String> {
    let text = terminal::render(source, findings, colour_of(&std::io::stderr()));
    let counts = Counts::of(findings).in_words();
    (!findings.is_empty()).then(|| format!("{text}{}: {counts}", visible(&source.name)))
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
        let desk = Desk {
            lang: elaborated.lesson.header.lang,
            fonts: job.fonts,
            look: &job.template.figure,
            width: job.column().0,
        };
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
