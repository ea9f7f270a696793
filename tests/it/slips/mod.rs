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
use fretleaf::theory::Key;
use slip::{Kind, Slip};
use std::collections::BTreeSet;
use std::fmt;
use std::ops::Range;
use std::thread;

/// The part of the corpus that no threshold was set by.
const SET_APART: &str = "held-out";
/// The part that thresholds are set by.
const TUNED: &str = "tuned";
/// How many slips are tried of each kind.
const TRIALS: usize = 120;
/// Nowhere near so often is a place drawn that has no room for a slip.
const DRAWS: usize = 40_000;
const SEED: u64 = 3;

/// What makes a slip a slip, and so what has to be found.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Class {
    /// A note, or one of several, stands outside chord and key and fits no kind of non-chord tone; or the slip is
    /// beyond dispute by its kind.
    Foreign,
    /// All it does is to make a bar differ from another that it repeated.
    BreaksRepetition,
    /// None of these: as music it is as likely as what was meant.
    Plausible,
}

/// How one trial ended.
struct Outcome {
    kind: Kind,
    class: Class,
    /// Whether it is doubted by what judges notes, or is a fault.
    found: bool,
    /// Whether it is doubted by what judges notes.
    judged: bool,
    /// Whether it is doubted, or a hint is given.
    told: bool,
    /// Which of the fixes takes it back, from 0.
    restored: Option<usize>,
}

impl Outcome {
    /// Whether what was meant can be told: a note that was put anywhere, or is one too many, only by another bar.
    fn has_a_repair(&self) -> bool {
        let is_anything = matches!(self.kind, Kind::NoteAny | Kind::NoteAdded | Kind::NoteMissing);
        !is_anything || self.class == Class::BreaksRepetition
    }
}

#[test]
fn both_parts_are_large_and_without_a_fault() {
    for (part, least) in [(TUNED, 2000), (SET_APART, 1000)] {
        let lessons = corpus::lessons(part);
        let bars: usize = lessons.iter().map(|lesson| corpus::bars(lesson)).sum();
        assert!(lessons.len() >= 14 && bars >= least, "{part}: {bars} bars");
        let faults = lessons.iter().flat_map(|lesson| findings(lesson));
        let faults = faults.filter(|finding| finding.weight == Weight::Fault);
        assert_eq!(faults.map(|fault| told(&fault)).collect::<Vec<_>>(), Vec::<String>::new());
    }
}

#[test]
fn sound_riffs_raise_few_doubts() {
    for (how, text, most) in SOUND {
        let (doubts, bars) = doubts_in_sound(SET_APART, text);
        println!("{} doubts in {bars} sound bars {how}", doubts.len());
        // Which they are isn't said: nothing is tuned to them.
        assert!(doubts.len() * 1000 <= bars * most, "{how}: {} in {bars} bars", doubts.len());
    }
}

#[test]
fn keys_are_told_right_or_not_at_all() {
    let named = subjects(SET_APART);
    let told: Vec<(Key, Key)> =
        named.iter().filter_map(|riff| Some((riff.key?, key_told(&riff.text)?))).collect();
    // Of relative keys, and of a mode and its scale, either is right, as they have the same notes; so is a minor key by
    // any of its scales.
    let other = |(named, told): &&(Key, Key)| {
        let minor = named.tonic == told.tonic && named.is_minor() && told.is_minor();
        named.signature() != told.signature() && !minor
    };
    let wrong = told.iter().filter(other).count();
    println!("{wrong} of {} keys told are others than the ones named", told.len());
    assert!(!told.is_empty() && wrong * 100 <= told.len() * 5, "{wrong} of {}", told.len());
}

/// The key that is told of a riff where nothing names it.
fn key_told(lesson: &str) -> Option<Key> {
    let told = findings(&corpus::without_chords_and_key(lesson));
    let told = told.iter().find(|finding| finding.rule.name == "key-inferred")?;
    let (_, key) = told.message.rsplit_once(" in ")?;
    Key::parse(key)
}

/// A lesson as it is read.
type Reading = fn(&str) -> String;

/// How the sound riffs are read: as they are, without chords, without key too; and the most doubts in 1000 bars.
const SOUND: [(&str, Reading, usize); 3] = [
    ("with chords", str::to_owned, 10),
    ("without chords", corpus::without_chords, 20),
    ("without chords or key", corpus::without_chords_and_key, 20),
];

/// The doubts about a part of the corpus, read in a way.
fn doubts_in_sound(part: &str, text: Reading) -> (Vec<String>, usize) {
    let lessons: Vec<String> = corpus::lessons(part).iter().map(|lesson| text(lesson)).collect();
    let bars = lessons.iter().map(|lesson| corpus::bars(lesson)).sum();
    let doubts = lessons.iter().flat_map(|lesson| {
        let grave = findings(lesson).into_iter().filter(|finding| finding.weight > Weight::Hint);
        let notes = grave.filter(|finding| JUDGES.contains(&finding.rule.name));
        let said = |finding: Finding| format!("{} | {}", told(&finding), finding.notes.join("; "));
        notes.map(said).collect::<Vec<_>>()
    });
    (doubts.collect(), bars)
}

