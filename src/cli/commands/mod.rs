//! The commands, one file each, and what they share: the command line, exit status, reading
//! lessons and writing files whole.

pub mod about;
pub mod chart;
pub mod clash;
pub mod each;
pub mod failure;
pub mod figures;
pub mod files;
pub mod hear;
pub mod library;
pub mod looks;
pub mod new;
pub mod outputs;
pub mod press;
pub mod progress;
pub mod proof;
pub mod record;
pub mod report;
pub mod script;
pub mod watch;
pub mod writing;

use clap::{CommandFactory, Parser, Subcommand};
pub use failure::{Failure, Service};
use fretleaf::findings::report::visible::visible;
use std::io::{self, Write};

/// A compiler for guitar lessons: checks a plain-text lesson and prints its handout.
#[derive(Debug, Parser)]
#[command(name = "fretleaf", version, arg_required_else_help = true)]
pub struct CommandLine {
    /// Print a completion script for a shell and leave
    #[arg(long, value_name = "SHELL", exclusive = true)]
    completions: Option<clap_complete::Shell>,
    /// Print the manual page and leave
    #[arg(long, exclusive = true)]
    man: bool,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(new::New),
    Proof(proof::Proof),
    Press(press::Press),
    Watch(watch::Watch),
    Chart(chart::Chart),
    Script(script::WriteScript),
    Hear(hear::Hear),
    About(about::About),
}

/// How a run ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// Nothing worse than a doubt.
    Sound,
    /// Faults, or doubts where they count as faults.
    Faulty,
    /// The command line is wrong, or a file can't be opened or written.
    Failed,
}

impl Status {
    /// The number that the process ends with.
    pub const fn code(self) -> u8 {
        match self {
            Status::Sound => 0,
            Status::Faulty => 1,
            Status::Failed => 2,
        }
    }
}

/// Carries out a command line.
pub fn run(line: CommandLine) -> Status {
    let outcome = match line {
        CommandLine { completions: Some(shell), .. } => print(&completions(shell)),
        CommandLine { man: true, .. } => manual().and_then(|page| print(&page)),
        CommandLine { command: Some(Command::New(new)), .. } => new.run(),
        CommandLine { command: Some(Command::Proof(proof)), .. } => proof.run(),
        CommandLine { command: Some(Command::Press(press)), .. } => press.run(),
        CommandLine { command: Some(Command::Watch(watch)), .. } => watch.run(),
        CommandLine { command: Some(Command::Chart(chart)), .. } => chart.run(),
        CommandLine { command: Some(Command::Script(script)), .. } => script.run(),
        CommandLine { command: Some(Command::Hear(hear)), .. } => hear.run(),
        CommandLine { command: Some(Command::About(about)), .. } => about.run(),
        CommandLine { command: None, .. } => {
            print(&CommandLine::command().render_help().to_string())
        }
    };
    outcome.unwrap_or_else(|failure| {
        say(&format!("fretleaf: {failure}"));
        Status::Failed
    })
}

/// Prints a text on standard output, characters in it that a terminal would obey made visible.
fn print(text: &str) -> Result<Status, Failure> {
    print_as_it_is(&visible(text))
}

/// Prints a text in which only what we put there ourselves is obeyed, such as a report in colour. A
/// reader that has left (a closed pipe) is no failure.
fn print_as_it_is(text: &str) -> Result<Status, Failure> {
    match io::stdout().lock().write_all(text.as_bytes()) {
        Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
            Err(Service::Print.denied(error))
        }
        _ => Ok(Status::Sound),
    }
}

/// Says a line on standard error, characters in it that a terminal would obey made visible.
fn say(line: &str) {
    say_as_it_is(&visible(line));
}

/// Says what only we put characters into that a terminal obeys; where even that can't be written there
/// is nobody to tell.
fn say_as_it_is(line: &str) {
    let _ = writeln!(io::stderr().lock(), "{line}");
}

fn completions(shell: clap_complete::Shell) -> String {
    let mut script = Vec::new();
    clap_complete::generate(shell, &mut CommandLine::command(), "fretleaf", &mut script);
    String::from_utf8_lossy(&script).into_owned()
}

fn manual() -> Result<String, Failure> {
    let mut page = Vec::new();
    clap_mangen::Man::new(CommandLine::command())
        .render(&mut page)
        .map_err(|error| Service::Manual.denied(error))?;
    Ok(String::from_utf8_lossy(&page).into_owned())
}
