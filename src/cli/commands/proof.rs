//! `proof`: checks lessons and prints what it finds.

use super::files::{Deed, FileFailure, Input};
use super::{Failure, Service, Status, print, print_as_it_is, say, writing};
use anstream::{AutoStream, ColorChoice};
use clap::Args;
use fretleaf::findings::Finding;
use fretleaf::findings::mend::{Mended, mend};
use fretleaf::findings::report::{Counts, Tally, json, sarif, terminal};
use fretleaf::words::{Lang, counted};
use fretleaf::{Checked, check};
use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::{fmt, fs, io};

/// Check lessons and say what is wrong in them
#[derive(Debug, Args)]
pub struct Proof {
    /// The lessons' files; `-` reads one from standard input
    #[arg(required = true, value_name = "LESSON")]
    lessons: Vec<PathBuf>,
    /// Print the findings as JSON
    #[arg(long)]
    json: bool,
    /// Print the findings as SARIF 2.1.0
    #[arg(long, conflicts_with = "json")]
    sarif: bool,
    /// Make the repairs of faults that leave no choice of meaning: show them, keep the original as
    /// `NAME.md.before`, then check again and say what is left to you
    #[arg(long, conflicts_with_all = ["json", "sarif"])]
    mend: bool,
    /// End with status 1 on doubts too
    #[arg(long)]
    strict: bool,
}

impl Proof {
    /// Checks the lessons. A file that can't be read is told and the others are checked still.
    pub fn run(self) -> Result<Status, Failure> {
        let mut failed = 0;
        let mut checked = Vec::new();
        let mut repairs = Repairs::default();
        for path in &self.lessons {
            let outcome = self.check(path);
            failed += usize::from(outcome.failure.is_some());
            if let Some(failure) = outcome.failure {
                say(&format!("fretleaf: {failure}"));
            }
            repairs = repairs.and(outcome.repairs);
            checked.extend(outcome.checked);
        }
        let report = match (self.json, self.sarif) {
            (true, _) => as_json(&checked)?,
            (_, true) => as_sarif(&checked)?,
            _ => as_text(&checked, self.lessons.len() - checked.len()),
        };
        print_as_it_is(&report)?;
        if self.mend {
            print(&repairs.in_words(lang_of(&checked)))?;
        }
        Ok(self.status(&checked, failed > 0))
    }

    /// Checks a lesson, mended first where that is asked for. One that could not be mended is checked as
    /// it is.
    fn check(&self, path: &Path) -> Outcome {
        let input = match Input::read(path) {
            Ok(input) => input,
            Err(failure) => {
                let repairs = Repairs::default();
                return Outcome { checked: None, failure: Some(failure.into()), repairs };
            }
        };
        let folder = input.folder();
        let checked = check(&input.name, &input.bytes, &folder);
        let found = |text: &str| check(&input.name, text.as_bytes(), &folder).findings;
        let mended = self.mend.then(|| mend(&checked.source, &checked.findings, &found)).flatten();
        let Some(mended) = mended else {
            let repairs = Repairs { left: left(&checked.findings), ..Repairs::default() };
            return Outcome { checked: Some(checked), failure: None, repairs };
        };
        match take_over(path, &input, &mended) {
            Ok(checked) => {
                let left = left(&checked.findings);
                let repairs = Repairs { made: mended.fixes, held_back: 0, left };
                Outcome { checked: Some(checked), failure: None, repairs }
            }
            Err(failure) => {
                let left = left(&found(&mended.text));
                let repairs = Repairs { made: 0, held_back: mended.fixes, left };
                Outcome { checked: Some(checked), failure: Some(failure), repairs }
            }
        }
    }

    fn status(&self, checked: &[Checked], failed: bool) -> Status {
        let counts = total(checked);
        if failed {
            Status::Failed
        } else if counts.fault > 0 || (self.strict && counts.doubt > 0) {
            Status::Faulty
        } else {
            Status::Sound
        }
    }
}

/// What became of a lesson.
struct Outcome {
    /// What was found, if it could be read.
    checked: Option<Checked>,
    /// Why it could not be read or mended.
    failure: Option<Failure>,
    /// What became of its repairs.
    repairs: Repairs,
}

/// How many repairs were made, and how many weren't.
#[derive(Default)]
struct Repairs {
    made: usize,
    /// Those that leave no choice, of lessons that could not be mended.
    held_back: usize,
    /// Those that are the author's to choose.
    left: usize,
}

impl Repairs {
    fn and(self, other: Repairs) -> Repairs {
        Repairs {
            made: self.made + other.made,
            held_back: self.held_back + other.held_back,
            left: self.left + other.left,
        }
    }

    /// What was not mended, in a line; nothing where all was.
    fn in_words(&self, lang: Lang) -> String {
        let nothing = if self.made == 0 { "nothing was mended" } else { "" };
        let held_back = match self.held_back {
            0 => String::new(),
            1 => "1 repair that leaves no choice is held back".to_owned(),
            many => format!("{many} repairs that leave no choice are held back"),
        };
        let left = match self.left {
            0 => String::new(),
            1 => "1 repair is left to you, since something else may be meant".to_owned(),
            many => format!("{many} repairs are left to you, since something else may be meant"),
        };
        let parts: Vec<Cow<'_, str>> = [nothing, held_back.as_str(), left.as_str()]
            .into_iter()
            .filter(|part| !part.is_empty())
            .map(|part| lang.reported("line", part))
            .collect();
        if parts.is_empty() { String::new() } else { parts.join("; ") + "\n" }
    }
}