/// The rules that judge notes. What a hand can't play is another matter.
const JUDGES: [&str; 9] = [
    "wrong-note",
    "odd-bar-out",
    "string-slip",
    "fret-slip",
    "octave-slip",
    "upside-down",
    "bar-slip",
    "chord-contradicted",
    "tuning-octave",
];

#[test]
fn slips_are_found_and_repaired() {
    let outcomes = outcomes(&slips(&subjects(SET_APART)));
    println!("{}", Table(&outcomes));
    let notes = |o: &Outcome| o.kind.is_of_a_note() && o.class == Class::Foreign;
    let doubted = Share::of(&outcomes, notes, |o| o.found);
    assert!(doubted.reaches(85), "foreign notes doubted: {doubted}");
    let told = Share::of(&outcomes, notes, |o| o.told);
    assert!(told.reaches(95), "foreign notes doubted or told: {told}");
    for (kinds, least) in [
        (&[Kind::BarString, Kind::BarFret][..], 95),
        (&[Kind::ChordSymbol], 60),
        (&[Kind::UpsideDown, Kind::TuningOctave], 90),
    ] {
        let counted = |o: &Outcome| kinds.contains(&o.kind) && o.class != Class::Plausible;
        let share = Share::of(&outcomes, counted, |o| o.found);
        assert!(share.reaches(least), "{}: {share}", kinds[0].name());
    }
    let found = |o: &Outcome| o.judged && o.has_a_repair();
    let first = Share::of(&outcomes, found, |o| o.restored == Some(0));
    assert!(first.reaches(75), "restored by the first fix: {first}");
    let among = Share::of(&outcomes, found, |o| o.restored.is_some_and(|fix| fix < 3));
    assert!(among.reaches(88), "restored by one of three: {among}");
}

/// What thresholds are set by: `cargo test --test it slips::tuned -- --ignored --nocapture`.
#[test]
#[ignore = "a table to set thresholds by"]
fn tuned() {
    for (how, text, _) in SOUND {
        let (doubts, bars) = doubts_in_sound(TUNED, text);
        println!("{} doubts in {bars} bars {how}\n{}\n", doubts.len(), doubts.join("\n"));
    }
    let (subjects, mut lost) = (subjects(TUNED), Vec::new());
    let slips = slips(&subjects);
    let outcomes = outcomes(&slips);
    println!("{}", Table(&outcomes));
    for ((subject, slip), outcome) in slips.iter().zip(&outcomes) {
        if outcome.class != Class::Plausible && !(outcome.found && outcome.restored == Some(0)) {
            lost.push((subject, slip, outcome));
        }
    }
    for (subject, slip, outcome) in lost {
        println!("{}: found {}, restored {:?}", slip.kind.name(), outcome.found, outcome.restored);
        let is_head = |line: &&str| {
            ["key:", "~~~ riff", "chord", "count"].iter().any(|head| line.starts_with(head))
        };
        subject.text.lines().filter(is_head).for_each(|line| println!("    {line}"));
        for (before, after) in subject.text.lines().zip(slip.text.lines()) {
            if before != after {
                println!("  - {before}\n  + {after}");
            }
        }
        for finding in findings(&slip.text) {
            let fixes: Vec<&str> = finding.fixes.iter().map(|fix| fix.says.as_str()).collect();
            println!("  > {} {fixes:?}", told(&finding));
        }
    }
}

fn subjects(part: &str) -> Vec<Subject> {
    corpus::lessons(part).iter().flat_map(|lesson| corpus::subjects(lesson)).collect()
}

/// Sound riffs of the part that isn't set apart, with slips in them, so many of each kind.
pub fn slipped(each: usize) -> Vec<String> {
    let (subjects, mut chance) = (subjects(TUNED), Chance::seeded(SEED));
    let mut of_kind = |kind| -> Vec<String> {
        let mut draw = || Some(slip::draw(kind, chance.one_of(&subjects)?, &mut chance)?.text);
        (0..DRAWS).filter_map(|_| draw()).take(each).collect()
    };
    Kind::ALL.into_iter().flat_map(&mut of_kind).collect()
}

