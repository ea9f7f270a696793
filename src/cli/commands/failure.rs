//! Why a command could not be carried out.

use super::about::NoPage;
use super::clash::Clash;
use super::files::FileFailure;
use super::hear::TooLong;
use super::looks::Unusable;
use super::new::NotMade;
use super::press::NoBooklet;
use super::proof::Unmendable;
use crate::cli::watch::dependencies::Untold;
use fretleaf::chart::ChartError;
use fretleaf::ink::pdf::PdfError;
use fretleaf::ink::png::PngError;
use fretleaf::lesson::world::Refusal;
use fretleaf::page::TemplateError;
use std::fmt;

/// Why a command could not be carried out. What stops one command alone is told beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Failure {
    /// Something can't be done with a file.
    File(FileFailure),
    /// The lesson can't be read.
    Lesson(Refusal),
    /// A template can't be used.
    Template(TemplateError),
    /// A template's file that the command line names can't be.
    TemplateFile(Unusable),
    /// There is no chart.
    Chart(ChartError),
    /// A PDF can't be painted.
    Pdf(PdfError),
    /// A picture can't be painted.
    Png(PngError),
    /// A file would take the place of another.
    Clash(Clash),
    /// A handout is no booklet.
    Booklet(NoBooklet),
    /// No lesson is begun.
    New(NotMade),
    /// A lesson can't be mended.
    Mend(Unmendable),
    /// Something would sound for too long.
    TooLong(TooLong),
    /// No rule has the name.
    Rule(NoPage),
    /// No dependency file is written.
    Dependencies(Untold),
    /// Standard input is to be watched.
    WatchedInput,
    /// None of the ports from one on is free.
    NoPort(u16),
    /// The program is not let do something.
    Denied(Service, String),
}

/// What the program asks of the system, or of what it is built on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Service {
    /// Printing on standard output.
    Print,
    /// Writing its manual page.
    Manual,
    /// Writing a report of findings.
    Report,
    /// Writing a chart as JSON.
    Chart,
    /// Hearing of interrupts.
    Interrupts,
    /// Hearing of saves.
    Saves,
    /// Serving at a port.
    Port(u16),
    /// Serving the live page.
    LivePage,
}

impl Service {
    /// That it is denied, and why.
    pub fn denied(self, why: impl fmt::Display) -> Failure {
        Failure::Denied(self, why.to_string())
    }
}

impl fmt::Display for Service {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Service::Print => "print",
            Service::Manual => "make the manual page",
            Service::Report => "write the report",
            Service::Chart => "write the chart",
            Service::Interrupts => "listen for interrupts",
            Service::Saves => "watch for saves",
            Service::Port(port) => return write!(f, "serve at port {port}"),
            Service::LivePage => "serve the live page",
        })
    }
}

impl fmt::Display for Failure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Failure::File(why) => why.fmt(f),
            Failure::Lesson(why) => write!(f, "the lesson {why}"),
            Failure::Template(why) => why.fmt(f),
            Failure::TemplateFile(why) => why.fmt(f),
            Failure::Chart(why) => why.fmt(f),
            Failure::Pdf(why) => why.fmt(f),
            Failure::Png(why) => why.fmt(f),
            Failure::Clash(why) => why.fmt(f),
            Failure::Booklet(why) => why.fmt(f),
            Failure::New(why) => why.fmt(f),
            Failure::TooLong(why) => why.fmt(f),
            Failure::Mend(why) => why.fmt(f),
            Failure::Rule(why) => why.fmt(f),
            Failure::Dependencies(why) => why.fmt(f),
            Failure::WatchedInput => {
                f.write_str("standard input can't be watched; name a file or a folder")
            }
            Failure::NoPort(first) => {
                write!(f, "no port from {first} on is free; choose one with --port")
            }
            Failure::Denied(service, why) => write!(f, "can't {service}: {why}"),
        }
    }
}

impl std::error::Error for Failure {}

/// Makes a failure of what fails beneath it.
macro_rules! from {
    ($($name:ident($why:ty))*) => {
        $(impl From<$why> for Failure {
            fn from(why: $why) -> Failure {
                Failure::$name(why)
            }
        })*
    };
}

from! {
    File(FileFailure) Lesson(Refusal) Template(TemplateError) TemplateFile(Unusable) Chart(ChartError)
    Pdf(PdfError) Png(PngError) Clash(Clash) Booklet(NoBooklet) New(NotMade) Mend(Unmendable) Rule(NoPage)
    Dependencies(Untold) TooLong(TooLong)
}
