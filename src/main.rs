//! The command line.

mod cli;

use clap::Parser;
use cli::commands::{CommandLine, run};
use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(run(CommandLine::parse()).code())
}
