//! `hear`: something to play along with, made of the loops of a lesson.

use super::clash::Claims;
use super::files::{Input, claim_lesson, place_in};
use super::progress::Progress;
use super::report::report;
use super::{Failure, Status, say, writing};
use clap::Args;
use fretleaf::checks::Elaborated;
use fretleaf::compile;
use fretleaf::hear::{Score, flac, gather, midi, names, render, wav};
use fretleaf::lesson::world::Noting;
use fretleaf::script::clock;
use fretleaf::words::listed;
use std::fmt;
use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

/// What stands behind the lesson's name in that of the notes to tune by.
const TUNING: &str = "tuning-notes";
/// The pitches in Hz to which an A above middle C is tuned: from the low ones of old music to above every orchestra's
/// (assumed).
const PITCHES: (f64, f64) = (390.0, 470.0);

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
    /// Write the notes alone, without their sound
    #[arg(long)]
    notes: bool,
    /// Write the sound as FLAC instead of WAV, half as large
    #[arg(long, conflicts_with = "notes")]
    flac: bool,
    /// How many times a second the A above middle C swings in the sound
    #[arg(long, value_name = "HZ", default_value = "440", value_parser = pitch)]
    pitch: f64,
    /// The folder to write to, instead of the lesson's own
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

/// A reference pitch in Hz.
fn pitch(written: &str) -> Result<f64, String> {
    let (lowest, highest) = PITCHES;
    let pitch = written.parse().ok().filter(|pitch| (lowest..=highest).contains(pitch));
    pitch.ok_or_else(|| format!("the A is tuned to {lowest} to {highest} Hz, such as 440"))
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
        if report(compiled.source(), &compiled.findings, compiled.lang()).fault > 0 {
            let words = format!("{}: nothing is written: mend its faults first", input.name);
            say(&compiled.lang().reported("line", &words));
            return Ok(Status::Faulty);
        }
        let scores = self.scores(&compiled.lesson)?;
        if scores.is_empty() {
            let why = match self.all {
                true => {
                    "nothing in it can be heard: a riff needs a `count` row, and changes need bars"
                }
                false => "there is no loop to write; `--all` writes every block that can be heard",
            };
            say(&format!("{}: {why}", input.name));
            return Ok(Status::Failed);
        }
        let folder = self.out.clone().unwrap_or_else(|| input.place.clone());
        let takes = self.takes(&scores, &input.stem);
        let mut claims = Claims::default();
        claim_lesson(&self.lesson, &mut claims);
        input.claim_named(&noting.named(), &mut claims);
        for take in &takes {
            claims.write(&take.place(&folder), format!("{} of `{}`", take.what(), input.name))?;
        }
        self.write(&takes, &folder)?;
        for (name, score) in &scores {
            let of_it = takes.iter().filter(|take| take.name == name);
            let files: Vec<String> = of_it.map(|take| format!("`{}`", take.file)).collect();
            let verb = if files.len() == 1 { "sounds" } else { "sound" };
            say(&format!("{} {verb} for {}", listed(&files), clock::told(score.duration())));
        }
        Ok(Status::Sound)
    }

    /// Writes the files; none takes its place before all are whole.
    fn write(&self, takes: &[Take<'_>], folder: &Path) -> Result<(), Failure> {
        let sounding = takes.iter().filter(|take| take.form != Form::Notes);
        let progress = Progress::new(sounding.map(|take| render::length(take.score)).sum());
        let files = takes.iter().map(|take| {
            let fill = |file: &mut File| take.write(self.pitch, file, &progress);
            (take.place(folder), fill)
        });
        Ok(writing::write_made(files)?)
    }

    /// The files that are to be written of scores.
    fn takes<'s>(&self, scores: &'s [(String, Score)], stem: &str) -> Vec<Take<'s>> {
        let sound = if self.flac { Form::Flac } else { Form::Wav };
        let forms = [Some(Form::Notes), Some(sound).filter(|_| !self.notes)];
        let each = |(name, score): &'s (String, Score)| {
            let file = |form: Form| format!("{stem}-{name}.{}", form.ending());
            let take = move |form| Take { file: file(form), name, form, score };
            forms.into_iter().flatten().map(take).collect::<Vec<_>>()
        };
        scores.iter().flat_map(each).collect()
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

/// How a score is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Form {
    /// As MIDI.
    Notes,
    Wav,
    Flac,
}

impl Form {
    /// The ending of its files' names.
    fn ending(self) -> &'static str {
        match self {
            Form::Notes => "mid",
            Form::Wav => "wav",
            Form::Flac => "flac",
        }
    }
}

/// A file that is made of a score.
struct Take<'s> {
    /// Its name.
    file: String,
    /// What the score is called.
    name: &'s str,
    form: Form,
    score: &'s Score,
}

impl Take<'_> {
    fn place(&self, folder: &Path) -> PathBuf {
        place_in(folder, &self.file)
    }

    /// What it is, in words.
    fn what(&self) -> String {
        let what = if self.form == Form::Notes { "the notes" } else { "the sound" };
        format!("{what} of `{}`", self.name)
    }

    fn write(&self, pitch: f64, file: &mut File, progress: &Progress) -> io::Result<()> {
        let mut tell = |made: u64| progress.more(made, &self.file);
        match self.form {
            Form::Notes => midi::write(self.score, file),
            Form::Wav => wav::write(self.score, pitch, file, &mut tell),
            Form::Flac => flac::write(self.score, pitch, file, &mut tell),
        }
    }
}
