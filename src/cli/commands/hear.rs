//! `hear`: something to play along with, made of the loops of a lesson.

use super::clash::Claims;
use super::files::{Input, claim_lesson};
use super::outputs::Outputs;
use super::press::report;
use super::{Failure, Service, Status, say};
use clap::Args;
use fretleaf::checks::Elaborated;
use fretleaf::compile;
use fretleaf::hear::{Score, gather, midi, names};
use fretleaf::lesson::world::Noting;
use fretleaf::script::clock;
use std::fmt;
use std::path::PathBuf;

/// What stands behind the lesson's name in that of the notes to tune by.
const TUNING: &str = "tuning-notes";

/// Write the loops of a lesson as music to play along with
#[derive(Debug, Args)]
pub struct Hear {
    /// The lesson's file; `-` reads it from standard input
    #[arg(value_name = "LESSON")]
    lesson: PathBuf,
    /// Write every riff, strum, move, and all changes and parts too, each once through
    #[arg(long)]
    all: bool,
    /// Write the open strings too, to tune by
    #[arg(long)]
    tuning_notes: bool,
    /// The folder to write to, instead of the lesson's own
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// A block would sound for too long.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TooLong {
    /// What it is called.
    name: String,
    /// How long, in minutes.
    minutes: u64,
}

impl fmt::Display for TooLong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let TooLong { name, minutes } = self;
        write!(f, "`{name}` would sound for {minutes} minutes; less than 60 can be written")
    }
}

impl Hear {
    /// Writes the files. A lesson with faults is refused.
    pub fn run(self) -> Result<Status, Failure> {
        let input = Input::read(&self.lesson)?;
        let world = input.world();
        let noting = Noting::new(&world);
        let compiled = compile(&noting, &input.name)?;
        if report(compiled.source(), &compiled.findings).fault > 0 {
            say(&format!("{}: nothing is written: mend its faults first", input.name));
            return Ok(Status::Faulty);
        }
        let scores = self.scores(&compiled.lesson)?;
        if scores.is_empty() {
            say(&format!(
                "{}: there is no loop to write; `--all` writes every block that can be heard",
                input.name
            ));
            return Ok(Status::Failed);
        }
        let mut outputs = Outputs::default();
        for (name, score) in &scores {
            let mut file = Vec::new();
            midi::write(score, &mut file).map_err(|error| Service::Midi.denied(error))?;
            outputs.put(
                format!("{}-{name}.mid", input.stem),
                format!("the notes of `{name}`"),
                file,
            );
        }
        let folder = self.out.clone().unwrap_or_else(|| input.place.clone());
        let mut claims = Claims::default();
        claim_lesson(&self.lesson, &mut claims);
        input.claim_named(&noting.named(), &mut claims);
        outputs.claim(&folder, &format!("`{}`", input.name), &mut claims)?;
        outputs.write(&folder)?;
        for (name, score) in &scores {
            say(&format!(
                "`{}-{name}.mid` sounds for {}",
                input.stem,
                clock::told(score.duration())
            ));
        }
        Ok(Status::Sound)
    }

    /// What is to be written, each under its name.
    fn scores(&self, lesson: &Elaborated<'_>) -> Result<Vec<(String, Score)>, TooLong> {
        let asked: Vec<usize> =
            if self.all { gather::all(lesson).collect() } else { gather::loops(lesson).collect() };
        let mut scores = Vec::new();
        for (index, name) in asked.iter().zip(names::names(lesson, &asked)) {
            match gather::lasts(lesson, *index) {
                Some(lasts) if lasts >= gather::TOO_LONG => {
                    return Err(TooLong { name, minutes: lasts.as_secs() / 60 });
                }
                _ => scores.extend(gather::score(lesson, *index).map(|score| (name, score))),
            }
        }
        if self.tuning_notes {
            let instrument = &lesson.lesson.header.setting;
            scores.push((TUNING.to_owned(), gather::tuning_notes(instrument)));
        }
        Ok(scores)
    }
}
