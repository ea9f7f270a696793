//! How good the reader of transcriptions is, measured on riffs that were set apart before any threshold
//! was set: how many of a thousand slips it finds, how many it can repair, and how often it is wrong
//! about sound music. `cargo test --test it slips -- --nocapture` prints the table.

#![allow(clippy::unwrap_used)]

mod chance;
mod corpus;
mod judge;
mod sheet;
mod slip;

use chance::Chance;
use corpus::Subject;
use fretleaf::findings::Span;
use fretleaf::findings::source::Places;
use fretleaf::findings::{Finding, Fix, Weight};
use fretleaf::lesson::world::MemoryWorld;
use slip::{Kind, Slip};
use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;
use std::thread;

/// The half of the corpus that no threshold was set by.
const SET_APART: &str = "held-out";
const TRIALS: usize = 1000;
const SEED: u64 = 3;

/// What is drawn from: a single note slips more often than all else (assumed), so twice as often here.
const DRAWN: [Kind; 8] = [
    Kind::NoteFret,
    Kind::NoteFret,
    Kind::NoteString,
    Kind::NoteString,
    Kind::BarString,
    Kind::BarFret,
    Kind::BarLine,
    Kind::CountLost,
];

/// What makes a slip a slip, and so what has to be found.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    /// A note outside chord and key that fits no kind of non-chord tone.
    Foreign,
    /// All it does is to make a bar differ from another that it repeated.
    BreaksRepetition,
    /// A bar, or a bar line with all that stands beside it, that slipped as a whole.
    Whole,
    /// None of these: as music it is as likely as what was meant.
    Plausible,
}

/// How one trial ended.
struct Outcome {
    kind: Kind,
    class: Class,
    found: bool,
    restored: bool,
}

#[test]
fn both_halves_are_large_and_without_a_fault() {
    for half in ["tuned", SET_APART] {
        let lessons = corpus::lessons(half);
        let riffs: usize = lessons.iter().map(|lesson| corpus::subjects(lesson).len()).sum();
        assert!(
            lessons.len() >= 6 && riffs >= 32,
            "{half}: {riffs} riffs in {} styles",
            lessons.len()
        );
        let faults = lessons.iter().flat_map(|lesson| grave(lesson));
        let faults = faults.filter(|finding| finding.weight == Weight::Fault);
        assert_eq!(faults.map(|fault| told(&fault)).collect::<Vec<_>>(), Vec::<String>::new());
    }
}

#[test]
fn sound_riffs_raise_few_doubts() {
    let lessons = corpus::lessons(SET_APART);
    let bars: usize = lessons.iter().map(|lesson| corpus::bars(lesson)).sum();
    let doubts: Vec<String> =
        lessons.iter().flat_map(|lesson| grave(lesson)).map(|f| told(&f)).collect();
    println!("{} doubts in {bars} sound bars\n{}", doubts.len(), doubts.join("\n"));
    assert!(doubts.len() * 100 <= bars * 3, "more than 3 doubts in 100 bars");
}

#[test]
fn slips_are_found_and_repaired() {
    let outcomes = outcomes(&slips(&subjects()));
    println!("{}", Table(&outcomes));
    let of = |class: Class| Share::of(&outcomes, |o| o.class == class, |o| o.found);
    assert!(of(Class::Foreign).reaches(95), "foreign notes: {}", of(Class::Foreign));
    assert!(
        of(Class::BreaksRepetition).reaches(85),
        "repetitions: {}",
        of(Class::BreaksRepetition)
    );
    assert!(of(Class::Whole).reaches(90), "slipped as a whole: {}", of(Class::Whole));
    let restored = restored(&outcomes, |_| true);
    assert!(restored.reaches(80), "restored by the first fix: {restored}");
}

fn subjects() -> Vec<Subject> {
    corpus::lessons(SET_APART).iter().flat_map(|lesson| corpus::subjects(lesson)).collect()
}

/// Draws the slips, each with the riff that it is in.
fn slips(subjects: &[Subject]) -> Vec<(&Subject, Slip)> {
    let mut chance = Chance::seeded(SEED);
    let mut slips = Vec::new();
    while slips.len() < TRIALS {
        let kind = *chance.one_of(&DRAWN).unwrap();
        let subject = chance.one_of(subjects).unwrap();
        slips.extend(slip::draw(kind, subject, &mut chance).map(|slip| (subject, slip)));
    }
    slips
}

/// Tries the slips, as many at a time as there are processors.
fn outcomes(slips: &[(&Subject, Slip)]) -> Vec<Outcome> {
    let workers = thread::available_parallelism().map_or(1, usize::from);
    let shares = slips.chunks(slips.len().div_ceil(workers));
    thread::scope(|scope| {
        let share = |slips| scope.spawn(move || try_all(slips));
        let running: Vec<_> = shares.map(share).collect();
        running.into_iter().flat_map(|worker| worker.join().unwrap()).collect()
    })
}

fn try_all(slips: &[(&Subject, Slip)]) -> Vec<Outcome> {
    slips.iter().map(|(subject, slip)| try_one(subject, slip)).collect()
}

