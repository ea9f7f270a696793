//! `proof`: checks lessons and prints what it finds.

use super::files::Input;
use super::{Failure, Status, print, say};
use crate::proof::report::{Counts, json, terminal};
use crate::{Checked, check};
use anstream::{AutoStream, ColorChoice};
use clap::Args;
use std::io;
use std::path::PathBuf;

/// Check lessons and say what is wrong in them
#[derive(Debug, Args)]
pub struct Proof {
    /// The lessons' files; `-` reads one from standard input
    #[arg(required = true, value_name = "LESSON")]
    lessons: Vec<PathBuf>,
    /// Print the findings as JSON
    #[arg(long)]
    json: bool,
    /// End with status 1 on doubts too
    #[arg(long)]
    strict: bool,
}

impl Proof {
    /// Checks the lessons. A file that can't be read is told and the others are checked still.
    pub fn run(self) -> Result<Status, Failure> {
        let mut failed = false;
        let mut checked = Vec::new();
        for path in &self.lessons {
            match Input::read(path) {
                Ok(input) => checked.push(check(&input.name, &input.bytes, &input.folder())),
                Err(failure) => {
                    say(&format!("fretleaf: {failure}"));
                    failed = true;
                }
            }
        }
        let report = if self.json { as_json(&checked)? } else { as_text(&checked) };
        print(&report)?;
        Ok(self.status(&checked, failed))
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

fn total(checked: &[Checked]) -> Counts {
    checked.iter().map(|one| Counts::of(&one.findings)).fold(Counts::default(), Counts::and)
}

fn as_json(checked: &[Checked]) -> Result<String, Failure> {
    let reports: Vec<_> =
        checked.iter().map(|one| json::Report::new(&one.source, &one.findings)).collect();
    json::write(&reports).map_err(|error| Failure(format!("can't write the report: {error}")))
}

fn as_text(checked: &[Checked]) -> String {
    let colour = colour_of(&io::stdout());
    let mut text: String =
        checked.iter().map(|one| terminal::render(&one.source, &one.findings, colour)).collect();
    text += &format!("{}\n", total(checked).in_words());
    text
}

/// Whether a stream takes colour: a terminal does, unless `NO_COLOR` is set.
pub fn colour_of(stream: &impl anstream::stream::RawStream) -> terminal::Colour {
    match AutoStream::choice(stream) {
        ColorChoice::Never => terminal::Colour::Without,
        _ => terminal::Colour::With,
    }
}