/// Draws the slips, each with the riff that it is in.
fn slips(subjects: &[Subject]) -> Vec<(&Subject, Slip)> {
    let mut chance = Chance::seeded(SEED);
    let mut of_kind = |kind| -> Vec<(&Subject, Slip)> {
        let mut draw = || {
            let subject = chance.one_of(subjects)?;
            Some((subject, slip::draw(kind, subject, &mut chance)?))
        };
        (0..DRAWS).filter_map(|_| draw()).take(TRIALS).collect()
    };
    Kind::ALL.into_iter().flat_map(&mut of_kind).collect()
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
    let before: BTreeSet<String> = findings(&subject.text).iter().map(told).collect();
    let places = Places::new(&slip.text);
    let new = findings(&slip.text).into_iter().filter(|finding| !before.contains(&told(finding)));
    let covering: Vec<Finding> = new.filter(|finding| covers(finding, slip, &places)).collect();
    let grave = || covering.iter().filter(|finding| finding.weight > Weight::Hint);
    let judged = || grave().filter(|finding| JUDGES.contains(&finding.rule.name));
    let is_fault = |finding: &&Finding| finding.weight == Weight::Fault;
    let mut fixes = judged().flat_map(|finding| &finding.fixes);
    let is_restored = |fix: &Fix| takes_back(slip, &apply(&slip.text, fix), subject);
    Outcome {
        kind: slip.kind,
        class: class(subject, slip),
        found: judged().chain(grave().filter(is_fault)).next().is_some(),
        judged: judged().next().is_some(),
        told: !covering.is_empty(),
        restored: fixes.position(is_restored),
    }
}

/// Whether a repair gives the music that was meant. Of a chord symbol its triad is compared, since notes don't tell the
/// seventh that isn't played.
fn takes_back(slip: &Slip, mended: &str, meant: &Subject) -> bool {
    let triads = |text: &str| -> Vec<String> {
        let row = text.lines().filter(|line| line.starts_with("chord"));
        row.flat_map(str::split_whitespace).map(triad).collect()
    };
    if slip.kind == Kind::ChordSymbol {
        return triads(mended) == triads(&meant.text);
    }
    let Some(mended) = Subject::try_read(mended) else { return false };
    let chords = |subject: &Subject| -> Vec<Option<String>> {
        subject.tones.iter().map(|tone| tone.chord.as_ref().map(ToString::to_string)).collect()
    };
    mended.bars == meant.bars && mended.strings == meant.strings && chords(&mended) == chords(meant)
}

/// A symbol's root, and whether its third is minor.
fn triad(symbol: &str) -> String {
    let letters = symbol.trim_matches('|');
    let root: String = letters
        .chars()
        .enumerate()
        .take_while(|(at, sign)| *at == 0 || matches!(sign, '#' | 'b'))
        .map(|(_, sign)| sign)
        .collect();
    let rest = &letters[root.len()..];
    let is_minor = rest.starts_with('m') && !rest.starts_with("maj");
    format!("{root}{}", if is_minor { "m" } else { "" })
}

fn class(subject: &Subject, slip: &Slip) -> Class {
    let bars = &subject.bars;
    let repeats = |bar: usize| bars.iter().filter(|other| **other == bars[bar]).count() > 1;
    if slip.is_plain || matches!(slip.kind, Kind::BarLine) {
        return Class::Foreign;
    }
    let Some(bar) = slip.bar else { return Class::Plausible };
    let foreign = match slip.note {
        Some((index, pitch)) => judge::is_foreign(subject, index, pitch),
        None if slip.kind == Kind::ChordSymbol => return Class::Plausible,
        None if slip.kind == Kind::CountLost => false,
        None => {
            let after = Subject::read(slip.text.clone());
            judge::has_foreign(&after, bar) && !judge::has_foreign(subject, bar)
        }
    };
    match () {
        () if foreign => Class::Foreign,
        () if repeats(bar) => Class::BreaksRepetition,
        () => Class::Plausible,
    }
}

/// All that a lesson raises.
fn findings(lesson: &str) -> Vec<Finding> {
    fretleaf::check("riff.md", lesson.as_bytes(), &MemoryWorld::default()).findings
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

/// What was found of each kind of slip.
struct Table<'o>(&'o [Outcome]);

impl fmt::Display for Table<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let heads = [
            "doubted: foreign",
            "told: foreign",
            "a repetition",
            "neither",
            "first fix",
            "of three",
        ];
        write!(f, "| {:27} |", "slips")?;
        heads.iter().try_for_each(|head| write!(f, " {head:>16} |"))?;
        writeln!(f, "\n| {:-<27} |{}", "", " ---------------: |".repeat(heads.len()))?;
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
        let of = |class: Class, part: fn(&Outcome) -> bool| {
            Share::of(self.0, |o| counted(o) && o.class == class, part)
        };
        let is_fixed = |o: &Outcome| counted(o) && o.judged && o.has_a_repair();
        let fixed = |part: fn(&Outcome) -> bool| Share::of(self.0, is_fixed, part);
        let shares = [
            of(Class::Foreign, |o| o.found),
            of(Class::Foreign, |o| o.told),
            of(Class::BreaksRepetition, |o| o.found),
            of(Class::Plausible, |o| o.found),
            fixed(|o| o.restored == Some(0)),
            fixed(|o| o.restored.is_some_and(|fix| fix < 3)),
        ];
        write!(f, "| {name:27} |")?;
        shares.iter().try_for_each(|share| write!(f, " {share:>16} |"))?;
        writeln!(f)
    }
}