fn try_one(subject: &Subject, slip: &Slip) -> Outcome {
    let before: BTreeSet<String> = grave(&subject.text).iter().map(told).collect();
    let places = Places::new(&slip.text);
    let new = grave(&slip.text).into_iter().filter(|finding| !before.contains(&told(finding)));
    let covering: Vec<Finding> = new.filter(|finding| covers(finding, slip, &places)).collect();
    let fix = covering.iter().find_map(|finding| finding.fixes.first());
    Outcome {
        kind: slip.kind,
        class: class(subject, slip),
        found: !covering.is_empty(),
        restored: fix.is_some_and(|fix| apply(&slip.text, fix) == subject.text),
    }
}

fn class(subject: &Subject, slip: &Slip) -> Class {
    if matches!(slip.kind, Kind::BarString | Kind::BarFret | Kind::BarLine) {
        return Class::Whole;
    }
    if slip.note.is_some_and(|(index, pitch)| judge::is_foreign(subject, index, pitch)) {
        return Class::Foreign;
    }
    let bar = &subject.bars[slip.bar];
    let repeats = subject.bars.iter().filter(|other| *other == bar).count() > 1;
    if repeats { Class::BreaksRepetition } else { Class::Plausible }
}

/// The faults and doubts that a lesson raises.
fn grave(lesson: &str) -> Vec<Finding> {
    let checked = fretleaf::check("riff.md", lesson.as_bytes(), &MemoryWorld::default());
    checked.findings.into_iter().filter(|finding| finding.weight > Weight::Hint).collect()
}

fn told(finding: &Finding) -> String {
    format!("{}: {}", finding.rule.name, finding.message)
}

/// Whether a finding, or a second place that it speaks of, stands where the slip is: in the same
/// columns of the same system.
fn covers(finding: &Finding, slip: &Slip, places: &Places<'_>) -> bool {
    let labels = finding.labels.iter().map(|label| label.span);
    labels.chain([finding.span]).any(|span| touches(span, slip, places))
}

fn touches(span: Span, slip: &Slip, places: &Places<'_>) -> bool {
    let (start, end) = places.of(span);
    let lines = start.line - 1..end.line;
    let columns = match start.column < end.column {
        true => start.column - 1..end.column - 1,
        false => 0..usize::MAX,
    };
    overlap(&lines, &slip.lines) && overlap(&columns, &slip.columns)
}

fn overlap(one: &Range<usize>, other: &Range<usize>) -> bool {
    one.start < other.end && other.start < one.end
}

fn apply(text: &str, fix: &Fix) -> String {
    format!("{}{}{}", &text[..fix.span.start], fix.replace, &text[fix.span.end..])
}

/// So many of so many.
#[derive(Clone, Copy)]
struct Share {
    part: usize,
    whole: usize,
}

impl Share {
    fn of(
        outcomes: &[Outcome],
        whole: impl Fn(&Outcome) -> bool,
        part: impl Fn(&Outcome) -> bool,
    ) -> Share {
        let counted = || outcomes.iter().filter(|outcome| whole(outcome));
        Share { part: counted().filter(|outcome| part(outcome)).count(), whole: counted().count() }
    }

    /// Whether there were trials, and so many in 100 of them.
    fn reaches(self, hundredths: usize) -> bool {
        self.whole > 0 && self.part * 100 >= self.whole * hundredths
    }
}

impl fmt::Display for Share {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let share = if self.whole == 0 {
            "–".to_string()
        } else {
            format!("{}/{}", self.part, self.whole)
        };
        f.pad(&share)
    }
}

/// Of the slips of single notes that were found, those that the first fix takes back.
fn restored(outcomes: &[Outcome], counted: impl Fn(&Outcome) -> bool) -> Share {
    let is_note = |o: &Outcome| matches!(o.kind, Kind::NoteFret | Kind::NoteString);
    Share::of(outcomes, |o| is_note(o) && o.found && counted(o), |o| o.restored)
}

/// What was found of each kind of slip.
struct Table<'o>(&'o [Outcome]);

impl fmt::Display for Table<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(
            f,
            "| {:28} | {:>11} | {:>11} | {:>11} | {:>11} | {:>11} |",
            "found, of the slips that",
            "are foreign",
            "break a rep",
            "are whole",
            "are neither",
            "restored"
        )?;
        writeln!(f, "| {:-<28} | {:->11}{}", "", ":", " | ----------:".repeat(4) + " |")?;
        for kind in Kind::ALL {
            self.row(f, kind.name(), |outcome| outcome.kind == kind)?;
        }
        self.row(f, "all", |_| true)
    }
}

impl Table<'_> {
    fn row(
        &self,
        f: &mut fmt::Formatter<'_>,
        name: &str,
        counted: impl Fn(&Outcome) -> bool,
    ) -> fmt::Result {
        write!(f, "| {name:28} |")?;
        for class in [Class::Foreign, Class::BreaksRepetition, Class::Whole, Class::Plausible] {
            let share = Share::of(self.0, |o| counted(o) && o.class == class, |o| o.found);
            write!(f, " {share:>11} |")?;
        }
        writeln!(f, " {:>11} |", restored(self.0, &counted))
    }
}