/// How many findings offer a repair.
fn left(findings: &[Finding]) -> usize {
    findings.iter().filter(|finding| !finding.fixes.is_empty()).count()
}

/// Why a lesson can't be mended.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Unmendable {
    /// It comes from standard input.
    StandardInput,
    /// The file, by its name, is not UTF-8.
    NoText(String),
    /// It may only be read.
    ReadOnly(String),
    /// What is kept of an earlier mending is there.
    KeptBefore(PathBuf),
}

impl fmt::Display for Unmendable {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Unmendable::StandardInput => {
                f.write_str("a lesson from standard input can't be mended; name its file")
            }
            Unmendable::NoText(name) => write!(f, "`{name}` is not UTF-8 and can't be mended"),
            Unmendable::ReadOnly(name) => write!(
                f,
                "`{name}` may only be read and isn't mended; allow writing to it, then mend again"
            ),
            Unmendable::KeptBefore(before) => {
                let before = before.display();
                write!(f, "`{before}` is there already; move it away, then mend again")
            }
        }
    }
}

/// Shows what mending changes, keeps the original beside, writes the mended lesson and checks it.
fn take_over(path: &Path, input: &Input, mended: &Mended) -> Result<Checked, Failure> {
    let name = &input.name;
    if name == "-" {
        return Err(Unmendable::StandardInput.into());
    }
    if std::str::from_utf8(&input.bytes).is_err() {
        return Err(Unmendable::NoText(name.clone()).into());
    }
    if fs::metadata(path).is_ok_and(|about| about.permissions().readonly()) {
        return Err(Unmendable::ReadOnly(name.clone()).into());
    }
    let before = keep_original(path, input)?;
    let bytes = as_written(&input.bytes, &mended.text);
    writing::write_all([(path.to_path_buf(), bytes.as_slice())])?;
    print(&format!("{}\n", mended.difference))?;
    let checked = check(name, &bytes, &input.folder());
    let (repairs, before) = (counted(mended.fixes, "repair"), before.display());
    let words = format!("{repairs} made in {name}; the original is {before}");
    print(&format!("{}\n\n", checked.lang.reported("line", &words)))?;
    Ok(checked)
}

/// Keeps a lesson as it was beside it, to be read by those who could read it, and tells where.
fn keep_original(path: &Path, input: &Input) -> Result<PathBuf, Failure> {
    let mut before = path.as_os_str().to_owned();
    before.push(".before");
    let before = PathBuf::from(before);
    if before.symlink_metadata().is_ok() {
        return Err(Unmendable::KeptBefore(before).into());
    }
    writing::write_new(&before, &input.bytes)?;
    let mode = fs::metadata(path).map(|about| about.permissions());
    mode.and_then(|mode| fs::set_permissions(&before, mode))
        .map_err(|error| FileFailure::new(Deed::Write, &before, &error))?;
    Ok(before)
}

/// A lesson's new text with the byte-order mark and the line ends that the file had: the text of one
/// whose lines end with a carriage return alone has line feeds.
fn as_written(original: &[u8], text: &str) -> Vec<u8> {
    let mark: &[u8] = b"\xEF\xBB\xBF";
    let mark = if original.starts_with(mark) { mark } else { b"" };
    let text = if original.contains(&b'\n') { text.to_owned() } else { text.replace('\n', "\r") };
    [mark, text.as_bytes()].concat()
}

/// The language of what is said of some lessons together: theirs where they agree.
fn lang_of(checked: &[Checked]) -> Lang {
    let mut langs = checked.iter().map(|one| one.lang);
    let first = langs.next().unwrap_or_default();
    if langs.all(|lang| lang == first) { first } else { Lang::default() }
}

fn total(checked: &[Checked]) -> Counts {
    checked.iter().map(|one| Counts::of(&one.findings)).fold(Counts::default(), Counts::and)
}

fn as_json(checked: &[Checked]) -> Result<String, Failure> {
    let reports: Vec<_> =
        checked.iter().map(|one| json::Report::new(&one.source, &one.findings)).collect();
    json::write(&reports).map_err(|error| Service::Report.denied(error))
}

fn as_sarif(checked: &[Checked]) -> Result<String, Failure> {
    let lessons: Vec<_> =
        checked.iter().map(|one| (&one.source, one.findings.as_slice())).collect();
    sarif::write(&lessons).map_err(|error| Service::Report.denied(error))
}

/// The report of the lessons that could be read, and how many could not.
fn as_text(checked: &[Checked], others: usize) -> String {
    let colour = colour_of(&io::stdout());
    let mut text: String = checked
        .iter()
        .map(|one| terminal::render(&one.source, &one.findings, one.lang, colour))
        .collect();
    let tally = checked.iter().map(|one| one.tally).fold(Tally::default(), Tally::and);
    if !checked.is_empty() {
        let lang = lang_of(checked);
        let (counts, tally) = (total(checked).in_words(), tally.in_words());
        let (counts, tally) = (lang.reported("counts", &counts), lang.reported("tally", &tally));
        text += &format!("{counts}; {tally}\n");
    }
    if others > 0 {
        text += &format!("{} not checked\n", counted(others, "lesson"));
    }
    text
}

/// Whether a stream takes colour: a terminal does, unless `NO_COLOR` is set.
pub fn colour_of(stream: &impl anstream::stream::RawStream) -> terminal::Colour {
    match AutoStream::choice(stream) {
        ColorChoice::Never => terminal::Colour::Without,
        _ => terminal::Colour::With,
    }
}
