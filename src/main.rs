//! The command line.

use clap::Parser;
use fretleaf::commands::{CommandLine, run};
use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(run(CommandLine::parse()).code())
}
